/** A rehearsal with the sliders' changes worked in, at display accuracy. */
import { done, type Outcome } from '@beakertide/basis/problems'
import { rehearse, type VariedAmount, withAmount } from '@beakertide/core/rehearsal'
import {
  type DayFacts,
  type Prepared,
  displayRehearsal,
  prepare,
  quickLook,
  requestFor,
  withChangedAmount,
} from '@beakertide/demonstration'
import type { Changes, QuickLook } from '../contract.ts'

/** What is held and could stand in the document. */
function heldAmounts(changes: Changes): readonly (readonly [VariedAmount, number])[] {
  return [
    ...Object.entries(changes.amounts).map(([key, factor]) => [{ of: 'ingredient', name: key, portions: [key] }, factor] as const),
    ...(changes.celsius === null ? [] : [[{ of: 'temperature', name: 'temperature' }, changes.celsius] as const]),
    ...(changes.depthCm === null ? [] : [[{ of: 'depth', name: 'depth' }, changes.depthCm] as const]),
  ]
}

export function lookQuickly(prepared: Prepared, vessel: string, changes: Changes, facts: DayFacts): Outcome<QuickLook> {
  return Object.keys(changes.constants).length === 0
    ? quickLook(prepared, vessel, changes, facts)
    : withConstants(prepared, vessel, changes, facts)
}

/** Constants of the model held too: they stand in no document, so the look is put together here. */
function withConstants(prepared: Prepared, vessel: string, changes: Changes, facts: DayFacts): Outcome<QuickLook> {
  let request = requestFor(prepared, vessel, displayRehearsal)
  const portions = prepared.makeUp.portions
  const change = (amount: VariedAmount, value: number): void => {
    request = withAmount(request, portions, amount, value, facts.matter)
  }
  // Danger first: the changed recipe is made ready as if it stood in the document, and what is refused there is not rehearsed.
  const held = heldAmounts(changes)
  if (held.some(([amount]) => amount.of !== 'depth')) {
    const changed = held.reduce((d, [amount, value]) => withChangedAmount(d, amount, value), prepared.demonstration)
    const made = prepare(changed, prepared.mechanism, facts)
    if (!made.ok) return made
  }
  for (const [amount, value] of held) change(amount, value)
  for (const [name, factor] of Object.entries(changes.constants)) change({ of: 'constant', name }, factor)
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
