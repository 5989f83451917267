/** The workers of the page behind the contract: one looks, one does the day's single answers, the others the long work. */
import { proxy } from 'comlink'
import type { Work } from './contract.ts'
import { latestOnly } from './latest.ts'
import { cancelledWork, type Line, lineTo } from './line.ts'

type Tell = (...told: readonly unknown[]) => void
type LongName = Parameters<Work['cancel']>[0]

const newDayWorker = (): Worker => new Worker(new URL('./worker/day.worker.ts', import.meta.url), { type: 'module', name: 'day' })
const newLongWorker = (): Worker => new Worker(new URL('./worker/long.worker.ts', import.meta.url), { type: 'module', name: 'long' })

/** A worker that is started when it is first asked, and again after it was lost. */
function kept(make: () => Worker): () => Line {
  let line: Line | undefined
  return () => {
    if (line === undefined || line.ended) line = lineTo(make)
    return line
  }
}

interface Long {
  readonly name: LongName
  readonly start: (line: Line) => Promise<unknown>
  readonly answer: (result: unknown) => void
  line: Line | null
}

/** Long works at the same time; each spreads over the cores by itself (worker/long.worker.ts). */
const MOST_SIDE_BY_SIDE = 2

/** Starts nothing before it is asked, except that the worker that looks gets ready as soon as the page has time. */
export function createWork(cores: number = navigator.hardwareConcurrency || 2): Work {
  const looking = kept(newDayWorker)
  const dayLine = kept(newDayWorker)
  const latest = latestOnly<unknown>()
  const whenIdle = globalThis.requestIdleCallback ?? ((then: () => void) => setTimeout(then, 500))
  whenIdle(() => void looking())
  const mostLong = Math.min(MOST_SIDE_BY_SIDE, Math.max(1, cores - 1))
  const idle: Line[] = []
  const running = new Set<Long>()
  const queue: Long[] = []

  function startNext(): void {
    while (running.size < mostLong) {
      const next = queue.shift()
      if (next === undefined) return
      const line = idle.pop() ?? lineTo(newLongWorker)
      next.line = line
      running.add(next)
      void next.start(line).then((result) => {
        running.delete(next)
        if (!line.ended) idle.push(line)
        next.answer(result)
        startNext()
      })
    }
  }
  function long<Result>(name: LongName, given: readonly unknown[], tell: readonly Tell[]): Promise<Result> {
    let isWanted = true
    return new Promise((resolve) => {
      queue.push({
        name,
        start: (line) =>
          line.ask(
            name,
            [cores, ...given],
            tell.map((one) => proxy((...told: readonly unknown[]) => isWanted && one(...told))),
          ),
        answer: (result) => {
          // What was still on its way when it ended is told to nobody.
          isWanted = false
          resolve(result as Result)
        },
        line: null,
      })
      startNext()
    })
  }
  // The types of the contract are those of the worker's own functions (worker/*.ts); here names and arguments only pass through.
  const look = <Result>(name: string, key: string, given: readonly unknown[]): Promise<Result> =>
    latest(`${name} ${key}`, () => looking().ask(name, given)) as Promise<Result>
  const day = <Result>(name: string, given: readonly unknown[]): Promise<Result> => dayLine().ask(name, given) as Promise<Result>

  return {
    open: async (document, name) => {
      const answer = await look<Awaited<ReturnType<Work['open']>> | { ok: false; problems: [] }>('open', name, [document, name])
      return 'ok' in answer ? { demonstration: null, prepared: null, danger: [], problems: answer.problems, warnings: [] } : answer
    },
    quickLook: (document, vessel, changes) => look('quickLook', vessel, [document, vessel, changes]),
    fineLook: (...given) => day('fineLook', given),
    rehearse: (...given) => day('rehearse', given),
    reasons: (...given) => day('reasons', given),
    ratesAlong: (...given) => day('ratesAlong', given),
    clear: (...given) => day('clear', given),
    papers: (...given) => day('papers', given),
    choices: () => day('choices', []),
    substances: () => day('substances', []),
    lookAtBottles: (...given) => look('lookAtBottles', '', given),
    fitShelf: (...given) => day('fitShelf', given),
    compareFound: (...given) => day('compareFound', given),
    readRecord: (...given) => day('readRecord', given),
    scale: (...given) => look('scale', '', given),
    fedBy: (...given) => day('fedBy', given),
    readFound: (...given) => look('readFound', '', given),
    band: (document, vessel, samples, seed, onProgress) => long('band', [document, vessel, samples, seed], [onProgress as Tell]),
    carpet: (document, wish, onCarpet) => long('carpet', [document, wish], [onCarpet as Tell]),
    coast: (document, wish, onProgress, onPoints) => long('coast', [document, wish], [onProgress as Tell, onPoints as Tell]),
    aim: (document, wish, onProgress) => long('aim', [document, wish], [onProgress as Tell]),
    mistakes: (document, vessel, seen, onProgress) => long('mistakes', [document, vessel, seen], [onProgress as Tell]),
    answersTo: (document, vessel, constants, onProgress) => long('answersTo', [document, vessel, constants], [onProgress as Tell]),
    cancel: (what) => {
      const refused = { ok: false, problems: [cancelledWork] }
      for (const waiting of queue.filter((l) => l.name === what)) {
        queue.splice(queue.indexOf(waiting), 1)
        waiting.answer(refused)
      }
      for (const job of running) if (job.name === what) job.line?.end(cancelledWork)
      return Promise.resolve()
    },
  }
}
