import { invariant } from '../problems/index.ts'
import { evaluateStep } from './dense-output.ts'
import { esdirk5 } from './esdirk-tableau.ts'
import { LARGEST_IMBALANCE } from './invariants.ts'
import { type Invariant, NOT_FINITE, SINGULAR, type StepKernel } from './ode.ts'
import { createStepControl, type StepControl } from './step-control.ts'
import { createGeneratedVariationWork } from './variation-generated.ts'
import { createVariationWork, type VariationWork } from './variation-work.ts'
import type { VariedSystem } from './varied-system.ts'
import { createVariedTotals, type VariedTotals } from './varied-totals.ts'

export interface StaggeredOptions {
  /** Whether the errors of the s_k count for the lengths of steps; default true. */
  readonly controlled?: boolean
  /** How many times as much error the s_k may have as y, at least 1; default 1. */
  readonly looseness?: number
  /** Totals of y (weights of `size` y), held for every s_k as well; those that the system does not keep are left alone. */
  readonly laws?: readonly Invariant[]
  /** Default: generated where the system offers code, else from tables. */
  readonly work?: VariationWork
}

/**
 * Steps of y by any kernel, and after each of them a step of the variational equations
 *
 *     s_k′ = J(y) s_k + ∂f/∂p_k
 *
 * of the same length at the states of its dense output ("staggered direct"). They are linear, so a stage of a diagonally implicit method is one solve for every k with
 * the factors of one matrix, without iteration, without second derivatives, and without a product with J:
 *
 *     (I/(hγ) − J(y_i)) s_i = v/(hγ) + ∂f/∂p_k,   v = s + Σ a_ij U_j,   U_i = (s_i − v)/γ.
 *
 * The result is not the derivative of the steps that y took but of order 5 (and that of y's dense output) in itself; the differentiated steps of createSensitivityKernel
 * are its independent check. The augmented state is (y, s_1 … s_m); its error is the larger of both.
 */
