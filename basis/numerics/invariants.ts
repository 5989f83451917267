import type { Drift, Invariant, StepKernel, TotalsArithmetic } from './ode.ts'

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
/** A correction that leaves more than this share of a total has not the digits to put it right: the step must be repeated shorter. */
const MOST_LEFT = 5e-13
/** Rates and Jacobian must keep a total to this share of its flows, or it is no invariant and is never corrected. */
export const LARGEST_IMBALANCE = 1e-10
/** A step that moves a kept total by more than this share of it has lost its digits and must be repeated shorter. */
const LARGEST_LOSS = 1e-6
/** A pivot of W D Wᵀ below this share of its diagonal belongs to an invariant that depends on those before it. */
export const DEPENDENT = 1e-12

/** Holds and watches linear invariants of a run; see Drift for what is measured. */
export interface InvariantHold {
  /** Takes the totals of a new stretch as the reference, and asks the kernel (after `begin`) whether they are invariant. */
  start(y: Float64Array, kernel: Pick<StepKernel, 'imbalance'>): void
  /** Whether rounding has spoilt a step that ends in y: a total is lost, cannot be put right, or only by carrying a component below its floor. */
  spoilt(y: Float64Array, floor?: Float64Array): boolean
  /** Corrects y in place after a step, where rounding has moved a total. `asTried`: y holds what `spoilt` was last asked about, so it is not measured again. */
  hold(timeS: number, y: Float64Array, asTried?: boolean): void
  result(): readonly Drift[]
}

/** Sums Σ factor · y over few of the components: what is zero in a total is left out, and no array of arrays stands in the loop. */
interface ThinRows {
  readonly start: Int32Array
  readonly component: Int32Array
  readonly factor: Float64Array
}

export function thinRows(rows: readonly Float64Array[]): ThinRows {
  const start = new Int32Array(rows.length + 1)
  const component: number[] = []
  const factor: number[] = []
  for (const [i, row] of rows.entries()) {
    for (const [k, x] of row.entries()) {
      if (x === 0) continue
      component.push(k)
      factor.push(x)
    }
    start[i + 1] = component.length
  }
  return { start, component: Int32Array.from(component), factor: Float64Array.from(factor) }
}

/** L Δ Lᵀ of W |y| Wᵀ, for totals that are held together. */
interface TotalsFactors {
  /** L below the diagonal, row by row; its diagonal is 1. */
  readonly matrix: Float64Array
  /** Δ; 0 for a total that is not held, or that depends on those before it. */
  readonly pivots: Float64Array
  decompose(y: Float64Array): void
}

/** Those with a 1 in `kept` are held; absent: all. */
export function createTotalsFactors(weights: readonly Float64Array[], kept?: Float64Array): TotalsFactors {
  const m = weights.length
  const crossed = thinRows(crossedWeights(weights))
  const matrix = new Float64Array(m * m)
  const pivots = new Float64Array(m)

  function decompose(y: Float64Array): void {
    for (let i = 0; i < m; i++) {
      for (let j = 0; j <= i; j++) {
        const row = (i * (i + 1)) / 2 + j
        let sum = 0
        for (let p = crossed.start[row]!; p < crossed.start[row + 1]!; p++) sum += crossed.factor[p]! * Math.abs(y[crossed.component[p]!]!)
        matrix[i * m + j] = sum
      }
    }
    for (let j = 0; j < m; j++) {
      const diagonal = matrix[j * m + j]!
      let pivot = diagonal
      for (let k = 0; k < j; k++) pivot -= matrix[j * m + k]! * matrix[j * m + k]! * pivots[k]!
      pivots[j] = (kept === undefined || kept[j] === 1) && pivot > DEPENDENT * diagonal ? pivot : 0
      for (let i = j + 1; i < m; i++) {
        let sum = matrix[i * m + j]!
        for (let k = 0; k < j; k++) sum -= matrix[i * m + k]! * matrix[j * m + k]! * pivots[k]!
        matrix[i * m + j] = pivots[j]! > 0 ? sum / pivots[j]! : 0
      }
    }
  }

  return { matrix, pivots, decompose }
}

