import { type ReducedLaws, reduceLaws } from './conserved-laws.ts'
import { createDenseLu } from './dense-lu.ts'
import { type Eigenvalues, eigenvalues } from './eigenvalues.ts'
import type { OdeSystem } from './ode.ts'

/**
 * The equations of a steady state: f_i(y) = 0 for the free components and the totals for the dependent ones, so that the matrix is
 * regular wherever the steady state is isolated at its totals.
 */
export interface SteadyEquations {
  readonly size: number
  readonly reduced: ReducedLaws
  /** Fills `out` with the residuals (rates, or missing totals) and `matrix` (row-major) with their derivatives. */
  fill(y: Float64Array, out: Float64Array, matrix: Float64Array): void
  /** Largest |f_i| over the sum of the flows |J_ij y_j| that make it: about 1e-16 where a state is steady to rounding. */
  imbalance(y: Float64Array): number
  /** Eigenvalues of J on the plane of constant totals, one a free component; null when not finite. */
  spectrum(y: Float64Array): Eigenvalues | null
}

/** Equations for a system with its laws (empty: none) and totals; `amounts` rank the components as in `reduceLaws`. */
export function steadyEquations(
  system: OdeSystem,
  laws: readonly Float64Array[],
  totals: ArrayLike<number>,
  amounts: ArrayLike<number>,
): SteadyEquations {
  const n = system.size
  const { rowStart, columns } = system.pattern
  const reduced = reduceLaws(laws, amounts, totals)
  const { dependent, free, rows } = reduced
  const values = new Float64Array(columns.length)
  const rates = new Float64Array(n)

  return {
    size: n,
    reduced,
    fill(y, out, matrix) {
      system.rates(0, y, out)
      system.jacobian(0, y, values)
      matrix.fill(0)
      for (const i of free) for (let p = rowStart[i]!; p < rowStart[i + 1]!; p++) matrix[i * n + columns[p]!] = values[p]!
      for (let d = 0; d < dependent.length; d++) {
        const i = dependent[d]!
        let sum = -reduced.totals[d]!
        for (let j = 0; j < n; j++) {
          matrix[i * n + j] = rows[d * n + j]!
          sum += rows[d * n + j]! * y[j]!
        }
        out[i] = sum
      }
    },
    imbalance(y) {
      system.rates(0, y, rates)
      system.jacobian(0, y, values)
      let worst = 0
      for (let i = 0; i < n; i++) {
        let flow = Math.abs(rates[i]!)
        for (let p = rowStart[i]!; p < rowStart[i + 1]!; p++) flow += Math.abs(values[p]! * y[columns[p]!]!)
        if (flow > 0) worst = Math.max(worst, Math.abs(rates[i]!) / flow)
      }
      return worst
    },
    spectrum(y) {
      system.jacobian(0, y, values)
      const dense = new Float64Array(n * n)
      for (let i = 0; i < n; i++) for (let p = rowStart[i]!; p < rowStart[i + 1]!; p++) dense[i * n + columns[p]!] = values[p]!
      const m = free.length
      const small = new Float64Array(m * m)
      for (let a = 0; a < m; a++) {
        for (let b = 0; b < m; b++) {
          let sum = dense[free[a]! * n + free[b]!]!
          for (let d = 0; d < dependent.length; d++) sum -= dense[free[a]! * n + dependent[d]!]! * rows[d * n + free[b]!]!
          small[a * m + b] = sum
        }
      }
      return eigenvalues(small, m)
    },
  }
}

/** A dense solver that scales rows and columns first: concentrations and rates differ by many decades. */
export interface ScaledSolver {
  /**
   * Solves A x = b; A (row-major) and b are overwritten. `columnScale` gives the typical size of each unknown. False when singular:
   * a pivot has cancelled to 1e-14 of its column.
   */
  solve(matrix: Float64Array, b: Float64Array, columnScale: ArrayLike<number>): boolean
}

const LEAST_PIVOT_LEFT = 1e-14

/** Buffers for systems of this size. */
export function createScaledSolver(size: number): ScaledSolver {
  const lu = createDenseLu(size)
  return {
    solve(matrix, b, columnScale) {
      for (let i = 0; i < size; i++) {
        let largest = 0
        for (let j = 0; j < size; j++) {
          const scaled = matrix[i * size + j]! * columnScale[j]!
          lu.matrix[i * size + j] = scaled
          largest = Math.max(largest, Math.abs(scaled))
        }
        if (!(largest > 0 && largest < Infinity)) return false
        for (let j = 0; j < size; j++) lu.matrix[i * size + j] = lu.matrix[i * size + j]! / largest
        b[i] = b[i]! / largest
      }
      if (!lu.decompose(LEAST_PIVOT_LEFT)) return false
      lu.solve(b)
      for (let j = 0; j < size; j++) b[j] = b[j]! * columnScale[j]!
      return b.every(Number.isFinite)
    },
  }
}
