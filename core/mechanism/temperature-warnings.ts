/** What a mechanism cannot say about another temperature. */
import type { Problem } from '@beakertide/basis/problems'
import { formatQuantity } from '@beakertide/basis/units'
import type { Mechanism } from './mechanism.ts'

/** Constants hardly move within this distance of their temperature (a factor 1.3 at 60 kJ/mol), K. */
const CLOSE_ENOUGH_K = 2

/**
 * Warnings for a run between two temperatures (K): outside the span of the mechanism, and constants without an
 * activation energy away from the temperature they were found at. None when all is well.
 */
export function temperatureWarnings(mechanism: Mechanism, lowestK: number, highestK: number): readonly Problem[] {
  const warnings: Problem[] = []
  const [from, to] = mechanism.validK
  const at = (kelvin: number): string => formatQuantity(kelvin, 'temperature')
  if (lowestK < from || highestK > to) {
    const met = lowestK === highestK ? at(lowestK) : `${at(lowestK)} to ${at(highestK)}`
    warnings.push({
      code: 'mechanism/temperature-outside',
      where: `mechanism ${mechanism.name}`,
      what: `it is run at ${met}; it holds from ${at(from)} to ${at(to)}`,
      todo: 'read the times as indications, or bring the solutions to a temperature within the span',
    })
  }
  const far = Math.max(Math.abs(lowestK - mechanism.referenceK), Math.abs(highestK - mechanism.referenceK)) > CLOSE_ENOUGH_K
  const rateConstants = mechanism.steps.flatMap((s) =>
    s.constants.filter((c) => c.unit.includes('s^-1')).map((c) => ({ name: `${s.id}.${c.name}`, ea: c.activationKJPerMol })),
  )
  const without = rateConstants.filter((c) => c.ea === null)
  if (far && without.length > 0) {
    const named = without.length > 6 ? '' : ` (${without.map((c) => c.name).join(', ')})`
    warnings.push({
      code: 'mechanism/temperature-unknown',
      where: `mechanism ${mechanism.name}`,
      what: `${without.length} of its ${rateConstants.length} rate constants carry no activation energy${named}: they stay at their values for ${at(mechanism.referenceK)}`,
      todo: 'as a rule of thumb of the trade times change by a factor 2 to 3 for 10 K; calibrate on a trial at the temperature of the show',
    })
  }
  return warnings
}
