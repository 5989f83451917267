import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findRoot } from './root.ts'

function counted(f: (x: number) => number): { f: (x: number) => number; calls: () => number } {
  let calls = 0
  return { f: (x) => f((calls++, x)), calls: () => calls }
}

describe('findRoot', () => {
  it('finds known roots to the tolerance', () => {
    expect(findRoot((x) => x * x - 2, 0, 2, 1e-14)).toBeCloseTo(Math.SQRT2, 13)
    // x³ − 2x − 5 = 0, Wallis's example: 2.0945514815423265…
    expect(findRoot((x) => x ** 3 - 2 * x - 5, 2, 3, 1e-14)).toBeCloseTo(2.0945514815423265, 13)
    expect(findRoot((x) => Math.cos(x) - x, 0, 1, 1e-14)).toBeCloseTo(0.7390851332151607, 13)
  })

  it('never needs more than one evaluation beyond bisection and the two ends, however ugly the function', () => {
    const ugly = [
      (x: number) => (x < 0.123 ? -1e-300 : 1e300),
      (x: number) => (x - 0.7) ** 21,
      (x: number) => Math.exp(50 * (x - 0.3)) - 1,
      (x: number) => (x === 0.4 ? 0 : 1 / (x - 0.4)),
    ]
    for (const g of ugly) {
      const { f, calls } = counted(g)
      expect(findRoot(f, 0, 1, 1e-9)).not.toBeNull()
      expect(calls()).toBeLessThanOrEqual(2 + Math.ceil(Math.log2(1 / 2e-9)) + 1)
    }
  })

  it('needs far fewer on a smooth function', () => {
    const { f, calls } = counted((x) => x ** 3 - 2 * x - 5)
    findRoot(f, 2, 3, 1e-14)
    expect(calls()).toBeLessThan(14)
  })

  it('is always within the tolerance of a sign change, for lines with any slope and any place of the root', () => {
    const place = fc.double({ min: -100, max: 100, noNaN: true })
    const slope = fc.double({ min: -12, max: 12, noNaN: true }).map((e) => 10 ** e)
    fc.assert(
      fc.property(place, slope, fc.boolean(), (root, k, falling) => {
        const x = findRoot((at) => (falling ? -k : k) * (at - root), -101, 103, 1e-10)
        expect(Math.abs(x! - root)).toBeLessThanOrEqual(1.1e-10)
      }),
      { seed: 5 },
    )
  })

  it('returns an end that is a root, and null without a sign change or with a value that is no number', () => {
    expect(findRoot((x) => x, 0, 1, 1e-9)).toBe(0)
    expect(findRoot((x) => x - 1, 0, 1, 1e-9)).toBe(1)
    expect(findRoot((x) => x + 1, 0, 1, 1e-9)).toBeNull()
    expect(findRoot(() => Number.NaN, 0, 1, 1e-9)).toBeNull()
  })
})
