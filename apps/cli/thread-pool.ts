/** The pool of workers over the threads of this process. */
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { Tinypool } from 'tinypool'
import { type Outcome, refuse } from '@beakertide/basis/problems'
import { cancelled, createJobRunner, faultProblem, type Job, type JobResult, poolOf, type TaskPool } from '@beakertide/demonstration'
import { houseFacts } from './desk.ts'

/** What goes to a worker besides the job: which flag says that it is to stop. */
export interface ThreadTask {
  readonly job: Job
  readonly slot: number
}

/** Runs of a pool at the same time. */
const MOST_SHIFTS = 64
/** Work that is done sooner than this is done here: each thread reads the tables and warms up anew, which takes about as long, ms. */
const WORTH_THREADS_MS = 1500

/** The worker's file: beside this one when built; when this one is run from its source, where the build puts it. Null: not built. */
function workerFile(): string | null {
  const places = ['./pool-worker.js', './dist/pool-worker.js'].map((name) => fileURLToPath(new URL(name, import.meta.url)))
  return places.find((place) => existsSync(place)) ?? null
}

const pause = (): Promise<void> => new Promise((go) => setImmediate(go))

/**
 * A pool of `threads` worker threads. Short work never starts them: jobs run here until they have taken a second and a half. 0: no
 * threads, all runs here, and a stop is heard between jobs only. Workers hear it within a few steps of their integration.
 */
export function threadPool(threads: number, startAfterMs: number = WORTH_THREADS_MS): TaskPool {
  const filename = threads > 0 ? workerFile() : null
  const flags = new Int32Array(new SharedArrayBuffer(MOST_SHIFTS * Int32Array.BYTES_PER_ELEMENT))
  const free = Array.from({ length: MOST_SHIFTS }, (_, slot) => slot)
  let here: ((job: Job) => Outcome<JobResult>) | null = null
  let spentHereMs = 0
  let workers: Tinypool | null = null

  async function workHere(job: Job): Promise<Outcome<JobResult>> {
    // Lets a key pressed meanwhile be heard.
    await pause()
    here ??= createJobRunner(houseFacts())
    const begun = performance.now()
    const answer = here(job)
    spentHereMs += performance.now() - begun
    return answer
  }
  async function workThere(file: string, task: ThreadTask): Promise<Outcome<JobResult>> {
    workers ??= new Tinypool({
      filename: file,
      runtime: 'worker_threads',
      minThreads: threads,
      maxThreads: threads,
      isolateWorkers: false,
      // Not those of this process: how it finds its sources is no matter of a worker's.
      execArgv: [],
      workerData: { flags: flags.buffer },
    })
    try {
      return (await workers.run(task)) as Outcome<JobResult>
    } catch (error) {
      return refuse(Atomics.load(flags, task.slot) === 0 ? faultProblem(error) : cancelled)
    }
  }
  return poolOf({
    threads: Math.max(1, threads),
    begin() {
      const slot = free.pop() ?? 0
      Atomics.store(flags, slot, 0)
      return {
        async send(job) {
          if (Atomics.load(flags, slot) !== 0) return refuse(cancelled)
          const answer =
            filename === null || (spentHereMs < startAfterMs && workers === null)
              ? await workHere(job)
              : await workThere(filename, { job, slot })
          return Atomics.load(flags, slot) === 0 ? answer : refuse(cancelled)
        },
        stop: () => void Atomics.store(flags, slot, 1),
        end: () => void free.push(slot),
      }
    },
    close: async () => {
      await workers?.destroy()
      workers = null
    },
  })
}
