import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Limit, maximise } from './linear-program.ts'

const atMost = (coefficients: readonly number[], limit: number): Limit => ({ coefficients, kind: 'at-most', limit })
const equal = (coefficients: readonly number[], limit: number): Limit => ({ coefficients, kind: 'equal', limit })

describe('maximise', () => {
  it('the textbook corner: max 3x + 5y, x <= 4, 2y <= 12, 3x + 2y <= 18 is 36 at (2, 6) (Hillier & Lieberman, memory)', () => {
    const found = maximise([3, 5], [atMost([1, 0], 4), atMost([0, 2], 12), atMost([3, 2], 18)])
    expect(found).toMatchObject({ how: 'found' })
    if (found.how !== 'found') return
    expect(found.value).toBeCloseTo(36, 10)
    expect(found.x[0]).toBeCloseTo(2, 10)
    expect(found.x[1]).toBeCloseTo(6, 10)
  })
  it('equalities and limits below zero', () => {
    const found = maximise([-1, -1], [equal([1, 2], 4), atMost([-1, 0], -1)])
    expect(found.how === 'found' && found.value).toBeCloseTo(-2.5, 10)
  })
  it('impossible and unbounded are said', () => {
    expect(maximise([1], [atMost([1], 1), atMost([-1], -2)]).how).toBe('impossible')
    expect(maximise([1, 0], [atMost([0, 1], 1)]).how).toBe('unbounded')
  })
  it("ends on Beale's cycling example, value 1/20 (E. M. L. Beale 1955, memory)", () => {
    const found = maximise(
      [0.75, -150, 0.02, -6],
      [atMost([0.25, -60, -0.04, 9], 0), atMost([0.5, -90, -0.02, 3], 0), atMost([0, 0, 1, 0], 1)],
    )
    expect(found.how === 'found' && found.value).toBeCloseTo(0.05, 10)
  })
  it('is never beaten by a feasible point and is itself feasible', () => {
    const small = fc.integer({ min: -3, max: 3 })
    const positive = fc.integer({ min: 0, max: 5 })
    fc.assert(
      fc.property(
        fc.array(small, { minLength: 3, maxLength: 3 }),
        fc.array(fc.tuple(fc.array(small, { minLength: 3, maxLength: 3 }), positive), { minLength: 1, maxLength: 4 }),
        (gains, rows) => {
          const limits = [...rows.map(([a, b]) => atMost(a, b)), atMost([1, 1, 1], 10)]
          const found = maximise(gains, limits)
          // zero is feasible and the last limit bounds everything
          expect(found.how).toBe('found')
          if (found.how !== 'found') return
          for (const l of limits) expect(l.coefficients.reduce((s, a, j) => s + a * found.x[j]!, 0)).toBeLessThanOrEqual(l.limit + 1e-7)
          for (let x = 0; x <= 4; x++)
            for (let y = 0; y <= 4; y++)
              for (let z = 0; z <= 4; z++) {
                const feasible = limits.every((l) => l.coefficients[0]! * x + l.coefficients[1]! * y + l.coefficients[2]! * z <= l.limit)
                if (feasible) expect(found.value).toBeGreaterThanOrEqual(gains[0]! * x + gains[1]! * y + gains[2]! * z - 1e-7)
              }
        },
      ),
      { numRuns: 200, seed: 20 },
    )
  })
})
