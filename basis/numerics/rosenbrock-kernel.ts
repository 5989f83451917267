import { fillDenseRows } from './dense-output.ts'
import { BELOW_FLOOR, NOT_FINITE, type OdeSystem, SINGULAR, type SparsePattern, type StepKernel } from './ode.ts'
import type { RosenbrockTableau } from './rosenbrock-tableau.ts'
import { createSparseLu } from './sparse-lu.ts'

/** Lower triangular rows laid out flat, `width` entries a row. */
function flat(rows: readonly (readonly number[])[], width: number): Float64Array {
  const out = new Float64Array(rows.length * width)
  for (const [i, row] of rows.entries()) out.set(row, i * width)
  return out
}

/** Stages whose row of `a` is the row before it and a 1: y_i is then y_{i−1} + u_{i−1}, one addition a component. */
export function accumulating(a: readonly (readonly number[])[]): Uint8Array {
  return Uint8Array.from(a, (row, i) => {
    const before = a[i - 1]
    return before !== undefined && i > 1 && row[i - 1] === 1 && before.every((x, j) => x === row[j]) ? 1 : 0
  })
}

/** What a kernel knows at the start of a step. `jacobian` may stand there with its sign turned. */
export interface StepStart {
  readonly pattern: SparsePattern
  readonly jacobian: Float64Array
  readonly rates: Float64Array
  readonly state: Float64Array
}

/** See StepKernel.firstStep; `timeSlope` is zero for a system that does not depend on time. */
export function stepFromBend(
  { pattern, jacobian, rates, state }: StepStart,
  timeSlope: Float64Array | null,
  absolute: Float64Array,
  relative: number,
  longestS: number,
): number {
  // y″ = J f + ∂f/∂t, exactly, so no trial evaluation is needed.
  const { size: n, rowStart, columns } = pattern
  let bend = 0
  let slope = 0
  for (let k = 0; k < n; k++) {
    let second = timeSlope === null ? 0 : timeSlope[k]!
    for (let p = rowStart[k]!; p < rowStart[k + 1]!; p++) second += jacobian[p]! * rates[columns[p]!]!
    const weight = absolute[k]! + relative * Math.abs(state[k]!)
    bend += (second / weight) ** 2
    slope += (rates[k]! / weight) ** 2
  }
  const byBend = Math.sqrt(2 / Math.sqrt(bend / n))
  // Without curvature to go by: a hundred tolerances of change; without change either: the whole stretch.
  const bySlope = 100 / Math.sqrt(slope / n)
  const step = byBend < Infinity && byBend > 0 ? byBend : bySlope
  return step > 0 && step < longestS ? step : longestS
}

/** See StepKernel.imbalance. */
export function imbalanceOf({ pattern, jacobian, rates, state }: StepStart, weights: Float64Array): number {
  const { size: n, rowStart, columns } = pattern
  const net = new Float64Array(n)
  const gross = new Float64Array(n)
  let change = 0
  let flow = 0
  for (let i = 0; i < n; i++) {
    change += weights[i]! * rates[i]!
    flow += Math.abs(weights[i]! * rates[i]!)
    for (let p = rowStart[i]!; p < rowStart[i + 1]!; p++) {
      const j = columns[p]!
      const slope = weights[i]! * jacobian[p]!
      net[j] = net[j]! + slope
      gross[j] = gross[j]! + Math.abs(slope)
      // Net rates may be small differences of large flows; the Jacobian still shows the flows.
      flow += Math.abs(slope * state[j]!)
    }
  }
  let worst = flow > 0 ? Math.abs(change) / flow : 0
  for (let j = 0; j < n; j++) if (gross[j]! > 0) worst = Math.max(worst, Math.abs(net[j]!) / gross[j]!)
  return worst
}

/**
 * Steps of a stiffly accurate Rosenbrock method with table-driven rates, Jacobian and a sparse factorisation of fixed
 * pattern. One Jacobian and one decomposition a step, no iteration; a rejected step keeps the Jacobian.
 */
