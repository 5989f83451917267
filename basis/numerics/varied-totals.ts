import { createTotalsFactors, thinRows } from './invariants.ts'
import type { Invariant } from './ode.ts'

/** A change below this share of the gross amount is the rounding of the sum itself. */
const ROUNDING = 16 * Number.EPSILON

/** Holds totals of every s_k against rounding; rows of `width` numbers a component. */
export interface VariedTotals {
  /** Takes the totals of a new stretch as those to be held. */
  start(s: Float64Array): void
  /** Puts back into s what is missing, at the state y. */
  hold(s: Float64Array, y: Float64Array): void
}

/**
 * No step changes W s_k, because W J = 0 and W ∂f/∂p = 0. What rounding takes is put back as the correction of the totals of y (createInvariantHold) would carry it on
 * to first order:
 *
 *     δ_k = D Wᵀ (W D Wᵀ)⁻¹ (totals_k − W s_k),   D = diag |y|
 *
 * with one matrix for all parameters. Laws whose species are all absent, or that depend on those before them, are left.
 */
export function createVariedTotals(laws: readonly Invariant[], width: number): VariedTotals {
  const count = laws.length
  const weights = laws.map((l) => l.weights)
  const { start: termStart, component, factor } = thinRows(weights)
  const factors = createTotalsFactors(weights)
  const { matrix, pivots } = factors
  const totals = new Float64Array(count * width)
  const missing = new Float64Array(count * width)
  const gross = new Float64Array(width)

  /** Fills `missing`; true when more than rounding is. */
  function measure(s: Float64Array): boolean {
    let isMissing = false
    for (let l = 0; l < count; l++) {
      const row = l * width
      gross.fill(0)
      for (let k = 0; k < width; k++) missing[row + k] = totals[row + k]!
      for (let p = termStart[l]!; p < termStart[l + 1]!; p++) {
        const weight = factor[p]!
        const from = component[p]! * width
        for (let k = 0; k < width; k++) {
          const part = weight * s[from + k]!
          missing[row + k] = missing[row + k]! - part
          gross[k] = gross[k]! + Math.abs(part)
        }
      }
      for (let k = 0; k < width; k++) if (Math.abs(missing[row + k]!) > ROUNDING * gross[k]!) isMissing = true
    }
    return isMissing
  }

  function subtract(from: number, times: number, to: number): void {
    if (times === 0) return
    for (let k = 0; k < width; k++) missing[to * width + k] = missing[to * width + k]! - times * missing[from * width + k]!
  }

  /** missing ← (W D Wᵀ)⁻¹ missing, for every parameter at once. */
  function multipliers(): void {
    for (let i = 0; i < count; i++) for (let j = 0; j < i; j++) subtract(j, matrix[i * count + j]!, i)
    for (let i = 0; i < count; i++) {
      const per = pivots[i]! > 0 ? 1 / pivots[i]! : 0
      for (let k = 0; k < width; k++) missing[i * width + k] = missing[i * width + k]! * per
    }
    for (let i = count - 1; i >= 0; i--) for (let j = i + 1; j < count; j++) subtract(j, matrix[j * count + i]!, i)
  }

  return {
    start(s) {
      totals.fill(0)
      for (let l = 0; l < count; l++) {
        for (let p = termStart[l]!; p < termStart[l + 1]!; p++) {
          const from = component[p]! * width
          for (let k = 0; k < width; k++) totals[l * width + k] = totals[l * width + k]! + factor[p]! * s[from + k]!
        }
      }
    },
    hold(s, y) {
      if (!measure(s)) return
      factors.decompose(y)
      multipliers()
      for (let l = 0; l < count; l++) {
        if (pivots[l] === 0) continue
        const from = l * width
        for (let p = termStart[l]!; p < termStart[l + 1]!; p++) {
          const c = component[p]!
          const part = factor[p]! * Math.abs(y[c]!)
          const to = c * width
          for (let k = 0; k < width; k++) s[to + k] = s[to + k]! + part * missing[from + k]!
        }
      }
    },
  }
}
