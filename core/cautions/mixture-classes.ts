/**
 * Classes that a liquid earns by what is in it: the ingredient rules of the GHS for mixtures. Every limit comes from
 * data/hazards/ghs_rules.csv by its rule_id, and every class says its rule and its numbers. Sums for skin, eye and water
 * life, acute toxicity by the additive estimate, single limits for the rest; a specific limit of a substance goes before the
 * generic one (GEN-3). Oxidising is never summed (OX-1, OX-2): it comes from strength bands only.
 */
import { formatNumber } from '@beakertide/basis/units'
import { ACUTE_ROUTES, acuteClass } from './acute-toxicity.ts'
import { type HazardClass, limitOf, type MixtureRules, rule } from './ghs-rules.ts'
import type { GhsBand, GhsSubstance } from './hazard-facts.ts'

/** An ingredient at its strength; `bands` are those of the substance in rising order, when it has any. */
export interface Ingredient {
  readonly row: GhsSubstance
  readonly massFraction: number
  readonly bands: readonly GhsBand[]
}

type Limit = number | null
type LimitOf = (i: Ingredient) => Limit

/** Single limits by statement; `lower`: statement, rule and class that it turns into below the limit. */
const SINGLE: readonly {
  readonly code: RegExp
  readonly rule: string
  readonly cls: string
  readonly lower?: { readonly code: string; readonly rule: string; readonly cls: string }
}[] = [
  { code: /^H334/, rule: 'SENS-1', cls: 'Resp. Sens.' },
  { code: /^H317/, rule: 'SENS-3', cls: 'Skin Sens.' },
  { code: /^H340/, rule: 'MUTA-1', cls: 'Muta.' },
  { code: /^H350/, rule: 'CARC-1', cls: 'Carc.' },
  { code: /^H341/, rule: 'MUTA-2', cls: 'Muta. 2' },
  { code: /^H351/, rule: 'CARC-2', cls: 'Carc. 2' },
  { code: /^H360/, rule: 'REPR-1', cls: 'Repr.' },
  { code: /^H361/, rule: 'REPR-2', cls: 'Repr. 2' },
  { code: /^H362/, rule: 'REPR-3', cls: 'Lact.' },
  { code: /^H370/, rule: 'STOT-1', cls: 'STOT SE 1', lower: { code: 'H371', rule: 'STOT-2', cls: 'STOT SE 2' } },
  { code: /^H372/, rule: 'STOT-1', cls: 'STOT RE 1', lower: { code: 'H373', rule: 'STOT-2', cls: 'STOT RE 2' } },
  { code: /^H371/, rule: 'STOT-3', cls: 'STOT SE 2' },
  { code: /^H373/, rule: 'STOT-3', cls: 'STOT RE 2' },
]
/** Sensitisers of category 1A have a tenth of the limit (SENS-2, SENS-4). */
const STRONG_SENSITISER: Readonly<Record<string, string>> = { 'SENS-1': 'SENS-2', 'SENS-3': 'SENS-4' }

/** A solution of a flammable liquid: no flame from this mass fraction on, the pure liquid's statement from that (FL-1: ethanol 10 % v/v flashes at 49 degC, 70 % at 21 degC; memory). */
const FLAMMABLE_FROM = 0.05
const FLAMMABLE_AS_PURE_FROM = 0.6
/** Gas-freeing statements (EUH029, 031, 032) are kept from this mass fraction on, where no limit of its own is stated (our choice, on the safe side of 5 %). */
const FREES_GAS_FROM = 0.01
/** A sum of shares that is 1 but for rounding counts as reached. */
const REACHED = 1 - 1e-9

const percent = (x: number): string => `${formatNumber(100 * x, 3)} %`

