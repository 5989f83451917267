/** Bands, carpets, coasts, aims and mistakes over a pool: the same plans as in one thread, their questions cut into jobs. */
import { done, type Outcome } from '@beakertide/basis/problems'
import {
  type Band,
  bandPlan,
  type Carpet,
  carpetAround,
  type CarpetRequest,
  type CarpetRow,
  type Coast,
  coastPoint,
  mistakesPlan,
  type Plan,
  planCoast,
} from '@beakertide/core/rehearsal'
import { type AimQuestion, type AimResult, longEnough, planAim, withBand } from '../aim-of.ts'
import type { AimWish } from '../aim-wish.ts'
import { bandRehearsal, type DayFacts, type Prepared, requestFor } from '../day.ts'
import { type CheckedMistakes, mistakesRequest, type MistakesWish, withDangers } from '../mistakes-of.ts'
import { carpetRequest, coastRequest, type CoastWish, type VaryWish } from '../vary-of.ts'
import type { AmountChange, Job, JobHead, JobResult, Work } from './job.ts'
import { isCancelled, type StopSignal, type TaskPool } from './task-pool.ts'

/** A prepared day, and what its jobs begin with. */
export interface DayOverPool {
  readonly pool: TaskPool
  /** Without the vessel, which the wish names. */
  readonly head: Omit<JobHead, 'vessel'>
  readonly prepared: Prepared
  readonly facts: DayFacts
  readonly signal?: StopSignal | undefined
}

/** Questions a job at most, so that progress is seen, and a stop is heard soon also where nothing but the end of a job hears it. */
const MOST_A_JOB = 2
/** Jobs a thread that a batch of questions is cut into, so that no thread waits long for the last. */
const JOBS_A_THREAD = 4

interface Cut<Q, A> {
  readonly work: (questions: readonly Q[]) => Work
  readonly answers: (result: JobResult) => readonly A[]
  /** Called with every answer, in the order of the questions; `of`: as many as have been asked so far. */
  readonly onAnswer?: ((answer: A, question: Q, answered: number, of: number) => void) | undefined
}

/** Carries a plan out over the pool. Answers come in the order of the questions, so the result is that of one thread to the last bit. */
export async function carryOutOver<Q, A, R>(
  plan: Plan<Q, A, R>,
  day: DayOverPool,
  vessel: string,
  { work, answers, onAnswer }: Cut<Q, A>,
): Promise<Outcome<R>> {
  let answered = 0
  let of = 0
  let asked = plan.next([])
  while (asked.done !== true) {
    const questions = asked.value
    of += questions.length
    const each = Math.min(MOST_A_JOB, Math.max(1, Math.ceil(questions.length / (JOBS_A_THREAD * day.pool.threads))))
    const jobs = function* (): Generator<Job> {
      for (let from = 0; from < questions.length; from += each) {
        yield { ...day.head, vessel, ...work(questions.slice(from, from + each)) }
      }
    }
    const got: A[] = []
    for await (const { outcome } of day.pool.run(jobs(), { signal: day.signal })) {
      if (!outcome.ok) {
        if (isCancelled(outcome)) break
        return outcome
      }
      for (const answer of answers(outcome.value)) {
        onAnswer?.(answer, questions[got.length]!, ++answered, of)
        got.push(answer)
      }
    }
    asked = plan.next(got)
  }
  return done(asked.value)
}

export interface BandWish {
  readonly vessel: string
  /** Runs at most. */
  readonly samples: number
  readonly seed: number
  readonly onSample?: (done: number, of: number) => void
}

/** The band of one vessel. */
export function bandOver(day: DayOverPool, wish: BandWish): Promise<Outcome<Band>> {
  return bandOfChanged(day, day.prepared, wish, [])
}

