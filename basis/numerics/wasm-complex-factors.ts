/**
 * Straight-line code for the factorisation of c·I − A and its solves, two complex shifts c at once: each lane of a vector instruction holds one of them. What
 * complex-lu.ts does with tables, operation for operation in the same order.
 */
import { LARGEST_MULTIPLIER, LEAST_PIVOT_LEFT, type SparsePlan } from './sparse-plan.ts'
import { WasmBody } from './wasm-encoder.ts'

const DOUBLE = 8
const PAIR = 16

/** Bytes of the factors of two shifts. */
export const pairFactorBytes = (plan: SparsePlan): number => 2 * PAIR * plan.column.length

/** Pushes the real, then the imaginary part of the product of two complex pairs held in locals. */
function product(body: WasmBody, a: number, b: number, c: number, d: number, part: 'real' | 'imaginary'): void {
  if (part === 'real') body.get(a).get(c).doPair('mul').get(b).get(d).doPair('mul', 'sub')
  else body.get(a).get(d).doPair('mul').get(b).get(c).doPair('mul', 'add')
}

/** (re₀, im₀, re₁, im₁, factors) → 1 when the fixed pivots serve for both, else 0. Reads −A at `minusA`. */
export function emitDecomposePair(plan: SparsePlan, minusA: number): WasmBody {
  const { rowStart, diagonal, place, scatter, target } = plan
  const n = diagonal.length
  const body = new WasmBody(['f64', 'f64', 'f64', 'f64', 'i32'])
  const factors = 4
  const from = new Int32Array(rowStart[n]!).fill(-1)
  for (const [s, entry] of scatter.entries()) from[entry] = s
  const local = (): number => body.local('pair')
  const [shiftRe, shiftIm, largest, bad, check, before, square, reciprocal, re, im] = Array.from({ length: 10 }, local) as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ]
  body
    .pair(
      () => body.get(0),
      () => body.get(2),
    )
    .set(shiftRe)
  body
    .pair(
      () => body.get(1),
      () => body.get(3),
    )
    .set(shiftIm)
  const real = new Int32Array(rowStart[n]!)
  const imaginary = new Int32Array(rowStart[n]!)
  let t = 0
  for (let p = 0; p < n; p++) {
    const d = diagonal[p]!
    for (let e = rowStart[p]!; e < rowStart[p + 1]!; e++) {
      real[e] = local()
      imaginary[e] = local()
      if (from[e]! >= 0) body.load({ offset: minusA + DOUBLE * from[e]! })
      else body.double(0)
      body.doPair('splat')
      if (e === d) body.get(shiftRe).doPair('add').tee(before)
      body.set(real[e]!)
      if (e === d) body.get(shiftIm)
      else body.double(0).doPair('splat')
      body.set(imaginary[e]!)
    }
    for (let e = rowStart[p]!; e < d; e++) {
      const k = place[e]!
      const dk = diagonal[k]!
      const [a, b] = [real[e]!, imaginary[e]!]
      product(body, a, b, real[dk]!, imaginary[dk]!, 'real')
      body.set(re)
      product(body, a, b, real[dk]!, imaginary[dk]!, 'imaginary')
      body.set(b).get(re).set(a)
      body.get(largest).get(a).get(a).doPair('mul').get(b).get(b).doPair('mul', 'add', 'largerOf').set(largest)
      for (let q = dk + 1; q < rowStart[k + 1]!; q++) {
        const at = target[t++]!
        body.get(real[at]!)
        product(body, a, b, real[q]!, imaginary[q]!, 'real')
        body.doPair('sub').set(real[at]!)
        body.get(imaginary[at]!)
        product(body, a, b, real[q]!, imaginary[q]!, 'imaginary')
        body.doPair('sub').set(imaginary[at]!)
      }
    }
    body.get(real[d]!).set(re).get(imaginary[d]!).set(im)
    body.get(re).get(re).doPair('mul').get(im).get(im).doPair('mul', 'add').set(square)
    body.get(bad).get(square)
    body.double(LEAST_PIVOT_LEFT ** 2).doPair('splat')
    body.get(before).get(before).doPair('mul').get(shiftIm).get(shiftIm).doPair('mul', 'add', 'mul', 'less', 'or').set(bad)
    body.double(1).doPair('splat').get(square).doPair('div').set(reciprocal)
    // Not 0 < reciprocal < infinity: infinity less itself is not a number, and a reciprocal of zero comes from an infinite square.
    body.get(check).get(reciprocal).get(reciprocal).doPair('sub', 'add').get(square).get(square).doPair('sub', 'add').set(check)
    body.get(re).get(reciprocal).doPair('mul').set(real[d]!)
    body.get(im).doPair('neg').get(reciprocal).doPair('mul').set(imaginary[d]!)
    for (let e = rowStart[p]!; e < rowStart[p + 1]!; e++) {
      body
        .get(factors)
        .get(real[e]!)
        .storePair({ from: factors, offset: 2 * PAIR * e })
      body
        .get(factors)
        .get(imaginary[e]!)
        .storePair({ from: factors, offset: 2 * PAIR * e + PAIR })
    }
  }
  body.get(bad).doPair('any').do('i32.eqz')
  body.get(check).lane(0).get(check).lane(1).do('add').double(0).do('equal', 'i32.and')
  for (const lane of [0, 1] as const)
    body
      .get(largest)
      .lane(lane)
      .double(LARGEST_MULTIPLIER ** 2)
      .do('atMost', 'i32.and')
  return body
}

