import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CANCELLED, createGeneratedTail, createPlainTail, type DenseTail, tailOf } from './dense-tail.ts'
import { createPlainFactors } from './fixed-factors.ts'
import { createSparseLu, entryOf, patternOf } from './sparse-lu.ts'
import { planFactors } from './sparse-plan.ts'
import { createTailedFactors } from './tailed-factors.ts'

/** Zeros of both signs are one. */
const plain = (values: Float64Array): number[] => [...values].map((x) => x + 0)

/** Fills the block by rows, the rest as its page says. */
function fill(tail: DenseTail, rows: readonly (readonly number[])[]): void {
  const { size, stride, matrix, before, right } = tail
  matrix.fill(0)
  before.fill(1)
  for (let i = 0; i < stride; i++) matrix[i * stride + i] = 1
  for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) matrix[j * stride + i] = rows[i]![j]!
  for (let i = 0; i < size; i++) before[i] = rows[i]![i]!
  for (let i = 0; i < stride; i++) right[i] = i < size ? 1 + i : 0
}

const block = fc.integer({ min: 1, max: 23 }).chain((size) =>
  fc.array(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: size, maxLength: size }), {
    minLength: size,
    maxLength: size,
  }),
)

describe('a dense block', () => {
  it('is eliminated and solved by generated code to the last bit as by plain loops, and its solution satisfies the equations', () => {
    fc.assert(
      fc.property(block, (entries) => {
        const size = entries.length
        const rows = entries.map((row, i) => row.map((x, j) => (i === j ? 2 * size + x : x)))
        const answers = [createPlainTail(size), createGeneratedTail(size)!].map((tail) => {
          fill(tail, rows)
          const largest = tail.eliminate()
          tail.forward()
          tail.backward()
          return [largest, ...plain(tail.matrix), ...plain(tail.right)]
        })
        expect(answers[1]).toEqual(answers[0])
        const x = answers[0]!.slice(-createPlainTail(size).stride)
        for (const [i, row] of rows.entries()) {
          const left = row.reduce((sum, a, j) => sum + a * x[j]!, 0)
          expect(Math.abs(left - (1 + i))).toBeLessThan(1e-12 * size)
        }
      }),
      { numRuns: 200, seed: 3 },
    )
  })

  it.each([
    ['zero', 0],
    ['infinite', Infinity],
    ['not a number', Number.NaN],
    ['cancelled', 1e-13],
  ])('says when a pivot is %s, wherever it stands', (_, pivot) => {
    for (const size of [1, 4, 6, 9]) {
      for (let at = 0; at < size; at++) {
        for (const tail of [createPlainTail(size), createGeneratedTail(size)!]) {
          const rows = Array.from({ length: size }, (_row, i) => Array.from({ length: size }, (_column, j) => (i === j ? 1 : 0)))
          rows[at]![at] = pivot
          fill(tail, rows)
          tail.before[at] = 1
          expect(tail.eliminate()).toBe(CANCELLED)
        }
      }
    }
  })

  it('tells its largest multiplier, wherever it stands', () => {
    for (const [i, j] of [
      [1, 0],
      [5, 0],
      [7, 1],
      [6, 3],
      [8, 7],
    ] as const) {
      for (const tail of [createPlainTail(9), createGeneratedTail(9)!]) {
        const rows = Array.from({ length: 9 }, (_row, p) => Array.from({ length: 9 }, (_column, q) => (p === q ? 1 : 0)))
        rows[i]![j] = -1e9
        fill(tail, rows)
        expect(tail.eliminate()).toBe(1e9)
      }
    }
  })
})

/** A random kinetic matrix: what is lost from one place appears in another. */
const network = fc.integer({ min: 2, max: 30 }).chain((size) =>
  fc.record({
    size: fc.constant(size),
    tail: fc.integer({ min: 1, max: size }),
    places: fc.array(fc.tuple(fc.nat(size - 1), fc.nat(size - 1)), { maxLength: 5 * size }),
    exponents: fc.array(fc.double({ min: -6, max: 6, noNaN: true }), { minLength: 5 * size, maxLength: 5 * size }),
    shift: fc.double({ min: -2, max: 4, noNaN: true }).map((e) => 10 ** e),
    right: fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: size, maxLength: size }),
  }),
)

