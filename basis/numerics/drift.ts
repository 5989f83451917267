import type { Drift, Invariant } from './ode.ts'

/** Watches linear invariants of a run; see Drift for what is measured. */
export interface DriftWatch {
  /** Takes the totals of a new stretch as the reference. */
  start(y: Float64Array): void
  look(timeS: number, y: Float64Array): void
  result(): readonly Drift[]
}

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

/** Weights that a system's exact rates keep constant; nothing is corrected, only measured. */
export function createDriftWatch(invariants: readonly Invariant[]): DriftWatch {
  const totals = new Float64Array(invariants.length)
  const scales = new Float64Array(invariants.length)
  const worst = new Float64Array(invariants.length)
  const at = new Float64Array(invariants.length)
  return {
    start(y) {
      for (let i = 0; i < totals.length; i++) {
        totals[i] = weightedTotal(invariants[i]!.weights, y)
        scales[i] = grossTotal(invariants[i]!.weights, y)
      }
    },
    look(timeS, y) {
      for (let i = 0; i < totals.length; i++) {
        const change = Math.abs(weightedTotal(invariants[i]!.weights, y) - totals[i]!)
        // Nothing there at the start: any amount later is judged against itself.
        const scale = scales[i]! > 0 ? scales[i]! : grossTotal(invariants[i]!.weights, y)
        const drift = change === 0 ? 0 : change / scale
        if (drift > worst[i]!) {
          worst[i] = drift
          at[i] = timeS
        }
      }
    },
    result() {
      return invariants.map((invariant, i) => ({ name: invariant.name, maxRelative: worst[i]!, atS: at[i]! }))
    },
  }
}
