/**
 * Largest value of a linear form under linear limits, for the few unknowns of net reactions: the two-phase simplex method
 * with Bland's rule, which cannot cycle (R. G. Bland, Math. Oper. Res. 2 (1977) 103).
 */

/** sum of coefficients * x  (at most | equal to)  limit */
export interface Limit {
  readonly coefficients: readonly number[]
  readonly kind: 'at-most' | 'equal'
  readonly limit: number
}

export type LinearOptimum =
  | { readonly how: 'found'; readonly value: number; readonly x: readonly number[] }
  | { readonly how: 'impossible' }
  | { readonly how: 'unbounded' }

const ZERO = 1e-10
const zeros = (count: number): number[] => Array.from({ length: count }, () => 0)

/** One pivot of the tableau: row `r` becomes the one of column `c`. */
function pivot(rows: number[][], basis: number[], r: number, c: number): void {
  const lead = rows[r]!
  const scale = lead[c]!
  for (let j = 0; j < lead.length; j++) lead[j] = lead[j]! / scale
  rows.forEach((row, i) => {
    const factor = row[c]!
    if (i === r || factor === 0) return
    for (let j = 0; j < row.length; j++) row[j] = row[j]! - factor * lead[j]!
  })
  basis[r] = c
}

/** Pivots until no column improves the objective, which is the last row; false when it has no bound. Columns from `columns` on are not entered. */
function improve(rows: number[][], basis: number[], columns: number): boolean {
  const objective = rows.length - 1
  for (;;) {
    const right = rows[objective]!.length - 1
    let c = -1
    for (let j = 0; j < columns && c < 0; j++) if (rows[objective]![j]! < -ZERO) c = j
    if (c < 0) return true
    let r = -1
    let best = Number.POSITIVE_INFINITY
    for (let i = 0; i < objective; i++) {
      const a = rows[i]![c]!
      if (a <= ZERO) continue
      const ratio = rows[i]![right]! / a
      if (ratio < best - ZERO || (ratio < best + ZERO && r >= 0 && basis[i]! < basis[r]!)) {
        best = Math.min(best, ratio)
        r = i
      }
    }
    if (r < 0) return false
    pivot(rows, basis, r, c)
  }
}

/**
 * Maximises `gains` · x over x >= 0 under `limits`. Scale the problem so that its numbers lie around 1: differences below
 * 1e-10 count as zero.
 */
export function maximise(gains: readonly number[], limits: readonly Limit[]): LinearOptimum {
  const n = gains.length
  const m = limits.length
  const slacks = limits.filter((l) => l.kind === 'at-most').length
  const width = n + slacks + m + 1
  const rows: number[][] = []
  const basis: number[] = []
  let slack = n
  limits.forEach((limit, i) => {
    const row = zeros(width)
    limit.coefficients.forEach((a, j) => (row[j] = a))
    if (limit.kind === 'at-most') row[slack++] = 1
    row[width - 1] = limit.limit
    if (limit.limit < 0) for (let j = 0; j < width; j++) row[j] = -row[j]!
    row[n + slacks + i] = 1 // artificial
    rows.push(row)
    basis.push(n + slacks + i)
  })
  // phase one: drive the artificial unknowns to zero
  const first = zeros(width)
  for (const row of rows) for (let j = 0; j < width; j++) if (j < n + slacks || j === width - 1) first[j] = first[j]! - row[j]!
  rows.push(first)
  improve(rows, basis, n + slacks)
  if (rows[m]![width - 1]! < -1e-8) return { how: 'impossible' }
  for (let i = 0; i < m; i++) {
    if (basis[i]! < n + slacks) continue
    const c = rows[i]!.findIndex((a, j) => j < n + slacks && Math.abs(a) > ZERO)
    if (c >= 0) pivot(rows, basis, i, c)
  }
  // phase two
  const second = zeros(width)
  gains.forEach((g, j) => (second[j] = -g))
  basis.forEach((b, i) => {
    const factor = second[b]!
    if (factor !== 0) for (let j = 0; j < width; j++) second[j] = second[j]! - factor * rows[i]![j]!
  })
  rows[m] = second
  if (!improve(rows, basis, n + slacks)) return { how: 'unbounded' }
  const x = zeros(n)
  basis.forEach((b, i) => {
    if (b < n) x[b] = rows[i]![width - 1]!
  })
  return { how: 'found', value: gains.reduce((sum, g, j) => sum + g * x[j]!, 0), x }
}
