import { invariant } from '../problems/index.ts'
import { createDenseLu, type DenseLu } from './dense-lu.ts'
import type { SparsePattern } from './ode.ts'

/** A multiplier larger than this means that the fixed pivot order has lost about half of the digits. */
export const LARGEST_MULTIPLIER = 1e8
/**
 * A pivot that elimination has reduced to less than this share of the diagonal it began with has fewer than four digits left. In
 * kinetics that is h k > 1e12: a cycle of first-order rate k so fast that shift·I is lost in it. Exchanging rows does not help.
 */
export const LEAST_PIVOT_LEFT = 1e-12
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
 * Diagonal pivots in the order that makes the least fill, chosen greedily by the Markowitz count (r−1)(c−1) of the
 * remaining pattern, lowest number first among equals (H. M. Markowitz 1957, Management Science 3, 255–269).
 * Returns the order and the filled rows, as sets of columns.
 */
function markowitzOrder(pattern: SparsePattern): { order: Int32Array; rows: Set<number>[] } {
  const n = pattern.size
  const rows: Set<number>[] = []
  const liveRow: Set<number>[] = []
  const liveColumn: Set<number>[] = []
  for (let i = 0; i < n; i++) {
    rows.push(new Set())
    liveRow.push(new Set())
    liveColumn.push(new Set())
  }
  for (let i = 0; i < n; i++) {
    for (let p = pattern.rowStart[i]!; p < pattern.rowStart[i + 1]!; p++) {
      const j = pattern.columns[p]!
      rows[i]!.add(j)
      if (i === j) continue
      liveRow[i]!.add(j)
      liveColumn[j]!.add(i)
    }
  }
  const order = new Int32Array(n)
  const done = new Uint8Array(n)
  /** Count and number in one, as they stand now, and as they stood: an entry that is no longer true is passed over. */
  const keyOf = (i: number): number => liveRow[i]!.size * liveColumn[i]!.size * n + i
  const heap = createHeap(Array.from({ length: n }, (_, i) => keyOf(i)))
  for (let step = 0; step < n; step++) {
    let key = heap.takeLeast()
    while (done[key % n] === 1 || key !== keyOf(key % n)) key = heap.takeLeast()
    const pivot = key % n
    order[step] = pivot
    done[pivot] = 1
    const across = liveRow[pivot]!
    const down = liveColumn[pivot]!
    for (const j of across) liveColumn[j]!.delete(pivot)
    for (const i of down) {
      liveRow[i]!.delete(pivot)
      for (const j of across) {
        if (i === j || rows[i]!.has(j)) continue
        rows[i]!.add(j)
        liveRow[i]!.add(j)
        liveColumn[j]!.add(i)
      }
    }
    for (const i of down) heap.add(keyOf(i))
    for (const j of across) if (!down.has(j)) heap.add(keyOf(j))
  }
  return { order, rows }
}

/** The least number first; any number may be added at any time. */
function createHeap(numbers: number[]): { takeLeast(): number; add(x: number): void } {
  // An ascending list is a heap.
  const held = numbers.sort((a, b) => a - b)
  return {
    takeLeast() {
      const least = held[0]!
      const last = held.pop()!
      const size = held.length
      let hole = 0
      for (;;) {
        let child = 2 * hole + 1
        if (child >= size) break
        if (child + 1 < size && held[child + 1]! < held[child]!) child++
        if (held[child]! >= last) break
        held[hole] = held[child]!
        hole = child
      }
      if (size > 0) held[hole] = last
      return least
    },
    add(x) {
      let hole = held.push(x) - 1
      while (hole > 0) {
        const parent = (hole - 1) >> 1
        if (held[parent]! <= x) break
        held[hole] = held[parent]!
        hole = parent
      }
      held[hole] = x
    },
  }
}

/** Where everything stands: computed once for a pattern, then only numbers move; generated code is written from it. */
export interface SparsePlan {
  readonly order: Int32Array
  /** Row p (in elimination order) of L and U at [rowStart[p], rowStart[p+1]): L part ascending, diagonal, U part ascending. */
  readonly rowStart: Int32Array
  readonly diagonal: Int32Array
  /** Column of each entry in the caller's numbering, and in elimination order. */
  readonly column: Int32Array
  readonly place: Int32Array
  /** Entry of LU that receives each entry of the pattern. */
  readonly scatter: Int32Array
  /** For each L entry in order, and each U entry of its pivot row: the entry of the row that is changed. */
  readonly target: Int32Array
}

