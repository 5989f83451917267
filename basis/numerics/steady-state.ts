import { invariant } from '../problems/index.ts'
import type { Eigenvalues } from './eigenvalues.ts'
import { weightedTotal } from './invariants.ts'
import type { OdeSystem } from './ode.ts'
import { createScaledSolver, steadyEquations, type SteadyEquations } from './steady-equations.ts'

export interface SteadyRequest {
  /** Where to begin; its totals are kept. */
  readonly y0: ArrayLike<number>
  /** Weights of totals that no rate changes, all of them (see leftNullSpace); dependent ones do no harm. */
  readonly laws?: readonly Float64Array[]
  /** What counts as nothing, in the unit of y, one for all or one a component: default 1e-14 of the largest start value. */
  readonly absolute?: number | Float64Array
  /** Newton steps below this share of y end the search; default 1e-12. */
  readonly relative?: number
  /** Components may become negative (a general system). Default false. */
  readonly signed?: boolean
  /**
   * `relax`: implicit steps of growing length first, which follow the motion to where it settles; `newton`: the nearest zero, stable or not;
   * `either` (default): relax, and Newton where that gets nowhere (an unstable state inside an oscillation).
   */
  readonly by?: 'relax' | 'newton' | 'either'
}

export type SteadyState =
  | {
      readonly how: 'found'
      readonly y: Float64Array
      /** See SteadyEquations.imbalance. */
      readonly imbalance: number
      readonly iterations: number
      readonly by: 'relax' | 'newton'
    }
  | {
      readonly how: 'not-found'
      readonly why: 'singular' | 'not-finite' | 'stalled'
      readonly advice: string
      /** Where the search stood. */
      readonly y: Float64Array
      readonly iterations: number
    }

const adviceFor = {
  singular: 'the equations are singular here: a total is missing among the laws, or steady states form a line or touch (a fold)',
  'not-finite': 'a rate or its Jacobian is not a finite number near the start',
  stalled: 'begin nearer, allow another sign, or follow a known state by continuation; there may be none at these totals',
} as const

const MOST_RELAXING = 600
const MOST_NEWTON = 80
const MOST_LOGARITHMIC = 200
const PASSED_EVERY = 25
const LONGEST_LOGARITHM = 2
/** Absent components begin at this share of the largest. */
const LEAST_START_SHARE = 1e-12
/** A step may take away at most this share of what is there. */
const BOUNDARY_SHARE = 0.9
const LEAST_DAMPING = 1e-8
/** Relaxing: a step that changes everything by less than this share may be followed by a longer one. */
const CALM = 0.3
const WILD = 3
const GROWTH = 4
const SHRINK = 0.25
/** Steps so long that the inverse no longer counts: Newton's method. */
const LONGEST_STEP = 1e30

/** The largest share of dy that keeps every component above a tenth of itself. */
function damping(y: Float64Array, dy: Float64Array, absolute: Float64Array, signed: boolean): number {
  let share = 1
  if (signed) return share
  for (let i = 0; i < y.length; i++) {
    if (y[i]! + dy[i]! >= -0.01 * absolute[i]!) continue
    const room = BOUNDARY_SHARE * Math.max(y[i]!, 0)
    share = Math.min(share, room / -dy[i]!)
  }
  return share
}

