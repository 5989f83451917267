import { invariant } from '../problems/index.ts'
import { fillDenseRows } from './dense-output.ts'
import { createInvariantHold, LARGEST_IMBALANCE } from './invariants.ts'
import { BELOW_FLOOR, type Invariant, NOT_FINITE, SINGULAR, type StepKernel } from './ode.ts'
import { createRosenbrockKernel } from './rosenbrock-kernel.ts'
import type { RosenbrockTableau } from './rosenbrock-tableau.ts'
import { createSparseLu } from './sparse-lu.ts'
import type { VariedSystem } from './varied-system.ts'

/** Laws that have been looked at need no second look. */
const known = { imbalance: () => 0 }

/**
 * Steps of a Rosenbrock method on the augmented system
 *
 *     z = (y, s_1 … s_m),   y′ = f(y, p),   s_k′ = J(y) s_k + ∂f/∂p_k
 *
 * taken at once ("simultaneous"): the same stages, the same step. The augmented matrix is block triangular, so one factorisation of
 * I/(hγ) − J serves y and every s_k:
 *
 *     (I/(hγ) − J) u_sk = (right side of s_k) + M_k u_y,   M_k = Σ_l ∂J/∂y_l s_kl + ∂J/∂p_k at the start of the step.
 *
 * With exact M_k this is also the exact derivative of the step of y, so s is what differencing the numerical solution at fixed
 * steps would give. The error norm is the largest of the norms of y and of each s_k (of y alone when `controlled` is false).
 *
 * `laws` are totals of y (weights of `size` y): no step changes that total of any s_k either, so what rounding changes is put back after
 * every step in the way of createInvariantHold. Those that the system does not keep at the first step are left alone.
 */
