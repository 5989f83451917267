/** A rehearsal with the sliders' changes worked in, at the accuracy of a band. */
import { done, type Outcome } from '@beakertide/basis/problems'
import { rehearse, type VariedAmount, withAmount } from '@beakertide/core/rehearsal'
import { bandRehearsal, type DayFacts, type Prepared, requestFor } from '@beakertide/demonstration'
import type { Changes, QuickLook } from '../contract.ts'

export function lookQuickly(prepared: Prepared, vessel: string, changes: Changes, facts: DayFacts): Outcome<QuickLook> {
  let request = requestFor(prepared, vessel, bandRehearsal)
  const portions = prepared.makeUp.portions
  const change = (amount: VariedAmount, value: number): void => {
    request = withAmount(request, portions, amount, value, facts.matter)
  }
  for (const [key, factor] of Object.entries(changes.amounts)) change({ of: 'ingredient', name: key, portions: [key] }, factor)
  if (changes.celsius !== null) change({ of: 'temperature', name: 'temperature' }, changes.celsius)
  if (changes.depthCm !== null) change({ of: 'depth', name: 'depth' }, changes.depthCm)
  const run = rehearse(request, facts)
  if (!run.ok) return run
  const { startS, turns, inductionS, periodsS, cycles, endS, stillGoing, cause, strip, traces, temperatureRangeK, gasL, remarks } =
    run.value
  return done({
    vessel,
    startS,
    toS: strip.at(-1)?.timeS ?? startS,
    turns,
    inductionS,
    periodsS,
    cycles,
    endS,
    stillGoing,
    cause,
    strip,
    traces,
    temperatureRangeK,
    gasL,
    problems: remarks,
  })
}
