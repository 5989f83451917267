/** Generated code behind the same interface as the table-driven kernel, which stays as reference and as fallback. */
import { createCodeStore, type GeneratedCode } from './generated-code.ts'
import { createGeneratedTotals } from './generated-totals.ts'
import { BELOW_FLOOR, type OdeSystem, SINGULAR, type StepKernel } from './ode.ts'
import { createRosenbrockKernel, imbalanceOf, type StepStart, stepFromBend } from './rosenbrock-kernel.ts'
import type { RosenbrockTableau } from './rosenbrock-tableau.ts'
import { coefficientsOf, encodeStep, NEEDS_PIVOTING, type StepLayout } from './wasm-step.ts'

/** Compiled modules that are kept. */
const MOST_MODULES = 48
const steps = createCodeStore<StepLayout>(MOST_MODULES)

/** The kernel's functions as they come out of the module. */
interface StepExports {
  begin(): number
  attempt(hS: number): number
  interpolate(): void
  accept(): void
}

/**
 * Steps of a stiffly accurate Rosenbrock method in generated WebAssembly; null when the system offers no code, the code would be too long, or the host
 * cannot run it. Results are those of `createRosenbrockKernel` to the last bit (but for the sign of zero): the operations are the same ones in the same
 * order. A step whose fixed pivots fail is taken by that kernel.
 */
export function createGeneratedKernel(system: OdeSystem, tableau: RosenbrockTableau): StepKernel | null {
  const generated = steps(system, tableau.name, (emittable) => encodeStep(emittable, system.pattern, tableau))
  return generated === null ? null : kernelOn(system, tableau, generated)
}

function kernelOn(system: OdeSystem, tableau: RosenbrockTableau, generated: GeneratedCode<StepLayout>): StepKernel {
  const { layout, view } = generated
  const code = generated.exports as unknown as StepExports
  const n = system.size
  const stages = tableau.a.length
  const state = view(layout.state, n)
  const trial = view(layout.trial, n)
  const dense = view(layout.dense, tableau.denseRows * n)
  const absolute = view(layout.absolute, layout.row / 8)
  const floor = view(layout.floor, layout.row / 8)
  const relative = view(layout.relative, 2)
  const start: StepStart = {
    pattern: system.pattern,
    jacobian: view(layout.minusJacobian, system.pattern.columns.length),
    rates: view(layout.startRates, n),
    state,
  }
  const lastStage = view(layout.stages + (stages - 1) * layout.row, n)
  const counts = new Int32Array(5)
  view(layout.coefficients, 2 * coefficientsOf(tableau).length).set(coefficientsOf(tableau).flatMap((x) => [x, x]))
  absolute.fill(1)
  floor.fill(-Infinity)
  relative.fill(1e-4)
  let reference: StepKernel | null = null
  let byReference = false
  /** In an array, because a captured number would be boxed at every step. */
  const lastError = new Float64Array(1)

  /** The same step by the table-driven kernel, which can pivot. */
  function attemptByReference(timeS: number, hS: number): number {
    byReference = true
    reference ??= createRosenbrockKernel(system, tableau)
    reference.setTolerances(relative[0]!, absolute.subarray(0, n), floor.subarray(0, n))
    reference.state.set(state)
    reference.begin(timeS)
    const error = reference.attempt(timeS, hS)
    if (error !== SINGULAR) {
      trial.set(reference.trial)
      counts[4]!++
    }
    return error
  }

  const totalsArithmetic = createGeneratedTotals(generated.memory, layout, state, trial)

  /** Asked only when a run ends there, so it is found then and not in every step. */
  function findOffender(): number {
    if (byReference && reference !== null) return reference.offender
    let worst = 0
    let largest = -1
    let below = -1
    for (let k = 0; k < n; k++) {
      if (trial[k]! < floor[k]!) below = k
      const scaled = lastStage[k]! / (absolute[k]! + relative[0]! * Math.max(Math.abs(trial[k]!), Math.abs(state[k]!)))
      if (scaled * scaled > largest) {
        largest = scaled * scaled
        worst = k
      }
    }
    return lastError[0] === BELOW_FLOOR ? below : worst
  }

  return {
    size: n,
    method: tableau,
    state,
    trial,
    dense,
    get offender() {
      return findOffender()
    },
    counts,
    totalsArithmetic,
    setTolerances(relativeTolerance, absoluteTolerance, lowest) {
      relative.fill(relativeTolerance)
      absolute.set(absoluteTolerance)
      floor.set(lowest)
    },
    begin() {
      generated.refresh()
      counts[0]!++
      counts[1]!++
      return code.begin() !== 0
    },
    firstStep(_timeS, longestS) {
      return stepFromBend(start, null, absolute, relative[0]!, longestS)
    },
    imbalance(weights) {
      return imbalanceOf(start, weights)
    },
    attempt(timeS, hS) {
      counts[2]!++
      byReference = false
      let error = code.attempt(hS)
      if (error === NEEDS_PIVOTING) error = attemptByReference(timeS, hS)
      lastError[0] = error
      if (error === SINGULAR) return error
      counts[0]! += stages - 1
      counts[3]! += stages
      return error
    },
    interpolate() {
      if (!byReference || reference === null) {
        code.interpolate()
        return
      }
      reference.interpolate()
      dense.set(reference.dense)
    },
    accept() {
      code.accept()
    },
  }
}
