/** The hot parts of a Radau step, from tables. */
import { createComplexLu } from './complex-lu.ts'
import { BELOW_FLOOR, NOT_FINITE, type OdeSystem } from './ode.ts'
import type { Collocation } from './radau-collocation.ts'
import { createSparseLu } from './sparse-lu.ts'
import { planFactors } from './sparse-plan.ts'

/**
 * Arithmetic of a step whose decisions are made elsewhere: what generated code replaces. It owns every array. `before` is the last accepted step: its z_i carry
 * over, as long as the method stays the same.
 */
export interface RadauWork {
  readonly size: number
  readonly state: Float64Array
  readonly trial: Float64Array
  readonly dense: Float64Array
  readonly startRates: Float64Array
  /** Of the last `slopes` or `lookAhead`; with its sign turned, or not: see StepStart. */
  readonly jacobian: Float64Array
  readonly timeSlope: Float64Array | null
  /** The z_i of the step before and its error estimate, one row after the other. */
  readonly stepBefore: Float64Array
  /** Error weights are absolute_i + relative[0] |y_i|. */
  readonly relative: Float64Array
  readonly absolute: Float64Array
  readonly floor: Float64Array
  readonly counts: Int32Array
  /** Rates at the state; false when not finite. */
  begin(timeS: number): boolean
  /** Jacobian at the state; false when not finite. */
  slopes(timeS: number): boolean
  /** Jacobian at state + Σ weights_i z_i of the step before, its error estimate being the last of them. */
  lookAhead(method: Collocation, timeS: number, weights: Float64Array): void
  /** Factors of γ/h − J and (α_k + iβ_k)/h − J; false when one is singular. */
  decompose(method: Collocation, hS: number): boolean
  /** w_j = Σ weights_ji z_i of the step before, its error estimate being the last of them; null: w = 0. */
  predict(method: Collocation, weights: Float64Array | null): void
  /** One Newton step; the sum of the squares of its weighted changes (weights from |state|), not finite when a stage is not. */
  iterate(method: Collocation, timeS: number, hS: number): number
  /** z = T w and trial = state + z_s. The estimate's weighted root mean square (weights from the larger of both ends), or NOT_FINITE, or BELOW_FLOOR. */
  finish(method: Collocation, hS: number): number
  /** The same with rates at state + estimate in the estimate, which filters out what a stiff component's start has put into it. */
  refine(method: Collocation, timeS: number): number
  /** Component below its floor, or with the largest share in the estimate. */
  offender(): number
  interpolate(method: Collocation): void
  /** state ← trial, and this step becomes the step before. */
  accept(method: Collocation): void
}

/** out_i = Σ_j weights_ij rows_j for `count` of them, from `given` rows of n numbers, one after the other. */
function mix(n: number, count: number, given: number, weights: Float64Array, rows: Float64Array, out: Float64Array): void {
  for (let i = 0; i < count; i++) {
    const to = i * n
    const from = i * given
    // Component by component, so that a result passes through the memory once, however many rows it is made of.
    for (let k = 0; k < n; k++) {
      let sum = weights[from]! * rows[k]!
      for (let j = 1, at = n + k; j < given; j++, at += n) sum += weights[from + j]! * rows[at]!
      out[to + k] = sum
    }
  }
}

/** The component below its floor, or the one whose error weighs most. Asked only when a run ends there. */
export function offenderOf(
  step: Pick<RadauWork, 'state' | 'trial' | 'relative' | 'absolute' | 'floor'> & { readonly estimate: Float64Array },
  n: number,
): number {
  const { state, trial, estimate, relative, absolute, floor } = step
  let worst = 0
  let largest = -1
  for (let k = 0; k < n; k++) {
    if (trial[k]! < floor[k]!) return k
    const scaled = Math.abs(estimate[k]! / (absolute[k]! + relative[0]! * Math.max(Math.abs(trial[k]!), Math.abs(state[k]!))))
    if (scaled > largest) {
      largest = scaled
      worst = k
    }
  }
  return worst
}

