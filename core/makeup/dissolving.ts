/** Does it dissolve, here and in the store? Limits from the tables, with the source, and the common-ion effect where it can be computed. */
import type { Problem } from '@beakertide/basis/problems'
import { formatNumber } from '@beakertide/basis/units'
import {
  debyeHueckelA,
  dissolvesWithin,
  type MatterFacts,
  solubilityAt,
  type SpeciesId,
  standsSolid,
  type Substance,
} from '../matter/index.ts'
import type { Composition, Part } from './composition.ts'
import type { Solubility } from './make-up-result.ts'
import { isIodine } from './nature.ts'

/** From this share of the limit on a solution is called near it: assumed (tables of hydrated salts differ by a few per cent, rooms by a few degrees). */
export const NEAR_LIMIT_SHARE = 0.8
/** Ionic strength up to which the Davies equation is used, mol/kg (as in core/mixture). */
const DAVIES_LIMIT = 0.5

/** lg of the activity coefficient of a charge, Davies 1962: -A z^2 (sqrt I / (1 + sqrt I) - 0.3 I). */
const lgGamma = (charge: number, ionicStrength: number, slope: number): number => {
  const root = Math.sqrt(ionicStrength)
  return -slope * charge * charge * (root / (1 + root) - 0.3 * ionicStrength)
}

/** A salt of two kinds of ions. */
export interface Salt {
  readonly species: readonly [SpeciesId, SpeciesId]
  readonly counts: readonly [number, number]
  readonly charges: readonly [number, number]
}

const chargeOf = (species: SpeciesId, matter: MatterFacts): number => matter.species[species]?.charge ?? 0

/** The two ions of a simple salt; null for anything else. */
function saltOf(substance: Substance, matter: MatterFacts): Salt | null {
  const ions = substance.entersWater.filter((e) => e.species !== 'H2O')
  const [a, b] = ions
  if (!a || !b || ions.length !== 2) return null
  const charges = [chargeOf(a.species, matter), chargeOf(b.species, matter)] as const
  if (charges[0] * charges[1] >= 0 || a.count * charges[0] + b.count * charges[1] !== 0) return null
  return { species: [a.species, b.species], counts: [a.count, b.count], charges }
}

/**
 * Molality at which a simple salt stops dissolving when others bring its ions, mol/kg: its solubility product on activities
 * (Davies) from the limit in pure water, `others` in mol/kg, `strangers` the ionic strength of all other ions, `slope` the
 * Debye-Hueckel A of the temperature.
 * Null when either liquid is beyond the Davies limit of 0.5 mol/kg: then no number is honest.
 */
export function commonIonLimit(
  salt: Salt,
  inWater: number,
  others: readonly [number, number],
  strangers: number,
  slope: number,
): number | null {
  const [nuA, nuB] = salt.counts
  const [zA, zB] = salt.charges
  const strength = (s: number): number => 0.5 * ((nuA * s + others[0]) * zA * zA + (nuB * s + others[1]) * zB * zB) + strangers
  const lgProduct = (s: number, b: readonly [number, number], ionic: number): number =>
    nuA * (Math.log10(nuA * s + b[0]) + lgGamma(zA, ionic, slope)) + nuB * (Math.log10(nuB * s + b[1]) + lgGamma(zB, ionic, slope))
  const pure = 0.5 * inWater * (nuA * zA * zA + nuB * zB * zB)
  if (pure > DAVIES_LIMIT || strength(0) > DAVIES_LIMIT) return null
  const product = lgProduct(inWater, [0, 0], pure)
  let low = 0
  let high = 2 * inWater
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2
    if (lgProduct(middle, others, strength(middle)) < product) low = middle
    else high = middle
  }
  return strength(low) > DAVIES_LIMIT ? null : low
}

/** Limit with common ions, g anhydrous in 100 g of water; null when no ion is shared or it cannot be computed. */
function withCommonIons(part: Part, flask: Composition, holds: number, celsius: number, matter: MatterFacts): number | null {
  const { content, amountMol } = part
  const salt = saltOf(content.substance, matter)
  if (!salt) return null
  const water = flask.solventWaterG / 1000
  const beside = (species: SpeciesId, own: number): number => Math.max(0, ((flask.amountsMol[species] ?? 0) - own * amountMol) / water)
  const others = [beside(salt.species[0], salt.counts[0]), beside(salt.species[1], salt.counts[1])] as const
  if (others[0] + others[1] <= 1e-9) return null
  const strangers = Object.entries(flask.amountsMol)
    .filter(([s]) => !salt.species.includes(s))
    .reduce((sum, [s, n]) => sum + (0.5 * chargeOf(s, matter) ** 2 * n) / water, 0)
  const inWater = (holds * 10) / content.anhydrousMolarMass
  const limit = commonIonLimit(salt, inWater, others, strangers, debyeHueckelA(celsius, matter))
  return limit === null ? null : (limit * content.anhydrousMolarMass) / 10
}

