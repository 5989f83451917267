/**
 * Statements that a solution earns as made: the ingredient rules of the GHS for mixtures (data/hazards/ghs_rules.csv, named
 * by their rule_id below). Sums for skin, eye and water life, acute toxicity by the additive estimate, single limits for
 * the rest. Specific limits of a substance go before the generic ones.
 */
import type { GhsBand, GhsSubstance } from './hazard-facts.ts'

/** An ingredient at its strength; `bands` are those of the substance in rising order, when it has any. */
export interface Ingredient {
  readonly row: GhsSubstance
  readonly massFraction: number
  readonly bands: readonly GhsBand[]
}

type Limit = number | null

/** Single limits by statement, mass fraction: SENS-1/3, MUTA-1/2, CARC-1/2, REPR-1/2/3, STOT-1/4; `lower` is what it turns into from a tenth on (STOT-2). */
const SINGLE: readonly { readonly code: RegExp; readonly from: number; readonly cls: string; readonly lower?: string }[] = [
  { code: /^H334/, from: 0.01, cls: 'Resp. Sens.' },
  { code: /^H317/, from: 0.01, cls: 'Skin Sens.' },
  { code: /^H340/, from: 0.001, cls: 'Muta.' },
  { code: /^H350/, from: 0.001, cls: 'Carc.' },
  { code: /^H3[45]1/, from: 0.01, cls: 'Carc. 2' },
  { code: /^H360/, from: 0.003, cls: 'Repr.' },
  { code: /^H361/, from: 0.03, cls: 'Repr. 2' },
  { code: /^H362/, from: 0.003, cls: 'Lact.' },
  { code: /^H370/, from: 0.1, cls: 'STOT SE 1', lower: 'H371' },
  { code: /^H372/, from: 0.1, cls: 'STOT RE 1', lower: 'H373' },
  { code: /^H37[13]/, from: 0.1, cls: 'STOT RE 2' },
]
/** A category 1 organ poison is category 2 from a tenth of its limit (STOT-2). */
const LOWER_SHARE = 0.1
/** STOT-4: irritation of the airways, drowsiness, each summed. */
const AIRWAYS_FROM = 0.2
/** SKIN-1 to SKIN-4, EYE-1 to EYE-4, as limits of one ingredient; sums of shares of the limit come to the same. */
const SKIN_CORROSIVE = { burns: 0.05, irritates: 0.01, damagesEye: 0.03, irritatesEye: 0.01 }
const SKIN_IRRITANT = 0.1
const EYE_DAMAGE = { damages: 0.03, irritates: 0.01 }
const EYE_IRRITANT = 0.1

/** AT-P and AT-L: point estimates of categories 1 to 4 and their upper limits; oral and dermal mg/kg, inhaled as mist mg/L in 4 h. */
const ROUTES: readonly {
  readonly codes: readonly (readonly [string, number])[]
  readonly limits: readonly (readonly [string, number])[]
  readonly name: string
}[] = [
  {
    name: 'oral',
    codes: [
      ['H300', 5],
      ['H301', 100],
      ['H302', 500],
    ],
    limits: [
      ['H300', 50],
      ['H301', 300],
      ['H302', 2000],
    ],
  },
  {
    name: 'dermal',
    codes: [
      ['H310', 50],
      ['H311', 300],
      ['H312', 1100],
    ],
    limits: [
      ['H310', 200],
      ['H311', 1000],
      ['H312', 2000],
    ],
  },
  {
    name: 'inhal',
    codes: [
      ['H330', 0.05],
      ['H331', 0.5],
      ['H332', 1.5],
    ],
    limits: [
      ['H330', 0.5],
      ['H331', 1],
      ['H332', 5],
    ],
  },
]

/** A solution of a flammable liquid: no flame from this mass fraction on, the pure liquid's statement from that (FL-1: ethanol 10 % v/v flashes at 49 degC, 70 % at 21 degC; memory). */
const FLAMMABLE_FROM = 0.05
const FLAMMABLE_AS_PURE_FROM = 0.6
/** Gas-freeing statements (EUH029, 031, 032) are kept from this mass fraction on, where no limit of its own is stated (our choice, on the safe side of 5 %). */
const FREES_GAS_FROM = 0.01
/** AQ-1, AQ-4 to AQ-6. */
const WATER_LIFE = 0.25

