import { createComplexFactors } from './complex-factors.ts'
import { createDenseLu, type DenseLu } from './dense-lu.ts'
import { createDenseTail, tailOf } from './dense-tail.ts'
import type { SparsePattern } from './ode.ts'
import { LARGEST_DENSE } from './sparse-lu.ts'
import { LEAST_PIVOT_LEFT, planFactors, type SparsePlan } from './sparse-plan.ts'

/** Factors of (re + i im)·I − A for a real matrix A of fixed pattern. */
export interface ComplexLu {
  /** False when singular or not finite. `values` stand in the order of the pattern. */
  decompose(re: number, im: number, values: Float64Array): boolean
  /** Overwrites real parts and imaginary parts, `size` of each, by those of the solution. */
  solve(real: Float64Array, imaginary: Float64Array): void
  /** Whether the last decomposition had to be done dense, with partial pivoting. */
  readonly pivoted: boolean
}

/** createSparseLu for a complex shift, with the same plan: order, guards, dense block, and the dense repetition in real numbers of twice the size (below 750 unknowns). */
export function createComplexLu(pattern: SparsePattern, plan: SparsePlan = planFactors(pattern), tail: number = tailOf(plan)): ComplexLu {
  const n = pattern.size
  const factors = createComplexFactors(plan, createDenseTail(tail, 2))
  let fallback: DenseLu | null = null
  let twice = new Float64Array(0)
  let pivoted = false

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
      pivoted = !factors.decompose(re, im, values)
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
      factors.solve(real, imaginary)
    },
  }
}
