import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createDenseLu, solveDense } from './dense-lu.ts'
import type { SparsePattern } from './ode.ts'
import { createSparseLu, entryOf, fullPattern, patternOf } from './sparse-lu.ts'

/** max |(shift·I − A) x − b| / (‖A‖‖x‖ + ‖b‖): the backward error, which is what an elimination promises. */
function backwardError(pattern: SparsePattern, values: Float64Array, shift: number, x: Float64Array, b: Float64Array): number {
  let worst = 0
  const scale = Math.max(...x.map(Math.abs))
  for (let i = 0; i < pattern.size; i++) {
    let sum = shift * x[i]! - b[i]!
    let size = Math.abs(shift) * scale + Math.abs(b[i]!)
    for (let p = pattern.rowStart[i]!; p < pattern.rowStart[i + 1]!; p++) {
      sum -= values[p]! * x[pattern.columns[p]!]!
      size += Math.abs(values[p]!) * scale
    }
    if (sum !== 0) worst = Math.max(worst, Math.abs(sum) / size)
  }
  return worst
}

const network = fc.integer({ min: 1, max: 24 }).chain((size) =>
  fc.record({
    size: fc.constant(size),
    places: fc.array(fc.tuple(fc.nat(size - 1), fc.nat(size - 1)), { maxLength: 4 * size }),
    // Loss rates as in kinetics, over twelve decades; what is lost appears elsewhere, so columns add up to zero.
    exponents: fc.array(fc.double({ min: -6, max: 6, noNaN: true }), { minLength: 4 * size, maxLength: 4 * size }),
    shift: fc.double({ min: -2, max: 4, noNaN: true }).map((e) => 10 ** e),
    right: fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: size, maxLength: size }),
  }),
)

describe('sparse factors of a fixed pattern', () => {
  it('solve random kinetic matrices with a backward error of rounding size, without leaving the fixed order', () => {
    fc.assert(
      fc.property(network, ({ size, places, exponents, shift, right }) => {
        const pattern = patternOf(size, places)
        const values = new Float64Array(pattern.columns.length)
        for (const [e, [i, j]] of places.entries()) {
          if (i === j) continue
          const rate = 10 ** exponents[e]!
          values[entryOf(pattern, i, j)]! += rate
          values[entryOf(pattern, j, j)]! -= rate
        }
        const lu = createSparseLu(pattern)
        expect(lu.decompose(shift, values)).toBe(true)
        expect(lu.pivoted).toBe(false)
        const b = Float64Array.from(right)
        const x = b.slice()
        lu.solve(x)
        expect(backwardError(pattern, values, shift, x, b)).toBeLessThan(1e-14)
      }),
      { numRuns: 300, seed: 20 },
    )
  })

  it('keep an arrow matrix free of fill, whose hub in natural order would fill everything', () => {
    const n = 50
    const places = Array.from({ length: n }, (_, i) => [[0, i] as const, [i, 0] as const]).flat()
    const lu = createSparseLu(patternOf(n, places))
    expect(lu.entries).toBe(3 * n - 2)
    // Eliminated late: only when one spoke is left does the hub cost no more than that spoke.
    expect([...lu.order].indexOf(0)).toBeGreaterThanOrEqual(n - 2)
  })

  it('keep a tridiagonal matrix free of fill', () => {
    const n = 40
    const lu = createSparseLu(patternOf(n, Array.from({ length: n - 1 }, (_, i) => [[i, i + 1] as const, [i + 1, i] as const]).flat()))
    expect(lu.entries).toBe(3 * n - 2)
  })

  it('fall back to partial pivoting when a diagonal pivot vanishes, and come back', () => {
    const pattern = fullPattern(2)
    const lu = createSparseLu(pattern)
    const b = Float64Array.of(3, 5)
    // 0·I − A with A = −[[0, 1], [1, 0]]: solution (5, 3).
    expect(lu.decompose(0, Float64Array.of(0, -1, -1, 0))).toBe(true)
    expect(lu.pivoted).toBe(true)
    lu.solve(b)
    expect([...b]).toEqual([5, 3])
    expect(lu.decompose(1, Float64Array.of(0, 0, 0, 0))).toBe(true)
    expect(lu.pivoted).toBe(false)
  })

  it('fall back when a pivot is not zero but far too small', () => {
    const pattern = fullPattern(2)
    const lu = createSparseLu(pattern)
    // [[1e-20, 1], [1, 1]] x = (1, 2): x = (1, 1) to rounding; without exchange x1 would come out 0 (Forsythe's example).
    expect(lu.decompose(0, Float64Array.of(-1e-20, -1, -1, -1))).toBe(true)
    const b = Float64Array.of(1, 2)
    lu.solve(b)
    expect(b[0]).toBeCloseTo(1, 14)
    expect(b[1]).toBeCloseTo(1, 14)
  })

  it('say so when the matrix is singular or not finite', () => {
    const lu = createSparseLu(fullPattern(2))
    expect(lu.decompose(0, Float64Array.of(1, 2, 2, 4))).toBe(false)
    expect(lu.decompose(1, Float64Array.of(Number.NaN, 0, 0, 0))).toBe(false)
    expect(lu.decompose(1, Float64Array.of(Number.POSITIVE_INFINITY, 0, 0, 0))).toBe(false)
  })
})

describe('dense factors', () => {
  it('invert a Hilbert matrix as its closed form says (H⁻¹ of order 3 is an integer matrix)', () => {
    const hilbert = Array.from({ length: 9 }, (_, p) => 1 / (Math.floor(p / 3) + (p % 3) + 1))
    const inverse = [0, 1, 2].map((j) => [
      ...solveDense(
        hilbert,
        [0, 1, 2].map((i) => (i === j ? 1 : 0)),
      )!,
    ])
    for (const [j, want] of [
      [9, -36, 30],
      [-36, 192, -180],
      [30, -180, 180],
    ].entries()) {
      for (const [i, w] of want.entries()) expect(inverse[j]![i]!).toBeCloseTo(w, 9)
    }
  })

  it('refuse a singular matrix and one that is not a number', () => {
    expect(solveDense([1, 2, 2, 4], [1, 1])).toBeNull()
    expect(solveDense([Number.NaN, 0, 0, 1], [1, 1])).toBeNull()
  })

  it('are reused without allocating: the same object solves a second matrix', () => {
    const lu = createDenseLu(2)
    for (const [a, want] of [
      [
        [2, 0, 0, 4],
        [1, 0.5],
      ],
      [
        [0, 1, 2, 0],
        [1, 2],
      ],
    ] as const) {
      lu.matrix.set(a)
      expect(lu.decompose()).toBe(true)
      const b = Float64Array.of(2, 2)
      lu.solve(b)
      expect([...b]).toEqual([...want])
    }
  })
})

describe('patterns', () => {
  it('are sorted, merged and always have the diagonal', () => {
    const pattern = patternOf(3, [
      [0, 2],
      [0, 2],
      [2, 0],
    ])
    expect([...pattern.rowStart]).toEqual([0, 2, 3, 5])
    expect([...pattern.columns]).toEqual([0, 2, 1, 0, 2])
    expect(entryOf(pattern, 2, 0)).toBe(3)
    expect(entryOf(pattern, 1, 0)).toBe(-1)
  })
})
