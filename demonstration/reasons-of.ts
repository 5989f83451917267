/** Why a rehearsal goes as it does: ruling steps, what runs out, what it answers to. */
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { formatTime } from '@beakertide/basis/units'
import { limitingReagent, type Mechanism, reasonsAt, type Reign, reignsOf, turnoverOf } from '@beakertide/core/mechanism'
import type { ReasonsToPrint } from '@beakertide/core/papers'
import { sensitivities, type VesselCourse, vesselCourse } from '@beakertide/core/rehearsal'
import { type RatesAlong, ratesOfCourse } from './rates-along.ts'
import { bandRehearsal, type DayFacts, type Prepared, requestFor } from './day.ts'

/** Everything `reasons` says of one vessel. */
export interface Reasons extends Omit<ReasonsToPrint, 'mechanism'> {
  /** Its name in the catalogue. */
  readonly mechanism: string
}

export interface ReasonsWish {
  readonly vessel: string
  /** Default: a quarter of the rehearsed time. */
  readonly atS?: number | undefined
  /** Which sensitivities: none, those to ingredients and temperature, or to every constant too (slow). */
  readonly answersTo: 'nothing' | 'ingredients' | 'everything'
  readonly onStep?: (done: number, of: number) => void
}

const EARLY_SHARE = 0.25
/** Points at which the ruling steps are looked at; finer than any reign that is reported (1 % of the span). */
const RULER_SAMPLES = 400
const METHOD =
  'central differences of whole rehearsals: amounts and constants by 5 % up and down, temperature by 1 K; numbers are powers, d ln(time)/d ln(amount)'

/** The species of the mechanism that colour the liquid, as far as they are followed. */
const colouredIn = (mechanism: Mechanism, network: VesselCourse['network']): readonly string[] =>
  Object.keys(mechanism.absorbers).filter((id) => network.indexOf(id) >= 0)

/** Net rates of the steps at a sample. */
const netAt = (along: Omit<RatesAlong, 'vessel'>, k: number): Float32Array =>
  along.netMolPerLS.subarray(k * along.steps.length, (k + 1) * along.steps.length)

/** Which step rules the making and the using of each coloured species, along a course. */
export function reignsOfCourse(
  mechanism: Mechanism,
  course: VesselCourse,
  along: Omit<RatesAlong, 'vessel'> = ratesOfCourse(course),
): readonly Reign[] {
  const coloured = colouredIn(mechanism, course.network)
  const step = Math.max(1, Math.floor(along.timesS.length / RULER_SAMPLES))
  const picks = along.timesS.flatMap((_, k) => (k % step === 0 ? [k] : []))
  return reignsOf(
    picks.map((k) => along.timesS[k]!),
    picks.map((k) => turnoverOf(along.steps, netAt(along, k), coloured)),
    coloured,
  )
}

/** Reasons for one vessel. Problems: whatever prevents its rehearsal, or a time outside it. */
export function reasonsOf(prepared: Prepared, wish: ReasonsWish, facts: DayFacts): Outcome<Reasons> {
  const request = requestFor(prepared, wish.vessel, bandRehearsal)
  const run = vesselCourse(request, facts)
  if (!run.ok) return run
  const course = run.value
  const { network, timesS } = course
  const endS = timesS.at(-1) ?? course.startS
  const atS = wish.atS ?? course.startS + EARLY_SHARE * (endS - course.startS)
  if (!(atS >= course.startS && atS <= endS)) {
    return refuse({
      code: 'demonstration/time-outside',
      where: `vessel "${wish.vessel}"`,
      what: `${formatTime(atS)} is outside the rehearsed time, ${formatTime(course.startS)} to ${formatTime(endS)}`,
      todo: 'name a time within it, or rehearse for longer ("rehearse for" in the document)',
    })
  }
  const n = course.names.length
  const stateAt = (k: number): Float64Array => course.states.slice(k * n, (k + 1) * n)
  let sample = course.startSample
  while (sample < timesS.length - 1 && timesS[sample]! < atS) sample++
  const coloured = colouredIn(prepared.mechanism, network)
  const species = [...coloured, ...course.names.filter((id) => id !== 'temperature' && !coloured.includes(id))]
  // Shares from the books: the net rate of a step in balance, as computed, is noise.
  const along = ratesOfCourse(course)
  const turnover = turnoverOf(along.steps, netAt(along, sample - course.startSample), species)
  const reigns = reignsOfCourse(prepared.mechanism, course, along)
  const rows =
    wish.answersTo === 'nothing'
      ? []
      : sensitivities(
          {
            ...request,
            portions: prepared.makeUp.portions,
            constantNames: wish.answersTo === 'everything' ? network.constantNames : [],
            ...(wish.onStep ? { onStep: wish.onStep } : {}),
          },
          facts,
        )
  return done(
    {
      vessel: wish.vessel,
      mechanism: prepared.mechanism.name,
      atS,
      species: reasonsAt(network, stateAt(sample), species, timesS[sample]).map((r, i) => ({ ...r, ...turnover[i]! })),
      reigns,
      limiting: prepared.mechanism.netReactions.map((r) => ({
        reaction: r.id,
        equation: r.equation,
        what: r.what,
        limiting: limitingReagent(r, course.start.amountsMol),
      })),
      sensitivities: rows,
      sensitivityMethod: METHOD,
    },
    course.remarks,
  )
}
