/** A worker of long work. It is ended from outside when its work is cancelled. */
import { expose } from 'comlink'
import { answering, callByName } from './answering.ts'
import { poolOfWorkers } from './crew-of-workers.ts'
import { factsUrl } from './facts-url.ts'
import { houseAt } from './house.ts'
import { type LongCalls, longCalls } from './long-calls.ts'

/** Each worker reads the tables anew; beyond so many that costs more memory than it saves time. */
const MOST = 8

const house = houseAt(factsUrl)
let calls: Promise<LongCalls> | undefined

/** One core is left to the page. With one more than that there is nothing to spread. */
function callsFor(cores: number): Promise<LongCalls> {
  return (calls ??= house.then((h) => {
    const threads = Math.min(MOST, cores - 1)
    const newJobWorker = (): Worker => new Worker(new URL('./job.worker.ts', import.meta.url), { type: 'module', name: 'job' })
    return answering({ ...longCalls(h, () => performance.now(), threads > 1 ? poolOfWorkers(threads, newJobWorker) : null) })
  }))
}

export type LongWorker = {
  ready(): Promise<void>
  /** `given` begins with the number of cores of this computer. */
  call(name: string, given: readonly unknown[], ...tell: readonly ((...told: never[]) => void)[]): Promise<unknown>
}

expose({
  ready: async () => void (await house),
  call: async (name, [cores, ...given], ...tell) => callByName({ ...(await callsFor(Number(cores))) }, name, [...given, ...tell]),
} satisfies LongWorker)
