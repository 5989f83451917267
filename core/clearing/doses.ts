/** Doses of every reductant over all cases, and the acid or alkali that is left to neutralise after the chosen one. */
import { type Room, gasVolumeL } from '../cautions/index.ts'
import { acidToNeutralise, protonsReleased } from './acid.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import type { ClearingPlan, OxidantLeft, Range, ReductantChoice, ReductantId } from './clearing-plan.ts'
import { NEUTRAL_STAGE_PH } from './clearing-steps.ts'
import { type EnthalpyOf, adiabaticRise } from './heat.ts'
import { type Case, NEUTRAL_WITHIN, rangeOf, scaled } from './leftovers.ts'
import { baseNeeded, toMasters, withHalomalonates } from './liquid.ts'
import { type Reductant, type Treatment, oxidantEquivalents, reduce } from './reduction.ts'
import type { TreatWorld } from './treat.ts'

/** An oxidant with less than this share of all equivalents is counted and not listed: radicals, traces (our choice). */
const LISTED_SHARE = 1e-4

export function oxidantsLeft(cases: readonly Case[], facts: ClearingFacts): readonly OxidantLeft[] {
  const listed = listedOxidants(cases, facts)
  return facts.oxidants.flatMap((half): readonly OxidantLeft[] => {
    const amountMol = rangeOf(cases.map((c) => c.amounts[half.species] ?? 0))
    if (amountMol.high <= 0 || !listed.has(half.species)) return []
    const equivalentsMol = scaled(amountMol, half.electrons)
    const note = half.note === '' ? {} : { note: half.note }
    return [{ species: half.species, amountMol, electrons: half.electrons, equivalentsMol, ...note }]
  })
}

function listedOxidants(cases: readonly Case[], facts: ClearingFacts): ReadonlySet<string> {
  const most = Math.max(...cases.map((c) => oxidantEquivalents(c.amounts, facts)))
  const worth = facts.oxidants.filter(
    (half) => Math.max(...cases.map((c) => (c.amounts[half.species] ?? 0) * half.electrons)) >= LISTED_SHARE * most,
  )
  return new Set(worth.map((half) => half.species))
}

export interface Dose {
  readonly reductant: Reductant
  /** Every case on every route. */
  readonly treatments: readonly (Treatment & { readonly of: Case })[]
  readonly choice: Omit<ReductantChoice, 'likelyG'>
}

export function doseOf(
  cases: readonly Case[],
  reductant: Reductant,
  chosen: ReductantId,
  facts: ClearingFacts,
  enthalpyOf: EnthalpyOf | null,
): Dose {
  const treatments = cases.flatMap((of) =>
    reductant.routes.map((route) => ({ ...reduce(of.amounts, reductant, route, facts, enthalpyOf), of })),
  )
  const amountMol = rangeOf(treatments.map((t) => t.needMol))
  const listed = listedOxidants(cases, facts)
  const unknown = [...new Set(treatments.flatMap((t) => t.heatUnknown))].filter((species) => listed.has(species))
  return {
    reductant,
    treatments,
    choice: {
      id: reductant.id,
      name: reductant.name,
      formula: reductant.formula,
      amountMol,
      massG: scaled(amountMol, facts.molarMass[reductant.formula] ?? Number.NaN),
      heatKJ: rangeOf(treatments.map((t) => t.heatKJ)),
      temperatureRiseK: rangeOf(treatments.map((t) => adiabaticRise(t.heatKJ, t.of.capacityKJPerK))),
      acidMadeMol: rangeOf(treatments.map((t) => t.acidMadeMol)),
      equations: [...new Set(treatments.flatMap((t) => t.used.filter((u) => listed.has(u.oxidant.species)).map((u) => u.equation.text)))],
      chosen: reductant.id === chosen,
      note: unknown.length > 0 ? `${reductant.note}; heat of ${unknown.join(', ')} not known, taken high` : reductant.note,
    },
  }
}

/** Acid or alkali so little that the liquid counts as neutral is none. */
function worthNeutralising(amountMol: Range, cases: readonly Case[]): Range {
  return amountMol.high > NEUTRAL_WITHIN * Math.max(...cases.map((c) => c.volumeL)) ? amountMol : { low: 0, high: 0 }
}

/** Acid left to neutralise up to a pH in each case, activities counted; the closed form where a liquid cannot be settled. */
function acidUpTo(
  pH: number,
  dose: Omit<Dose, 'choice'> | null,
  cases: readonly Case[],
  factor: number,
  world: TreatWorld,
): readonly number[] {
  const after = dose ? dose.treatments.map((t) => ({ amounts: t.after, of: t.of })) : cases.map((of) => ({ amounts: of.amounts, of }))
  const equilibria = withHalomalonates(world.equilibria)
  return after.map(
    ({ amounts, of }) =>
      baseNeeded(toMasters(amounts, equilibria), factor * of.volumeL, pH, world.temperatureK, equilibria, world.clearing) ??
      acidToNeutralise(amounts, pH, world.clearing),
  )
}

export function acidOf(dose: Dose | null, cases: readonly Case[], factor: number, world: TreatWorld, room: Room): ClearingPlan['acid'] {
  const { clearing: facts } = world
  const net = acidUpTo(NEUTRAL_STAGE_PH, dose, cases, factor, world)
  const amountMol = worthNeutralising(rangeOf(net.map((n) => Math.max(0, n))), cases)
  return {
    amountMol,
    bicarbonateG: scaled(amountMol, facts.molarMass['NaHCO3'] ?? Number.NaN),
    carbonateG: scaled(amountMol, (facts.molarMass['Na2CO3'] ?? Number.NaN) / 2),
    co2L: scaled(amountMol, gasVolumeL(1, room.temperatureK)),
    toPH: NEUTRAL_STAGE_PH,
    madeMol: dose?.choice.acidMadeMol ?? { low: 0, high: 0 },
  }
}

/** Middle of "pH 6 to 9" to which alkaline leftovers are brought. */
export const ALKALI_TO_PH = 7.5

export function alkaliOf(dose: Dose | null, cases: readonly Case[], factor: number, world: TreatWorld): ClearingPlan['alkali'] {
  const { clearing: facts } = world
  const net = acidUpTo(ALKALI_TO_PH, dose, cases, factor, world)
  const amountMol = worthNeutralising(rangeOf(net.map((n) => Math.max(0, -n))), cases)
  const citric = facts.acids.find((a) => a.species === 'H3Cit')
  const perMol = citric ? protonsReleased(citric, ALKALI_TO_PH) : Number.NaN
  return { amountMol, citricAcidG: scaled(amountMol, (facts.molarMass['C6H8O7'] ?? Number.NaN) / perMol) }
}