/** A steady state of y′ = f(y) at the totals of y0. Always ends: found, or not found with the reason and where it stood. */
export function findSteadyState(system: OdeSystem, request: SteadyRequest): SteadyState {
  const n = system.size
  invariant(request.y0.length === n, `${request.y0.length} start values for ${n} components`)
  const start = Float64Array.from(request.y0)
  const largest = start.reduce((a, b) => Math.max(a, Math.abs(b)), 0)
  const given = request.absolute ?? 1e-14 * (largest > 0 ? largest : 1)
  const absolute = typeof given === 'number' ? new Float64Array(n).fill(given) : given
  const relative = request.relative ?? 1e-12
  const signed = request.signed ?? false
  const laws = request.laws ?? []
  const totals = laws.map((law) => weightedTotal(law, start))
  const solver = createScaledSolver(n)
  const residual = new Float64Array(n)
  const matrix = new Float64Array(n * n)
  const scale = new Float64Array(n)
  /** Places that relaxing came by. */
  const passed: Float64Array[] = []
  let iterations = 0
  let fault: 'singular' | 'not-finite' | 'stalled' = 'stalled'

  /** Puts −(I/step − A)⁻¹… the step of length `step` into `residual`; false when it cannot be formed. */
  function solveStep(equations: SteadyEquations, y: Float64Array, step: number): boolean {
    equations.fill(y, residual, matrix)
    if (!residual.every(Number.isFinite) || !matrix.every(Number.isFinite)) {
      fault = 'not-finite'
      return false
    }
    const inverse = step >= LONGEST_STEP ? 0 : 1 / step
    for (const i of equations.reduced.free) matrix[i * n + i] = matrix[i * n + i]! - inverse
    for (let i = 0; i < n; i++) {
      residual[i] = -residual[i]!
      scale[i] = Math.max(Math.abs(y[i]!), absolute[i]!)
    }
    if (solver.solve(matrix, residual, scale)) return true
    fault = 'singular'
    return false
  }

  const change = (y: Float64Array): number => {
    let most = 0
    for (let i = 0; i < n; i++) most = Math.max(most, Math.abs(residual[i]!) / (Math.abs(y[i]!) + absolute[i]! / relative))
    return most
  }

  function newton(from: Float64Array, by: 'relax' | 'newton'): SteadyState | null {
    const y = from.slice()
    let equations = steadyEquations(system, laws, totals, y)
    for (let round = 0; round < MOST_NEWTON; round++) {
      iterations++
      if (!solveStep(equations, y, Infinity)) return null
      const share = damping(y, residual, absolute, signed)
      if (share < LEAST_DAMPING) {
        fault = 'stalled'
        return null
      }
      const size = change(y)
      for (let i = 0; i < n; i++) y[i] = y[i]! + share * residual[i]!
      if (size <= relative && share === 1) return { how: 'found', y, imbalance: equations.imbalance(y), iterations, by }
      // The component that holds most of a total may be another one by now.
      if (round % 8 === 7) equations = steadyEquations(system, laws, totals, y)
    }
    fault = 'stalled'
    return null
  }

  /**
   * Newton on the logarithms: no component changes by more than a factor e² at once, none can become negative, and products of powers are
   * straight lines. Reaches states that lie decades away, as the unstable one inside an oscillation. Totals hold at its end only.
   */
  function newtonOnLogarithms(from: Float64Array): SteadyState | null {
    if (signed) return null
    const y = from.map((v) => Math.max(v, LEAST_START_SHARE * largest, absolute[0]!))
    let equations = steadyEquations(system, laws, totals, y)
    for (let round = 0; round < MOST_LOGARITHMIC; round++) {
      iterations++
      if (!solveStep(equations, y, Infinity)) return null
      let most = 0
      for (let i = 0; i < n; i++) if (y[i]! > absolute[i]!) most = Math.max(most, Math.abs(residual[i]! / y[i]!))
      if (most < 1e-3) return newton(y, 'newton')
      const share = Math.min(1, LONGEST_LOGARITHM / most)
      for (let i = 0; i < n; i++) {
        const factor = Math.exp(Math.max(-LONGEST_LOGARITHM, Math.min(LONGEST_LOGARITHM, (share * residual[i]!) / y[i]!)))
        y[i] = Math.max(y[i]! * factor, 1e-3 * absolute[i]!)
      }
      if (round % 8 === 7) equations = steadyEquations(system, laws, totals, y)
    }
    fault = 'stalled'
    return null
  }

  function relax(): SteadyState | null {
    const y = start.slice()
    let equations = steadyEquations(system, laws, totals, y)
    let step = firstRelaxing(equations, y)
    for (let round = 0; round < MOST_RELAXING; round++) {
      iterations++
      if (!solveStep(equations, y, step)) {
        if (fault === 'not-finite' || step < 1e-30) return null
        step *= SHRINK
        continue
      }
      const share = damping(y, residual, absolute, signed)
      let wildest = 0
      for (let i = 0; i < n; i++)
        wildest = Math.max(wildest, Math.abs(residual[i]!) / (Math.abs(y[i]!) + 1e-6 * Math.max(largest, absolute[i]!)))
      if (share < 1 || wildest > WILD) {
        step *= SHRINK
        if (step < 1e-300) return null
        continue
      }
      const size = change(y)
      for (let i = 0; i < n; i++) y[i] = y[i]! + residual[i]!
      if (wildest < CALM) step *= GROWTH
      if (size <= 1e-6 && step > 1) {
        const polished = newton(y, 'relax')
        if (polished) return polished
      }
      if (round % PASSED_EVERY === 0) passed.push(y.slice())
      if (round % 16 === 15) equations = steadyEquations(system, laws, totals, y)
      if (step > LONGEST_STEP) return newton(y, 'relax')
    }
    return newton(y, 'relax')
  }

  /** A step that changes the fastest component by a hundredth. */
  function firstRelaxing(equations: SteadyEquations, y: Float64Array): number {
    equations.fill(y, residual, matrix)
    let fastest = 0
    for (let i = 0; i < n; i++) {
      fastest = Math.max(fastest, Math.abs(residual[i]!) / (Math.abs(y[i]!) + 1e-6 * largest + absolute[i]!))
    }
    return fastest > 0 && fastest < Infinity ? 0.01 / fastest : 1
  }

  const by = request.by ?? 'either'
  /**
   * A zero from the middle of where relaxing came by (that of an oscillation lies inside it), from the start, and from the places themselves.
   * A state in which something that was there has gone altogether is taken only when there is no other.
   */
  function zero(): SteadyState | null {
    const isEmptied = (y: Float64Array, from: Float64Array): boolean => y.some((v, i) => v < absolute[i]! && from[i]! > 1e3 * absolute[i]!)
    const later = passed.slice(passed.length >> 1)
    const middle = start.map((_, i) => Math.exp(later.reduce((sum, y) => sum + Math.log(Math.max(y[i]!, absolute[i]!)), 0) / later.length))
    let emptied: SteadyState | null = null
    for (const from of [...(later.length > 0 ? [middle] : []), start, ...later]) {
      const found = newtonOnLogarithms(from)
      if (found?.how !== 'found') continue
      if (!isEmptied(found.y, from)) return found
      emptied ??= found
    }
    return emptied ?? newton(start, 'newton')
  }
  const found = (by === 'newton' ? null : relax()) ?? (by === 'relax' ? null : zero())
  return found ?? { how: 'not-found', why: fault, advice: adviceFor[fault], y: start, iterations }
}