/** "Skin Corr. 1B 2<=C<5%" -> 0.02 for "Skin Corr."; the lowest where a class has several. */
function ownLimit(row: GhsSubstance, cls: string): Limit {
  const found = row.specificLimits
    .split(';')
    .filter((part) => part.trim().startsWith(cls))
    .map((part) => /C>=([\d.]+)%|([\d.]+)<=C/.exec(part))
    .filter((m) => m !== null)
    .map((m) => Number(m[1] ?? m[2]) / 100)
  return found.length > 0 ? Math.min(...found) : null
}

/** Least strength at which a band of the substance carries one of the statements; null when none does. */
const bandLimit = (bands: readonly GhsBand[], codes: RegExp): Limit => {
  const from = bands.filter((b) => b.hCodes.some((c) => codes.test(c))).map((b) => b.from)
  return from.length > 0 ? Math.min(...from) : null
}

const has = (i: Ingredient, code: RegExp): boolean => i.row.hCodes.some((c) => code.test(c))

/** Limits of one ingredient for the four effects on skin and eye. */
function skinAndEye(i: Ingredient): { readonly burns: Limit; readonly irritates: Limit; readonly damages: Limit; readonly eye: Limit } {
  if (i.bands.length > 0) {
    return {
      burns: bandLimit(i.bands, /^H314/),
      irritates: bandLimit(i.bands, /^H31[45]/),
      damages: bandLimit(i.bands, /^H31[48]/),
      eye: bandLimit(i.bands, /^H31[489]/),
    }
  }
  const corrosive = has(i, /^H314/)
  return {
    burns: corrosive ? (ownLimit(i.row, 'Skin Corr.') ?? SKIN_CORROSIVE.burns) : null,
    irritates: corrosive
      ? (ownLimit(i.row, 'Skin Irrit.') ?? SKIN_CORROSIVE.irritates)
      : has(i, /^H315/)
        ? (ownLimit(i.row, 'Skin Irrit.') ?? SKIN_IRRITANT)
        : null,
    damages: corrosive ? SKIN_CORROSIVE.damagesEye : has(i, /^H318/) ? (ownLimit(i.row, 'Eye Dam.') ?? EYE_DAMAGE.damages) : null,
    eye: corrosive
      ? (ownLimit(i.row, 'Eye Irrit.') ?? SKIN_CORROSIVE.irritatesEye)
      : has(i, /^H318/)
        ? EYE_DAMAGE.irritates
        : has(i, /^H319/)
          ? (ownLimit(i.row, 'Eye Irrit.') ?? EYE_IRRITANT)
          : null,
  }
}

/** SKIN-7: each ingredient as a share of its own limit, summed. */
const sumOfShares = (parts: readonly Ingredient[], limit: (i: Ingredient) => Limit): number =>
  parts.reduce((sum, i) => {
    const l = limit(i)
    return l === null ? sum : l === 0 ? Number.POSITIVE_INFINITY : sum + i.massFraction / l
  }, 0)

/** A sum of shares that is 1 but for rounding counts as reached. */
const REACHED = 1 - 1e-9

function skinAndEyeCodes(parts: readonly Ingredient[]): readonly string[] {
  const reached = (limit: (i: Ingredient) => Limit): boolean => sumOfShares(parts, limit) >= REACHED
  const burns = reached((i) => skinAndEye(i).burns)
  const skin = burns ? ['H314'] : reached((i) => skinAndEye(i).irritates) ? ['H315'] : []
  // LAB-8: H314 says H318 already
  const eye = burns ? [] : reached((i) => skinAndEye(i).damages) ? ['H318'] : reached((i) => skinAndEye(i).eye) ? ['H319'] : []
  return [...skin, ...eye]
}

/** mg/kg from "ATE oral 481 mg/kg". */
function ownEstimate(row: GhsSubstance, route: string): number | null {
  const m = new RegExp(`ATE ${route} ([\\d.]+)`).exec(row.specificLimits)
  return m ? Number(m[1]) : null
}

/** AT-1 with AT-P: 1/ATE of the mixture as the sum of fraction over estimate. Banded ingredients speak by their band. */
function acuteCodes(parts: readonly Ingredient[]): readonly string[] {
  return ROUTES.flatMap((route) => {
    const inverse = parts.reduce((sum, i) => {
      const category = i.bands.length > 0 ? undefined : route.codes.find(([code]) => i.row.hCodes.includes(code))
      return category ? sum + i.massFraction / (ownEstimate(i.row, route.name) ?? category[1]) : sum
    }, 0)
    const oldLimit = parts.some((i) => {
      const own = ownLimit(i.row, 'Acute Tox. 4')
      return own !== null && i.massFraction >= own && route.codes.some(([code]) => i.row.hCodes.includes(code))
    })
    const found = inverse > 0 ? route.limits.find(([, upTo]) => 1 / inverse <= upTo)?.[0] : undefined
    const mildest = route.limits[2]![0]
    return found !== undefined ? [found] : oldLimit ? [mildest] : []
  })
}