export function createStaggeredKernel(system: VariedSystem, inner: StepKernel, options: StaggeredOptions = {}): StepKernel {
  invariant(system.timeDerivative === undefined, 'sensitivities of a system that depends on time explicitly are not to be had')
  const { controlled = true, looseness = 1, laws = [] } = options
  const work = options.work ?? createGeneratedVariationWork(system, esdirk5) ?? createVariationWork(system, esdirk5)
  const { gamma, nodes } = esdirk5
  const n = system.size
  const m = system.parameterCount
  const { width } = work
  const size = n * (m + 1)
  const innerRows = inner.method.denseRows
  const denseRows = Math.max(innerRows, esdirk5.dense.length)
  const state = new Float64Array(size)
  const trial = new Float64Array(size)
  const dense = new Float64Array(denseRows * size)
  const floor = new Float64Array(n)
  const counts = new Int32Array(5)
  const stageState = new Float64Array(n)
  const none = new Float64Array(n)
  const one = new Float64Array(n)
  const sums = new Float64Array(width)
  const control = inner.control ?? createStepControl(inner.method.embeddedOrder)
  const stages = nodes.length
  /** Length of the step that `work.slope` belongs to; 0: it is to be found anew. */
  let slopeOfS = 0
  let lastS = 0
  let offender = 0
  let totals: VariedTotals | null = null

  const wrapped: StepControl = {
    ...control,
    restart() {
      slopeOfS = 0
      control.restart()
    },
  }

  function fillSources(timeS: number, y: Float64Array): void {
    work.sources.fill(0)
    if (system.addSources !== undefined) {
      system.addSources(timeS, y, width, work.sources)
      return
    }
    for (let k = 0; k < m; k++) {
      system.ratesAlong(timeS, y, k, none, one)
      for (let i = 0; i < n; i++) work.sources[i * width + k] = one[i]!
    }
  }

  /** Moves what the two parts have counted into `counts`. */
  function book(): void {
    for (let c = 0; c < counts.length; c++) counts[c] = counts[c]! + inner.counts[c]! + work.counts[c]!
    inner.counts.fill(0)
    work.counts.fill(0)
  }

  /** From one block a parameter to one row a component, and back. */
  function gather(from: Float64Array, to: Float64Array): void {
    for (let k = 0; k < m; k++) for (let i = 0, at = (k + 1) * n; i < n; i++) to[i * width + k] = from[at + i]!
  }
  function spread(from: Float64Array, to: Float64Array, base: number): void {
    for (let k = 0; k < m; k++) for (let i = 0, at = base + (k + 1) * n; i < n; i++) to[at + i] = from[i * width + k]!
  }

  function begin(timeS: number): boolean {
    inner.state.set(state.subarray(0, n))
    if (!inner.begin(timeS)) return false
    gather(state, work.start)
    if (slopeOfS > 0) return true
    let check = 0
    for (let k = 0; k < m; k++) {
      system.ratesAlong(timeS, inner.state, k, state.subarray((k + 1) * n, (k + 2) * n), one)
      for (let i = 0; i < n; i++) {
        work.slope[i * width + k] = one[i]!
        check += one[i]! - one[i]!
      }
    }
    slopeOfS = 1
    const kept = laws.filter((law) => inner.imbalance(law.weights) <= LARGEST_IMBALANCE)
    totals = kept.length > 0 ? createVariedTotals(kept, width) : null
    totals?.start(work.start)
    return check === 0
  }

  function attempt(timeS: number, hS: number): number {
    const error = attemptBoth(timeS, hS)
    book()
    return error
  }

  function attemptBoth(timeS: number, hS: number): number {
    const error = inner.attempt(timeS, hS)
    offender = -1
    lastS = hS
    if (!(error >= 0 && error <= 1)) return error
    inner.interpolate()
    work.begin(hS / slopeOfS)
    const shift = 1 / (hS * gamma)
    for (let i = 1; i < stages; i++) {
      const at = timeS + nodes[i]! * hS
      let y = inner.trial
      if (i < stages - 1) {
        y = stageState
        evaluateStep(n, innerRows, nodes[i]!, inner.state, 0, inner.trial, 0, inner.dense, 0, floor, y)
      }
      if (!work.factor(at, y, shift)) return SINGULAR
      fillSources(at, y)
      work.stage(i, shift)
    }
    work.judge()
    const both = Math.max(error, judge())
    if (!(both < Infinity)) return NOT_FINITE
    if (both <= 1) {
      totals?.hold(work.end, inner.trial)
      trial.set(inner.trial)
      spread(work.end, trial, 0)
    }
    return both
  }

  /** The largest error norm of an s_k; NaN or infinite where one is not finite. */
  function judge(): number {
    sums.fill(0)
    const { squares } = work
    for (let i = 0, q = 0; i < n; i++) for (let k = 0; k < width; k++) sums[k] = sums[k]! + squares[q++]!
    let largest = 0
    let worst = 0
    let check = 0
    for (let k = 0; k < m; k++) {
      check += sums[k]! - sums[k]!
      if (sums[k]! > largest) {
        largest = sums[k]!
        worst = k
      }
    }
    if (check !== 0) return Number.NaN
    const norm = controlled ? Math.sqrt(largest / n) / looseness : 0
    if (norm > 1) offender = (worst + 1) * n + largestIn(worst)
    return norm
  }

  function largestIn(parameter: number): number {
    let found = 0
    for (let i = 1; i < n; i++) if (work.squares[i * width + parameter]! > work.squares[found * width + parameter]!) found = i
    return found
  }

  return {
    size,
    looked: n,
    method: { ...inner.method, denseRows },
    control: wrapped,
    state,
    trial,
    dense,
    get offender() {
      return offender < 0 ? inner.offender : offender
    },
    counts,
    setTolerances(relative, absolute, lowest) {
      floor.set(lowest.subarray(0, n))
      inner.setTolerances(relative, absolute.slice(0, n), floor)
      gather(absolute, work.absolute)
      work.relative.fill(relative)
    },
    begin,
    firstStep: (timeS, longestS) => inner.firstStep(timeS, longestS),
    imbalance: (weights) => inner.imbalance(weights.subarray(0, n)),
    attempt,
    interpolate() {
      // y stands there already: the stages of s_k have asked for it
      work.interpolate()
      for (let r = 0; r < denseRows; r++) {
        const at = r * size
        if (r < innerRows) dense.set(inner.dense.subarray(r * n, (r + 1) * n), at)
        const rows = work.dense[r]
        if (rows !== undefined) spread(rows, dense, at)
      }
    },
    accept() {
      state.set(trial)
      inner.accept()
      work.keep()
      slopeOfS = lastS
    },
  }
}
