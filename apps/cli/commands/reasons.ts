/** `reasons`: which steps rule, what runs out, what the show answers to. */
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome } from '@beakertide/basis/problems'
import { reasonsSheet } from '@beakertide/core/papers'
import { type Prepared, type Reasons, reasonsOf, type ReasonsWish } from '@beakertide/demonstration'
import { answerOf } from '../answer.ts'
import { bookFor, dayFacts, openPrepared } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { progressOn } from '../terminal/progress.ts'
import { vesselsWanted } from '../vessels.ts'
import { answerFlags, fileArgument, fromZero, mechanismFlag, oneOf, vesselFlag } from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly vessel?: string
  readonly at?: number
  readonly answersTo: ReasonsWish['answersTo']
}

const choices = ['nothing', 'ingredients', 'everything'] as const

interface Found {
  readonly prepared: Prepared
  readonly reasons: readonly Reasons[]
}

function openReasons(door: Door, path: string, flags: Flags): Outcome<Found> {
  const prepared = openPrepared(door, path, flags.mechanism)
  if (!prepared.ok) return prepared
  const vessels = vesselsWanted(prepared.value, flags.vessel)
  if (!vessels.ok) return vessels
  const progress = progressOn(door.process.stderr, () => door.now())
  const onStep = (n: number, of: number): void => progress.update(n, of, 'amounts, temperature and constants varied: run')
  const reasons = gather(
    vessels.value
      .slice(0, 1)
      .map((vessel) => reasonsOf(prepared.value, { vessel, atS: flags.at, answersTo: flags.answersTo, onStep }, dayFacts())),
  )
  progress.finish()
  return reasons.ok ? done({ prepared: prepared.value, reasons: reasons.value }, [...prepared.warnings, ...reasons.warnings]) : reasons
}

export const reasonsCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'Which steps rule and when, what runs out first, what the show answers to' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      vessel: { ...vesselFlag.vessel, brief: 'This vessel (default: the first)' },
      at: {
        kind: 'parsed',
        parse: fromZero,
        brief: 'Rank the steps at this time, seconds (default: a quarter of the rehearsed time)',
        optional: true,
        placeholder: 's',
      },
      answersTo: {
        kind: 'parsed',
        parse: oneOf(choices),
        brief: 'Vary nothing, ingredients and temperature, or everything (every constant too)',
        default: 'ingredients',
        placeholder: 'what',
      },
    },
    positional: fileArgument,
  },
  func(flags, path) {
    answerOf(this, flags, 'reasons', path, openReasons(this, path, flags), (f, warnings) => {
      const { title } = f.prepared.demonstration
      const [first] = f.reasons
      return {
        command: 'reasons',
        file: path,
        cautions: f.prepared.cautions,
        warnings,
        book: bookFor(f.prepared.mechanism),
        papers: [
          reasonsSheet(
            title,
            f.reasons.map((r) => ({ ...r, mechanism: f.prepared.mechanism })),
            f.prepared.cautions,
            bookFor(f.prepared.mechanism),
          ),
        ],
        result: { title, ...first },
      }
    })
  },
})
