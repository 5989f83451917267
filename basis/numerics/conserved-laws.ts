import { invariant } from '../problems/index.ts'

/** Entries below this share of the largest count as zero while laws are sought: stoichiometric numbers are small and nearly exact. */
const NOTHING = 1e-9

/**
 * Independent rows w with w·N = 0 for a stoichiometric matrix N (`rows` × `columns`, row-major): every linear total that no rate
 * can change, whether or not it is an element. Each law is a Float64Array of `rows` weights; none when N has full row rank.
 */
export function leftNullSpace(matrix: ArrayLike<number>, rows: number, columns: number): readonly Float64Array[] {
  // [N | I] by row operations with the largest pivot of the rest; rows of N that become zero carry a law in their right half.
  const a = Array.from({ length: rows }, (_, i) => Float64Array.from({ length: columns }, (__, j) => matrix[i * columns + j]!))
  const right = Array.from({ length: rows }, (_, i) => Float64Array.from({ length: rows }, (__, j) => (i === j ? 1 : 0)))
  const largest = Math.max(0, ...a.flatMap((row) => Array.from(row, Math.abs)))
  const done = new Uint8Array(columns)
  let rank = 0
  while (rank < rows) {
    let pivotRow = -1
    let pivotColumn = -1
    let size = NOTHING * largest
    for (let i = rank; i < rows; i++) {
      for (let j = 0; j < columns; j++) {
        if (done[j] === 0 && Math.abs(a[i]![j]!) > size) {
          size = Math.abs(a[i]![j]!)
          pivotRow = i
          pivotColumn = j
        }
      }
    }
    if (pivotRow < 0) break
    done[pivotColumn] = 1
    ;[a[rank], a[pivotRow]] = [a[pivotRow]!, a[rank]!]
    ;[right[rank], right[pivotRow]] = [right[pivotRow]!, right[rank]!]
    for (let i = rank + 1; i < rows; i++) {
      const factor = a[i]![pivotColumn]! / a[rank]![pivotColumn]!
      if (factor === 0) continue
      for (let j = 0; j < columns; j++) a[i]![j] = a[i]![j]! - factor * a[rank]![j]!
      for (let j = 0; j < rows; j++) right[i]![j] = right[i]![j]! - factor * right[rank]![j]!
    }
    rank++
  }
  return right.slice(rank).map((law) => law.map((w) => (Math.abs(w) < NOTHING ? 0 : w)))
}

/** Totals solved for some of the components: y_d = total_d − Σ_f row_df y_f. */
export interface ReducedLaws {
  /** Components that the totals give. */
  readonly dependent: Int32Array
  /** All others. */
  readonly free: Int32Array
  /** One row of `size` a dependent component: 1 at its own place, 0 at those of the other dependent ones. */
  readonly rows: Float64Array
  readonly totals: Float64Array
}

/**
 * Chooses for every law the component that holds most of its total, so that the difference above is never a small one of large
 * amounts where that can be avoided. Laws that depend on those before are left out.
 *
 * @param amounts sizes by which components are ranked
 * @param totals Σ w y of each law
 */
export function reduceLaws(laws: readonly Float64Array[], amounts: ArrayLike<number>, totals: ArrayLike<number>): ReducedLaws {
  const n = amounts.length
  const rows = laws.map((law) => {
    invariant(law.length === n, `a law of ${law.length} weights for ${n} components`)
    return law.slice()
  })
  const sums = Float64Array.from(laws, (_, l) => totals[l]!)
  let most = 0
  for (let j = 0; j < n; j++) most = Math.max(most, Math.abs(amounts[j]!))
  // Components that are absent may still have to be chosen: they count as very little, not as nothing.
  const size = (j: number): number => Math.max(Math.abs(amounts[j]!), 1e-12 * most, Number.MIN_VALUE)
  const dependent: number[] = []
  let kept = 0
  for (let l = 0; l < rows.length; l++) {
    const row = rows[l]!
    const largest = row.reduce((a, w) => Math.max(a, Math.abs(w)), 0)
    let pivot = -1
    let best = 0
    for (let j = 0; j < n; j++) {
      if (Math.abs(row[j]!) <= NOTHING * Math.max(1, largest)) continue
      const weight = Math.abs(row[j]!) * size(j)
      if (weight > best) {
        best = weight
        pivot = j
      }
    }
    if (pivot < 0) continue
    const scale = row[pivot]!
    for (let j = 0; j < n; j++) row[j] = row[j]! / scale
    sums[l] = sums[l]! / scale
    for (let i = 0; i < rows.length; i++) {
      const factor = rows[i]![pivot]!
      if (i === l || factor === 0) continue
      for (let j = 0; j < n; j++) rows[i]![j] = rows[i]![j]! - factor * row[j]!
      rows[i]![pivot] = 0
      sums[i] = sums[i]! - factor * sums[l]!
    }
    rows[kept] = row
    sums[kept] = sums[l]!
    if (kept !== l) rows[l] = new Float64Array(n)
    dependent.push(pivot)
    kept++
  }
  const flat = new Float64Array(kept * n)
  for (let l = 0; l < kept; l++) flat.set(rows[l]!, l * n)
  return {
    dependent: Int32Array.from(dependent),
    free: Int32Array.from({ length: n }, (_, j) => j).filter((j) => !dependent.includes(j)),
    rows: flat,
    totals: sums.slice(0, kept),
  }
}
