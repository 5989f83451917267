/** `clear`: what is left and how to make it safe. */
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome } from '@beakertide/basis/problems'
import { type ClearingPlan, REDUCTANTS, type ReductantId } from '@beakertide/core/clearing'
import { clearingSheet } from '@beakertide/core/papers'
import type { Rehearsal } from '@beakertide/core/rehearsal'
import { clearVessel, type Prepared } from '@beakertide/demonstration'
import { answerOf, withMore } from '../answer.ts'
import { bookFor, dayFacts } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { answerFlags, fileArgument, mechanismFlag, oneOf, vesselFlag } from './flags.ts'
import { openRehearsed } from './rehearse.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly vessel?: string
  readonly reductant?: ReductantId
}

const reductantIds = REDUCTANTS.map((r) => r.id)

interface Cleared {
  readonly prepared: Prepared
  readonly rehearsals: readonly Rehearsal[]
  readonly plans: readonly ClearingPlan[]
}

/** Plans for every vessel wanted, without a band: clearing has its own range. */
export function openCleared(door: Door, path: string, flags: Pick<Flags, 'mechanism' | 'vessel' | 'reductant'>): Outcome<Cleared> {
  const rehearsed = openRehearsed(door, path, { ...flags, band: 0, seed: 0 })
  if (!rehearsed.ok) return rehearsed
  const { prepared } = rehearsed.value
  const facts = dayFacts()
  const plans = gather(
    rehearsed.value.rehearsals.map((r) => clearVessel(prepared, r, facts, flags.reductant ? { reductant: flags.reductant } : {})),
  )
  return plans.ok
    ? done({ prepared, rehearsals: rehearsed.value.rehearsals, plans: plans.value }, [...rehearsed.warnings, ...plans.warnings])
    : plans
}

export const clearCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'What is left and how to make it safe, as a range from stopped early to finished' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      reductant: {
        kind: 'parsed',
        parse: oneOf(reductantIds),
        brief: `Reductant to plan with: ${reductantIds.join(', ')}`,
        optional: true,
        placeholder: 'name',
      },
    },
    positional: fileArgument,
  },
  func(flags, path) {
    answerOf(this, flags, 'clear', path, openCleared(this, path, flags), (c, warnings) => {
      const [first, ...others] = c.plans
      return {
        command: 'clear',
        file: path,
        cautions: withMore(
          c.prepared.cautions,
          c.plans.flatMap((p) => p.cautions),
        ),
        warnings,
        book: bookFor(c.prepared.mechanism),
        papers: [clearingSheet(c.prepared.demonstration.title, c.plans, c.prepared.cautions, bookFor(c.prepared.mechanism))],
        result: { title: c.prepared.demonstration.title, mechanism: c.prepared.mechanism.name, plan: first ?? null, otherVessels: others },
      }
    })
  },
})
