/** Numeric factors with the pivots of a plan: sparse, entry by entry, down to a dense block of the last unknowns. What falls out of them is for createSparseLu to repeat. */
import type { DenseTail } from './dense-tail.ts'
import { LARGEST_MULTIPLIER, LEAST_PIVOT_LEFT, type SparsePlan } from './sparse-plan.ts'
import { CANCELLED } from './wasm-tail.ts'

/** Factors of shift·I − A by diagonal pivots in a fixed order. */
export interface FixedFactors {
  /** False when a pivot or a multiplier does not serve. `values` stand in the order of the pattern. */
  decompose(shift: number, values: Float64Array): boolean
  solve(b: Float64Array): void
  /** The same for `width` right sides at once, one row of `width` numbers a component; absent: one after the other is as fast. */
  solveMany?(b: Float64Array, width: number): void
}

/** Numbers an entry of L in SparsePart.work. */
export const WORK = 4

/** The plan without its block: what is left to do entry by entry. */
interface SparsePart {
  /** Entries [rowStart[p], split[p]) of a row have columns before the block, the rest inside it; of rows of the block only the former are kept here. */
  readonly split: Int32Array
  /**
   * What is done with each entry of L before the block, in order, WORK numbers an entry: the entry, the diagonal of its pivot, and where among the entries of the
   * pivot's row those begin whose change is in the block, and end; found once, because looking them up takes longer than the arithmetic.
   */
  readonly work: Int32Array
  /** Where the work of each row begins. */
  readonly workStart: Int32Array
  /** As SparsePlan.target for pivots before the block; the change of an entry inside the block is its place in the dense matrix. */
  readonly target: Int32Array
  /** Entries of the pattern outside the block with their entry of the factors, and inside it with their place in the dense matrix. */
  readonly outside: Int32Array
  readonly outsideAt: Int32Array
  readonly inside: Int32Array
  readonly insideAt: Int32Array
}

export function sparsePart({ rowStart, diagonal, place, scatter, target }: SparsePlan, { size, stride }: DenseTail): SparsePart {
  const n = diagonal.length
  const first = n - size
  const split = new Int32Array(n)
  const rowOf = new Int32Array(rowStart[n]!)
  for (let p = 0; p < n; p++) {
    let e = rowStart[p]!
    while (e < rowStart[p + 1]! && place[e]! < first) e++
    split[p] = e
    rowOf.fill(p, rowStart[p]!, rowStart[p + 1]!)
  }
  const isInside = (e: number): boolean => rowOf[e]! >= first && place[e]! >= first
  const inBlock = (e: number): number => (place[e]! - first) * stride + rowOf[e]! - first
  /** Without a block there is nothing to leave out. */
  const kept: number[] | null = size === 0 ? null : []
  const work: number[] = []
  const workStart = new Int32Array(n + 1)
  let t = 0
  for (let p = 0; p < n; p++) {
    for (let e = rowStart[p]!; e < diagonal[p]!; e++) {
      const k = place[e]!
      const count = rowStart[k + 1]! - diagonal[k]! - 1
      if (k < first) {
        work.push(e, diagonal[k]!, p < first ? rowStart[k + 1]! : split[k]!, rowStart[k + 1]!)
        for (let c = t; kept !== null && c < t + count; c++) kept.push(isInside(target[c]!) ? inBlock(target[c]!) : target[c]!)
      }
      t += count
    }
    workStart[p + 1] = work.length
  }
  const given = Array.from(scatter, (_, s) => s)
  const outside = given.filter((s) => !isInside(scatter[s]!))
  const inside = given.filter((s) => isInside(scatter[s]!))
  return {
    split,
    work: Int32Array.from(work),
    workStart,
    target: kept === null ? target : Int32Array.from(kept),
    outside: Int32Array.from(outside),
    outsideAt: Int32Array.from(outside, (s) => scatter[s]!),
    inside: Int32Array.from(inside),
    insideAt: Int32Array.from(inside, (s) => inBlock(scatter[s]!)),
  }
}

