/** A worker of long work. It is ended from outside when its work is cancelled. */
import { expose } from 'comlink'
import { answering, callByName } from './answering.ts'
import { factsUrl } from './facts-url.ts'
import { houseAt } from './house.ts'
import { longCalls } from './long-calls.ts'

const house = houseAt(factsUrl)
const calls = house.then((h) => answering({ ...longCalls(h, () => performance.now()) }))

export type LongWorker = {
  ready(): Promise<void>
  call(name: string, given: readonly unknown[], ...tell: readonly ((...told: never[]) => void)[]): Promise<unknown>
}

expose({
  ready: async () => void (await house),
  call: async (name, given, ...tell) => callByName(await calls, name, [...given, ...tell]),
} satisfies LongWorker)
