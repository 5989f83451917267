/** `aim`: a wanted time, period or length by changing one amount. */
import { buildCommand } from '@stricli/core'
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { aimSheet } from '@beakertide/core/papers'
import type { AimFeature } from '@beakertide/core/rehearsal'
import { aimOfVessel, type AimResult } from '@beakertide/demonstration'
import { answerOf, EXIT } from '../answer.ts'
import { bookFor, dayFacts } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { progressOn } from '../terminal/progress.ts'
import { countRange, type OpenVessel, openVessel, textFlag, timeRange } from './carpet-flags.ts'
import { answerFlags, anyText, fileArgument, mechanismFlag, vesselFlag, wholeNumber } from './flags.ts'

type Range = readonly [number, number]
interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly vessel?: string
  readonly firstChange?: Range
  readonly period?: Range
  readonly lasts?: Range
  readonly cycles?: Range
  readonly by: string
  readonly from?: string
  readonly to?: string
  readonly band: number
  readonly seed: number
}

function wishOf(flags: Flags): Outcome<{ readonly feature: AimFeature; readonly wanted: Range }> {
  const wishes = [
    ['first-turn', flags.firstChange],
    ['period', flags.period],
    ['length', flags.lasts],
    ['cycles', flags.cycles],
  ] as const
  const given = wishes.flatMap(([feature, wanted]) => (wanted === undefined ? [] : [{ feature, wanted }]))
  if (given.length === 1) return done(given[0]!)
  return refuse({
    code: 'desk/one-aim',
    where: 'aim',
    what: `${given.length} things are aimed at; one at a time can be`,
    todo: 'give one of --first-change, --period, --lasts, --cycles, as in --first-change "70 s"',
  })
}

function openAim(door: Door, path: string, flags: Flags): Outcome<OpenVessel & { readonly aim: AimResult }> {
  const wish = wishOf(flags)
  if (!wish.ok) return wish
  const open = openVessel(door, path, flags)
  if (!open.ok) return open
  const progress = progressOn(door.process.stderr, () => door.now())
  const { by, from, to, band, seed } = flags
  const aim = aimOfVessel(
    open.value.prepared,
    { vessel: open.value.vessel, ...wish.value, by, from, to, band, seed, onRun: (n) => progress.alive(`aiming: rehearsal ${n}`) },
    dayFacts(),
  )
  progress.finish()
  return aim.ok ? done({ ...open.value, aim: aim.value }, open.warnings) : aim
}

const rangeFlag = (brief: string, parse: (text: string) => Range, placeholder: string) =>
  ({ kind: 'parsed', parse, brief, optional: true, placeholder }) as const

export const aimCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'A wanted time, period or length by changing one amount: what to weigh instead, or what prevents it' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      firstChange: rangeFlag('Wanted first change after the pour: "70 s", "1 to 2 min"', timeRange, 'time'),
      period: rangeFlag('Wanted period', timeRange, 'time'),
      lasts: rangeFlag('Wanted time of the last change', timeRange, 'time'),
      cycles: rangeFlag('Wanted cycles: "12", "10 to 15"', countRange, 'n'),
      by: { kind: 'parsed', parse: anyText, brief: 'What may change: a bottle, "solution/bottle", or temperature', placeholder: 'name' },
      from: textFlag('Lowest value allowed (as of vary; default: a fifth, or 10 degrees less)', 'value'),
      to: textFlag('Highest value allowed (default: five times, or 10 degrees more)', 'value'),
      band: {
        kind: 'parsed',
        parse: wholeNumber,
        brief: 'Varied runs for the band of the answer; 0 for none',
        default: '12',
        placeholder: 'n',
      },
      seed: { kind: 'parsed', parse: wholeNumber, brief: 'Seed of the band', default: '1', placeholder: 'n' },
    },
    positional: fileArgument,
  },
  func(flags, path) {
    answerOf(this, flags, 'aim', path, openAim(this, path, flags), ({ prepared, aim }, warnings) => {
      const { title } = prepared.demonstration
      const { cautions, remarks, ...rest } = aim
      const book = bookFor(prepared.mechanism)
      // What is to be weighed is the changed recipe, so its cautions head the answer.
      const heading = cautions ?? prepared.cautions
      return {
        command: 'aim',
        file: path,
        cautions: heading,
        warnings: [...warnings, ...remarks],
        book,
        papers: [aimSheet(title, aim, heading, book)],
        result: { title, aim: rest },
        exit: aim.answer.how === 'found' || aim.answer.how === 'already' ? EXIT.done : EXIT.problems,
      }
    })
  },
})