/** The arithmetic over tables; generated code does the same in the same order. */
export function plainArithmetic(weights: readonly Float64Array[], size: number): TotalsArithmetic {
  const m = weights.length
  const thin = thinRows(weights)
  const byComponent = thinRows(Array.from({ length: size }, (_, k) => Float64Array.from(weights, (w) => w[k]!)))
  const totals = new Float64Array(m)
  const scales = new Float64Array(m)
  const kept = new Float64Array(m)
  const shares = new Float64Array(m)
  const missing = new Float64Array(m)
  const factors = createTotalsFactors(weights, kept)
  const { matrix, pivots } = factors

  function measure(y: Float64Array): number {
    let largest = 0
    for (let i = 0; i < m; i++) {
      let total = 0
      for (let p = thin.start[i]!; p < thin.start[i + 1]!; p++) total += thin.factor[p]! * y[thin.component[p]!]!
      missing[i] = totals[i]! - total
      // Nothing there at the start: any amount later is judged against itself.
      const scale = scales[i]! > 0 ? scales[i]! : grossTotal(weights[i]!, y)
      const share = missing[i] === 0 ? 0 : Math.abs(missing[i]!) / scale
      shares[i] = share
      if (kept[i] === 1 && share > largest) largest = share
    }
    return largest
  }

  /** The multipliers into `missing`. */
  function multipliers(y: Float64Array): void {
    factors.decompose(y)
    for (let i = 0; i < m; i++) for (let k = 0; k < i; k++) missing[i] = missing[i]! - matrix[i * m + k]! * missing[k]!
    for (let i = 0; i < m; i++) missing[i] = pivots[i]! > 0 ? missing[i]! / pivots[i]! : 0
    for (let i = m - 1; i >= 0; i--) for (let k = i + 1; k < m; k++) missing[i] = missing[i]! - matrix[k * m + i]! * missing[k]!
  }

  function correct(y: Float64Array): void {
    multipliers(y)
    for (let k = 0; k < size; k++) {
      let sum = 0
      for (let p = byComponent.start[k]!; p < byComponent.start[k + 1]!; p++) {
        sum += byComponent.factor[p]! * missing[byComponent.component[p]!]!
      }
      y[k] = y[k]! + Math.abs(y[k]!) * sum
    }
  }

  return { totals, scales, kept, shares, measure, correct }
}

/** Products of the weights of two totals, i ≥ j, in the place i(i+1)/2 + j. */
export function crossedWeights(weights: readonly Float64Array[]): readonly Float64Array[] {
  return weights.flatMap((w, i) => weights.slice(0, i + 1).map((v) => w.map((x, k) => x * v[k]!)))
}

function isBelow(y: Float64Array, floor: Float64Array): boolean {
  for (let k = 0; k < y.length; k++) if (y[k]! < floor[k]!) return true
  return false
}

/** Whether a component that has a floor stands between it and zero. */
function isNegative(y: Float64Array, floor: Float64Array): boolean {
  for (let k = 0; k < y.length; k++) if (y[k]! < 0 && floor[k]! > -Infinity) return true
  return false
}

/**
 * Rosenbrock steps keep linear invariants exactly in exact arithmetic. In doubles the solves lose about ε·h·k for a fast
 * equilibrium of rate k, which adds up over thousands of steps (1e-8 of a total on a real mechanism). So after each step
 * the totals are restored by the smallest change in the norm Σ δ_i²/|y_i|:
 *
 *     δ = D Wᵀ (W D Wᵀ)⁻¹ (totals − W y),   D = diag |y|
 *
 * Every species of a total changes by the same share of itself, so nothing changes sign and traces stay traces. A total that the
 * rates and the Jacobian do not keep is only watched: nothing is corrected and its change shows as drift.
 */
