import { describe, expect, it } from 'vitest'
import { swingsOf, timeAtPlace } from './swings.ts'

const times = (values: readonly number[], stepS: number): readonly number[] => {
  const at = Float64Array.from(values, (_, i) => i * stepS)
  return swingsOf(values).map((place) => timeAtPlace(at, place))
}
const course = (count: number, value: (i: number) => number): readonly number[] => Array.from({ length: count }, (_, i) => value(i))
/** Park and Miller's generator (1988), uniform within ±1. */
function scatter(seed: number): () => number {
  let s = seed
  return () => {
    s = (s * 48271) % 2147483647
    return (2 * s) / 2147483647 - 1
  }
}

describe('swings of a trace', () => {
  it('stand where a cosine passes zero: at odd quarters of its period', () => {
    const found = times(
      course(601, (i) => Math.cos((2 * Math.PI * i * 0.1) / 20)),
      0.1,
    )
    expect(found).toHaveLength(6)
    // zeros of cos(2 pi t / 20 s): t = 5, 15, 25, 35, 45, 55 s
    found.forEach((t, k) => expect(t).toBeCloseTo(5 + 10 * k, 6))
  })
  it('are the same under drift and scatter below a tenth of the height', () => {
    const next = scatter(7)
    const found = times(
      course(601, (i) => Math.cos((2 * Math.PI * i * 0.1) / 20) + 0.001 * i + 0.1 * next()),
      0.1,
    )
    expect(found).toHaveLength(6)
    found.forEach((t, k) => expect(Math.abs(t - (5 + 10 * k))).toBeLessThan(1))
  })
  it('a single step is one swing at its middle', () => {
    expect(
      times(
        course(200, (i) => (i < 100 ? 0 : i > 110 ? 1 : (i - 100) / 10)),
        1,
      ),
    ).toEqual([105])
  })
  it('there are none in scatter, in a flat trace, in too few points or in nothing', () => {
    const next = scatter(3)
    expect(swingsOf(course(500, () => next()))).toEqual([])
    expect(swingsOf(course(500, () => 7))).toEqual([])
    expect(swingsOf([1, 2, 3])).toEqual([])
    expect(swingsOf([])).toEqual([])
  })
  it('steps over cells that are empty', () => {
    const values = course(200, (i) => (i % 3 === 1 ? Number.NaN : i < 100 ? 0 : 1))
    const [at, ...more] = times(values, 1)
    expect(more).toEqual([])
    expect(Math.abs(at! - 99.5)).toBeLessThan(1)
  })
})