/** Triiodide constant K = b(I3-) / (b(I2) b(I-)), kg/mol at 25 degC: Palmer, Ramette & Mesmer 1984, 698 +/- 10 (abstract read; row of data/tables/equilibria). */
const TRIIODIDE_CONSTANT = 698

/** Limit of iodine beside iodide, g in 100 g of water: what water holds, and with it at saturation K s b / (1 + K s) as triiodide. */
export function iodineBesideIodide(holds: number, iodideMolPerKg: number, molarMass: number): number {
  const free = (holds * 10) / molarMass
  const bound = (TRIIODIDE_CONSTANT * free * iodideMolPerKg) / (1 + TRIIODIDE_CONSTANT * free)
  return ((free + bound) * molarMass) / 10
}

/** What the water holds of this part, raised by triiodide, in g anhydrous a 100 g. */
function waterHolds(part: Part, flask: Composition, inWater: number): number {
  const iodide = flask.amountsMol['I-'] ?? 0
  if (!isIodine(part.content) || iodide <= 0) return inWater
  return iodineBesideIodide(inWater, (1000 * iodide) / flask.solventWaterG, part.content.anhydrousMolarMass)
}

/** One line a dissolved solid at `celsius`; liquids that mix in all proportions have none. */
export function solubilities(
  solution: string,
  parts: readonly Part[],
  flask: Composition,
  celsius: number,
  matter: MatterFacts,
): readonly Solubility[] {
  // Solids dissolve to a limit; liquids and gases sold as solutions mix as they come.
  const solids = parts.filter((p) => standsSolid(p.content.substance) && p.amountMol > 0)
  const byFormula = new Map<string, Part>()
  for (const p of solids) {
    const before = byFormula.get(p.content.anhydrous)
    byFormula.set(p.content.anhydrous, before ? { ...p, amountMol: p.amountMol + before.amountMol } : p)
  }
  return [...byFormula.values()].map((part) => {
    const { content, amountMol } = part
    const needs = (100 * amountMol * content.anhydrousMolarMass) / flask.solventWaterG
    const limit = solubilityAt(content.anhydrous, celsius, matter)
    const inWater = limit ? waterHolds(part, flask, limit.gPer100gWater) : null
    const shared = limit ? withCommonIons(part, flask, limit.gPer100gWater, celsius, matter) : null
    const holds = Math.min(inWater ?? Number.POSITIVE_INFINITY, shared ?? Number.POSITIVE_INFINITY)
    const verdict = !limit ? 'unknown' : needs > holds ? 'too-much' : needs > NEAR_LIMIT_SHARE * holds ? 'near-limit' : 'dissolves'
    return {
      solution,
      substanceId: content.substance.id,
      needsGPer100gWater: needs,
      holdsGPer100gWater: inWater,
      ...(shared === null ? {} : { commonIonGPer100gWater: shared }),
      atCelsius: celsius,
      // salts that dissolve worse in the heat have a span below, which warming does not reach
      dissolvesAboveCelsius:
        verdict === 'too-much'
          ? (dissolvesWithin(content.anhydrous, needs, matter)?.find((w) => w.fromCelsius > celsius)?.fromCelsius ?? null)
          : null,
      verdict,
      source: limit?.source ?? null,
    } satisfies Solubility
  })
}

/** Warnings that follow from the lines; `kept` says that the line is for the store, not for the making. */
export function solubilityRemarks(line: Solubility, where: Pick<Problem, 'where' | 'span'>, kept: boolean): readonly Problem[] {
  const g = (x: number): string => `${formatNumber(x, 3)} g`
  const place = kept ? 'in the store' : 'when it is made'
  const shared = line.commonIonGPer100gWater
  const holds = line.holdsGPer100gWater ?? 0
  const limit =
    shared === undefined
      ? `water holds ${g(holds)}`
      : `water holds ${g(holds)}, beside its common ion about ${g(shared)} (solubility product with Davies, estimate)`
  const numbers = `${line.substanceId}: ${g(line.needsGPer100gWater)} in 100 g of water are wanted, ${limit} at ${formatNumber(line.atCelsius, 3)} degC (${place})`
  if (line.verdict === 'too-much') {
    const warm = line.dissolvesAboveCelsius
    return [
      {
        code: kept ? 'makeup/crystallises-in-store' : 'makeup/does-not-dissolve',
        ...where,
        what: `${numbers}${warm === null ? '' : `; dissolves only above ${formatNumber(warm, 2)} degC`}`,
        todo: kept
          ? 'store it warmer, or warm it and look for crystals before use'
          : `make it weaker: at most ${g(0.95 * Math.min(holds, shared ?? holds))} in 100 g of water${warm === null ? '' : `, or keep it above ${formatNumber(warm, 2)} degC until it is used`}`,
      },
    ]
  }
  if (line.verdict === 'near-limit') {
    return [
      {
        code: 'makeup/near-solubility-limit',
        ...where,
        what: `${numbers}: near the limit`,
        todo: 'give it time, warm it gently, look for crystals before use',
      },
    ]
  }
  return []
}
