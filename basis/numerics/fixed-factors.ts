/** Numeric factors with the pivots of a plan, entry by entry; what falls out of them is for createSparseLu to repeat. */
import { LARGEST_MULTIPLIER, LEAST_PIVOT_LEFT, type SparsePlan } from './sparse-plan.ts'

/** Factors of shift·I − A by diagonal pivots in a fixed order. */
export interface FixedFactors {
  /** False when a pivot or a multiplier does not serve. `values` stand in the order of the pattern. */
  decompose(shift: number, values: Float64Array): boolean
  solve(b: Float64Array): void
  /** The same for `width` right sides at once, one row of `width` numbers a component; absent: one after the other is as fast. */
  solveMany?(b: Float64Array, width: number): void
}

export function createPlainFactors(plan: SparsePlan): FixedFactors {
  const { order, rowStart, diagonal, column, place, scatter, target } = plan
  const n = order.length
  const given = scatter.length
  /** L without its unit diagonal, U with reciprocal pivots on the diagonal. */
  const lu = new Float64Array(rowStart[n]!)

  return {
    decompose(shift, values) {
      lu.fill(0)
      for (let s = 0; s < given; s++) lu[scatter[s]!] = -values[s]!
      let t = 0
      let largest = 0
      for (let p = 0; p < n; p++) {
        const d = diagonal[p]!
        const diagonalBefore = lu[d]! + shift
        lu[d] = diagonalBefore
        for (let e = rowStart[p]!; e < d; e++) {
          const k = place[e]!
          const dk = diagonal[k]!
          const multiplier = lu[e]! * lu[dk]!
          lu[e] = multiplier
          const size = Math.abs(multiplier)
          if (size > largest) largest = size
          const end = rowStart[k + 1]!
          for (let q = dk + 1; q < end; q++) {
            const at = target[t++]!
            lu[at] = lu[at]! - multiplier * lu[q]!
          }
        }
        if (Math.abs(lu[d]) < LEAST_PIVOT_LEFT * Math.abs(diagonalBefore)) return false
        const reciprocal = 1 / lu[d]
        lu[d] = reciprocal
        // Infinite for a zero pivot, zero for an infinite one, NaN for a spoilt one.
        if (reciprocal === 0 || !Number.isFinite(reciprocal)) return false
      }
      return largest <= LARGEST_MULTIPLIER
    },
    solve(b) {
      for (let p = 1; p < n; p++) {
        const end = diagonal[p]!
        const row = order[p]!
        let sum = b[row]!
        for (let e = rowStart[p]!; e < end; e++) sum -= lu[e]! * b[column[e]!]!
        b[row] = sum
      }
      for (let p = n - 1; p >= 0; p--) {
        const d = diagonal[p]!
        const end = rowStart[p + 1]!
        const row = order[p]!
        let sum = b[row]!
        // The unknown found last comes last, so that the sum does not wait for it.
        for (let e = end - 1; e > d; e--) sum -= lu[e]! * b[column[e]!]!
        b[row] = sum * lu[d]!
      }
    },
    solveMany(b, width) {
      const subtract = (row: number, e: number): void => {
        const factor = lu[e]!
        const to = order[row]! * width
        const from = column[e]! * width
        for (let k = 0; k < width; k++) b[to + k] = b[to + k]! - factor * b[from + k]!
      }
      for (let p = 1; p < n; p++) for (let e = rowStart[p]!; e < diagonal[p]!; e++) subtract(p, e)
      for (let p = n - 1; p >= 0; p--) {
        for (let e = rowStart[p + 1]! - 1; e > diagonal[p]!; e--) subtract(p, e)
        const reciprocal = lu[diagonal[p]!]!
        const to = order[p]! * width
        for (let k = 0; k < width; k++) b[to + k] = b[to + k]! * reciprocal
      }
    },
  }
}
