/** What a worker does with a job: opens its document, rehearses what is asked, answers in the order of the questions. */
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { parseMechanism } from '@beakertide/core/mechanism'
import {
  bandRuns,
  type CarpetRow,
  coastFeatures,
  findAmount,
  isRehearsable,
  mistakeRuns,
  type VariedAmount,
} from '@beakertide/core/rehearsal'
import { changedRecipe } from '../changed-recipe.ts'
import { bandRehearsal, type Prepared, requestFor, requestOfMany } from '../day.ts'
import { mistakesRequest } from '../mistakes-of.ts'
import { besideIn, type HouseFacts, openDocument, prepareDocument } from '../open-document.ts'
import { triedOf } from '../tried.ts'
import { carpetRequest, checkedRow, coastRequest, forbiddenAt } from '../vary-of.ts'
import { variedRecipes } from '../varied-recipes.ts'
import type { AimWork, AmountChange, BandWork, CarpetWork, CoastWork, Job, JobResult, MistakesWork, RunRange, VariedWork } from './job.ts'
import { cancelled } from './task-pool.ts'

export interface JobControl {
  /** Asked often; true ends the job within milliseconds, with the problem `work/cancelled`. */
  readonly shouldStop?: () => boolean
}

/** Documents kept ready; a run of jobs has one. */
const KEPT = 4

/** Answers one job after the other. The last documents stay ready between them, which changes how soon an answer comes, never the answer. */
export function createJobRunner(facts: HouseFacts, control: JobControl = {}): (job: Job) => Outcome<JobResult> {
  const kept = new Map<string, Outcome<Prepared>>()
  const ready = (job: Job): Outcome<Prepared> => {
    const key = JSON.stringify([job.document, job.name, job.mechanism])
    const before = kept.get(key)
    if (before !== undefined) return before
    const made = prepareFor(job, facts)
    kept.set(key, made)
    const [oldest] = kept.keys()
    if (kept.size > KEPT && oldest !== undefined) kept.delete(oldest)
    return made
  }
  return (job) => {
    try {
      if (control.shouldStop?.() === true) return refuse(cancelled)
      const prepared = ready(job)
      if (!prepared.ok) return prepared
      const vessels = prepared.value.demonstration.vessels.map((v) => v.id)
      if (!vessels.includes(job.vessel)) return refuse(noVessel(job.vessel, vessels))
      const answer = answerTo(job, prepared.value, facts, control)
      // A job that was cut short says so; half of its answers are none.
      return control.shouldStop?.() === true ? refuse(cancelled) : answer
    } catch (error) {
      return refuse(faultProblem(error))
    }
  }
}

/** One job from nothing: a pure function of the job and the facts. */
export function runJob(job: Job, facts: HouseFacts, control: JobControl = {}): Outcome<JobResult> {
  return createJobRunner(facts, control)(job)
}

/** A fault of ours, or of the machine, as a problem. */
export function faultProblem(error: unknown) {
  return {
    code: 'work/fault',
    where: 'Beakertide itself',
    what: `a piece of the work could not be done: ${error instanceof Error ? error.message : String(error)}`,
    todo: 'report this with the document',
  }
}

const noVessel = (vessel: string, vessels: readonly string[]) => ({
  code: 'work/no-such-vessel',
  where: `vessel "${vessel}"`,
  what: 'the demonstration has no vessel of this name',
  todo: `choose one of ${vessels.join(', ')}`,
})

function prepareFor(job: Job, facts: HouseFacts): Outcome<Prepared> {
  const beside = besideIn(job.document)
  const opened = openDocument(job.document.text, job.name, beside, facts)
  if (!opened.ok) return opened
  if (job.mechanism === null) return prepareDocument(opened.value, facts)
  const other = parseMechanism(job.mechanism.text, job.mechanism.file, (name) => {
    const read = beside(name)
    return read.ok ? done(read.text) : refuse({ ...noVessel(name, []), code: 'work/no-model-file', what: read.why, todo: 'send it along' })
  })
  return other.ok ? prepareDocument(opened.value, facts, other.value) : other
}

function answerTo(job: Job, prepared: Prepared, facts: HouseFacts, control: JobControl): Outcome<JobResult> {
  switch (job.kind) {
    case 'band':
      return bandJob(job, job.vessel, prepared, facts, control)
    case 'carpet':
      return carpetJob(job, job.vessel, prepared, facts, control)
    case 'coast':
      return coastJob(job, job.vessel, prepared, facts, control)
    case 'aim':
      return aimJob(job, job.vessel, prepared, facts, control)
    case 'mistakes':
      return mistakesJob(job, job.vessel, prepared, facts, control)
    case 'varied-recipes':
      return variedJob(job, job.vessel, prepared, facts, control)
  }
}

