import { invariant } from '../problems/index.ts'
import { createDenseLu, type DenseLu } from './dense-lu.ts'
import { createDenseTail, tailOf } from './dense-tail.ts'
import { createFixedFactors } from './fixed-factors.ts'
import type { SparsePattern } from './ode.ts'
import { LEAST_PIVOT_LEFT, planFactors, type SparsePlan } from './sparse-plan.ts'

/** Above this size there is no dense fallback (its matrix would take more than 18 MB); the matrix counts as singular. */
export const LARGEST_DENSE = 1500

/** Factors of shift·I − A for a matrix A of fixed pattern. */
export interface SparseLu {
  readonly size: number
  /** Elimination order: order[p] is the row (and column) eliminated as the p-th. */
  readonly order: Int32Array
  /** Entries of L and U together, the fill included. */
  readonly entries: number
  /** Multiply-subtract pairs of one decomposition. */
  readonly operations: number
  /** Numeric factors of shift·I − values; false when singular or not finite. `values` stand in the order of the pattern. */
  decompose(shift: number, values: Float64Array): boolean
  /** Overwrites b with the solution of (shift·I − A) x = b, from the last good decomposition. */
  solve(b: Float64Array): void
  /** The same for `width` right sides at once, one row of `width` numbers a component. */
  solveMany(b: Float64Array, width: number): void
  /** Whether the last decomposition had to be done dense, with partial pivoting. */
  readonly pivoted: boolean
}

/**
 * Sparse factorisation of shift·I − A with symbolic work done once: order, fill and every index are fixed, so that
 * `decompose` and `solve` only move numbers and allocate nothing. Pivots are the diagonal ones, which is safe for the
 * matrices of stiff integrators with small enough steps; when a pivot is zero, has cancelled to less than 1e-12 of its diagonal,
 * or a multiplier exceeds 1e8, that one decomposition is repeated dense with partial pivoting (up to 1500 unknowns; above, it
 * counts as singular). If a pivot cancels there too, the matrix counts as singular, and an integrator shortens its step.
 * The last `tail` unknowns are eliminated as a dense block, with the same results to the last bit (but for the sign of zero).
 */
export function createSparseLu(pattern: SparsePattern, plan: SparsePlan = planFactors(pattern), tail: number = tailOf(plan)): SparseLu {
  const n = pattern.size
  const factors = createFixedFactors(plan, createDenseTail(tail, 1))
  let fallback: DenseLu | null = null
  let pivoted = false

  function decomposeDense(shift: number, values: Float64Array): boolean {
    if (n > LARGEST_DENSE) return false
    fallback ??= createDenseLu(n)
    const m = fallback.matrix
    m.fill(0)
    for (let i = 0; i < n; i++) {
      for (let p = pattern.rowStart[i]!; p < pattern.rowStart[i + 1]!; p++) m[i * n + pattern.columns[p]!] = -values[p]!
      m[i * n + i] = m[i * n + i]! + shift
    }
    return fallback.decompose(LEAST_PIVOT_LEFT)
  }

  return {
    size: n,
    order: plan.order,
    entries: plan.rowStart[n]!,
    operations: plan.target.length,
    get pivoted() {
      return pivoted
    },
    decompose(shift, values) {
      pivoted = !factors.decompose(shift, values)
      return pivoted ? decomposeDense(shift, values) : true
    },
    solve(b) {
      if (pivoted) fallback?.solve(b)
      else factors.solve(b)
    },
    solveMany(b, width) {
      if (pivoted) eachColumn(b, n, width, (column) => fallback?.solve(column))
      else if (factors.solveMany !== undefined) factors.solveMany(b, width)
      else eachColumn(b, n, width, (column) => factors.solve(column))
    },
  }
}

/** Solves for one right side after the other, of `width` that stand in rows. */
function eachColumn(b: Float64Array, n: number, width: number, solve: (column: Float64Array) => void): void {
  const column = new Float64Array(n)
  for (let k = 0; k < width; k++) {
    for (let i = 0; i < n; i++) column[i] = b[i * width + k]!
    solve(column)
    for (let i = 0; i < n; i++) b[i * width + k] = column[i]!
  }
}

/** A pattern from a list of (row, column) places; the diagonal is added, repeats are merged. */
export function patternOf(size: number, places: Iterable<readonly [row: number, column: number]>): SparsePattern {
  const rows: Set<number>[] = Array.from({ length: size }, (_, i) => new Set([i]))
  for (const [i, j] of places) {
    invariant(i >= 0 && i < size && j >= 0 && j < size, `place (${i}, ${j}) lies outside a matrix of size ${size}`)
    rows[i]!.add(j)
  }
  const rowStart = new Int32Array(size + 1)
  for (let i = 0; i < size; i++) rowStart[i + 1] = rowStart[i]! + rows[i]!.size
  const columns = new Int32Array(rowStart[size]!)
  for (const [i, row] of rows.entries()) columns.set(Int32Array.from(row).sort(), rowStart[i])
  return { size, rowStart, columns }
}

/** A full pattern, for small systems. */
export function fullPattern(size: number): SparsePattern {
  const rowStart = Int32Array.from({ length: size + 1 }, (_, i) => i * size)
  return { size, rowStart, columns: Int32Array.from({ length: size * size }, (_, p) => p % size) }
}

/** Index of entry (row, column) in the pattern, or -1. */
export function entryOf(pattern: SparsePattern, row: number, column: number): number {
  for (let p = pattern.rowStart[row]!; p < pattern.rowStart[row + 1]!; p++) if (pattern.columns[p] === column) return p
  return -1
}
