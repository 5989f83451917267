/** Equilibrium constants away from 25 degC, and the heats that go with them. */
import { GAS_CONSTANT } from '@beakertide/basis/units'
import { type EquilibriumReaction, REFERENCE_TEMPERATURE_K } from './reactions.ts'

/** Half width, K, of the difference quotient that turns a table of constants into an enthalpy. */
const SLOPE_HALF_WIDTH_K = 5

/** The table's point nearest to 25 degC. */
function reference(reaction: EquilibriumReaction): { readonly temperatureK: number; readonly log10K: number } {
  let best = reaction.points[0]!
  for (const p of reaction.points) {
    if (Math.abs(p.temperatureK - REFERENCE_TEMPERATURE_K) < Math.abs(best.temperatureK - REFERENCE_TEMPERATURE_K)) best = p
  }
  return best
}

/** Straight line in 1/T between neighbours (constant enthalpy there), the end segments prolonged outside. */
function interpolate(reaction: EquilibriumReaction, temperatureK: number): number {
  const { points } = reaction
  if (points.length === 1) return points[0]!.log10K
  let right = 1
  while (right < points.length - 1 && points[right]!.temperatureK < temperatureK) right++
  const a = points[right - 1]!
  const b = points[right]!
  const share = (1 / temperatureK - 1 / a.temperatureK) / (1 / b.temperatureK - 1 / a.temperatureK)
  return a.log10K + share * (b.log10K - a.log10K)
}

/**
 * log10 K of the reaction as written (mol/L, atm) at `temperatureK`. From a table: linear in 1/T between rows (at
 * 5 to 10 K spacing at most 0.002 off) and on along the last segment outside. From an enthalpy: van 't Hoff with
 * constant heat capacity of reaction, log10 K = log10 K0 + [dH (1/T0 - 1/T) + dCp (T0/T - 1 + ln(T/T0))] / (R ln 10).
 * Reactions marked constant keep their value.
 */
export function log10KAt(reaction: EquilibriumReaction, temperatureK: number): number {
  if (reaction.variation === 'table') return interpolate(reaction, temperatureK)
  const { temperatureK: t0, log10K } = reference(reaction)
  if (reaction.variation === 'constant' || reaction.deltaHKJPerMol === null) return log10K
  const enthalpy = 1000 * reaction.deltaHKJPerMol * (1 / t0 - 1 / temperatureK)
  const capacity = reaction.deltaCpJPerMolK * (t0 / temperatureK - 1 + Math.log(temperatureK / t0))
  return log10K + (enthalpy + capacity) / (GAS_CONSTANT * Math.LN10)
}

/** Enthalpy of the reaction as written near 25 degC, kJ/mol; from the slope of its table when none is stated; null when unknown. */
export function enthalpyOf(reaction: EquilibriumReaction): number | null {
  if (reaction.deltaHKJPerMol !== null) return reaction.deltaHKJPerMol
  if (reaction.variation !== 'table' || reaction.points.length < 2) return null
  const low = REFERENCE_TEMPERATURE_K - SLOPE_HALF_WIDTH_K
  const high = REFERENCE_TEMPERATURE_K + SLOPE_HALF_WIDTH_K
  const slope = (interpolate(reaction, high) - interpolate(reaction, low)) / (1 / high - 1 / low)
  return (-slope * GAS_CONSTANT * Math.LN10) / 1000
}

/** True where the constant at this temperature rests on data or on a stated enthalpy; false where it is a plain guess. */
export function isKnownAt(reaction: EquilibriumReaction, temperatureK: number): boolean {
  const near = (t: number, most: number): boolean => Math.abs(temperatureK - t) <= most
  if (reaction.variation === 'constant') return near(reference(reaction).temperatureK, 5)
  if (reaction.variation === 'enthalpy') return near(reference(reaction).temperatureK, 50)
  const first = reaction.points[0]!.temperatureK
  const last = reaction.points[reaction.points.length - 1]!.temperatureK
  return temperatureK >= first - 10 && temperatureK <= last + 10
}
