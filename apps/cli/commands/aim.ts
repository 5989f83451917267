/** `aim`: a wanted time, period, length or colour by changing amounts. */
import { buildCommand } from '@stricli/core'
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { aimSheet } from '@beakertide/core/papers'
import { type AimBy, aimOver, type AimResult, type AimWish } from '@beakertide/demonstration'
import { answerOf, EXIT } from '../answer.ts'
import { atWork } from '../at-work.ts'
import { bookFor } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { progressOn } from '../terminal/progress.ts'
import { countRange, type OpenVessel, openVessel, textFlag, timeRange } from './carpet-flags.ts'
import { answerFlags, anyText, fileArgument, mechanismFlag, threadsFlag, vesselFlag, wholeNumber } from './flags.ts'

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
  readonly endColour?: string
  readonly by: readonly string[]
  readonly from?: readonly string[]
  readonly to?: readonly string[]
  readonly band: number
  readonly seed: number
  readonly threads?: number
}

function wishOf(flags: Flags): Outcome<Pick<AimWish, 'feature' | 'wanted' | 'colour'>> {
  const wishes = [
    ['first-turn', flags.firstChange],
    ['period', flags.period],
    ['length', flags.lasts],
    ['cycles', flags.cycles],
    ['end-colour', flags.endColour === undefined ? undefined : COLOUR_WANTED],
  ] as const
  const given = wishes.flatMap(([feature, wanted]) => (wanted === undefined ? [] : [{ feature, wanted }]))
  if (given.length === 1) return done({ ...given[0]!, colour: flags.endColour })
  return refuse({
    code: 'desk/one-aim',
    where: 'aim',
    what: `${given.length} things are aimed at; one at a time can be`,
    todo: 'give one of --first-change, --period, --lasts, --cycles, --end-colour, as in --first-change "70 s"',
  })
}

/** A colour that is there is counted as 1. */
const COLOUR_WANTED: Range = [1, 1]

/** Bounds stand in the order of the amounts; "-" is for one that keeps its usual bound. */
function amountsOf(flags: Flags): Outcome<readonly AimBy[]> {
  const { by, from = [], to = [] } = flags
  if (from.length <= by.length && to.length <= by.length) {
    const bound = (text: string | undefined): string | undefined => (text === '-' ? undefined : text)
    return done(by.map((name, i) => ({ by: name, from: bound(from[i]), to: bound(to[i]) })))
  }
  return refuse({
    code: 'desk/bound-without-amount',
    where: 'aim',
    what: `${by.length} amounts may change, and there are ${Math.max(from.length, to.length)} bounds`,
    todo: 'give one --from and one --to for each --by, in the same order; "-" leaves the usual one',
  })
}

async function openAim(door: Door, path: string, flags: Flags): Promise<Outcome<OpenVessel & { readonly aim: AimResult }>> {
  const wish = wishOf(flags)
  if (!wish.ok) return wish
  const amounts = amountsOf(flags)
  if (!amounts.ok) return amounts
  const open = openVessel(door, path, flags)
  if (!open.ok) return open
  const progress = progressOn(door.process.stderr, () => door.now())
  const { band, seed } = flags
  const onRun = (n: number): void => progress.alive(`aiming: rehearsal ${n}`)
  const [first, ...also] = amounts.value as readonly [AimBy, ...AimBy[]]
  const aim = await atWork(door, open.value, flags, (day) =>
    aimOver(day, { vessel: open.value.vessel, ...wish.value, ...first, also, band, seed, onRun }),
  )
  progress.finish()
  return aim.ok ? done({ ...open.value, aim: aim.value }, open.warnings) : aim
}

const rangeFlag = (brief: string, parse: (text: string) => Range, placeholder: string) =>
  ({ kind: 'parsed', parse, brief, optional: true, placeholder }) as const

const boundFlag = (brief: string) =>
  ({ kind: 'parsed', parse: anyText, brief, optional: true, variadic: true, placeholder: 'value' }) as const

export const aimCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'A wanted time, period, length or colour by changing amounts: what to weigh instead, or what prevents it' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      firstChange: rangeFlag('Wanted first change after the pour: "70 s", "1 to 2 min"', timeRange, 'time'),
      period: rangeFlag('Wanted period', timeRange, 'time'),
      lasts: rangeFlag('Wanted time of the last change', timeRange, 'time'),
      cycles: rangeFlag('Wanted cycles: "12", "10 to 15"', countRange, 'n'),
      endColour: textFlag('Wanted colour at the end, in a word: colourless, blue', 'word'),
      by: {
        kind: 'parsed',
        parse: anyText,
        brief: 'What may change: a bottle, "solution/bottle", or temperature; several times for the least change of all',
        variadic: true,
        placeholder: 'name',
      },
      from: boundFlag('Lowest value allowed (as of vary; default: a fifth, or 10 degrees less), one a --by'),
      to: boundFlag('Highest value allowed (default: five times, or 10 degrees more), one a --by'),
      band: {
        kind: 'parsed',
        parse: wholeNumber,
        brief: 'Varied runs for the band of the answer; 0 for none',
        default: '12',
        placeholder: 'n',
      },
      seed: { kind: 'parsed', parse: wholeNumber, brief: 'Seed of the band', default: '1', placeholder: 'n' },
      ...threadsFlag,
    },
    positional: fileArgument,
  },
  async func(flags, path) {
    answerOf(this, flags, 'aim', path, await openAim(this, path, flags), ({ prepared, aim }, warnings) => {
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
