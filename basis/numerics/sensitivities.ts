import { invariant } from '../problems/index.ts'
import { createIntegratorFor, type IntegratorName, kernelFor } from './integrator.ts'
import type { Break, EventFunction, FoundEvent, RunRequest, Solution, StepKernel, Tolerances } from './ode.ts'
import { methods } from './rosenbrock-tableau.ts'
import { createSensitivityKernel } from './sensitivity-kernel.ts'
import { createStaggeredKernel } from './staggered-kernel.ts'
import type { VariedSystem } from './varied-system.ts'

/** A discontinuity at a fixed time. With `change`, `vary` must say what it does to the sensitivities. */
export interface VariedBreak extends Break {
  /**
   * Changes s_k = ∂y/∂p_k in place: s ← (∂φ/∂y) s + ∂φ/∂p_k for the change y ← φ(y, p), taken at the state `before`. A pour that mixes
   * y ← a y + b has s ← a s + ∂b/∂p_k.
   */
  vary?(timeS: number, before: Float64Array, parameter: number, s: Float64Array): void
}

/** An event whose time is differentiated; what is not given is taken as a central difference (slope) or zero (the others). */
export interface VariedEvent extends EventFunction {
  /** Fills `out` with ∂g/∂y. */
  slope?(timeS: number, y: Float64Array, out: Float64Array): void
  /** ∂g/∂t at fixed y. */
  timeSlope?(timeS: number, y: Float64Array): number
  /** ∂g/∂p_k at fixed y and t; needed when g reads rates or a level that is itself a parameter. */
  byParameter?(timeS: number, y: Float64Array, parameter: number): number
}

export interface SensitivityRequest extends Omit<RunRequest, 'breaks' | 'events'> {
  /** ∂y0/∂p_k: one row of `size` a parameter. */
  readonly start: ArrayLike<number>
  /**
   * The change of each parameter that matters (0.01 mol/L, 10 K, 1 for the logarithm of a constant): s_k is carried to the absolute
   * tolerance of y divided by it, and to the relative tolerance.
   */
  readonly scales: ArrayLike<number>
  readonly breaks?: readonly VariedBreak[]
  readonly events?: readonly VariedEvent[]
  /** False: only y decides the length of steps; cheaper, and the sensitivities are then as good as they happen to be. Default true. */
  readonly controlled?: boolean
  /** How many times as much error the sensitivities may have as y, at least 1; default 1. For `staggered` only. */
  readonly looseness?: number
  /**
   * `staggered` (the default): steps of y by any method, those of the sensitivities after them, in a fraction of the time. `differentiated`: the exact derivative of the
   * steps themselves, also where they are coarse; for the Rosenbrock methods, from tables. It goes another way to the same numbers and stays as the check of the first: tests
   * and bench ask for it, nothing else does.
   */
  readonly scheme?: 'staggered' | 'differentiated'
}

export interface VariedEventFound extends FoundEvent {
  /** dt* /dp_k, seconds per unit of the parameter; not finite where g only touches zero. Zero for an event that a break made. */
  readonly timeByParameter: Float64Array
  /** State at the event. */
  readonly state: Float64Array
  /** d y(t*)/dp_k, moving with the event: rows of `size`. */
  readonly stateByParameter: Float64Array
}

export interface SensitivitySolution {
  /** The run of the augmented state (y, s_1 … s_m): ending, statistics, drift of y, dense output. */
  readonly solution: Solution
  readonly size: number
  readonly parameterCount: number
  /** State where the run ended. */
  readonly end: Float64Array
  /** ∂y/∂p_k where the run ended. */
  endOf(parameter: number): Float64Array
  /** Fills `out` (size) with the state at a time; rules of Solution.at. */
  stateAt(timeS: number, out: Float64Array): void
  /** Fills `out` (size) with ∂y/∂p_k at a time and fixed t. */
  sensitivityAt(timeS: number, parameter: number, out: Float64Array): void
  readonly events: readonly VariedEventFound[]
}

const BEST_STEP = Number.EPSILON ** (1 / 3)

/** ∂g/∂y by central differences of 6e-6 of each component, or of its absolute tolerance where that is more. */
function slopeByDifferences(event: EventFunction, timeS: number, y: Float64Array, absolute: Float64Array, out: Float64Array): void {
  const moved = y.slice()
  for (let i = 0; i < y.length; i++) {
    const by = Math.max(BEST_STEP * Math.abs(y[i]!), absolute[i]!)
    moved[i] = y[i]! + by
    const ahead = event.value(timeS, moved)
    moved[i] = y[i]! - by
    out[i] = (ahead - event.value(timeS, moved)) / (2 * by)
    moved[i] = y[i]!
  }
}

function absoluteOfAll(n: number, tolerances: Tolerances, scales: ArrayLike<number>): Float64Array {
  const absolute = new Float64Array(n * (scales.length + 1))
  for (let i = 0; i < n; i++) {
    const own = typeof tolerances.absolute === 'number' ? tolerances.absolute : tolerances.absolute[i]!
    absolute[i] = own
    for (let k = 0; k < scales.length; k++) absolute[(k + 1) * n + i] = own / scales[k]!
  }
  return absolute
}

function flagsOfAll(n: number, size: number, nonNegative: Tolerances['nonNegative']): Uint8Array {
  const flags = new Uint8Array(size)
  if (nonNegative === 'none') return flags
  if (nonNegative instanceof Uint8Array) flags.set(nonNegative)
  else flags.fill(1, 0, n)
  return flags
}

