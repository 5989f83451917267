import { describe, expect, it } from 'vitest'
import { indexAt, nextTurn, sampleAt, stripWithin, valueOfTrace } from './colour-at.ts'

const sample = (timeS: number, name: string) => ({ timeS, name, hex: '#ffffff', lab: [100, 0, 0] as const })
const strip = [sample(0, 'a'), sample(10, 'b'), sample(20, 'c')]

describe('the present moment', () => {
  it('is the last sample at or before it', () => {
    expect([-5, 0, 9.9, 10, 25].map((t) => sampleAt(strip, t)?.name)).toEqual(['a', 'a', 'a', 'b', 'c'])
    expect(sampleAt([], 3)).toBeNull()
    const times = [0, 1, 2, 2, 5]
    expect(indexAt(times.length, (i) => times[i]!, 2)).toBe(3)
  })
  it('lies on a straight line between two samples of a curve', () => {
    expect(valueOfTrace([0, 10], [0, 5], 4)).toBeCloseTo(2, 12)
    expect(valueOfTrace([0, 10], [0, 5], 10)).toBe(5)
    expect(valueOfTrace([0, 10], [0, 5], 11)).toBeNull()
    expect(valueOfTrace([], [], 1)).toBeNull()
  })
  it('knows the next turn', () => {
    const turns = [{ timeS: 5, from: 'a', to: 'b', deltaE: 9 }]
    expect(nextTurn(turns, 3)?.inS).toBe(2)
    expect(nextTurn(turns, 5)).toBeNull()
  })
})

describe('a strip cut to a window', () => {
  it('begins and ends at the window, with the colours that are there', () => {
    expect(stripWithin(strip, 5, 15).map((s) => [s.timeS, s.name])).toEqual([
      [5, 'a'],
      [10, 'b'],
      [15, 'b'],
    ])
    expect(stripWithin(strip, -5, 100).map((s) => s.timeS)).toEqual([0, 10, 20])
    expect(stripWithin(strip, 30, 40)).toEqual([])
  })
})
