/** Heat of the clearing reactions, temperature rise, staging, and what a closed bottle would do. */
import { GAS_CONSTANT } from '@beakertide/basis/units'
import type { Source, Sourced } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'
import { WATER_HEAT_CAPACITY_J_PER_GK } from '../cautions/index.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import { type Equation, speciesOf, stoichiometricNumber } from './half-reactions.ts'

/** Looks up a formation enthalpy, kJ/mol; null when it is not known. The matter room's function fits. */
export type EnthalpyOf = (species: SpeciesId) => Sourced | null

/**
 * Heat an electron when an enthalpy is missing, kJ: the largest of all equations in cleanup_reactions.csv
 * (persulfate with bisulfite, 471.1 kJ for two electrons) rounded up. Our choice, on the safe side.
 */
export const CAUTIOUS_KJ_PER_ELECTRON = -240

/** Density of water at 20 degC, g/L, to the three figures that a heat needs. */
export const WATER_G_PER_L = 998

export interface ReactionHeat {
  /** As written, negative when heat comes out; null when an enthalpy is missing. */
  readonly kJ: number | null
  readonly sources: readonly Source[]
}

/** Enthalpy of an equation from formation enthalpies: the given ones when they know every species, else the table's. */
export function reactionHeat(equation: Equation, facts: ClearingFacts, enthalpyOf: EnthalpyOf | null): ReactionHeat {
  for (const look of [enthalpyOf, (s: SpeciesId) => facts.formation[s] ?? null]) {
    if (!look) continue
    const found = speciesOf(equation).map((s) => [s, look(s)] as const)
    if (found.some(([, e]) => e === null)) continue
    return {
      kJ: found.reduce((sum, [s, e]) => sum + stoichiometricNumber(equation, s) * (e?.value ?? 0), 0),
      sources: found.flatMap(([, e]) => (e ? [{ source: e.source, seen: e.seen }] : [])),
    }
  }
  return { kJ: null, sources: [] }
}

/** Adiabatic rise, K, of liquid with that heat capacity (kJ/K). An upper bound: nothing is lost. 0 for no liquid. */
export function adiabaticRise(heatKJ: number, capacityKJPerK: number): number {
  return capacityKJPerK > 0 ? heatKJ / capacityKJPerK : 0
}

/** Heat capacity of water added, kJ/K. */
export function waterCapacity(volumeL: number): number {
  return (volumeL * WATER_G_PER_L * WATER_HEAT_CAPACITY_J_PER_GK) / 1000
}

/**
 * Portions, each followed by cooling back, that keep the liquid under the limit: rise / (limit - start), rounded up, at least 1.
 * Infinity when the start is at the limit or over it: cool first.
 */
export function portionsUnder(limitK: number, startK: number, riseK: number): number {
  if (riseK <= 0) return 1
  if (limitK <= startK) return Number.POSITIVE_INFINITY
  return Math.max(1, Math.ceil(riseK / (limitK - startK)))
}

/** Head space of a bottle filled with 1 L in 1.25 L, the case of worked example W16. */
export const HEADSPACE_A_LITRE = 0.25

/** Pressure over atmospheric, bar, when that much oxygen collects over the liquid in a closed bottle (ideal gas, none dissolved). */
export function closedBottleBar(oxygenMol: number, headspaceL: number, temperatureK: number): number {
  return headspaceL > 0 ? (oxygenMol * GAS_CONSTANT * temperatureK) / (headspaceL / 1000) / 1e5 : Number.POSITIVE_INFINITY
}
