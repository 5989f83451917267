/** The worker of everything that is answered at once. */
import { expose } from 'comlink'
import { type DocumentText, noChanges } from '../contract.ts'
import { answering, callByName } from './answering.ts'
import { dayCalls } from './day-calls.ts'
import { factsUrl } from './facts-url.ts'
import { type House, houseAt } from './house.ts'
import { recordCalls } from './record-calls.ts'
import { shelfCalls } from './shelf-calls.ts'
import { createWarming } from './warming.ts'

const house = houseAt(factsUrl)
const calls = house.then((h) => answering({ ...dayCalls(h), ...shelfCalls(h), ...recordCalls }))
const warming = house.then((h) => {
  const { quickLook } = dayCalls(h)
  return createWarming(
    (document, vessel, factor) => {
      const [first] = amountsOf(h, document)
      quickLook(document, vessel, { ...noChanges, amounts: first === undefined ? {} : { [first]: factor } })
    },
    // Warming is for speed alone: what goes wrong in it goes wrong again, and is told, when somebody asks.
    (then, ms) =>
      setTimeout(() => {
        try {
          then()
        } catch {
          // Told when asked for.
        }
      }, ms),
  )
})
/** "solution/bottle" of what can be changed. */
function amountsOf(h: House, document: DocumentText): readonly string[] {
  const prepared = h.prepared(document)
  return prepared.ok ? prepared.value.makeUp.portions.map((p) => `${p.solution}/${p.bottle}`) : []
}

export type DayWorker = {
  /** Answers once the facts are read. */
  ready(): Promise<void>
  call(name: string, given: readonly unknown[]): Promise<unknown>
}

expose({
  ready: async () => void (await house),
  call: async (name, given) => {
    const warm = await warming
    warm.asked()
    const answer = callByName(await calls, name, given)
    if (name === 'quickLook') warm.looked(given[0] as DocumentText, String(given[1]))
    return answer
  },
} satisfies DayWorker)