/**
 * (factors, first, second) → (): each address is that of a row of real parts, with its imaginary parts `row` bytes behind; both are overwritten by the
 * solution for the first and the second shift. Two equal addresses are one system solved twice.
 */
export function emitSolvePair(plan: SparsePlan, row: number): WasmBody {
  const { order, rowStart, diagonal, place } = plan
  const n = order.length
  const body = new WasmBody(['i32', 'i32', 'i32'])
  const [factors, first, second] = [0, 1, 2]
  const real = Array.from(order, () => body.local('pair'))
  const imaginary = Array.from(order, () => body.local('pair'))
  const a = body.local('pair')
  const b = body.local('pair')
  const load = (offset: number): void =>
    void body.pair(
      () => body.load({ from: first, offset }),
      () => body.load({ from: second, offset }),
    )
  const factor = (e: number): void => {
    body.loadPair({ from: factors, offset: 2 * PAIR * e }).set(a)
    body.loadPair({ from: factors, offset: 2 * PAIR * e + PAIR }).set(b)
  }
  /** unknown_p −= factor_e · unknown_q. */
  const subtract = (p: number, e: number): void => {
    const q = place[e]!
    factor(e)
    body.get(real[p]!)
    product(body, a, b, real[q]!, imaginary[q]!, 'real')
    body.doPair('sub').set(real[p]!)
    body.get(imaginary[p]!)
    product(body, a, b, real[q]!, imaginary[q]!, 'imaginary')
    body.doPair('sub').set(imaginary[p]!)
  }
  const sum = body.local('pair')
  for (let p = 0; p < n; p++) {
    load(DOUBLE * order[p]!)
    body.set(real[p]!)
    load(row + DOUBLE * order[p]!)
    body.set(imaginary[p]!)
    for (let e = rowStart[p]!; e < diagonal[p]!; e++) subtract(p, e)
  }
  for (let p = n - 1; p >= 0; p--) {
    for (let e = rowStart[p + 1]! - 1; e > diagonal[p]!; e--) subtract(p, e)
    factor(diagonal[p]!)
    product(body, real[p]!, imaginary[p]!, a, b, 'real')
    body.set(sum)
    product(body, real[p]!, imaginary[p]!, a, b, 'imaginary')
    body.set(imaginary[p]!).get(sum).set(real[p]!)
    const at = DOUBLE * order[p]!
    for (const [which, offset] of [
      [real[p]!, at],
      [imaginary[p]!, row + at],
    ] as const) {
      body.get(second).get(which).lane(1).store({ from: second, offset })
      body.get(first).get(which).lane(0).store({ from: first, offset })
    }
  }
  return body
}
