/** Numeric factors of (re + i im)·I − A with the pivots of a plan: sparse, entry by entry, down to a dense block of the last unknowns. */
import type { DenseTail } from './dense-tail.ts'
import { LARGEST_MULTIPLIER, LEAST_PIVOT_LEFT, type SparsePlan } from './sparse-plan.ts'
import { sparsePart, WORK } from './fixed-factors.ts'
import { CANCELLED } from './wasm-tail.ts'

/** As FixedFactors, for a complex shift. */
export interface ComplexFactors {
  /** False when a pivot or a multiplier does not serve. `values` stand in the order of the pattern. */
  decompose(re: number, im: number, values: Float64Array): boolean
  /** Overwrites real parts and imaginary parts by those of the solution. */
  solve(real: Float64Array, imaginary: Float64Array): void
}

const MOST_GROWTH = LARGEST_MULTIPLIER ** 2
const LEAST_LEFT = LEAST_PIVOT_LEFT ** 2

/** As createFixedFactors. */
export function createComplexFactors(plan: SparsePlan, tail: DenseTail): ComplexFactors {
  const { order, rowStart, diagonal, column } = plan
  const { split, work, workStart, target, outside, outsideAt, inside, insideAt } = sparsePart(plan, tail)
  const { size, stride, before } = tail
  const [blockRe, blockIm] = [tail.matrix[0]!, tail.matrix[1]!]
  const [rightRe, rightIm] = [tail.right[0]!, tail.right[1]!]
  const n = order.length
  const first = n - size
  /** L without its unit diagonal, U with reciprocal pivots; real and imaginary part side by side. What belongs to the block is not used. */
  const lu = new Float64Array(2 * rowStart[n]!)
  /** In an array, because a captured number would be boxed at every change. */
  const largest = new Float64Array(1)

  /** See createFixedFactors. */
  function takeOff(p: number, from: number): number {
    let t = from
    const end = workStart[p + 1]!
    for (let w = workStart[p]!; w < end; w += WORK) {
      const e = 2 * work[w]!
      const dk = 2 * work[w + 1]!
      const border = 2 * work[w + 2]!
      const last = 2 * work[w + 3]!
      const a = lu[e]! * lu[dk]! - lu[e + 1]! * lu[dk + 1]!
      const b = lu[e]! * lu[dk + 1]! + lu[e + 1]! * lu[dk]!
      lu[e] = a
      lu[e + 1] = b
      const square = a * a + b * b
      if (square > largest[0]!) largest[0] = square
      for (let q = dk + 2; q < border; q += 2) {
        const at = 2 * target[t++]!
        lu[at] = lu[at]! - (a * lu[q]! - b * lu[q + 1]!)
        lu[at + 1] = lu[at + 1]! - (a * lu[q + 1]! + b * lu[q]!)
      }
      for (let q = border; q < last; q += 2) {
        const at = target[t++]!
        blockRe[at] = blockRe[at]! - (a * lu[q]! - b * lu[q + 1]!)
        blockIm[at] = blockIm[at]! - (a * lu[q + 1]! + b * lu[q]!)
      }
    }
    return t
  }

  return {
    decompose(re, im, values) {
      lu.fill(0)
      blockRe.fill(0)
      blockIm.fill(0)
      before.fill(1)
      for (let i = size; i < stride; i++) blockRe[i * stride + i] = 1
      for (let s = 0; s < outside.length; s++) lu[2 * outsideAt[s]!] = -values[outside[s]!]!
      for (let s = 0; s < inside.length; s++) blockRe[insideAt[s]!] = -values[inside[s]!]!
      largest[0] = 0
      let t = 0
      for (let p = 0; p < first; p++) {
        const d = 2 * diagonal[p]!
        const beforeRe = lu[d]! + re
        lu[d] = beforeRe
        lu[d + 1] = im
        t = takeOff(p, t)
        const pivot = lu[d]!
        const pivotIm = lu[d + 1]!
        const square = pivot * pivot + pivotIm * pivotIm
        if (square < LEAST_LEFT * (beforeRe * beforeRe + im * im)) return false
        const reciprocal = 1 / square
        // Infinite for a zero pivot, zero for an infinite one, NaN for a spoilt one.
        if (reciprocal === 0 || !Number.isFinite(reciprocal)) return false
        lu[d] = pivot * reciprocal
        lu[d + 1] = -pivotIm * reciprocal
      }
      for (let p = first; p < n; p++) {
        const d = (p - first) * (stride + 1)
        blockRe[d] = blockRe[d]! + re
        blockIm[d] = im
        before[p - first] = blockRe[d]! * blockRe[d]! + im * im
        t = takeOff(p, t)
      }
      const inBlock = tail.eliminate()
      return inBlock !== CANCELLED && Math.max(largest[0]!, inBlock) <= MOST_GROWTH
    },
    solve(real, imaginary) {
      for (let p = 1; p < n; p++) {
        const end = p < first ? diagonal[p]! : split[p]!
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
      for (let i = 0; i < size; i++) {
        rightRe[i] = real[order[first + i]!]!
        rightIm[i] = imaginary[order[first + i]!]!
      }
      rightRe.fill(0, size)
      rightIm.fill(0, size)
      tail.forward()
      tail.backward()
      for (let i = 0; i < size; i++) {
        real[order[first + i]!] = rightRe[i]!
        imaginary[order[first + i]!] = rightIm[i]!
      }
      for (let p = first - 1; p >= 0; p--) {
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
