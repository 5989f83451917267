/**
 * Straight-line code for the factorisation of shift·I − A and its triangular solves: what sparse-lu.ts does with tables, operation for operation in the same
 * order. Factors live in locals while they are made and in memory afterwards.
 */
import { LARGEST_MULTIPLIER, LEAST_PIVOT_LEFT, type SparsePlan } from './sparse-plan.ts'
import { WasmBody } from './wasm-encoder.ts'
import { storeInPairs } from './wasm-sums.ts'

const DOUBLE = 8

/** (shift) → 1 when the fixed pivots serve, 0 when the matrix needs others. Reads −A at `minusA`, writes the factors to `factors`. */
export function emitDecompose(plan: SparsePlan, minusA: number, factors: number): WasmBody {
  const { rowStart, diagonal, place, scatter, target } = plan
  const n = diagonal.length
  const body = new WasmBody(['f64'])
  const shift = 0
  const from = new Int32Array(rowStart[n]!).fill(-1)
  for (const [s, entry] of scatter.entries()) from[entry] = s
  /** Largest multiplier so far, in both lanes; the vector operation takes one instruction where the scalar one takes a branch. */
  const largest = body.local('pair')
  const serves = body.local('i32')
  const before = body.local('f64')
  const pivot = body.local('f64')
  const reciprocal = body.local('f64')
  body.int(1).set(serves)
  const entryLocal = new Int32Array(rowStart[n]!).fill(-1)
  let t = 0
  for (let p = 0; p < n; p++) {
    const d = diagonal[p]!
    /** Entries of this row that hold a value already; fill starts as zero. */
    for (let e = rowStart[p]!; e < rowStart[p + 1]!; e++) {
      const local = body.local('f64')
      entryLocal[e] = local
      if (from[e]! >= 0) body.load({ offset: minusA + DOUBLE * from[e]! })
      else body.double(0)
      if (e === d) body.get(shift).do('add').tee(before)
      body.set(local)
    }
    for (let e = rowStart[p]!; e < d; e++) {
      const k = place[e]!
      const dk = diagonal[k]!
      const multiplier = entryLocal[e]!
      body.get(largest)
      body.get(multiplier).get(entryLocal[dk]!).do('mul').tee(multiplier)
      body.doPair('splat', 'abs', 'largerOf').set(largest)
      for (let q = dk + 1; q < rowStart[k + 1]!; q++) {
        const changed = entryLocal[target[t++]!]!
        body.get(changed).get(multiplier).get(entryLocal[q]!).do('mul', 'sub').set(changed)
      }
    }
    body.get(entryLocal[d]!).set(pivot)
    body.double(1).get(pivot).do('div').tee(reciprocal).set(entryLocal[d]!)
    // Not (|pivot| < least · |before|), and 0 < |reciprocal| < infinity, which a NaN is not.
    body.get(pivot).do('abs').double(LEAST_PIVOT_LEFT).get(before).do('abs', 'mul', 'less', 'i32.eqz')
    body.double(0).get(reciprocal).do('abs', 'less', 'i32.and')
    body.get(reciprocal).do('abs').double(Number.POSITIVE_INFINITY).do('less', 'i32.and')
    body.get(serves).do('i32.and').set(serves)
    for (let e = rowStart[p]!; e < rowStart[p + 1]!; e++) {
      body
        .int(0)
        .get(entryLocal[e]!)
        .store({ offset: factors + DOUBLE * e })
    }
  }
  body.get(serves)
  body.get(largest).lane(0).double(LARGEST_MULTIPLIER).do('atMost', 'i32.and')
  return body
}

/** (address) → (): overwrites the n doubles there by the solution, from the factors at `factors`. With an odd n the double after them becomes zero. */
export function emitSolve(plan: SparsePlan, factors: number): WasmBody {
  const { order, rowStart, diagonal, place } = plan
  const n = order.length
  const body = new WasmBody(['i32'])
  const address = 0
  /** By place in the order of elimination. */
  const unknown = Array.from(order, () => body.local('f64'))
  const factor = (e: number): void => void body.load({ offset: factors + DOUBLE * e })
  for (let p = 0; p < n; p++) {
    body.load({ from: address, offset: DOUBLE * order[p]! })
    for (let e = rowStart[p]!; e < diagonal[p]!; e++) {
      factor(e)
      body.get(unknown[place[e]!]!).do('mul', 'sub')
    }
    body.set(unknown[p]!)
  }
  for (let p = n - 1; p >= 0; p--) {
    const d = diagonal[p]!
    body.get(unknown[p]!)
    for (let e = rowStart[p + 1]! - 1; e > d; e--) {
      factor(e)
      body.get(unknown[place[e]!]!).do('mul', 'sub')
    }
    factor(d)
    body.do('mul').set(unknown[p]!)
  }
  /** Local of each component. */
  const solution = new Map(Array.from(order, (component, p) => [component, unknown[p]!]))
  storeInPairs(body, n, { from: address, offset: 0 }, (i) => body.get(solution.get(i)!))
  return body
}
