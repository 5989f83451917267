/** `clear`: what is left and how to make it safe. */
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome, refuse } from '@beakertide/basis/problems'
import { celsiusToKelvin, parseQuantity } from '@beakertide/basis/units'
import { type ClearingOptions, type ClearingPlan, REDUCTANTS, type ReductantId } from '@beakertide/core/clearing'
import { clearingSheet } from '@beakertide/core/papers'
import type { Rehearsal } from '@beakertide/core/rehearsal'
import { clearAt, clearVessel, leftoversAlong, parsePlace, type Prepared } from '@beakertide/demonstration'
import { answerOf, withMore } from '../answer.ts'
import { bookFor, dayFacts, openReady } from '../desk.ts'
import { bandsOf } from '../rehearsing.ts'
import type { Door } from '../terminal/door.ts'
import { vesselsWanted } from '../vessels.ts'
import { answerFlags, anyText, bandFlags, fileArgument, mechanismFlag, oneOf, threadsFlag, vesselFlag } from './flags.ts'
import { openRehearsed } from './rehearse.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly vessel?: string
  readonly reductant?: ReductantId
  /** s */
  readonly stoppedAt?: number
  /** Of a chosen stop only. */
  readonly band?: number
  readonly seed?: number
  readonly threads?: number
  /** K */
  readonly hottest?: number
  readonly place?: string
}

const reductantIds = REDUCTANTS.map((r) => r.id)

/** What a plan depends on. */
type Wish = Omit<Flags, 'json' | 'plain'>

interface Cleared {
  readonly prepared: Prepared
  /** None for a chosen stop: only what is left is computed then. */
  readonly rehearsals: readonly Rehearsal[]
  readonly plans: readonly ClearingPlan[]
}

/** A place file holds a page of limits and no more. */
const MOST_BYTES = 100_000

function optionsOf(door: Door, flags: Wish): Outcome<ClearingOptions> {
  const own: ClearingOptions = {
    ...(flags.reductant === undefined ? {} : { reductant: flags.reductant }),
    ...(flags.hottest === undefined ? {} : { temperatureLimitK: flags.hottest }),
  }
  if (flags.place === undefined) return done(own)
  const read = door.readText(flags.place, MOST_BYTES)
  if (!read.ok) {
    return refuse({
      code: 'desk/cannot-read',
      where: flags.place,
      what: read.why,
      todo: 'give the path of a place file (docs/demonstration-format.md)',
    })
  }
  const place = parsePlace(read.text, flags.place)
  return place.ok ? done({ ...own, place: place.value }) : place
}

/** The band is that of a chosen stop: its flags have no default here, so that they are noticed where they would do nothing. */
const { default: usualBand, ...bandFlag } = bandFlags.band
const { default: usualSeed, ...seedFlag } = bandFlags.seed

/** Refused: flags of the band without a stop that it could widen. */
function withoutStop(flags: Wish): Outcome<null> {
  const idle = (['band', 'seed', 'threads'] as const).filter((name) => flags[name] !== undefined).map((name) => `--${name}`)
  if (flags.stoppedAt !== undefined || idle.length === 0) return done(null)
  return refuse({
    code: 'desk/band-without-stop',
    where: 'clear',
    what: `${idle.join(' and ')} would do nothing: a band widens what is left at a chosen stop, and none is chosen`,
    todo: 'give --stopped-at too, as in --stopped-at "90 s", or leave it out',
  })
}

/** Plans for every vessel wanted, over all moments from the complete mixture to the end. */
export function openCleared(door: Door, path: string, flags: Wish): Outcome<Cleared> {
  const options = optionsOf(door, flags)
  if (!options.ok) return options
  const facts = dayFacts()
  const rehearsed = openRehearsed(door, path, flags)
  if (!rehearsed.ok) return rehearsed
  const { prepared } = rehearsed.value
  const plans = gather(rehearsed.value.rehearsals.map((r) => clearVessel(prepared, r, facts, options.value)))
  return plans.ok
    ? done({ prepared, rehearsals: rehearsed.value.rehearsals, plans: plans.value }, [...rehearsed.warnings, ...plans.warnings])
    : plans
}