function bandOfChanged(day: DayOverPool, prepared: Prepared, wish: BandWish, changes: readonly AmountChange[]): Promise<Outcome<Band>> {
  const request = {
    ...requestFor(prepared, wish.vessel, bandRehearsal),
    portions: prepared.makeUp.portions,
    samplesOfBand: wish.samples,
    seed: wish.seed,
  }
  const { lengthS } = request
  return carryOutOver(bandPlan(request), day, wish.vessel, {
    // Run numbers are asked for in one row.
    work: (runs) => ({ kind: 'band', seed: wish.seed, runs: { from: runs[0]!, until: runs.at(-1)! + 1 }, changes, lengthS }),
    answers: (result) => (result.kind === 'band' ? result.features : []),
    onAnswer: (_answer, _run, answered) => wish.onSample?.(answered, wish.samples),
  })
}

function* rowsPlan(request: CarpetRequest): Plan<number, CarpetRow, Carpet> {
  const rows = yield request.values
  return carpetAround(request, rows)
}

/** The carpet of one vessel. Problems: as of `varyVessel`. */
export async function carpetOver(day: DayOverPool, wish: VaryWish): Promise<Outcome<Carpet>> {
  const request = carpetRequest(day.prepared, wish)
  if (!request.ok) return request
  const { values } = request.value
  return carryOutOver(rowsPlan(request.value), day, wish.vessel, {
    work: (some) => ({ kind: 'carpet', range: wish.range, values: some }),
    answers: (result) => (result.kind === 'carpet' ? result.rows : []),
    onAnswer: (row, _value, answered) => wish.onRow?.(answered, values.length, row),
  })
}

/** The coast of one vessel. Problems: as of `coastOfVessel`. */
export async function coastOver(day: DayOverPool, wish: CoastWish): Promise<Outcome<Coast>> {
  const request = coastRequest(day.prepared, wish)
  if (!request.ok) return request
  const plan = planCoast(request.value)
  if (!plan.ok) return plan
  return carryOutOver(plan.value, day, wish.vessel, {
    work: (points) => ({ kind: 'coast', x: wish.x, y: wish.y, points }),
    answers: (result) => (result.kind === 'coast' ? result.answers : []),
    onAnswer: (answer, point, answered) => wish.onPoint?.(answered, coastPoint(point, answer)),
  })
}

/** The mistakes of one vessel, ranked. Problems: as of `mistakesOfVessel`. */
export async function mistakesOver(day: DayOverPool, wish: MistakesWish): Promise<Outcome<CheckedMistakes>> {
  const request = mistakesRequest(day.prepared, wish)
  if (!request.ok) return request
  const found = await carryOutOver(mistakesPlan(request.value, day.facts), day, wish.vessel, {
    work: (which) => ({ kind: 'mistakes', seen: wish.seen, which }),
    answers: (result) => (result.kind === 'mistakes' ? result.predicted : []),
    onAnswer: (_answer, _place, answered, of) => wish.onMistake?.(answered, of),
  })
  return found.ok ? done(withDangers(found.value, request.value, day.prepared, day.facts)) : found
}

/** An aim of one vessel. Problems: as of `aimOfVessel`. */
export async function aimOver(day: DayOverPool, wish: AimWish): Promise<Outcome<AimResult>> {
  const planned = planAim(day.prepared, wish, day.facts)
  if (!planned.ok) return planned
  const { amounts, plan } = planned.value
  const by = amounts.map((a) => a.name)
  const found = await carryOutOver(plan, day, wish.vessel, {
    work: (tries: readonly AimQuestion[]) => ({ kind: 'aim', by, tries }),
    answers: (result) => (result.kind === 'aim' ? result.tried : []),
    onAnswer: (_answer, _question, answered) => wish.onRun?.(answered),
  })
  if (!found.ok) return found
  const after = longEnough(found.value)
  const { result } = found.value
  if (after === null || wish.band === 0 || day.signal?.aborted === true) return done(result)
  const changes = [{ by: result.by, value: result.value }, ...result.others].map((a) => ({ what: a.by, value: a.value ?? 1 }))
  const band = await bandOfChanged(day, after, { vessel: wish.vessel, samples: wish.band, seed: wish.seed }, changes)
  return done(withBand(found.value, band.ok ? band.value : null))
}
