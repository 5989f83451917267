/** Radau steps in generated code: the decisions of radau-kernel.ts on the arithmetic of wasm-radau.ts. */
import { createCodeStore, type GeneratedCode } from './generated-code.ts'
import { createGeneratedTotals } from './generated-totals.ts'
import type { OdeSystem, StepKernel } from './ode.ts'
import { type Collocation, collocation } from './radau-collocation.ts'
import { type RadauChoice, radauKernelOn, radauStages } from './radau-kernel.ts'
import { createRadauWork, offenderOf, type RadauWork } from './radau-work.ts'
import { encodeRadau, type RadauLayout, radauCoefficients } from './wasm-radau.ts'

/** Compiled modules that are kept. */
const MOST_MODULES = 16
const modules = createCodeStore<RadauLayout>(MOST_MODULES)

/** The functions of one method, out of the module's exports. */
interface MethodExports {
  lookAhead(): void
  decompose(hS: number): number
  predict(): void
  iterate(hS: number): number
  finish(hS: number): number
  refine(): number
  interpolate(): void
  accept(): void
}

interface CommonExports {
  begin(): number
  slopes(): number
}

const names = ['lookAhead', 'decompose', 'predict', 'iterate', 'finish', 'refine', 'interpolate', 'accept'] as const

/**
 * As createRadauKernel, in generated WebAssembly, with the same results to the last bit (but for the sign of zero); null when the system offers no code, the code
 * would be too long, or the host cannot run it. A step whose fixed pivots fail is taken by the tables.
 */
export function createGeneratedRadauKernel(system: OdeSystem, choice: RadauChoice = {}): StepKernel | null {
  const allowed = choice.stages ?? radauStages
  const methods = allowed.map((s) => collocation(s))
  const generated = modules(system, allowed.join(), (emittable) => encodeRadau(emittable, system.pattern, methods))
  if (generated === null) return null
  const work = workOn(system, methods, generated)
  const kernel = radauKernelOn(system, work, allowed)
  const { memory, layout } = generated
  return Object.defineProperty(kernel, 'totalsArithmetic', { value: createGeneratedTotals(memory, layout, work.state, work.trial) })
}

function workOn(system: OdeSystem, methods: readonly Collocation[], generated: GeneratedCode<RadauLayout>): RadauWork {
  const { layout, exports, view } = generated
  const n = system.size
  const code = exports as unknown as CommonExports
  const most = methods.at(-1)!.stages
  const byStages = new Map<number, MethodExports>()
  for (const { stages } of methods) {
    byStages.set(stages, Object.fromEntries(names.map((name) => [name, exports[`${name}${stages}`]])) as unknown as MethodExports)
  }
  const of = (method: Collocation): MethodExports => byStages.get(method.stages)!
  const zBefore = Array.from({ length: most + 1 }, (_, i) => view(layout.zBefore + i * layout.row, n))
  const state = view(layout.state, n)
  const trial = view(layout.trial, n)
  const dense = view(layout.dense, most * n)
  const startRates = view(layout.startRates, n)
  const jacobian = view(layout.minusJacobian, system.pattern.columns.length)
  const relative = view(layout.relative, 2)
  const absolute = view(layout.absolute, layout.row / 8)
  const floor = view(layout.floor, layout.row / 8)
  const estimate = view(layout.estimate, n)
  const weightPairs = view(layout.weights, 2 * most * (most + 1))
  const counts = new Int32Array(5)
  view(layout.coefficients, 2 * radauCoefficients(methods).length).set(radauCoefficients(methods).flatMap((x) => [x, x]))
  absolute.fill(1)
  floor.fill(-Infinity)
  /** Taken for a step whose fixed pivots fail. */
  let reference: RadauWork | null = null
  let byReference = false

  function putWeights(weights: Float64Array, count: number): void {
    for (let q = 0; q < count; q++) {
      weightPairs[2 * q] = weights[q]!
      weightPairs[2 * q + 1] = weights[q]!
    }
  }

  /** The tables take over with everything that this attempt knows. */
  function handOver(method: Collocation, hS: number): boolean {
    reference ??= createRadauWork(system, most)
    reference.state.set(state)
    reference.startRates.set(startRates)
    reference.relative[0] = relative[0]!
    reference.absolute.set(absolute.subarray(0, n))
    reference.floor.set(floor.subarray(0, n))
    for (let p = 0; p < jacobian.length; p++) reference.jacobian[p] = -jacobian[p]!
    for (let i = 0; i <= most; i++) reference.stepBefore.set(zBefore[i]!, i * n)
    byReference = reference.decompose(method, hS)
    if (byReference) counts[4] = counts[4]! + reference.counts[4]!
    reference.counts.fill(0)
    return byReference
  }

  return {
    size: n,
    state,
    trial,
    dense,
    startRates,
    jacobian,
    timeSlope: null,
    stepBefore: zBefore[0]!,
    relative,
    absolute: absolute.subarray(0, n),
    floor: floor.subarray(0, n),
    counts,
    begin() {
      generated.refresh()
      counts[0]!++
      return code.begin() !== 0
    },
    slopes() {
      counts[1]!++
      return code.slopes() !== 0
    },
    lookAhead(method, _timeS, weights) {
      counts[1]!++
      putWeights(weights, method.stages + 1)
      of(method).lookAhead()
    },
    decompose(method, hS) {
      byReference = false
      counts[2] = counts[2]! + ((method.stages + 1) >> 1)
      return of(method).decompose(hS) !== 0 || handOver(method, hS)
    },
    predict(method, weights) {
      if (byReference && reference !== null) {
        reference.predict(method, weights)
        return
      }
      if (weights === null) {
        view(layout.w, (most * layout.row) / 8).fill(0)
        return
      }
      putWeights(weights, method.stages * (method.stages + 1))
      of(method).predict()
    },
    iterate(method, timeS, hS) {
      counts[0] = counts[0]! + method.stages
      counts[3] = counts[3]! + ((method.stages + 1) >> 1)
      return byReference && reference !== null ? reference.iterate(method, timeS, hS) : of(method).iterate(hS)
    },
    finish(method, hS) {
      counts[3]!++
      if (!byReference || reference === null) return of(method).finish(hS)
      const error = reference.finish(method, hS)
      trial.set(reference.trial)
      return error
    },
    refine(method, timeS) {
      counts[0]!++
      counts[3]!++
      if (!byReference || reference === null) return of(method).refine()
      const error = reference.refine(method, timeS)
      trial.set(reference.trial)
      return error
    },
    offender() {
      if (byReference && reference !== null) return reference.offender()
      return offenderOf({ state, trial, estimate, relative, absolute, floor }, n)
    },
    interpolate(method) {
      if (byReference && reference !== null) {
        reference.interpolate(method)
        dense.set(reference.dense)
        return
      }
      of(method).interpolate()
      dense.fill(0, method.stages * n)
    },
    accept(method) {
      if (!byReference || reference === null) {
        of(method).accept()
        return
      }
      state.set(trial)
      reference.accept(method)
      for (let i = 0; i <= method.stages; i++) zBefore[i]!.set(reference.stepBefore.subarray(i * n, (i + 1) * n))
    },
  }
}