/** Plans for one chosen stop: with a band the ranges run from the liquid of its slowest run to that of its fastest one. */
async function openStopped(door: Door, path: string, flags: Wish, stopAtS: number): Promise<Outcome<Cleared>> {
  const options = optionsOf(door, flags)
  if (!options.ok) return options
  const ready = openReady(door, path, flags.mechanism)
  if (!ready.ok) return ready
  const { prepared } = ready.value
  const facts = dayFacts()
  const vessels = vesselsWanted(prepared, flags.vessel)
  if (!vessels.ok) return vessels
  const ids = vessels.value
  const { band = Number(usualBand), seed = Number(usualSeed) } = flags
  const bands = band === 0 ? done([]) : await bandsOf(door, ready.value, ids, { ...flags, band, seed })
  if (!bands.ok) return bands
  const plans = gather(
    ids.map((id, i): Outcome<ClearingPlan> => {
      const left = leftoversAlong(prepared, id, facts)
      return left.ok ? clearAt(prepared, left.value, { stopAtS, band: bands.value[i] ?? null, ...options.value }, facts) : left
    }),
  )
  return plans.ok
    ? done({ prepared, rehearsals: [], plans: plans.value }, [...ready.warnings, ...bands.warnings, ...plans.warnings])
    : plans
}

const timeFlag = (text: string): number => {
  const read = parseQuantity(text, ['time'])
  if (!read.ok) throw new SyntaxError(`"${text}" is not a time; write it as in "90 s" or "2 min"`)
  return read.value.value
}

/** Between a cool room and simmering: under it nothing can be reduced, over it nothing is limited. */
const HOTTEST_CELSIUS = [15, 80] as const

const temperatureFlag = (text: string): number => {
  const read = parseQuantity(text, ['temperature'])
  const [low, high] = HOTTEST_CELSIUS.map(celsiusToKelvin)
  if (!read.ok || read.value.value < (low ?? 0) || read.value.value > (high ?? 0)) {
    throw new SyntaxError(`"${text}" is not a temperature from ${HOTTEST_CELSIUS.join(' to ')} degC; write it as in "35 degC"`)
  }
  return read.value.value
}

export const clearCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'What is left and how to make it safe, as a range from stopped early to finished' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      band: { ...bandFlag, brief: `${bandFlag.brief} (default: ${usualBand}); needs --stopped-at`, optional: true },
      seed: { ...seedFlag, brief: `${seedFlag.brief} (default: ${usualSeed}); needs --stopped-at`, optional: true },
      threads: { ...threadsFlag.threads, brief: `${threadsFlag.threads.brief}; needs --stopped-at` },
      reductant: {
        kind: 'parsed',
        parse: oneOf(reductantIds),
        brief: `Reductant to plan with: ${reductantIds.join(', ')}`,
        optional: true,
        placeholder: 'name',
      },
      stoppedAt: {
        kind: 'parsed',
        parse: timeFlag,
        brief: 'Plan for a stop at this time instead of for all that may be left; its band (--band, --seed, --threads) widens the ranges',
        optional: true,
        placeholder: 'time',
      },
      hottest: {
        kind: 'parsed',
        parse: temperatureFlag,
        brief: 'The liquid stays under this while it is reduced (default: 40 degC)',
        optional: true,
        placeholder: 'temperature',
      },
      place: {
        kind: 'parsed',
        parse: anyText,
        brief: 'File with the limits of your place (default: those in the demonstration)',
        optional: true,
        placeholder: 'file',
      },
    },
    positional: fileArgument,
  },
  async func(flags, path) {
    const { stoppedAt } = flags
    const asked = withoutStop(flags)
    const cleared = !asked.ok
      ? asked
      : stoppedAt === undefined
        ? openCleared(this, path, flags)
        : await openStopped(this, path, flags, stoppedAt)
    answerOf(this, flags, 'clear', path, cleared, (c, warnings) => {
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