export function createSensitivityKernel(
  system: VariedSystem,
  tableau: RosenbrockTableau,
  controlled = true,
  laws: readonly Invariant[] = [],
): StepKernel {
  invariant(system.timeDerivative === undefined, 'sensitivities of a system that depends on time explicitly are not to be had')
  const n = system.size
  const m = system.parameterCount
  const blocks = m + 1
  const size = n * blocks
  const stages = tableau.a.length
  const last = stages - 1
  const { gamma, denseRows } = tableau
  const flat = (rows: readonly (readonly number[])[]): Float64Array => {
    const out = new Float64Array(rows.length * stages)
    for (const [i, row] of rows.entries()) out.set(row, i * stages)
    return out
  }
  const [a, c, denseWeights] = [flat(tableau.a), flat(tableau.c), flat(tableau.dense)]
  const { rowStart, columns } = system.pattern
  const lu = createSparseLu(system.pattern)

  const state = new Float64Array(size)
  const trial = new Float64Array(size)
  const dense = new Float64Array(denseRows * size)
  /** u_j of component k stands at k·stages + j, so that the sums below run along memory. */
  const u = new Float64Array(stages * size)
  const right = new Float64Array(size)
  const carried = new Float64Array(size)
  const startRates = new Float64Array(size)
  const jacobian = new Float64Array(columns.length)
  const along = Array.from({ length: m }, () => new Float64Array(columns.length))
  const absolute = new Float64Array(size)
  const floor = new Float64Array(size).fill(-Infinity)
  const counts = new Int32Array(5)
  const views = (z: Float64Array): readonly Float64Array[] => Array.from({ length: blocks }, (_, b) => z.subarray(b * n, (b + 1) * n))
  const stateBlocks = views(state)
  const trialBlocks = views(trial)
  const rightBlocks = views(right)
  const startBlocks = views(startRates)
  let relative = 1e-4
  let offender = 0
  let holds: ReturnType<typeof createInvariantHold> | null = null

  function ratesOf(timeS: number, z: readonly Float64Array[], out: readonly Float64Array[]): void {
    system.rates(timeS, z[0]!, out[0]!)
    for (let k = 0; k < m; k++) system.ratesAlong(timeS, z[0]!, k, z[k + 1]!, out[k + 1]!)
    counts[0]!++
  }

  const isFiniteAll = (values: Float64Array): boolean => {
    let check = 0
    for (let p = 0; p < values.length; p++) check += values[p]! - values[p]!
    return check === 0
  }

  function begin(timeS: number): boolean {
    ratesOf(timeS, stateBlocks, startBlocks)
    system.jacobian(timeS, stateBlocks[0]!, jacobian)
    counts[1]!++
    let finite = isFiniteAll(startRates) && isFiniteAll(jacobian)
    for (let k = 0; k < m; k++) {
      system.jacobianAlong(timeS, stateBlocks[0]!, k, stateBlocks[k + 1]!, along[k]!)
      finite = finite && isFiniteAll(along[k]!)
    }
    return finite
  }

  /** Adds A x to b; `matrix` in the order of the pattern. */
  function addProduct(matrix: Float64Array, x: Float64Array, b: Float64Array): void {
    for (let i = 0; i < n; i++) {
      let sum = b[i]!
      for (let p = rowStart[i]!; p < rowStart[i + 1]!; p++) sum += matrix[p]! * x[columns[p]!]!
      b[i] = sum
    }
  }

  /** Puts z + Σ a_ij u_j into `trial` and Σ c_ij u_j into `carried`. */
  function combine(i: number): void {
    for (let k = 0; k < size; k++) {
      const base = k * stages
      let sumA = 0
      let sumC = 0
      for (let j = 0; j < i; j++) {
        const uj = u[base + j]!
        sumA += a[i * stages + j]! * uj
        sumC += c[i * stages + j]! * uj
      }
      trial[k] = state[k]! + sumA
      carried[k] = sumC
    }
  }

  function attempt(timeS: number, hS: number): number {
    counts[2]!++
    if (!lu.decompose(1 / (hS * gamma), jacobian)) return SINGULAR
    if (lu.pivoted) counts[4]!++
    for (let i = 0; i < stages; i++) {
      if (i === 0) right.set(startRates)
      else {
        combine(i)
        ratesOf(timeS + tableau.alpha[i]! * hS, trialBlocks, rightBlocks)
        for (let k = 0; k < size; k++) right[k] = right[k]! + carried[k]! / hS
      }
      lu.solve(rightBlocks[0]!)
      for (let k = 0; k < m; k++) {
        addProduct(along[k]!, rightBlocks[0]!, rightBlocks[k + 1]!)
        lu.solve(rightBlocks[k + 1]!)
      }
      for (let k = 0; k < size; k++) u[k * stages + i] = right[k]!
    }
    counts[3]! += stages * blocks
    return judge()
  }

  function judge(): number {
    let largestBlock = 0
    let largest = -1
    let worst = 0
    let below = -1
    let check = 0
    for (let b = 0; b < blocks; b++) {
      let sum = 0
      for (let k = b * n; k < (b + 1) * n; k++) {
        const error = u[k * stages + last]!
        const end = trial[k]! + error
        trial[k] = end
        check += end - end
        if (below < 0 && end < floor[k]!) below = k
        const scaled = error / (absolute[k]! + relative * Math.max(Math.abs(state[k]!), Math.abs(end)))
        sum += scaled * scaled
        if ((controlled || b === 0) && scaled * scaled > largest) {
          largest = scaled * scaled
          worst = k
        }
      }
      if (controlled || b === 0) largestBlock = Math.max(largestBlock, Math.sqrt(sum / n))
    }
    offender = worst
    if (check !== 0 || !(largestBlock < Infinity)) return NOT_FINITE
    if (below >= 0) {
      offender = below
      return BELOW_FLOOR
    }
    return largestBlock
  }

  function firstStep(_timeS: number, longestS: number): number {
    // z″ of each block: J y′ and J s_k′ + M_k y′.
    const bends = new Float64Array(size)
    const bendBlocks = views(bends)
    let step = longestS
    for (let b = 0; b < (controlled ? blocks : 1); b++) {
      addProduct(jacobian, startBlocks[b]!, bendBlocks[b]!)
      if (b > 0) addProduct(along[b - 1]!, startBlocks[0]!, bendBlocks[b]!)
      let bend = 0
      let slope = 0
      for (let k = b * n; k < (b + 1) * n; k++) {
        const weight = absolute[k]! + relative * Math.abs(state[k]!)
        bend += (bends[k]! / weight) ** 2
        slope += (startRates[k]! / weight) ** 2
      }
      const byBend = Math.sqrt(2 / Math.sqrt(bend / n))
      const bySlope = 100 / Math.sqrt(slope / n)
      const own = byBend < Infinity && byBend > 0 ? byBend : bySlope
      if (own > 0 && own < step) step = own
    }
    return step
  }

  /** Of totals of y; those of the s_k follow from them. Asked once a stretch and total. */
  function imbalance(weights: Float64Array): number {
    const plain = createRosenbrockKernel(system, tableau)
    plain.state.set(stateBlocks[0]!)
    return plain.begin(0) ? plain.imbalance(weights.subarray(0, n)) : Infinity
  }

  return {
    size,
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
    firstStep,
    imbalance,
    attempt,
    interpolate: () => fillDenseRows(denseRows, stages, size, denseWeights, u, dense),
    accept() {
      if (laws.length > 0) {
        holds ??= createInvariantHold(
          laws.filter((law) => imbalance(law.weights) <= LARGEST_IMBALANCE),
          n,
        )
        for (let k = 1; k < blocks; k++) {
          holds.start(stateBlocks[k]!, known)
          holds.hold(0, trialBlocks[k]!)
        }
      }
      state.set(trial)
    },
  }
}
