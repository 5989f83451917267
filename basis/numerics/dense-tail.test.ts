import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createComplexFactors } from './complex-factors.ts'
import { createComplexLu } from './complex-lu.ts'
import { createGeneratedTail, createPlainTail, type DenseTail, tailOf } from './dense-tail.ts'
import { createFixedFactors } from './fixed-factors.ts'
import { createSparseLu, entryOf, patternOf } from './sparse-lu.ts'
import { planFactors } from './sparse-plan.ts'
import { CANCELLED, type Parts } from './wasm-tail.ts'

/** Zeros of both signs are one. */
const plain = (values: Float64Array): number[] => [...values].map((x) => x + 0)

type Complex = readonly [re: number, im: number]
const times = ([a, b]: Complex, [c, d]: Complex): Complex => [a * c - b * d, a * d + b * c]

/** Fills the block by rows, the rest as its page says; imaginary parts only where the block has them. */
function fill(tail: DenseTail, rows: readonly (readonly Complex[])[]): void {
  const { size, stride, matrix, before, right } = tail
  before.fill(1)
  for (const [part, entries] of matrix.entries()) {
    entries.fill(0)
    for (let i = size; i < stride; i++) entries[i * stride + i] = 1 - part
    for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) entries[j * stride + i] = rows[i]![j]![part]!
    for (let i = 0; i < stride; i++) right[part]![i] = i < size ? 1 + i - 3 * part : 0
  }
  for (let i = 0; i < size; i++) {
    const [re, im] = rows[i]![i]!
    before[i] = matrix.length === 1 ? Math.abs(re) : re * re + im * im
  }
}

const number = fc.double({ min: -1, max: 1, noNaN: true })
const block = fc
  .integer({ min: 1, max: 23 })
  .chain((size) => fc.array(fc.array(fc.tuple(number, number), { minLength: size, maxLength: size }), { minLength: size, maxLength: size }))
/** Ones on the diagonal but for one entry. */
const withOne = (size: number, i: number, j: number, value: Complex): readonly (readonly Complex[])[] =>
  Array.from({ length: size }, (_row, p) =>
    Array.from({ length: size }, (_column, q): Complex => (p === i && q === j ? value : [p === q ? 1 : 0, 0])),
  )
const bothOf = (size: number, parts: Parts): readonly DenseTail[] => [createPlainTail(size, parts), createGeneratedTail(size, parts)!]

describe.each<[string, Parts]>([
  ['real', 1],
  ['complex', 2],
])('a dense block of %s numbers', (_, parts) => {
  it('is eliminated and solved by generated code to the last bit as by plain loops, and its solution satisfies the equations', () => {
    fc.assert(
      fc.property(block, (entries) => {
        const size = entries.length
        const rows = entries.map((row, i) => row.map(([re, im], j): Complex => [i === j ? 2 * size + re : re, parts === 2 ? im : 0]))
        const tails = bothOf(size, parts)
        const answers = tails.map((tail) => {
          fill(tail, rows)
          const largest = tail.eliminate()
          tail.forward()
          tail.backward()
          return [largest, ...tail.matrix.flatMap(plain), ...tail.right.flatMap(plain)]
        })
        expect(answers[1]).toEqual(answers[0])
        const [re, im] = tails[0]!.right
        for (const [i, row] of rows.entries()) {
          const products = row.map((a, j) => times(a, [re![j]!, im?.[j] ?? 0]))
          expect(Math.abs(products.reduce((sum, [x]) => sum + x, 0) - (1 + i))).toBeLessThan(1e-12 * size)
          if (parts === 2) expect(Math.abs(products.reduce((sum, [, y]) => sum + y, 0) - (i - 2))).toBeLessThan(1e-12 * size)
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
  ])('says when a pivot is %s, wherever it stands', (_why, pivot) => {
    for (const size of [1, 4, 6, 9]) {
      for (let at = 0; at < size; at++) {
        for (const tail of bothOf(size, parts)) {
          fill(tail, withOne(size, at, at, [pivot, 0]))
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
      for (const tail of bothOf(9, parts)) {
        fill(tail, withOne(9, i, j, [-3e8, parts === 2 ? 4e8 : 0]))
        expect(tail.eliminate()).toBe(parts === 2 ? 2.5e17 : 3e8)
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
        const wanted = createFixedFactors(plan, createPlainTail(0, 1))
        expect(wanted.decompose(shift, values)).toBe(true)
        const x = Float64Array.from(right)
        wanted.solve(x)
        for (const made of bothOf(tail, 1)) {
          const factors = createFixedFactors(plan, made)
          // Twice: nothing of the first decomposition may be left in the second.
          factors.decompose(3 * shift, values)
          expect(factors.decompose(shift, values)).toBe(true)
          const b = Float64Array.from(right)
          factors.solve(b)
          expect(plain(b)).toEqual(plain(x))
        }
        const wantedToo = createComplexFactors(plan, createPlainTail(0, 2))
        expect(wantedToo.decompose(shift, 0.7 * shift, values)).toBe(true)
        const [re, im] = [Float64Array.from(right), Float64Array.from(right).reverse()]
        wantedToo.solve(re, im)
        for (const made of bothOf(tail, 2)) {
          const factors = createComplexFactors(plan, made)
          factors.decompose(3 * shift, shift, values)
          expect(factors.decompose(shift, 0.7 * shift, values)).toBe(true)
          const [a, b] = [Float64Array.from(right), Float64Array.from(right).reverse()]
          factors.solve(a, b)
          expect([...plain(a), ...plain(b)]).toEqual([...plain(re), ...plain(im)])
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
    const complex = createComplexLu(pattern, planFactors(pattern), 4)
    const [re, im] = [Float64Array.of(1, 2, 3, 4, 5, 6), Float64Array.of(0, 0, 0, 0, 1, 0)]
    expect(complex.decompose(0, 0, minus(true))).toBe(true)
    expect(complex.pivoted).toBe(true)
    complex.solve(re, im)
    expect([[...re], [...im]]).toEqual([
      [1, 2, 3, 4, 6, 5],
      [0, 0, 0, 0, 0, 1],
    ])
    expect(lu.decompose(0, minus(false))).toBe(true)
    expect(lu.pivoted).toBe(false)
  })

  it.each([0, 1, 2, 4, 6])('count a matrix as singular when a pivot has cancelled, with %i unknowns in the block', (tail) => {
    const n = 6
    const pattern = patternOf(
      n,
      Array.from({ length: n * n }, (_, p) => [Math.floor(p / n), p % n] as const),
    )
    const plan = planFactors(pattern)
    // The identity, but for the last two places in the order of elimination: [[1, 1], [1, 1 + left]].
    const minus = (left: number) => {
      const values = Float64Array.from({ length: n * n }, (_, p) => (Math.floor(p / n) === p % n ? -1 : 0))
      const [i, j] = plan.order.slice(-2)
      values[i! * n + j!] = -1
      values[j! * n + i!] = -1
      values[j! * n + j!] = -1 - left
      return values
    }
    const lu = createSparseLu(pattern, plan, tail)
    const complex = createComplexLu(pattern, plan, tail)
    expect(lu.decompose(0, minus(1e-13))).toBe(false)
    expect(complex.decompose(0, 0, minus(1e-13))).toBe(false)
    for (const good of [lu.decompose(0, minus(1e-11)), complex.decompose(0, 0, minus(1e-11))]) expect(good).toBe(true)
    expect([lu.pivoted, complex.pivoted]).toEqual([false, false])
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
