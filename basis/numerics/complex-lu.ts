import { createDenseLu, type DenseLu } from './dense-lu.ts'
import type { SparsePattern } from './ode.ts'
import { LARGEST_DENSE } from './sparse-lu.ts'
import { LARGEST_MULTIPLIER, LEAST_PIVOT_LEFT, planFactors, type SparsePlan } from './sparse-plan.ts'

/** Factors of (re + i im)·I − A for a real matrix A of fixed pattern. */
export interface ComplexLu {
  /** False when singular or not finite. `values` stand in the order of the pattern. */
  decompose(re: number, im: number, values: Float64Array): boolean
  /** Overwrites real parts and imaginary parts, `size` of each, by those of the solution. */
  solve(real: Float64Array, imaginary: Float64Array): void
  /** Whether the last decomposition had to be done dense, with partial pivoting. */
  readonly pivoted: boolean
}

const MOST_GROWTH = LARGEST_MULTIPLIER ** 2
const LEAST_LEFT = LEAST_PIVOT_LEFT ** 2

/** createSparseLu for a complex shift, with the same plan: order, guards, and the dense repetition in real numbers of twice the size (below 750 unknowns). */
export function createComplexLu(pattern: SparsePattern, plan: SparsePlan = planFactors(pattern)): ComplexLu {
  const n = pattern.size
  const { order, rowStart, diagonal, column, place, scatter, target } = plan
  const given = pattern.columns.length
  /** L without its unit diagonal, U with reciprocal pivots; real and imaginary part side by side. */
  const lu = new Float64Array(2 * rowStart[n]!)
  let fallback: DenseLu | null = null
  let twice = new Float64Array(0)
  let pivoted = false

  function decomposeFixed(re: number, im: number, values: Float64Array): boolean {
    lu.fill(0)
    for (let s = 0; s < given; s++) lu[2 * scatter[s]!] = -values[s]!
    let t = 0
    let largest = 0
    for (let p = 0; p < n; p++) {
      const d = 2 * diagonal[p]!
      const beforeRe = lu[d]! + re
      lu[d] = beforeRe
      lu[d + 1] = im
      for (let e = 2 * rowStart[p]!; e < d; e += 2) {
        const k = place[e >> 1]!
        const dk = 2 * diagonal[k]!
        const a = lu[e]! * lu[dk]! - lu[e + 1]! * lu[dk + 1]!
        const b = lu[e]! * lu[dk + 1]! + lu[e + 1]! * lu[dk]!
        lu[e] = a
        lu[e + 1] = b
        const size = a * a + b * b
        if (size > largest) largest = size
        const end = 2 * rowStart[k + 1]!
        for (let q = dk + 2; q < end; q += 2) {
          const at = 2 * target[t++]!
          lu[at] = lu[at]! - (a * lu[q]! - b * lu[q + 1]!)
          lu[at + 1] = lu[at + 1]! - (a * lu[q + 1]! + b * lu[q]!)
        }
      }
      const pivot = lu[d]
      const pivotIm = lu[d + 1]!
      const square = pivot * pivot + pivotIm * pivotIm
      if (square < LEAST_LEFT * (beforeRe * beforeRe + im * im)) return false
      const reciprocal = 1 / square
      // Infinite for a zero pivot, zero for an infinite one, NaN for a spoilt one.
      if (reciprocal === 0 || !Number.isFinite(reciprocal)) return false
      lu[d] = pivot * reciprocal
      lu[d + 1] = -pivotIm * reciprocal
    }
    return largest <= MOST_GROWTH
  }

  function decomposeDense(re: number, im: number, values: Float64Array): boolean {
    if (2 * n > LARGEST_DENSE) return false
    fallback ??= createDenseLu(2 * n)
    twice = new Float64Array(2 * n)
    const m = fallback.matrix
    m.fill(0)
    const wide = 2 * n
    for (let i = 0; i < n; i++) {
      for (let p = pattern.rowStart[i]!; p < pattern.rowStart[i + 1]!; p++) {
        const j = pattern.columns[p]!
        m[i * wide + j] = -values[p]!
        m[(n + i) * wide + n + j] = -values[p]!
      }
      m[i * wide + i] = m[i * wide + i]! + re
      m[(n + i) * wide + n + i] = m[(n + i) * wide + n + i]! + re
      m[i * wide + n + i] = -im
      m[(n + i) * wide + i] = im
    }
    return fallback.decompose(LEAST_PIVOT_LEFT)
  }

  return {
    get pivoted() {
      return pivoted
    },
    decompose(re, im, values) {
      pivoted = !decomposeFixed(re, im, values)
      return pivoted ? decomposeDense(re, im, values) : true
    },
    solve(real, imaginary) {
      if (pivoted) {
        twice.set(real)
        twice.set(imaginary, n)
        fallback?.solve(twice)
        real.set(twice.subarray(0, n))
        imaginary.set(twice.subarray(n))
        return
      }
      for (let p = 1; p < n; p++) {
        const end = diagonal[p]!
        const row = order[p]!
        let a = real[row]!
        let b = imaginary[row]!
        for (let e = rowStart[p]!; e < end; e++) {
          const from = column[e]!
          a -= lu[2 * e]! * real[from]! - lu[2 * e + 1]! * imaginary[from]!
          b -= lu[2 * e]! * imaginary[from]! + lu[2 * e + 1]! * real[from]!
        }
        real[row] = a
        imaginary[row] = b
      }
      for (let p = n - 1; p >= 0; p--) {
        const d = diagonal[p]!
        const row = order[p]!
        let a = real[row]!
        let b = imaginary[row]!
        // The unknown found last comes last, so that the sum does not wait for it.
        for (let e = rowStart[p + 1]! - 1; e > d; e--) {
          const from = column[e]!
          a -= lu[2 * e]! * real[from]! - lu[2 * e + 1]! * imaginary[from]!
          b -= lu[2 * e]! * imaginary[from]! + lu[2 * e + 1]! * real[from]!
        }
        real[row] = a * lu[2 * d]! - b * lu[2 * d + 1]!
        imaginary[row] = a * lu[2 * d + 1]! + b * lu[2 * d]!
      }
    },
  }
}
