import { describe, expect, it } from 'vitest'
import { readTicksRecord, tickKey, type TicksRecord, withoutTicks, withTick } from './ticks-record.ts'

const none: TicksRecord = { id: 'a', version: 1, done: [] }
const key = (group: string, said: string): string => tickKey(group, [said])

describe('ticks of a demonstration', () => {
  it('are of a step as it says itself: another mass is another step', () => {
    const one = withTick(none, tickKey('makeup/A', ['Add 5 g']), true)
    expect(one.done).toContain(tickKey('makeup/A', ['Add 5 g']))
    expect(one.done).not.toContain(tickKey('makeup/A', ['Add 6 g']))
    expect(one.done).not.toContain(tickKey('makeup/B', ['Add 5 g']))
  })
  it('are set once, taken back, and cleared a page at a time', () => {
    const a = key('makeup/A', 'x')
    const b = key('clearing/jar', 'x')
    const both = [a, a, b].reduce((r, k) => withTick(r, k, true), none)
    expect(both.done).toEqual([a, b])
    expect(withTick(both, a, false).done).toEqual([b])
    expect(withoutTicks(both, 'makeup/').done).toEqual([b])
    expect(withoutTicks(both, 'clearing/jar\n').done).toEqual([a])
  })
  it('never grow without end, and foreign records are none', () => {
    const many = Array.from({ length: 2100 }, (_, i) => key('m', String(i)))
    expect(many.reduce((r, k) => withTick(r, k, true), none).done.length).toBe(2000)
    expect(readTicksRecord(none)).toEqual(none)
    for (const x of [null, 'x', { id: 'a' }, { ...none, version: 2 }, { ...none, done: [1] }]) expect(readTicksRecord(x)).toBeNull()
  })
})