/** What has been read from the texts of a row, by what was asked for. Rows never change, so remembering is invisible. */
const readings = new WeakMap<GhsSubstance, Map<string, number | null>>()
function readOnce(row: GhsSubstance, what: string, read: () => number | null): number | null {
  let kept = readings.get(row)
  if (kept === undefined) readings.set(row, (kept = new Map()))
  let found = kept.get(what)
  if (found === undefined) kept.set(what, (found = read()))
  return found
}

/** "Skin Corr. 1B 2<=C<5%" -> 0.02 for "Skin Corr."; the lowest where a class has several. */
const ownLimit = (row: GhsSubstance, cls: string): Limit => readOnce(row, `limit ${cls}`, () => readOwnLimit(row, cls))

function readOwnLimit(row: GhsSubstance, cls: string): Limit {
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

const classOf = (statement: string, className: string, ruleId: string, numbers: string, rules: MixtureRules): HazardClass => {
  const applied = rule(ruleId, rules)
  return { statement, className, rule: ruleId, paragraph: applied.paragraph, numbers, seen: applied.source.seen }
}

interface SkinAndEye {
  readonly burns: LimitOf
  readonly irritates: LimitOf
  readonly damages: LimitOf
  readonly eye: LimitOf
}

/** Limits of one ingredient for the four effects on skin and eye: bands, its own limits, then SKIN-1 to SKIN-4 and EYE-1 to EYE-4. */
function skinAndEye(rules: MixtureRules): SkinAndEye {
  const generic = (id: string): number => limitOf(id, rules)
  const corrosive = (i: Ingredient): boolean => has(i, /^H314/)
  return {
    burns: (i) =>
      i.bands.length > 0 ? bandLimit(i.bands, /^H314/) : corrosive(i) ? (ownLimit(i.row, 'Skin Corr.') ?? generic('SKIN-1')) : null,
    irritates: (i) => {
      if (i.bands.length > 0) return bandLimit(i.bands, /^H31[45]/)
      const own = ownLimit(i.row, 'Skin Irrit.')
      if (corrosive(i)) return own ?? generic('SKIN-2')
      return has(i, /^H315/) ? (own ?? generic('SKIN-3')) : null
    },
    damages: (i) => {
      if (i.bands.length > 0) return bandLimit(i.bands, /^H31[48]/)
      if (corrosive(i)) return generic('EYE-1')
      return has(i, /^H318/) ? (ownLimit(i.row, 'Eye Dam.') ?? generic('EYE-1')) : null
    },
    eye: (i) => {
      if (i.bands.length > 0) return bandLimit(i.bands, /^H31[489]/)
      const own = ownLimit(i.row, 'Eye Irrit.')
      if (corrosive(i)) return own ?? generic('EYE-2')
      if (has(i, /^H318/)) return generic('EYE-2')
      return has(i, /^H319/) ? (own ?? generic('EYE-3')) : null
    },
  }
}

/** SKIN-7: each ingredient as a share of its own limit, summed; and the sum in words, where they are wanted. */
function shares(parts: readonly Ingredient[], limit: LimitOf): { readonly sum: number; readonly words: () => string } {
  const counted = parts.flatMap((i) => {
    const l = limit(i)
    return l === null || i.massFraction <= 0 ? [] : [{ i, l }]
  })
  const sum = counted.reduce((s, { i, l }) => s + (l === 0 ? Number.POSITIVE_INFINITY : i.massFraction / l), 0)
  return {
    sum,
    words: () => {
      const words = counted.map(({ i, l }) => `${i.row.name} ${percent(i.massFraction)} of its limit ${percent(l)}`).join(' + ')
      return counted.length === 1 ? words : `${words} = ${formatNumber(sum, 3)} (1 or more)`
    },
  }
}

/** Which corrosive sub-category reaches its limit: 1A alone, 1A with 1B, else none is told (SKIN-1). */
function corrosiveCategory(parts: readonly Ingredient[], rules: MixtureRules): string {
  const limitFor =
    (categories: readonly string[]): LimitOf =>
    (i) => {
      const own = categories.map((c) => ownLimit(i.row, `Skin Corr. ${c}`)).filter((l) => l !== null)
      if (own.length > 0) return Math.min(...own)
      const isOf = categories.some((c) => i.row.classes.includes(`Skin Corr. ${c}`))
      return isOf && ownLimit(i.row, 'Skin Corr.') === null ? limitOf('SKIN-1', rules) : null
    }
  if (shares(parts, limitFor(['1A'])).sum >= REACHED) return 'Skin Corr. 1A'
  if (shares(parts, limitFor(['1A', '1B'])).sum >= REACHED) return 'Skin Corr. 1B'
  return 'Skin Corr. 1'
}

function skinAndEyeClasses(parts: readonly Ingredient[], rules: MixtureRules): readonly HazardClass[] {
  const limits = skinAndEye(rules)
  const hasOwnLimits = parts.some((i) => i.bands.length > 0 || /Skin|Eye/.test(i.row.specificLimits))
  const found = (limit: LimitOf, statement: string, cls: () => string, generic: string): HazardClass | null => {
    const { sum, words } = shares(parts, limit)
    return sum >= REACHED ? classOf(statement, cls(), hasOwnLimits ? 'SKIN-7' : generic, words(), rules) : null
  }
  const burns = found(limits.burns, 'H314', () => corrosiveCategory(parts, rules), 'SKIN-1')
  // LAB-8: H314 says H318 already
  if (burns) return [burns]
  const skin = found(limits.irritates, 'H315', () => 'Skin Irrit. 2', 'SKIN-4')
  const eye = found(limits.damages, 'H318', () => 'Eye Dam. 1', 'EYE-1') ?? found(limits.eye, 'H319', () => 'Eye Irrit. 2', 'EYE-4')
  return [skin, eye].filter((c) => c !== null)
}

/** mg/kg from "ATE oral 481 mg/kg". */
function ownEstimate(row: GhsSubstance, route: string): number | null {
  return readOnce(row, `estimate ${route}`, () => {
    const m = new RegExp(`ATE ${route} ([\\d.]+)`).exec(row.specificLimits)
    return m ? Number(m[1]) : null
  })
}

/** Category 1 to 4 by a route, from "Acute Tox. 3* oral". */
function acuteCategoryOf(row: GhsSubstance, route: string): number | null {
  return readOnce(row, `category ${route}`, () => {
    const shape = new RegExp(`^Acute Tox\\. ([1-4])\\*? ${route}`)
    const m = row.classes.map((c) => shape.exec(c)).find((found) => found !== null)
    return m ? Number(m[1]) : null
  })
}

/** AT-1, AT-2 with AT-P; banded ingredients speak by their band; an old single limit goes before (GEN-3). */
function acuteClasses(parts: readonly Ingredient[], unknown: number, rules: MixtureRules): readonly HazardClass[] {
  const unbanded = parts.filter((i) => i.bands.length === 0)
  return ACUTE_ROUTES.flatMap((route) => {
    const ingredients = unbanded.map((i) => ({
      name: i.row.name,
      massFraction: i.massFraction,
      category: acuteCategoryOf(i.row, route.route),
      own: ownEstimate(i.row, route.route),
    }))
    const found = acuteClass(route, ingredients, unknown, rules)
    if (found) return [found]
    const old = unbanded.find((i) => {
      const own = ownLimit(i.row, 'Acute Tox. 4')
      return own !== null && i.massFraction >= own && acuteCategoryOf(i.row, route.route) !== null
    })
    if (!old) return []
    const numbers = `${old.row.name} ${percent(old.massFraction)}, its own limit ${percent(ownLimit(old.row, 'Acute Tox. 4') ?? 0)}`
    return [classOf(route.codes[3] ?? '', `Acute Tox. 4 ${route.route}`, 'GEN-3', numbers, rules)]
  })
}

function singleClasses(i: Ingredient, rules: MixtureRules): readonly HazardClass[] {
  return i.row.hCodes.flatMap((code): readonly HazardClass[] => {
    const single = SINGLE.find((r) => r.code.test(code))
    if (!single) return []
    const isStrong = i.row.classes.some((c) => c.startsWith(single.cls) && c.endsWith('1A'))
    const ruleId = isStrong ? (STRONG_SENSITISER[single.rule] ?? single.rule) : single.rule
    const own = ownLimit(i.row, single.cls)
    const from = own ?? limitOf(ruleId, rules)
    const said = (limit: number): string => `${i.row.name} ${percent(i.massFraction)}, limit ${percent(limit)}`
    const cls = i.row.classes.find((c) => c.startsWith(single.cls)) ?? single.cls
    if (i.massFraction >= from) return [classOf(code, cls, own === null ? ruleId : 'GEN-3', said(from), rules)]
    const { lower } = single
    if (lower) {
      const ownLower = ownLimit(i.row, lower.cls)
      const limit = ownLower ?? (own === null ? limitOf(lower.rule, rules) : own / 10)
      if (i.massFraction >= limit) return [classOf(lower.code, lower.cls, ownLower === null ? lower.rule : 'GEN-3', said(limit), rules)]
    }
    const noteFrom = from * limitOf('SENS-5', rules)
    if (/^H3(34|17)/.test(code) && i.massFraction >= noteFrom) {
      return [classOf('EUH208', `names ${i.row.name}`, 'SENS-5', said(noteFrom), rules)]
    }
    return []
  })
}

function flammableClasses(i: Ingredient, rules: MixtureRules): readonly HazardClass[] {
  const own = i.row.hCodes.find((c) => /^H22[456]/.test(c))
  if (own === undefined || i.massFraction < FLAMMABLE_FROM) return []
  const isAsPure = i.massFraction >= FLAMMABLE_AS_PURE_FROM
  const cls = i.row.classes.find((c) => c.startsWith('Flam. Liq.')) ?? 'Flam. Liq.'
  const numbers = `${i.row.name} ${percent(i.massFraction)}: ${isAsPure ? 'as the pure liquid' : 'flash point taken as 23 to 60 degC'}`
  return [classOf(isAsPure ? own : 'H226', isAsPure ? cls : 'Flam. Liq. 3', 'FL-1', numbers, rules)]
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
function waterLifeClasses(parts: readonly Ingredient[], rules: MixtureRules): readonly HazardClass[] {
  const weighed = (code: RegExp, weigh: (i: Ingredient) => number): { readonly sum: number; readonly words: () => readonly string[] } => {
    const counted = parts.filter((i) => has(i, code) && i.massFraction > 0)
    return {
      sum: counted.reduce((s, i) => s + weigh(i) * i.massFraction, 0),
      words: () => counted.map((i) => `${weigh(i) === 1 ? '' : `M ${weigh(i)} × `}${i.row.name} ${percent(i.massFraction)}`),
    }
  }
  const one = weighed(/^H410/, (i) => factorM(i.row, 'chronic'))
  const two = weighed(/^H411/, () => 1)
  const three = weighed(/^H412/, () => 1)
  // H410 on a label stands for H400 too
  const acutely = weighed(/^H4[01]0/, (i) => factorM(i.row, 'acute'))
  const numbers = (sum: number, words: readonly string[], id: string): string =>
    `${words.join(' + ')} = ${percent(sum)}, limit ${percent(limitOf(id, rules))}`
  const times = (factor: number, words: readonly string[]): readonly string[] => words.map((w) => `${factor} × ${w}`)
  const acute =
    acutely.sum >= limitOf('AQ-1', rules)
      ? [classOf('H400', 'Aquatic Acute 1', 'AQ-1', numbers(acutely.sum, acutely.words(), 'AQ-1'), rules)]
      : []
  if (one.sum >= limitOf('AQ-4', rules)) return [classOf('H410', 'Aquatic Chronic 1', 'AQ-4', numbers(one.sum, one.words(), 'AQ-4'), rules)]
  const second = 10 * one.sum + two.sum
  if (second >= limitOf('AQ-5', rules)) {
    return [
      ...acute,
      classOf('H411', 'Aquatic Chronic 2', 'AQ-5', numbers(second, [...times(10, one.words()), ...two.words()], 'AQ-5'), rules),
    ]
  }
  const third = 100 * one.sum + 10 * two.sum + three.sum
  if (third >= limitOf('AQ-6', rules)) {
    const words = [...times(100, one.words()), ...times(10, two.words()), ...three.words()]
    return [...acute, classOf('H412', 'Aquatic Chronic 3', 'AQ-6', numbers(third, words, 'AQ-6'), rules)]
  }
  return acute
}

/** The bands' own statements, less those that the sums decide. */
function bandClasses(i: Ingredient): readonly HazardClass[] {
  const band = i.bands.find((b) => i.massFraction >= b.from && i.massFraction < b.to)
  if (!band) return []
  const to = Number.isFinite(band.to) ? `${percent(band.from)} to ${percent(band.to)}` : `from ${percent(band.from)}`
  return [...band.hCodes.filter((c) => !/^H31[4589]/.test(c)), ...band.euhCodes].map((statement) => ({
    statement,
    className: band.classes.join('; '),
    rule: statement.startsWith('H27') ? 'OX-3' : 'GEN-3',
    paragraph: 'strength band of the substance',
    numbers: `${i.row.name} ${percent(i.massFraction)}: band ${to}`,
    seen: band.source.seen,
  }))
}

/**
 * Classes of the mixture in the order of their statements, each statement once. `unknown`: fraction of mass that is in no table of
 * hazards. Ingredients below every limit add nothing.
 */
export function mixtureClasses(parts: readonly Ingredient[], rules: MixtureRules, unknown = 0): readonly HazardClass[] {
  const unbanded = parts.filter((i) => i.bands.length === 0)
  const airways = (code: string, effect: string): readonly HazardClass[] => {
    const { sum, words } = shares(unbanded, (i) =>
      i.row.hCodes.includes(code) ? (ownLimit(i.row, 'STOT SE 3') ?? limitOf('STOT-4', rules)) : null,
    )
    return sum >= REACHED ? [classOf(code, `STOT SE 3 (${effect})`, 'STOT-4', words(), rules)] : []
  }
  const all = [
    ...parts.flatMap(bandClasses),
    ...skinAndEyeClasses(parts, rules),
    ...acuteClasses(parts, unknown, rules),
    ...unbanded.flatMap((i) => singleClasses(i, rules)),
    ...unbanded.flatMap((i) => flammableClasses(i, rules)),
    ...airways('H335', 'airways'),
    ...airways('H336', 'drowsiness'),
    ...waterLifeClasses(unbanded, rules),
    ...unbanded.flatMap((i) =>
      i.row.euhCodes.flatMap((c) => {
        const from = ownLimit(i.row, c) ?? FREES_GAS_FROM
        if (!/^EUH0(29|31|32)/.test(c) || i.massFraction < from) return []
        return [classOf(c, 'frees gas', 'WATER-1', `${i.row.name} ${percent(i.massFraction)}, kept from ${percent(from)}`, rules)]
      }),
    ),
  ]
  const once = new Map<string, HazardClass>()
  for (const c of all) if (!once.has(c.statement)) once.set(c.statement, c)
  return [...once.values()].sort((a, b) => (a.statement < b.statement ? -1 : a.statement > b.statement ? 1 : 0))
}

/** Statements (H, EUH) of the mixture, in order, each once. */
export function mixtureCodes(parts: readonly Ingredient[], rules: MixtureRules, unknown = 0): readonly string[] {
  return mixtureClasses(parts, rules, unknown).map((c) => c.statement)
}
