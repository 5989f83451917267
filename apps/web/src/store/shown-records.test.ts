import { describe, expect, it } from 'vitest'
import type { Collection } from './kept.ts'
import { memoryStore } from './memory-store.ts'
import { showRecords } from './shown-records.ts'

interface Mark {
  readonly id: string
  readonly n: number
}
const readMark = (x: unknown): Mark | null => (typeof (x as Mark).n === 'number' ? (x as Mark) : null)

/** Everything that waits on nothing but promises is done. */
const settled = (): Promise<void> => new Promise((resolve) => setTimeout(resolve))

/** A collection whose readings and writings end when the test says so; what a reading finds is what is there when it begins. */
function slowShelf() {
  const fast = memoryStore().collection<Mark>('shelf')
  const readings: (() => void)[] = []
  const writings: (() => void)[] = []
  let hasRoom = true
  const gate = (list: (() => void)[]): Promise<void> => new Promise((resolve) => list.push(resolve))
  const slow: Collection<Mark> = {
    ...fast,
    async all() {
      const found = await fast.all()
      await gate(readings)
      return found
    },
    async put(record) {
      await gate(writings)
      return hasRoom && (await fast.put(record))
    },
    async remove(id) {
      await gate(writings)
      return await fast.remove(id)
    },
  }
  const end = async (list: (() => void)[], at: number): Promise<void> => {
    await settled()
    list[at]!()
    await settled()
  }
  return {
    fast,
    slow,
    endReading: (at: number) => end(readings, at),
    endWriting: (at: number) => end(writings, at),
    fill: () => void (hasRoom = false),
    readings: () => readings.length,
  }
}

function shownOf(kept: Collection<Mark>) {
  const shown: string[] = []
  const records = showRecords(kept, readMark, (all) => {
    const sorted = [...all].sort((a, b) => a.id.localeCompare(b.id))
    shown.push(sorted.map((r) => `${r.id}${r.n}`).join(' '))
  })
  return { records, shown, last: () => shown.at(-1) }
}

describe('records shown while they are changed', () => {
  it('a reading that began before a change and ends after it does not take it back, nor what was taken away back to life', async () => {
    const shelf = slowShelf()
    await shelf.fast.put({ id: 'a', n: 1 })
    await shelf.fast.put({ id: 'b', n: 1 })
    const { records, last } = shownOf(shelf.slow)
    await settled()
    const put = records.put({ id: 'a', n: 2 })
    const gone = records.remove('b')
    expect(last()).toBe('a2')
    // Both are written while the first reading, which found neither, is still under way.
    await shelf.endWriting(0)
    await shelf.endWriting(1)
    expect([await put, await gone]).toEqual([true, true])
    await shelf.endReading(0)
    expect(last()).toBe('a2')
    expect(shelf.readings()).toBe(3)
    void records.put({ id: 'c', n: 1 })
    expect(last()).toBe('a2 c1')
    await shelf.endReading(2)
    expect(last()).toBe('a2 c1')
  })
  it('a reading that ends before the change is written does not take it back', async () => {
    const shelf = slowShelf()
    await shelf.fast.put({ id: 'a', n: 1 })
    const { records, last } = shownOf(shelf.slow)
    await settled()
    void records.put({ id: 'a', n: 2 })
    void records.put({ id: 'a', n: 3 })
    await shelf.endReading(0)
    expect(last()).toBe('a3')
    // The older of two changes is written, and the reading it called for comes before the newer one is.
    await shelf.endWriting(0)
    await shelf.endReading(1)
    expect(last()).toBe('a3')
    await shelf.endWriting(1)
    await shelf.endReading(2)
    expect(last()).toBe('a3')
    expect(await shelf.fast.get('a')).toEqual({ id: 'a', n: 3 })
  })
  it('of two readings under way the newer is shown, whichever ends last', async () => {
    const shelf = slowShelf()
    const { shown } = shownOf(shelf.slow)
    await settled()
    // Another tab.
    await shelf.fast.put({ id: 'a', n: 1 })
    await settled()
    await shelf.endReading(1)
    await shelf.endReading(0)
    expect(shown).toEqual(['a1'])
  })
  it('a change made before the first reading is made of what that reading finds, and kept', async () => {
    const shelf = slowShelf()
    await shelf.fast.put({ id: 'a', n: 5 })
    const { records, last } = shownOf(shelf.slow)
    const more = records.change('a', (now) => ({ id: 'a', n: (now?.n ?? 0) + 1 }))
    const again = records.change('a', (now) => ({ id: 'a', n: (now?.n ?? 0) + 1 }))
    const first = records.change('b', (now) => ({ id: 'b', n: now === null ? 0 : -1 }))
    await settled()
    await shelf.endReading(0)
    expect(last()).toBe('a7 b0')
    for (const at of [0, 1, 2]) await shelf.endWriting(at)
    expect(await Promise.all([more, again, first])).toEqual([true, true, true])
    expect(await shelf.fast.all()).toEqual([
      { id: 'a', n: 7 },
      { id: 'b', n: 0 },
    ])
  })
  it('what has no room stays shown at every reading, and says so; so does a record whose numbers have none', async () => {
    const shelf = slowShelf()
    const { records, last } = shownOf(shelf.slow)
    await settled()
    await shelf.endReading(0)
    shelf.fill()
    const put = records.put({ id: 'a', n: 1 })
    await shelf.endWriting(0)
    expect(await put).toBe(false)
    expect(await records.put({ id: 'b', n: 1 }, () => Promise.resolve(false))).toBe(false)
    await shelf.fast.put({ id: 'c', n: 1 })
    await settled()
    await shelf.endReading(1)
    expect(last()).toBe('a1 b1 c1')
  })
  it('a record taken away while what comes before it is still being written does not come back', async () => {
    const fast = memoryStore().collection<Mark>('shelf')
    const { records, last } = shownOf(fast)
    await settled()
    let numbersAreThere: (are: boolean) => void = () => undefined
    const put = records.put({ id: 'a', n: 1 }, () => new Promise((resolve) => (numbersAreThere = resolve)))
    await settled()
    const gone = records.remove('a')
    await settled()
    expect(last()).toBe('')
    numbersAreThere(true)
    expect([await put, await gone]).toEqual([true, true])
    await settled()
    expect([last(), await fast.all()]).toEqual(['', []])
  })
  it('foreign records are none, and after the end nothing is shown while writing goes on', async () => {
    const fast = memoryStore().collection<Mark>('shelf')
    await fast.put({ id: 'x' } as Mark)
    const { records, shown } = shownOf(fast)
    await settled()
    expect(shown).toEqual([''])
    records.stop()
    expect(await records.put({ id: 'a', n: 1 })).toBe(true)
    expect(shown).toEqual([''])
    expect(await fast.get('a')).toEqual({ id: 'a', n: 1 })
  })
})