export function createRosenbrockKernel(system: OdeSystem, tableau: RosenbrockTableau): StepKernel {
  const n = system.size
  const stages = tableau.a.length
  const lu = createSparseLu(system.pattern)
  const a = flat(tableau.a, stages)
  const c = flat(tableau.c, stages)
  const accumulates = accumulating(tableau.a)
  const alpha = Float64Array.from(tableau.alpha)
  const gammaSum = Float64Array.from(tableau.gammaSum)
  const gamma = tableau.gamma
  const denseWeights = flat(tableau.dense, stages)
  const denseRows = tableau.denseRows
  const last = stages - 1

  const state = new Float64Array(n)
  const trial = new Float64Array(n)
  const dense = new Float64Array(denseRows * n)
  /** Stage vectors, component-major: u_j of component k stands at k·stages + j, so that the sums below run along memory. */
  const u = new Float64Array(n * stages)
  const stageRates = new Float64Array(n)
  const startRates = new Float64Array(n)
  const carried = new Float64Array(n)
  const timeSlope = new Float64Array(n)
  const jacobian = new Float64Array(system.pattern.columns.length)
  const absolute = new Float64Array(n)
  const floor = new Float64Array(n).fill(-Infinity)
  const counts = new Int32Array(5)
  const timeDependent = system.timeDerivative !== undefined
  let relative = 1e-4
  let offender = 0

  /** The differences x − x below are 0 for a number and NaN for anything else: one test at the end finds all. */
  function begin(timeS: number): boolean {
    system.rates(timeS, state, startRates)
    system.jacobian(timeS, state, jacobian)
    counts[0]!++
    counts[1]!++
    let check = 0
    for (let k = 0; k < n; k++) check += startRates[k]! - startRates[k]!
    for (let p = 0; p < jacobian.length; p++) check += jacobian[p]! - jacobian[p]!
    if (timeDependent) {
      system.timeDerivative?.(timeS, state, timeSlope)
      for (let k = 0; k < n; k++) check += timeSlope[k]! - timeSlope[k]!
    }
    return check === 0
  }

  /** Puts y + Σ a_ij u_j into `trial` and Σ c_ij u_j into `carried`. */
  function combine(i: number): void {
    const row = i * stages
    if (accumulates[i] === 1) {
      for (let k = 0; k < n; k++) {
        const base = k * stages
        let sumC = 0
        for (let j = 0; j < i; j++) sumC += c[row + j]! * u[base + j]!
        trial[k] = trial[k]! + u[base + i - 1]!
        carried[k] = sumC
      }
      return
    }
    for (let k = 0; k < n; k++) {
      const base = k * stages
      let sumA = 0
      let sumC = 0
      for (let j = 0; j < i; j++) {
        const uj = u[base + j]!
        sumA += a[row + j]! * uj
        sumC += c[row + j]! * uj
      }
      trial[k] = state[k]! + sumA
      carried[k] = sumC
    }
  }

  function attempt(timeS: number, hS: number): number {
    counts[2]!++
    if (!lu.decompose(1 / (hS * gamma), jacobian)) return SINGULAR
    if (lu.pivoted) counts[4]!++
    const perH = 1 / hS
    for (let k = 0; k < n; k++) stageRates[k] = startRates[k]!
    for (let i = 0; i < stages; i++) {
      if (i > 0) {
        combine(i)
        system.rates(timeS + alpha[i]! * hS, trial, stageRates)
        for (let k = 0; k < n; k++) stageRates[k] = stageRates[k]! + carried[k]! * perH
      }
      if (timeDependent && gammaSum[i] !== 0) {
        const weight = gammaSum[i]! * hS
        for (let k = 0; k < n; k++) stageRates[k] = stageRates[k]! + weight * timeSlope[k]!
      }
      lu.solve(stageRates)
      for (let k = 0; k < n; k++) u[k * stages + i] = stageRates[k]!
    }
    counts[0]! += last
    counts[3]! += stages
    return judge()
  }

  /** Adds the last stage, which is also the error estimate, and returns the weighted root mean square of it. */
  function judge(): number {
    let sum = 0
    let largest = -1
    let worst = 0
    let check = 0
    let below = -1
    for (let k = 0; k < n; k++) {
      const error = u[k * stages + last]!
      const after = trial[k]! + error
      trial[k] = after
      check += after - after
      if (after < floor[k]!) below = k
      const before = Math.abs(state[k]!)
      const size = Math.abs(after)
      const scaled = error / (absolute[k]! + relative * (size > before ? size : before))
      const square = scaled * scaled
      sum += square
      if (square > largest) {
        largest = square
        worst = k
      }
    }
    offender = worst
    if (!(sum + check < Infinity)) return NOT_FINITE
    if (below >= 0) {
      offender = below
      return BELOW_FLOOR
    }
    return Math.sqrt(sum / n)
  }

  const interpolate = (): void => fillDenseRows(denseRows, stages, n, denseWeights, u, dense)

  return {
    size: n,
    method: tableau,
    state,
    trial,
    dense,
    get offender() {
      return offender
    },
    counts,
    setTolerances(relativeTolerance, absoluteTolerance, lowest) {
      relative = relativeTolerance
      absolute.set(absoluteTolerance)
      floor.set(lowest)
    },
    begin,
    firstStep(_timeS, longestS) {
      return stepFromBend({ pattern: system.pattern, jacobian, rates: startRates, state }, timeSlope, absolute, relative, longestS)
    },
    imbalance(weights) {
      return imbalanceOf({ pattern: system.pattern, jacobian, rates: startRates, state }, weights)
    },
    attempt,
    interpolate,
    accept() {
      state.set(trial)
    },
  }
}