/** For any system, and methods of at most `mostStages` stages. */
export function createRadauWork(system: OdeSystem, mostStages: number): RadauWork {
  const n = system.size
  const plan = planFactors(system.pattern)
  const real = createSparseLu(system.pattern, plan)
  const pairs = Array.from({ length: (mostStages - 1) >> 1 }, () => createComplexLu(system.pattern, plan))
  const rows = (): Float64Array => new Float64Array(n * mostStages)
  const state = new Float64Array(n)
  const trial = new Float64Array(n)
  const startRates = new Float64Array(n)
  const estimate = new Float64Array(n)
  const defect = new Float64Array(n)
  /** By eigenvector. */
  const w = rows()
  const change = rows()
  /** By node. */
  const z = new Float64Array(n * (mostStages + 1))
  const zBefore = new Float64Array(n * (mostStages + 1))
  const stageRates = rows()
  const row = (all: Float64Array): readonly Float64Array[] => Array.from({ length: mostStages }, (_, i) => all.subarray(i * n, (i + 1) * n))
  const changeRow = row(change)
  const rateRow = row(stageRates)
  const jacobian = new Float64Array(system.pattern.columns.length)
  const timeSlope = system.timeDerivative === undefined ? null : new Float64Array(n)
  const relative = new Float64Array(1)
  const absolute = new Float64Array(n)
  const floor = new Float64Array(n)
  const dense = new Float64Array(mostStages * n)
  const counts = new Int32Array(5)

  function judge(): number {
    let even = 0
    let odd = 0
    let check = 0
    let below = false
    for (let k = 0; k < n; k++) {
      const after = trial[k]!
      check += after - after
      if (after < floor[k]!) below = true
      const before = Math.abs(state[k]!)
      const size = Math.abs(after)
      const scaled = estimate[k]! / (absolute[k]! + relative[0]! * (size > before ? size : before))
      if ((k & 1) === 0) even += scaled * scaled
      else odd += scaled * scaled
    }
    if (!(even + odd + check < Infinity)) return NOT_FINITE
    return below ? BELOW_FLOOR : Math.sqrt((even + odd) / n)
  }

  return {
    size: n,
    state,
    trial,
    dense,
    startRates,
    jacobian,
    timeSlope,
    stepBefore: zBefore,
    relative,
    absolute,
    floor,
    counts,
    /** The differences x − x are 0 for a number and NaN for anything else: one test at the end finds all. */
    begin(timeS) {
      system.rates(timeS, state, startRates)
      counts[0]!++
      let check = 0
      for (let k = 0; k < n; k++) check += startRates[k]! - startRates[k]!
      return check === 0
    },
    slopes(timeS) {
      system.jacobian(timeS, state, jacobian)
      if (timeSlope !== null) system.timeDerivative?.(timeS, state, timeSlope)
      counts[1]!++
      let check = 0
      for (let p = 0; p < jacobian.length; p++) check += jacobian[p]! - jacobian[p]!
      return check === 0
    },
    lookAhead({ stages }, timeS, weights) {
      mix(n, 1, stages + 1, weights, zBefore, trial)
      for (let k = 0; k < n; k++) trial[k] = state[k]! + trial[k]!
      system.jacobian(timeS, trial, jacobian)
      counts[1]!++
    },
    decompose({ stages, gamma, alpha, beta }, hS) {
      counts[2] = counts[2]! + ((stages + 1) >> 1)
      if (!real.decompose(gamma / hS, jacobian)) return false
      if (real.pivoted) counts[4]!++
      for (let m = 0; m < alpha.length; m++) {
        if (!pairs[m]!.decompose(alpha[m]! / hS, beta[m]! / hS, jacobian)) return false
        if (pairs[m]!.pivoted) counts[4]!++
      }
      return true
    },
    predict({ stages }, weights) {
      if (weights === null) w.fill(0)
      else mix(n, stages, stages + 1, weights, zBefore, w)
    },
    iterate({ stages: s, nodes, gamma, alpha, beta, t, tInverse }, timeS, hS) {
      mix(n, s, s, t, w, z)
      for (let i = 0; i < s; i++) {
        for (let k = 0; k < n; k++) trial[k] = state[k]! + z[i * n + k]!
        system.rates(timeS + nodes[i]! * hS, trial, rateRow[i]!)
      }
      counts[0] = counts[0]! + s
      counts[3] = counts[3]! + ((s + 1) >> 1)
      mix(n, s, s, tInverse, stageRates, change)
      const g = gamma / hS
      for (let k = 0; k < n; k++) change[k] = change[k]! - g * w[k]!
      real.solve(changeRow[0]!)
      for (let m = 0; m < alpha.length; m++) {
        const [a, b] = [alpha[m]! / hS, beta[m]! / hS]
        const re = (2 * m + 1) * n
        const im = re + n
        for (let k = 0; k < n; k++) {
          change[re + k] = change[re + k]! - (a * w[re + k]! - b * w[im + k]!)
          change[im + k] = change[im + k]! - (a * w[im + k]! + b * w[re + k]!)
        }
        pairs[m]!.solve(changeRow[2 * m + 1]!, changeRow[2 * m + 2]!)
      }
      let even = 0
      let odd = 0
      for (let k = 0; k < n; k++) {
        let squares = 0
        for (let q = k; q < n * s; q += n) {
          const step = change[q]!
          w[q] = w[q]! + step
          squares += step * step
        }
        const weight = absolute[k]! + relative[0]! * Math.abs(state[k]!)
        const share = squares / (weight * weight)
        if ((k & 1) === 0) even += share
        else odd += share
      }
      return even + odd
    },
    finish({ stages: s, t, error }, hS) {
      mix(n, s, s, t, w, z)
      mix(n, 1, s, error, z, defect)
      const perH = 1 / hS
      const last = (s - 1) * n
      for (let k = 0; k < n; k++) {
        const raw = defect[k]! * perH
        defect[k] = raw
        estimate[k] = startRates[k]! + raw
        trial[k] = state[k]! + z[last + k]!
      }
      counts[3]!++
      real.solve(estimate)
      return judge()
    },
    refine({ stages: s }, timeS) {
      const last = (s - 1) * n
      for (let k = 0; k < n; k++) trial[k] = state[k]! + estimate[k]!
      system.rates(timeS, trial, estimate)
      for (let k = 0; k < n; k++) {
        estimate[k] = estimate[k]! + defect[k]!
        trial[k] = state[k]! + z[last + k]!
      }
      counts[0]!++
      counts[3]!++
      real.solve(estimate)
      return judge()
    },
    offender() {
      return offenderOf({ state, trial, estimate, relative, absolute, floor }, n)
    },
    interpolate({ stages: s, dense: weights }) {
      for (let k = 0; k < n; k++) z[s * n + k] = estimate[k]!
      mix(n, s, s + 1, weights, z, dense)
      dense.fill(0, s * n)
    },
    accept({ stages: s }) {
      state.set(trial)
      for (let q = 0; q < n * s; q++) zBefore[q] = z[q]!
      for (let k = 0; k < n; k++) zBefore[s * n + k] = estimate[k]!
    },
  }
}
