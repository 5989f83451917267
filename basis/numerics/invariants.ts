import type { Drift, Invariant } from './ode.ts'

/** Σ w_i y_i. */
export function weightedTotal(weights: Float64Array, y: Float64Array): number {
  let sum = 0
  for (let k = 0; k < weights.length; k++) sum += weights[k]! * y[k]!
  return sum
}

/** Σ |w_i y_i|: the gross amount against which a change of the total is judged. */
export function grossTotal(weights: Float64Array, y: Float64Array): number {
  let sum = 0
  for (let k = 0; k < weights.length; k++) sum += Math.abs(weights[k]! * y[k]!)
  return sum
}

/** A change below this share of the gross amount is the rounding of the sum itself. */
const ROUNDING = 8 * Number.EPSILON
/** A larger change in one step is no rounding: then the weights are not invariant, and nothing is corrected. */
const LARGEST_CORRECTION = 1e-8
/** A pivot of W D Wᵀ below this share of its diagonal belongs to an invariant that depends on those before it. */
const DEPENDENT = 1e-12

/** Holds and watches linear invariants of a run; see Drift for what is measured. */
export interface InvariantHold {
  /** Takes the totals of a new stretch as the reference. */
  start(y: Float64Array): void
  /** Corrects y in place after a step, where rounding has moved a total. */
  hold(timeS: number, y: Float64Array): void
  result(): readonly Drift[]
}

/**
 * Rosenbrock steps keep linear invariants exactly in exact arithmetic. In doubles the solves lose about ε·h·k for a fast
 * equilibrium of rate k, which adds up over thousands of steps (1e-8 of a total on a real mechanism). So after each step
 * the totals are restored by the smallest change in the norm Σ δ_i²/|y_i|:
 *
 *     δ = D Wᵀ (W D Wᵀ)⁻¹ (totals − W y),   D = diag |y|
 *
 * Every species of a total changes by the same share of itself, so nothing changes sign and traces stay traces. Only changes of
 * rounding size are made: a step that moves a total by more than 1e-8 of it is left alone and shows in the drift.
 */
export function createInvariantHold(invariants: readonly Invariant[], size: number): InvariantHold {
  const m = invariants.length
  const weights = invariants.map((i) => i.weights)
  const totals = new Float64Array(m)
  const scales = new Float64Array(m)
  const missing = new Float64Array(m)
  const matrix = new Float64Array(m * m)
  const pivots = new Float64Array(m)
  const worst = new Float64Array(m)
  const at = new Float64Array(m)
  const corrected = new Float64Array(m)

  /** Largest share of a total that is missing; fills `missing`. */
  function measure(y: Float64Array): number {
    let largest = 0
    for (let i = 0; i < m; i++) {
      missing[i] = totals[i]! - weightedTotal(weights[i]!, y)
      const share = missing[i] === 0 ? 0 : Math.abs(missing[i]!) / scaleOf(i, y)
      if (share > largest) largest = share
    }
    return largest
  }

  /** Nothing there at the start: any amount later is judged against itself. */
  function scaleOf(i: number, y: Float64Array): number {
    return scales[i]! > 0 ? scales[i]! : grossTotal(weights[i]!, y)
  }

  /** L D Lᵀ of W |y| Wᵀ in place, a dependent row left out, then the multipliers into `missing`. */
  function multipliers(y: Float64Array): void {
    for (let i = 0; i < m; i++) {
      for (let j = 0; j <= i; j++) {
        let sum = 0
        for (let k = 0; k < size; k++) sum += weights[i]![k]! * weights[j]![k]! * Math.abs(y[k]!)
        matrix[i * m + j] = sum
      }
    }
    for (let j = 0; j < m; j++) {
      const diagonal = matrix[j * m + j]!
      let pivot = diagonal
      for (let k = 0; k < j; k++) pivot -= matrix[j * m + k]! ** 2 * pivots[k]!
      pivots[j] = pivot > DEPENDENT * diagonal ? pivot : 0
      for (let i = j + 1; i < m; i++) {
        let sum = matrix[i * m + j]!
        for (let k = 0; k < j; k++) sum -= matrix[i * m + k]! * matrix[j * m + k]! * pivots[k]!
        matrix[i * m + j] = pivots[j]! > 0 ? sum / pivots[j]! : 0
      }
    }
    for (let i = 0; i < m; i++) for (let k = 0; k < i; k++) missing[i] = missing[i]! - matrix[i * m + k]! * missing[k]!
    for (let i = 0; i < m; i++) missing[i] = pivots[i]! > 0 ? missing[i]! / pivots[i]! : 0
    for (let i = m - 1; i >= 0; i--) for (let k = i + 1; k < m; k++) missing[i] = missing[i]! - matrix[k * m + i]! * missing[k]!
  }

  return {
    start(y) {
      for (let i = 0; i < m; i++) {
        totals[i] = weightedTotal(weights[i]!, y)
        scales[i] = grossTotal(weights[i]!, y)
      }
    },
    hold(timeS, y) {
      const share = measure(y)
      if (share === 0) return
      if (share > ROUNDING && share < LARGEST_CORRECTION) {
        for (let i = 0; i < m; i++) corrected[i] = corrected[i]! + (missing[i] === 0 ? 0 : Math.abs(missing[i]!) / scaleOf(i, y))
        multipliers(y)
        for (let k = 0; k < size; k++) {
          let sum = 0
          for (let i = 0; i < m; i++) sum += weights[i]![k]! * missing[i]!
          y[k] = y[k]! + Math.abs(y[k]!) * sum
        }
        measure(y)
      }
      for (let i = 0; i < m; i++) {
        const drift = missing[i] === 0 ? 0 : Math.abs(missing[i]!) / scaleOf(i, y)
        if (drift > worst[i]!) {
          worst[i] = drift
          at[i] = timeS
        }
      }
    },
    result() {
      return invariants.map(({ name }, i) => ({ name, maxRelative: worst[i]!, atS: at[i]!, corrected: corrected[i]! }))
    },
  }
}
