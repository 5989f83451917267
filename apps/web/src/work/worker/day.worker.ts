/** The worker of everything that is answered at once. */
import { expose } from 'comlink'
import { answering, callByName } from './answering.ts'
import { dayCalls } from './day-calls.ts'
import { factsUrl } from './facts-url.ts'
import { houseAt } from './house.ts'
import { recordCalls } from './record-calls.ts'
import { shelfCalls } from './shelf-calls.ts'

const house = houseAt(factsUrl)
const calls = house.then((h) => answering({ ...dayCalls(h), ...shelfCalls(h), ...recordCalls }))

export type DayWorker = {
  /** Answers once the facts are read. */
  ready(): Promise<void>
  call(name: string, given: readonly unknown[]): Promise<unknown>
}

expose({
  ready: async () => void (await house),
  call: async (name, given) => callByName(await calls, name, given),
} satisfies DayWorker)