export interface Stability {
  readonly eigenvalues: Eigenvalues
  /** Eigenvalues with a real part that is certainly above zero. */
  readonly unstable: number
  /**
   * What a small disturbance does: dies away (`stable`), dies away while circling (`stable-spiral`), grows (`unstable`), grows while circling
   * (`unstable-spiral`), grows in some directions only (`saddle`); `undecided` when the leading real part is within its uncertainty of zero.
   */
  readonly kind: 'stable' | 'stable-spiral' | 'unstable' | 'unstable-spiral' | 'saddle' | 'undecided'
  /** Real part of the leading eigenvalue, 1/s: the slowest return or the fastest growth. */
  readonly leadingPerS: number
  /** 2π/|im| of the leading pair, s; null when it is real. */
  readonly circlingS: number | null
}

/** Stability of a steady state on the plane of its totals; null when the Jacobian is not finite. */
export function stabilityOf(system: OdeSystem, y: Float64Array, laws: readonly Float64Array[] = []): Stability | null {
  const totals = laws.map((law) => weightedTotal(law, y))
  const found = steadyEquations(system, laws, totals, y).spectrum(y)
  return found === null ? null : describeSpectrum(found)
}

/** Words for a spectrum. With no eigenvalue at all (the totals give everything) a state is stable. */
export function describeSpectrum(found: Eigenvalues): Stability {
  const { re, im, uncertainty } = found
  const unstable = re.filter((x) => x > uncertainty).length
  const certain = re.length === 0 || Math.abs(re[0]!) > uncertainty
  const circles = re.length > 0 && im[0] !== 0
  const kind = !certain
    ? 'undecided'
    : unstable === 0
      ? circles
        ? 'stable-spiral'
        : 'stable'
      : circles
        ? 'unstable-spiral'
        : unstable < re.length && re.length > 1
          ? 'saddle'
          : 'unstable'
  return {
    eigenvalues: found,
    unstable,
    kind,
    leadingPerS: re.length === 0 ? -Infinity : re[0]!,
    circlingS: circles ? (2 * Math.PI) / Math.abs(im[0]!) : null,
  }
}