function singleCodes(i: Ingredient): readonly string[] {
  return i.row.hCodes.flatMap((code) => {
    const rule = SINGLE.find((r) => r.code.test(code))
    if (!rule) return []
    const from = ownLimit(i.row, rule.cls) ?? rule.from
    if (i.massFraction >= from) return [code]
    const lower = rule.lower === undefined ? null : (ownLimit(i.row, rule.cls.replace('1', '2')) ?? LOWER_SHARE * from)
    return rule.lower !== undefined && lower !== null && i.massFraction >= lower ? [rule.lower] : []
  })
}

function flammableCodes(i: Ingredient): readonly string[] {
  const own = i.row.hCodes.find((c) => /^H22[456]/.test(c))
  if (own === undefined || i.massFraction < FLAMMABLE_FROM) return []
  return [i.massFraction >= FLAMMABLE_AS_PURE_FROM ? own : 'H226']
}

/** "M(acute)=10; M(chronic)=1", "M=1", "M notified 1000 (acute) / 100 (chronic)" -> the factor; 1 when none is stated. */
function factorM(row: GhsSubstance, kind: 'acute' | 'chronic'): number {
  const m =
    new RegExp(`M\\(${kind}\\)=(\\d+)`).exec(row.mFactor) ??
    new RegExp(`(\\d+) \\(${kind}\\)`).exec(row.mFactor) ??
    /^M=(\d+)$/.exec(row.mFactor)
  return m ? Number(m[1]) : 1
}

/** AQ-1 and AQ-4 to AQ-6; H410 stands for H400 too (LAB-7). */
function waterLifeCodes(parts: readonly Ingredient[]): readonly string[] {
  const sum = (code: RegExp, weigh: (i: Ingredient) => number): number =>
    parts.reduce((s, i) => (has(i, code) ? s + weigh(i) * i.massFraction : s), 0)
  const one = sum(/^H410/, (i) => factorM(i.row, 'chronic'))
  const two = sum(/^H411/, () => 1)
  const three = sum(/^H412/, () => 1)
  // H410 on a label stands for H400 too
  const acute = sum(/^H4[01]0/, (i) => factorM(i.row, 'acute')) >= WATER_LIFE ? ['H400'] : []
  if (one >= WATER_LIFE) return ['H410']
  if (10 * one + two >= WATER_LIFE) return [...acute, 'H411']
  if (100 * one + 10 * two + three >= WATER_LIFE) return [...acute, 'H412']
  return acute
}

/** The bands' own statements, less those that the sums decide. */
const bandCodes = (i: Ingredient): readonly string[] => {
  const band = i.bands.find((b) => i.massFraction >= b.from && i.massFraction < b.to)
  return band ? [...band.hCodes.filter((c) => !/^H31[4589]/.test(c)), ...band.euhCodes] : []
}

/** Statements (H, EUH) of the mixture, in order, each once. Ingredients below every limit add nothing. */
export function mixtureCodes(parts: readonly Ingredient[]): readonly string[] {
  const unbanded = parts.filter((i) => i.bands.length === 0)
  const airways = (code: string): readonly string[] => {
    const shares = sumOfShares(unbanded, (i) => (i.row.hCodes.includes(code) ? (ownLimit(i.row, 'STOT SE 3') ?? AIRWAYS_FROM) : null))
    return shares >= REACHED ? [code] : []
  }
  const codes = new Set([
    ...parts.flatMap(bandCodes),
    ...skinAndEyeCodes(parts),
    ...acuteCodes(parts),
    ...unbanded.flatMap(singleCodes),
    ...unbanded.flatMap(flammableCodes),
    ...airways('H335'),
    ...airways('H336'),
    ...waterLifeCodes(unbanded),
    ...unbanded.flatMap((i) =>
      i.row.euhCodes.filter((c) => /^EUH0(29|31|32)/.test(c) && i.massFraction >= (ownLimit(i.row, c) ?? FREES_GAS_FROM)),
    ),
  ])
  return [...codes].sort()
}