export function createInvariantHold(
  invariants: readonly Invariant[],
  size: number,
  arithmetic: TotalsArithmetic = plainArithmetic(
    invariants.map((i) => i.weights),
    size,
  ),
): InvariantHold {
  const m = invariants.length
  const { totals, scales, kept, shares } = arithmetic
  const worst = new Float64Array(m)
  const at = new Float64Array(m)
  const corrected = new Float64Array(m)
  const before = new Float64Array(size)
  /** The loss that `shares` belong to, when they are those of the state that `spoilt` was asked about; in an array, because a captured number would be boxed at every step. */
  const tried = Float64Array.of(Number.NaN)

  /** Whether more is missing of a total than rounding at its size now, which may be far above that at the start, explains. */
  function isLeft(y: Float64Array): boolean {
    return invariants.some(
      ({ weights }, i) =>
        kept[i] === 1 && shares[i]! > MOST_LEFT && (scales[i] === 0 || shares[i]! * scales[i]! > MOST_LEFT * grossTotal(weights, y)),
    )
  }

  return {
    start(y, kernel) {
      for (let i = 0; i < m; i++) {
        const { weights } = invariants[i]!
        kept[i] = kernel.imbalance(weights) <= LARGEST_IMBALANCE ? 1 : 0
        totals[i] = weightedTotal(weights, y)
        scales[i] = grossTotal(weights, y)
      }
    },
    spoilt(y, floor) {
      const loss = arithmetic.measure(y)
      tried[0] = loss
      if (loss > LARGEST_LOSS) return true
      if (loss <= ROUNDING || (loss <= MOST_LEFT && (floor === undefined || !isNegative(y, floor)))) return false
      before.set(y)
      arithmetic.correct(y)
      tried[0] = Number.NaN
      const fails = (arithmetic.measure(y) > MOST_LEFT && isLeft(y)) || (floor !== undefined && isBelow(y, floor))
      y.set(before)
      return fails
    },
    hold(timeS, y, asTried = false) {
      const loss = asTried && !Number.isNaN(tried[0]) ? tried[0]! : arithmetic.measure(y)
      if (loss > ROUNDING) {
        for (let i = 0; i < m; i++) if (kept[i] === 1) corrected[i] = corrected[i]! + shares[i]!
        arithmetic.correct(y)
        arithmetic.measure(y)
      }
      for (let i = 0; i < m; i++) {
        if (shares[i]! > worst[i]!) {
          worst[i] = shares[i]!
          at[i] = timeS
        }
      }
    },
    result() {
      return invariants.map(({ name }, i) => ({ name, maxRelative: worst[i]!, atS: at[i]!, corrected: corrected[i]! }))
    },
  }
}

/**
 * The hold of a run that starts at y, with totals of little held before totals of much: so a trace that is a total alone is held to its own
 * digits, and what the bulk's rounding leaves over is found to be rounding. In another order the trace would be found as the difference of
 * two bulks, which has none of its digits. `arithmeticOf` may give generated code for weights in that order. Results stand in the order given.
 */
export function holdLeastFirst(
  invariants: readonly Invariant[],
  y: ArrayLike<number>,
  arithmeticOf: (weights: readonly Float64Array[]) => TotalsArithmetic | undefined,
): InvariantHold {
  const state = Float64Array.from(y)
  const amounts = new Map(invariants.map((i) => [i, grossTotal(i.weights, state)]))
  const ordered = [...invariants].sort((a, b) => amounts.get(a)! - amounts.get(b)!)
  const hold = createInvariantHold(ordered, state.length, arithmeticOf(ordered.map((i) => i.weights)))
  return {
    ...hold,
    result() {
      const drifts = hold.result()
      return invariants.map((i) => drifts[ordered.indexOf(i)]!)
    },
  }
}