/** Whatever the size of the block (0: none), results are the same to the last bit but for the sign of zero: every entry is changed by the same pivots in the same order. */
export function createFixedFactors(plan: SparsePlan, tail: DenseTail): FixedFactors {
  const { order, rowStart, diagonal, column } = plan
  const { split, work, workStart, target, outside, outsideAt, inside, insideAt } = sparsePart(plan, tail)
  const { size, stride, before } = tail
  const [matrix, right] = [tail.matrix[0]!, tail.right[0]!]
  const n = order.length
  const first = n - size
  /** L without its unit diagonal, U with reciprocal pivots on the diagonal; what belongs to the block is not used. */
  const lu = new Float64Array(rowStart[n]!)

  /** Takes the pivots before the block off row p, from entry to entry; `from` is how far `target` has been read, and the answer how far then. */
  function takeOff(p: number, from: number): number {
    let t = from
    const end = workStart[p + 1]!
    for (let w = workStart[p]!; w < end; w += WORK) {
      const e = work[w]!
      const dk = work[w + 1]!
      const border = work[w + 2]!
      const last = work[w + 3]!
      const multiplier = lu[e]! * lu[dk]!
      lu[e] = multiplier
      const size = Math.abs(multiplier)
      if (size > largest[0]!) largest[0] = size
      for (let q = dk + 1; q < border; q++) {
        const at = target[t++]!
        lu[at] = lu[at]! - multiplier * lu[q]!
      }
      for (let q = border; q < last; q++) {
        const at = target[t++]!
        matrix[at] = matrix[at]! - multiplier * lu[q]!
      }
    }
    return t
  }
  /** In an array, because a captured number would be boxed at every change. */
  const largest = new Float64Array(1)

  /** A row of each right side at a time; without a block. */
  function solveMany(b: Float64Array, width: number): void {
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
  }

  return {
    decompose(shift, values) {
      lu.fill(0)
      matrix.fill(0)
      before.fill(1)
      for (let i = size; i < stride; i++) matrix[i * stride + i] = 1
      for (let s = 0; s < outside.length; s++) lu[outsideAt[s]!] = -values[outside[s]!]!
      for (let s = 0; s < inside.length; s++) matrix[insideAt[s]!] = -values[inside[s]!]!
      largest[0] = 0
      let t = 0
      for (let p = 0; p < first; p++) {
        const d = diagonal[p]!
        const diagonalBefore = lu[d]! + shift
        lu[d] = diagonalBefore
        t = takeOff(p, t)
        if (Math.abs(lu[d]!) < LEAST_PIVOT_LEFT * Math.abs(diagonalBefore)) return false
        const reciprocal = 1 / lu[d]!
        lu[d] = reciprocal
        // Infinite for a zero pivot, zero for an infinite one, NaN for a spoilt one.
        if (reciprocal === 0 || !Number.isFinite(reciprocal)) return false
      }
      for (let p = first; p < n; p++) {
        const d = (p - first) * (stride + 1)
        matrix[d] = matrix[d]! + shift
        before[p - first] = Math.abs(matrix[d]!)
        t = takeOff(p, t)
      }
      const inBlock = tail.eliminate()
      return inBlock !== CANCELLED && Math.max(largest[0]!, inBlock) <= LARGEST_MULTIPLIER
    },
    solve(b) {
      for (let p = 1; p < n; p++) {
        const end = p < first ? diagonal[p]! : split[p]!
        const row = order[p]!
        let sum = b[row]!
        for (let e = rowStart[p]!; e < end; e++) sum -= lu[e]! * b[column[e]!]!
        b[row] = sum
      }
      for (let i = 0; i < size; i++) right[i] = b[order[first + i]!]!
      right.fill(0, size)
      tail.forward()
      tail.backward()
      for (let i = 0; i < size; i++) b[order[first + i]!] = right[i]!
      for (let p = first - 1; p >= 0; p--) {
        const d = diagonal[p]!
        const row = order[p]!
        let sum = b[row]!
        // The unknown found last comes last, so that the sum does not wait for it.
        for (let e = rowStart[p + 1]! - 1; e > d; e--) sum -= lu[e]! * b[column[e]!]!
        b[row] = sum * lu[d]!
      }
    },
    ...(size === 0 ? { solveMany } : {}),
  }
}
