/**
 * The one small interface behind which long work is spread over all cores, and the part of it that every host shares.
 *
 * Where it is: `TaskPool` here; `runJob` (run-job.ts) is what a worker does with a job; `poolOf` makes a pool of any crew of
 * workers: a host only says how one job is sent to a free worker and how all workers are told to stop. The command line does so over
 * threads (apps/cli/thread-pool.ts), the web app over web workers; `inProcessPool` needs no host at all.
 */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import type { Job, JobResult } from './job.ts'

/** What a pool needs of an `AbortSignal`, which fits. */
export interface StopSignal {
  readonly aborted: boolean
  addEventListener(type: 'abort', listener: () => void): void
  removeEventListener(type: 'abort', listener: () => void): void
}

export interface JobDone {
  /** Place of the job in what was given. */
  readonly index: number
  readonly outcome: Outcome<JobResult>
}

export interface RunOptions {
  /** `index` (default): in the order given; `completion`: as soon as each is done. */
  readonly order?: 'index' | 'completion' | undefined
  /** Once it is aborted every job ends within 100 ms with the problem `work/cancelled`, and no new one begins. */
  readonly signal?: StopSignal | undefined
  /** Called with the number of jobs done, in whatever order they come. */
  readonly onProgress?: ((jobsDone: number) => void) | undefined
}

export interface TaskPool {
  /** Jobs that run side by side. */
  readonly threads: number
  /**
   * Runs jobs, taken from the iterable only as workers come free: a million jobs need the memory of a few. Results that wait for
   * their turn are held back to a few a worker. Nothing is thrown: a job that fails is an outcome with problems.
   */
  run(jobs: Iterable<Job>, options?: RunOptions): AsyncIterable<JobDone>
  /** Ends the workers. Running jobs end as cancelled. */
  close(): Promise<void>
}

/** What a host provides: workers, and for every run of a pool a shift of theirs. */
export interface Crew {
  readonly threads: number
  begin(): Shift
  close(): Promise<void>
}
export interface Shift {
  /** Sends one job to a free worker; at most `threads` at once a shift. Faults of the worker are outcomes, not exceptions. */
  send(job: Job): Promise<Outcome<JobResult>>
  /** The running jobs of this shift end within 100 ms, as cancelled. */
  stop(): void
  /** Called once, after the last job. */
  end(): void
}

export const cancelled: Problem = {
  code: 'work/cancelled',
  where: 'rehearsals',
  what: 'stopped on request before all of them were done',
  todo: 'start again; nothing was written',
}

/** The problem that a run was stopped, and nothing else? */
export const isCancelled = (outcome: Outcome<unknown>): boolean => !outcome.ok && outcome.problems.some((p) => p.code === cancelled.code)

/** Results that may wait for their turn, a worker. */
const WAITING_EACH = 8

/** A pool of any crew. */
export function poolOf(crew: Crew): TaskPool {
  return {
    threads: crew.threads,
    run: (jobs, options = {}) => streamOf(crew, jobs, options),
    close: () => crew.close(),
  }
}

async function* streamOf(crew: Crew, jobs: Iterable<Job>, options: RunOptions): AsyncGenerator<JobDone, void, undefined> {
  const { signal, order = 'index', onProgress } = options
  const source = jobs[Symbol.iterator]()
  const shift = crew.begin()
  const running = new Set<Promise<void>>()
  const ready = new Map<number, JobDone>()
  const mostReady = WAITING_EACH * crew.threads
  let begun = 0
  let given = 0
  let finished = 0
  let exhausted = false
  const isStopped = (): boolean => signal?.aborted === true
  let wake: () => void = () => undefined
  const onAbort = (): void => {
    shift.stop()
    wake()
  }
  signal?.addEventListener('abort', onAbort)
  const begin = (): void => {
    while (!exhausted && !isStopped() && running.size < crew.threads && ready.size < mostReady) {
      const next = source.next()
      if (next.done === true) {
        exhausted = true
        return
      }
      const index = begun++
      const task = shift.send(next.value).then((outcome) => {
        running.delete(task)
        ready.set(index, { index, outcome })
        finished++
        onProgress?.(finished)
        wake()
      })
      running.add(task)
    }
  }
  const takeReady = (): JobDone | undefined => {
    const key = order === 'index' ? given : ready.keys().next().value
    const one = key === undefined ? undefined : ready.get(key)
    if (one === undefined) return undefined
    ready.delete(one.index)
    given++
    return one
  }
  try {
    for (;;) {
      begin()
      const one = takeReady()
      if (one !== undefined) {
        yield one
        continue
      }
      if (running.size === 0) return
      await new Promise<void>((resolve) => {
        wake = resolve
      })
    }
  } finally {
    signal?.removeEventListener('abort', onAbort)
    // Left early, by a consumer or a stop: nothing goes on in the background.
    if (running.size > 0) shift.stop()
    await Promise.all(running)
    shift.end()
    source.return?.()
  }
}

/** A pool without workers: one job after the other, here. It can be stopped between jobs, and within one by `shouldStop`. */
export function inProcessPool(work: (job: Job) => Outcome<JobResult>, pause: () => Promise<void> = () => Promise.resolve()): TaskPool {
  return poolOf({
    threads: 1,
    begin() {
      let stopped = false
      return {
        async send(job) {
          await pause()
          return stopped ? refuse(cancelled) : work(job)
        },
        stop: () => void (stopped = true),
        end: () => undefined,
      }
    },
    close: () => Promise.resolve(),
  })
}

/** All results in the order of the jobs, or the first problems; `done` with fewer than all only when it was stopped. */
export async function resultsOf(
  pool: TaskPool,
  jobs: Iterable<Job>,
  options: Omit<RunOptions, 'order'>,
): Promise<Outcome<readonly JobResult[]>> {
  const results: JobResult[] = []
  for await (const { outcome } of pool.run(jobs, options)) {
    if (outcome.ok) results.push(outcome.value)
    else return isCancelled(outcome) ? done(results) : outcome
  }
  return done(results)
}
