import { describe, expect, it } from 'vitest'
import { eachDrawnPoint, heightsOf, type LaidLine, measuredLine, valueAt } from './measured-line.ts'

const laid = (timesS: readonly number[], values: readonly number[], more: Partial<LaidLine> = {}): LaidLine => ({
  line: measuredLine(Float64Array.from(timesS), Float64Array.from(values)),
  startsAtS: 0,
  factor: 1,
  plus: 0,
  mark: 'ring',
  ...more,
})
interface Point {
  readonly x: number
  readonly value: number
}
function drawn(line: LaidLine, fromS: number, toS: number, width: number): readonly Point[] {
  const points: Point[] = []
  eachDrawnPoint(line, { fromS, toS }, width, (x, value) => points.push({ x, value }))
  return points
}
/** Over 500 s, with one point far out. */
const waveOf = (count: number): LaidLine =>
  laid(
    Array.from({ length: count }, (_, i) => (i * 500) / count),
    Array.from({ length: count }, (_, i) => Math.sin(i * 0.7) + (i === 4321 ? 5 : 0)),
  )
const wave = waveOf(10_000)

describe('a measured line', () => {
  it('leaves out empty cells and puts stamps that run back in order', () => {
    const { line } = laid([0, 2, 1, 3], [10, 12, 11, Number.NaN])
    expect([...line.timesS]).toEqual([0, 1, 2])
    expect([...line.values]).toEqual([10, 11, 12])
  })
  it.each([10_000, 200_000])('of %d points is drawn with four points a column at most, and covers what all its points cover', (count) => {
    const width = 800
    const line = waveOf(count)
    const points = drawn(line, 0, 500, width)
    expect(points.length).toBeLessThanOrEqual(4 * width)
    const columns = (all: readonly Point[]): Map<number, readonly [number, number]> => {
      const found = new Map<number, readonly [number, number]>()
      for (const { x, value } of all) {
        const [low, high] = found.get(Math.floor(x)) ?? [value, value]
        found.set(Math.floor(x), [Math.min(low, value), Math.max(high, value)])
      }
      return found
    }
    const every = Array.from(line.line.timesS, (s, i) => ({ x: s * (width / 500), value: line.line.values[i]! }))
    expect(columns(points)).toEqual(columns(every))
    expect(Math.max(...points.map((p) => p.value))).toBeGreaterThan(4)
    expect(heightsOf(line, { fromS: 0, toS: 500 })).toEqual([
      Math.min(...points.map((p) => p.value)),
      Math.max(...points.map((p) => p.value)),
    ])
    expect(points.every((p, i) => i === 0 || p.x >= points[i - 1]!.x)).toBe(true)
  })
  it('close by, every point is drawn, with one beyond either edge', () => {
    const points = drawn(wave, 100, 101, 800)
    expect(points).toHaveLength(22)
    expect(points[0]!.x).toBeLessThanOrEqual(0)
    expect(points.at(-1)!.x).toBeGreaterThan(800)
  })
  it('knows its heights in a window and its value at a time, moved and in another unit', () => {
    const moved = laid([0, 10], [1, 2], { startsAtS: 5, factor: 1000, plus: -7 })
    expect(valueAt(moved, 10)).toBe(1493)
    expect(valueAt(moved, 4)).toBeNull()
    expect(heightsOf(moved, { fromS: 0, toS: 100 })).toEqual([993, 1993])
    expect(heightsOf(moved, { fromS: 16, toS: 100 })).toBeNull()
    expect(heightsOf({ ...moved, factor: -1, plus: 0 }, { fromS: 0, toS: 100 })).toEqual([-2, -1])
  })
})
