/** A line to one worker. Every call gets an answer, even when the worker is ended or never came up. */
import type { Problem } from '@beakertide/basis/problems'
import { type Remote, releaseProxy, wrap } from 'comlink'

type Refused = { readonly ok: false; readonly problems: readonly Problem[] }
/** How a worker is asked: the name of the call, what is given, and who is told of progress. */
interface Asked {
  ready(): Promise<void>
  call(name: string, given: readonly unknown[], ...tell: readonly unknown[]): Promise<unknown>
}

export interface Line {
  ask<Result>(name: string, given: readonly unknown[], tell?: readonly unknown[]): Promise<Result | Refused>
  /** Ends the worker at once; everything asked is answered with this problem. */
  end(why: Problem): void
  readonly busy: boolean
  readonly ended: boolean
}

export const cancelledWork: Problem = {
  code: 'work/cancelled',
  where: 'what was being computed',
  what: 'stopped on request before it was done',
  todo: 'start it again when you want it',
}
const lostWorker: Problem = {
  code: 'work/no-worker',
  where: 'Beakertide itself',
  what: 'the part that computes did not start or stopped',
  todo: 'load the page again; everything written is kept',
}

export function lineTo(makeWorker: () => Worker): Line {
  const worker = makeWorker()
  const remote: Remote<Asked> = wrap<Asked>(worker)
  const waiting = new Set<(answer: Refused) => void>()
  let ended = false
  const end = (why: Problem): void => {
    if (ended) return
    ended = true
    remote[releaseProxy]()
    worker.terminate()
    for (const answer of waiting) answer({ ok: false, problems: [why] })
    waiting.clear()
  }
  worker.addEventListener('error', () => end(lostWorker))
  return {
    ask: async <Result>(name: string, given: readonly unknown[], tell: readonly unknown[] = []) => {
      if (ended) return { ok: false, problems: [lostWorker] }
      let refuse: (answer: Refused) => void = () => undefined
      const refused = new Promise<Refused>((resolve) => {
        refuse = resolve
      })
      waiting.add(refuse)
      try {
        return await Promise.race([remote.call(name, given, ...tell) as Promise<Result>, refused])
      } catch {
        return { ok: false, problems: [lostWorker] }
      } finally {
        waiting.delete(refuse)
      }
    },
    end,
    get busy() {
      return waiting.size > 0
    },
    get ended() {
      return ended
    },
  }
}
