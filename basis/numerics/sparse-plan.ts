/** What a sparse factorisation with diagonal pivots needs besides numbers: order, fill, and every index. */
import { invariant } from '../problems/index.ts'
import type { SparsePattern } from './ode.ts'

/** A multiplier larger than this means that the fixed pivot order has lost about half of the digits. */
export const LARGEST_MULTIPLIER = 1e8
/**
 * A pivot that elimination has reduced to less than this share of the diagonal it began with has fewer than four digits left. In
 * kinetics that is h k > 1e12: a cycle of first-order rate k so fast that shift·I is lost in it. Exchanging rows does not help.
 */
export const LEAST_PIVOT_LEFT = 1e-12

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