/** Runs `make` for every item until it is to stop. */
function each<Q, A>(items: readonly Q[], control: JobControl, make: (item: Q) => A): readonly A[] {
  const answers: A[] = []
  for (const item of items) {
    if (control.shouldStop?.() === true) break
    answers.push(make(item))
  }
  return answers
}
const numbersOf = ({ from, until }: RunRange): readonly number[] => Array.from({ length: Math.max(0, until - from) }, (_, k) => from + k)

function amountsFor(names: readonly string[], vessel: string, prepared: Prepared): Outcome<readonly VariedAmount[]> {
  const amounts: VariedAmount[] = []
  for (const name of names) {
    const found = findAmount(name, requestFor(prepared, vessel, bandRehearsal), prepared.makeUp.portions)
    if (!found.ok) return found
    amounts.push(found.value)
  }
  return done(amounts)
}

function changedFor(changes: readonly AmountChange[], vessel: string, prepared: Prepared, facts: HouseFacts): Outcome<Prepared> {
  const amounts = amountsFor(
    changes.map((c) => c.what),
    vessel,
    prepared,
  )
  if (!amounts.ok) return amounts
  return changedRecipe(
    prepared,
    amounts.value.map((amount, i) => ({ amount, value: changes[i]!.value })),
    facts.day,
  )
}

function bandJob(work: BandWork, vessel: string, prepared: Prepared, facts: HouseFacts, control: JobControl): Outcome<JobResult> {
  const changed = changedFor(work.changes ?? [], vessel, prepared, facts)
  if (!changed.ok) return changed
  const request = {
    ...requestOfMany(changed.value, vessel, { ...bandRehearsal, ...control }),
    ...(work.lengthS === undefined ? {} : { lengthS: work.lengthS }),
    portions: changed.value.makeUp.portions,
    // How many there are in all does not matter to any one of them.
    samplesOfBand: work.runs.until,
    seed: work.seed,
  }
  return done({ kind: 'band', runs: work.runs, features: each(numbersOf(work.runs), control, bandRuns(request, facts.day)) })
}

function carpetJob(work: CarpetWork, vessel: string, prepared: Prepared, facts: HouseFacts, control: JobControl): Outcome<JobResult> {
  const request = carpetRequest(prepared, { vessel, range: work.range, rows: 1 })
  if (!request.ok) return request
  const rows: CarpetRow[] = []
  for (const row of each(work.values, control, (value) => checkedRow(prepared, { ...request.value, ...control }, value, facts.day))) {
    if (!row.ok) return row
    rows.push(row.value)
  }
  return done({ kind: 'carpet', rows })
}

function coastJob(work: CoastWork, vessel: string, prepared: Prepared, facts: HouseFacts, control: JobControl): Outcome<JobResult> {
  const request = coastRequest(prepared, { vessel, x: work.x, y: work.y, coarse: 1, halvings: 0, mostRuns: 0 })
  if (!request.ok) return request
  const answers = each(work.points, control, (point) => {
    const forbidden = forbiddenAt(prepared, request.value, point, facts.day)
    const features = isRehearsable(forbidden) ? coastFeatures({ ...request.value, ...control }, point, facts.day) : null
    return { features, forbidden }
  })
  return done({ kind: 'coast', answers })
}

function aimJob(work: AimWork, vessel: string, prepared: Prepared, facts: HouseFacts, control: JobControl): Outcome<JobResult> {
  const amounts = amountsFor(work.by, vessel, prepared)
  if (!amounts.ok) return amounts
  const tried = each(work.tries, control, (one) => triedOf(prepared, vessel, amounts.value, { ...one, ...control }, facts.day))
  return done({ kind: 'aim', tried })
}

function mistakesJob(work: MistakesWork, vessel: string, prepared: Prepared, facts: HouseFacts, control: JobControl): Outcome<JobResult> {
  const request = mistakesRequest(prepared, { vessel, seen: work.seen })
  if (!request.ok) return request
  const run = mistakeRuns({ ...request.value, ...control }, facts.day)
  return done({ kind: 'mistakes', predicted: each(work.which, control, run) })
}

function variedJob(work: VariedWork, vessel: string, prepared: Prepared, facts: HouseFacts, control: JobControl): Outcome<JobResult> {
  const varied = variedRecipes(prepared, vessel, { ...work, ...control }, facts.day)
  if (!varied.ok) return varied
  return done({ kind: 'varied-recipes', runs: work.runs, found: each(numbersOf(work.runs), control, varied.value) })
}