/** The break acting on y and on every s_k of the augmented state. */
function augmented(pour: VariedBreak, n: number, m: number): Break {
  if (pour.change === undefined) return pour
  invariant(pour.vary !== undefined, 'a break that changes the state must say what it does to the sensitivities')
  return {
    timeS: pour.timeS,
    change(timeS, z) {
      const before = z.slice(0, n)
      for (let k = 0; k < m; k++) pour.vary?.(timeS, before, k, z.subarray((k + 1) * n, (k + 2) * n))
      pour.change?.(timeS, z.subarray(0, n))
    },
  }
}

function kernelOf(system: VariedSystem, request: SensitivityRequest, method: IntegratorName): StepKernel {
  const { controlled = true, looseness = 1, invariants: laws = [], scheme = 'staggered' } = request
  if (scheme === 'staggered') return createStaggeredKernel(system, kernelFor(system, method), { controlled, looseness, laws })
  invariant(method !== 'radau', 'only Rosenbrock steps are differentiated')
  return createSensitivityKernel(system, methods[method], controlled, laws)
}

/**
 * Runs y and its forward sensitivities s_k = ∂y/∂p_k together (see createStaggeredKernel and createSensitivityKernel for the two schemes) with error control on
 * both. Events are found on y; their times are differentiated by
 *
 *     dt* /dp = −(∂g/∂y · s + ∂g/∂p) / (∂g/∂y · f + ∂g/∂t)
 *
 * from the dense output, so they are as accurate as it is. Totals given as `invariants` are held for y and for every s_k. A run that keeps every step takes about 8 (m + 1) n (rows + 1) bytes for each.
 */
export function runSensitivities(
  system: VariedSystem,
  request: SensitivityRequest,
  method: IntegratorName = 'rodas5p',
): SensitivitySolution {
  const n = system.size
  const m = system.parameterCount
  const size = n * (m + 1)
  const {
    start,
    scales,
    events = [],
    breaks = [],
    keep = 'dense',
    invariants,
    tolerances,
    y0,
    controlled: _,
    looseness: __,
    scheme: ___,
    ...rest
  } = request
  invariant(start.length === n * m, `${start.length} start sensitivities for ${m} parameters of ${n} components`)
  invariant(scales.length === m, `${scales.length} scales for ${m} parameters`)
  for (let k = 0; k < m; k++) invariant(scales[k]! > 0 && scales[k]! < Infinity, 'the scale of a parameter is not a positive number')
  invariant(keep === 'dense' || events.length === 0, 'event times are differentiated on the dense output: keep "dense"')
  const absolute = absoluteOfAll(n, tolerances, scales)
  const z0 = new Float64Array(size)
  z0.set(y0)
  z0.set(start, n)
  const solution = createIntegratorFor(kernelOf(system, request, method)).run({
    ...rest,
    y0: z0,
    tolerances: {
      relative: tolerances.relative,
      absolute,
      nonNegative: flagsOfAll(n, size, tolerances.nonNegative),
      ...(tolerances.floorShare === undefined ? {} : { floorShare: tolerances.floorShare }),
    },
    keep,
    breaks: breaks.map((b) => augmented(b, n, m)),
    events: events.map((e) => ({ ...e, value: (timeS, z) => e.value(timeS, z.subarray(0, n)) })),
    ...(invariants === undefined ? {} : { invariants: invariants.map(({ name, weights }) => ({ name, weights: padded(weights, size) })) }),
  })

  const z = new Float64Array(size)
  function differentiate(found: FoundEvent): VariedEventFound {
    const timeByParameter = new Float64Array(m)
    const stateByParameter = new Float64Array(n * m)
    solution.at(found.timeS, z, found.byBreak === true ? 'after' : 'before')
    const y = z.slice(0, n)
    if (found.byBreak === true) return { ...found, timeByParameter, state: y, stateByParameter: z.slice(n) }
    const event = events.find((e) => e.name === found.name)
    invariant(event !== undefined, `no event is called "${found.name}"`)
    const slope = new Float64Array(n)
    if (event.slope) event.slope(found.timeS, y, slope)
    else slopeByDifferences(event, found.timeS, y, absolute, slope)
    const rates = new Float64Array(n)
    system.rates(found.timeS, y, rates)
    let speed = event.timeSlope?.(found.timeS, y) ?? 0
    for (let i = 0; i < n; i++) speed += slope[i]! * rates[i]!
    for (let k = 0; k < m; k++) {
      let change = event.byParameter?.(found.timeS, y, k) ?? 0
      for (let i = 0; i < n; i++) change += slope[i]! * z[(k + 1) * n + i]!
      timeByParameter[k] = -change / speed
      for (let i = 0; i < n; i++) stateByParameter[k * n + i] = z[(k + 1) * n + i]! + rates[i]! * timeByParameter[k]!
    }
    return { ...found, timeByParameter, state: y, stateByParameter }
  }

  const wide = new Float64Array(size)
  return {
    solution,
    size: n,
    parameterCount: m,
    end: solution.end.slice(0, n),
    endOf: (parameter) => solution.end.slice((parameter + 1) * n, (parameter + 2) * n),
    stateAt(timeS, out) {
      solution.at(timeS, wide)
      out.set(wide.subarray(0, n))
    },
    sensitivityAt(timeS, parameter, out) {
      solution.at(timeS, wide)
      out.set(wide.subarray((parameter + 1) * n, (parameter + 2) * n))
    },
    events: solution.events.map(differentiate),
  }
}

function padded(weights: Float64Array, size: number): Float64Array {
  const out = new Float64Array(size)
  out.set(weights)
  return out
}