/** Order, fill and indices of a factorisation with diagonal pivots. */
export function planFactors(pattern: SparsePattern): SparsePlan {
  const n = pattern.size
  const { order, rows } = markowitzOrder(pattern)
  const position = new Int32Array(n)
  for (let p = 0; p < n; p++) position[order[p]!] = p
  const rowStart = new Int32Array(n + 1)
  for (let p = 0; p < n; p++) rowStart[p + 1] = rowStart[p]! + rows[order[p]!]!.size
  const entries = rowStart[n]!
  const column = new Int32Array(entries)
  const place = new Int32Array(entries)
  const diagonal = new Int32Array(n)
  for (let p = 0; p < n; p++) {
    const places = [...rows[order[p]!]!].map((j) => position[j]!).sort((a, b) => a - b)
    for (const [k, at] of places.entries()) {
      const e = rowStart[p]! + k
      place[e] = at
      column[e] = order[at]!
      if (at === p) diagonal[p] = e
    }
  }
  const find = new Int32Array(n).fill(-1)
  const scatter = new Int32Array(pattern.columns.length)
  let operations = 0
  for (let p = 0; p < n; p++) {
    for (let e = rowStart[p]!; e < diagonal[p]!; e++) operations += rowStart[place[e]! + 1]! - diagonal[place[e]!]! - 1
  }
  const target = new Int32Array(operations)
  let t = 0
  for (let p = 0; p < n; p++) {
    for (let e = rowStart[p]!; e < rowStart[p + 1]!; e++) find[place[e]!] = e
    const row = order[p]!
    for (let s = pattern.rowStart[row]!; s < pattern.rowStart[row + 1]!; s++) scatter[s] = find[position[pattern.columns[s]!]!]!
    for (let e = rowStart[p]!; e < diagonal[p]!; e++) {
      const k = place[e]!
      for (let q = diagonal[k]! + 1; q < rowStart[k + 1]!; q++) {
        const at = find[place[q]!]!
        invariant(at >= rowStart[p]!, 'the filled pattern of a sparse factorisation has a hole')
        target[t++] = at
      }
    }
    for (let e = rowStart[p]!; e < rowStart[p + 1]!; e++) find[place[e]!] = -1
  }
  return { order, rowStart, diagonal, column, place, scatter, target }
}

/**
 * Sparse factorisation of shift·I − A with symbolic work done once: order, fill and every index are fixed, so that
 * `decompose` and `solve` only move numbers and allocate nothing. Pivots are the diagonal ones, which is safe for the
 * matrices of stiff integrators with small enough steps; when a pivot is zero, has cancelled to less than 1e-12 of its diagonal,
 * or a multiplier exceeds 1e8, that one decomposition is repeated dense with partial pivoting (up to 1500 unknowns; above, it
 * counts as singular). If a pivot cancels there too, the matrix counts as singular, and an integrator shortens its step.
 */
export function createSparseLu(pattern: SparsePattern, plan: SparsePlan = planFactors(pattern)): SparseLu {
  const n = pattern.size
  const { order, rowStart, diagonal, column, place, scatter, target } = plan
  const entries = rowStart[n]!
  const given = pattern.columns.length
  /** L without its unit diagonal, U with reciprocal pivots on the diagonal. */
  const lu = new Float64Array(entries)
  let fallback: DenseLu | null = null
  let pivoted = false

  function decomposeFixed(shift: number, values: Float64Array): boolean {
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
  }

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
    order,
    entries,
    operations: target.length,
    get pivoted() {
      return pivoted
    },
    decompose(shift, values) {
      pivoted = !decomposeFixed(shift, values)
      return pivoted ? decomposeDense(shift, values) : true
    },
    solve(b) {
      if (pivoted) {
        fallback?.solve(b)
        return
      }
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
      if (pivoted) {
        const column = new Float64Array(n)
        for (let k = 0; k < width; k++) {
          for (let i = 0; i < n; i++) column[i] = b[i * width + k]!
          fallback?.solve(column)
          for (let i = 0; i < n; i++) b[i * width + k] = column[i]!
        }
        return
      }
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
