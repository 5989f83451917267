/** `mistakes`: which single mistake explains what was seen. */
import { buildCommand } from '@stricli/core'
import { done, type Outcome } from '@beakertide/basis/problems'
import { mistakesSheet } from '@beakertide/core/papers'
import type { Observation } from '@beakertide/core/rehearsal'
import { type CheckedMistakes, mistakesOver } from '@beakertide/demonstration'
import { answerOf, EXIT } from '../answer.ts'
import { atWork } from '../at-work.ts'
import { bookFor } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { progressOn } from '../terminal/progress.ts'
import { type OpenVessel, openVessel, seconds, textFlag } from './carpet-flags.ts'
import { answerFlags, fileArgument, mechanismFlag, threadsFlag, vesselFlag, wholeNumber } from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly vessel?: string
  readonly firstChange?: number
  readonly period?: number
  readonly cycles?: number
  readonly lasts?: number
  readonly endColour?: string
  readonly nothingFor?: number
  readonly threads?: number
}

const seenOf = (f: Flags): Observation => ({
  ...(f.firstChange === undefined ? {} : { firstTurnS: f.firstChange }),
  ...(f.period === undefined ? {} : { periodS: f.period }),
  ...(f.cycles === undefined ? {} : { cycles: f.cycles }),
  ...(f.lasts === undefined ? {} : { lengthS: f.lasts }),
  ...(f.endColour === undefined ? {} : { endColour: f.endColour }),
  ...(f.nothingFor === undefined ? {} : { nothingUntilS: f.nothingFor }),
})

async function openMistakes(door: Door, path: string, flags: Flags): Promise<Outcome<OpenVessel & { readonly found: CheckedMistakes }>> {
  const open = openVessel(door, path, flags)
  if (!open.ok) return open
  const progress = progressOn(door.process.stderr, () => door.now())
  const found = await atWork(door, open.value, flags, (day) =>
    mistakesOver(day, {
      vessel: open.value.vessel,
      seen: seenOf(flags),
      onMistake: (n, of) => progress.update(n, of, 'mistakes rehearsed'),
    }),
  )
  progress.finish()
  return found.ok ? done({ ...open.value, found: found.value }, open.warnings) : found
}

const timeFlag = (brief: string) => ({ kind: 'parsed', parse: seconds, brief, optional: true, placeholder: 'time' }) as const

export const mistakesCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'It did not go as rehearsed: which single mistake explains what was seen, and which test tells' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      firstChange: timeFlag('Seen: first change after the pour, "114 s"'),
      period: timeFlag('Seen: period'),
      cycles: { kind: 'parsed', parse: wholeNumber, brief: 'Seen: cycles', optional: true, placeholder: 'n' },
      lasts: timeFlag('Seen: last change after the pour'),
      endColour: textFlag('Seen: colour at the end, in a word', 'word'),
      nothingFor: timeFlag('Seen: no change at all for this long'),
      ...threadsFlag,
    },
    positional: fileArgument,
  },
  async func(flags, path) {
    answerOf(this, flags, 'mistakes', path, await openMistakes(this, path, flags), ({ prepared, vessel, found }, warnings) => {
      const { title } = prepared.demonstration
      const book = bookFor(prepared.mechanism)
      return {
        command: 'mistakes',
        file: path,
        cautions: prepared.cautions,
        warnings,
        book,
        papers: [mistakesSheet(title, found, prepared.cautions, book)],
        result: { title, vessel, seen: seenOf(flags), found },
        exit: found.stopped ? EXIT.problems : EXIT.done,
      }
    })
  },
})