describe('factors whose last unknowns are a dense block', () => {
  it('are those without a block to the last bit, whatever its size, one and many right sides', () => {
    fc.assert(
      fc.property(network, ({ size, tail, places, exponents, shift, right }) => {
        const pattern = patternOf(size, places)
        const values = new Float64Array(pattern.columns.length)
        for (const [e, [i, j]] of places.entries()) {
          if (i === j) continue
          values[entryOf(pattern, i, j)]! += 10 ** exponents[e]!
          values[entryOf(pattern, j, j)]! -= 10 ** exponents[e]!
        }
        const plan = planFactors(pattern)
        const wanted = createPlainFactors(plan)
        expect(wanted.decompose(shift, values)).toBe(true)
        const x = Float64Array.from(right)
        wanted.solve(x)
        for (const made of [createPlainTail(tail), createGeneratedTail(tail)!]) {
          const factors = createTailedFactors(plan, made)
          // Twice: nothing of the first decomposition may be left in the second.
          factors.decompose(3 * shift, values)
          expect(factors.decompose(shift, values)).toBe(true)
          const b = Float64Array.from(right)
          factors.solve(b)
          expect(plain(b)).toEqual(plain(x))
        }
        const lu = createSparseLu(pattern, plan, tail)
        expect(lu.decompose(shift, values)).toBe(true)
        const many = Float64Array.from(right.flatMap((v) => [v, 2 * v, -v]))
        lu.solveMany(many, 3)
        expect(plain(many.filter((_, i) => i % 3 === 0))).toEqual(plain(x))
        expect(plain(many.filter((_, i) => i % 3 === 1))).toEqual(plain(x.map((v) => 2 * v)))
      }),
      { numRuns: 300, seed: 4 },
    )
  })

  it('fall back to partial pivoting when a pivot inside the block vanishes, and come back', () => {
    const n = 6
    const pattern = patternOf(
      n,
      Array.from({ length: n * n }, (_, p) => [Math.floor(p / n), p % n] as const),
    )
    // −A is the identity with its last two rows exchanged.
    const minus = (exchanged: boolean) =>
      Float64Array.from({ length: n * n }, (_, p) => {
        const [i, j] = [Math.floor(p / n), p % n]
        return -(i === (exchanged && j >= n - 2 ? 2 * n - 3 - j : j) ? 1 : 0)
      })
    const lu = createSparseLu(pattern, planFactors(pattern), 4)
    const b = Float64Array.of(1, 2, 3, 4, 5, 6)
    expect(lu.decompose(0, minus(true))).toBe(true)
    expect(lu.pivoted).toBe(true)
    lu.solve(b)
    expect([...b]).toEqual([1, 2, 3, 4, 6, 5])
    expect(lu.decompose(0, minus(false))).toBe(true)
    expect(lu.pivoted).toBe(false)
  })

  it('are taken where fill gathers, and not where there is none', () => {
    const chain = patternOf(300, Array.from({ length: 299 }, (_, i) => [[i, i + 1] as const, [i + 1, i] as const]).flat())
    expect(tailOf(planFactors(chain))).toBe(0)
    const full = patternOf(
      80,
      Array.from({ length: 6400 }, (_, p) => [Math.floor(p / 80), p % 80] as const),
    )
    expect(tailOf(planFactors(full))).toBe(80)
    // Each of 1500 places with three others that have nothing to do with it: the end fills up.
    const scattered = patternOf(
      1500,
      Array.from({ length: 4500 }, (_, e) => [e % 1500, (e * 7919 + ((e * e) % 1013)) % 1500] as const),
    )
    const tail = tailOf(planFactors(scattered))
    expect(tail).toBeGreaterThan(40)
    expect(tail).toBeLessThan(400)
  })
})
