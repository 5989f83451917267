/** The pool of jobs over web workers, below the worker that carries the long work out. When that one is ended, these end with it. */
import { type Remote, wrap } from 'comlink'
import { type Outcome, refuse } from '@beakertide/basis/problems'
import { cancelled, type Job, type JobResult, poolOf, type TaskPool } from '@beakertide/demonstration'
import { faultOf } from './answering.ts'

interface Answering {
  run(job: Job): Promise<Outcome<JobResult>>
}
interface Member {
  readonly worker: Worker
  readonly remote: Remote<Answering>
}

/** `threads` workers, started when the first job comes. A stopped shift ends its workers at once; the next one starts new ones. */
export function poolOfWorkers(threads: number, makeWorker: () => Worker): TaskPool {
  const free: Member[] = []
  const start = (): Member => {
    const worker = makeWorker()
    return { worker, remote: wrap<Answering>(worker) }
  }
  return poolOf({
    threads,
    begin() {
      const working = new Map<Member, (answer: Outcome<JobResult>) => void>()
      return {
        send: (job) =>
          new Promise((resolve) => {
            const member = free.pop() ?? start()
            const answer = (outcome: Outcome<JobResult>): void => {
              if (!working.delete(member)) return
              resolve(outcome)
            }
            working.set(member, answer)
            member.worker.addEventListener('error', () => answer(refuse(faultOf(new Error('a worker stopped')))), { once: true })
            member.remote.run(job).then(
              (outcome) => {
                if (working.has(member)) free.push(member)
                answer(outcome)
              },
              (error: unknown) => answer(refuse(faultOf(error))),
            )
          }),
        stop: () => {
          for (const [member, answer] of working) {
            member.worker.terminate()
            answer(refuse(cancelled))
          }
        },
        end: () => undefined,
      }
    },
    close: () => {
      for (const member of free.splice(0)) member.worker.terminate()
      return Promise.resolve()
    },
  })
}
