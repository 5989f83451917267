import { type MethodFacts, NOT_CONVERGED, NOT_FINITE, type OdeSystem, SINGULAR, type StepKernel } from './ode.ts'
import { type Collocation, collocation, extrapolation, multiply } from './radau-collocation.ts'
import { createRadauWork, type RadauWork } from './radau-work.ts'
import { imbalanceOf, stepFromBend } from './rosenbrock-kernel.ts'
import { createStepControl, type StepControl } from './step-control.ts'

/** Stages to choose from; the order is twice as many less one. */
export type RadauStages = 3 | 5 | 7
export const radauStages: readonly RadauStages[] = [3, 5, 7]

/**
 * The estimate of s stages is of order s while the step is of order 2s − 1: a tolerance asked of the estimate itself would be met with far too short steps. With
 * three stages and a local error E the estimate is about E^(2/3) (Hairer & Wanner 1999, section 4). One tolerance serves all numbers of stages.
 */
const ESTIMATE_POWER = 2 / 3
const ESTIMATE_SHARE = 0.1
/** Newton's iteration may leave so many times √tolerance of the tolerance, and at most this share of it (after Hairer & Wanner II, IV.8; measured, decision 11). */
const LEFT_PER_ROOT = 3
const MOST_LEFT = 0.1
/** Iterations: seven for three stages, and more for more, whose steps are longer. */
const iterationsFor = (stages: number): number => 7 + Math.floor(2.5 * (stages - 3))
const DIVERGES = 0.99
/** An iteration that would end so many times too far off says no more about the next length. */
const MOST_EXPECTED = 20
/** Contraction of Newton's iteration above which fewer stages, with shorter steps, are the better choice (Hairer & Wanner 1999, section 4). */
const LOWER_ABOVE = 0.8
/** Steps with fewer stages before the preferred number is tried again. */
const STEPS_BEFORE_RAISE = 10
/** Five stages are preferred from this relative tolerance on, and seven from the second: where they overtake (decision 11). */
const PREFERRED_FROM: Readonly<Record<RadauStages, number>> = { 3: 1, 5: 3e-5, 7: 3e-13 }
/** An extrapolation further than so many old steps says nothing. */
const FURTHEST = 4
/** Where in the coming step the Jacobian is taken: three quarters on saves a quarter to a third of the iterations against its start (decision 11). */
const LOOK_AT = 0.75
/** Failures in a row, other than of the error test, after which fewer stages are tried. */
const MOST_FAILURES = 1
const LOOK_PLACES = Float64Array.of(LOOK_AT)

export interface RadauChoice {
  /** Stages that may be used; ascending. Default: 3, 5 and 7. */
  readonly stages?: readonly RadauStages[]
}

function factsFor(stages: readonly RadauStages[]): MethodFacts {
  const [least, most] = [stages[0]!, stages.at(-1)!]
  return {
    name: 'radau',
    order: 2 * most - 1,
    embeddedOrder: least,
    denseOrder: least + 1,
    denseRows: most,
    source:
      'E. Hairer & G. Wanner, J. Comput. Appl. Math. 111 (1999) 93–111; Solving Ordinary Differential Equations II, 2nd ed. 1996, IV.5, IV.8',
  }
}

/** From tables; see radauKernelOn. */
export function createRadauKernel(system: OdeSystem, choice: RadauChoice = {}): StepKernel {
  const allowed = choice.stages ?? radauStages
  return radauKernelOn(system, createRadauWork(system, allowed.at(-1)!), allowed)
}

/** Steps of the Radau IIA methods of order 5, 9 and 13 on any arithmetic: Newton's iteration, its failures, choice of order, predictions. */
export function radauKernelOn(system: OdeSystem, work: RadauWork, allowed: readonly RadauStages[]): StepKernel {
  const methods: readonly Collocation[] = allowed.map((s) => collocation(s))
  const controls: readonly StepControl[] = methods.map((m) => createStepControl(m.stages))
  const most = methods.at(-1)!.stages
  const n = work.size
  const { state, trial, dense, counts } = work
  let place = 0
  /** Of the last attempt, and of the last accepted step; its length, 0: none. */
  let last = methods[0]!
  let before = methods[0]!
  let hBefore = 0
  let leftOver = MOST_LEFT
  /** Contraction over (1 − contraction): what is still to come, as a multiple of the last change. */
  let outlook = 1
  let iterations = 0
  let failures = 0
  /** Whether the coming attempt repeats one that was rejected, for whatever reason. */
  let isRepeated = false
  let preferred = 0
  let sinceChange = 0
  let contraction = 0
  let slopesAtState = false
  let suggested = 0.5
  const carry = new Float64Array(most * (most + 1))
  const weights = new Float64Array(most * (most + 1))
  const look = new Float64Array(most + 1)

  /** Jacobian, its factors, and a first guess of the stages: from the polynomial of the step before where it reaches, else from the state. False: singular. */
  function prepare(method: Collocation, timeS: number, hS: number): boolean {
    const ratio = hS / hBefore
    const reaches = hBefore > 0 && before === method && ratio <= FURTHEST
    if (reaches && failures === 0) {
      extrapolation(before, LOOK_PLACES, ratio, look)
      work.lookAhead(method, timeS + LOOK_AT * hS, look)
      slopesAtState = false
    } else if (!slopesAtState) {
      work.slopes(timeS)
      slopesAtState = true
    }
    if (!work.decompose(method, hS)) return false
    if (!reaches) {
      work.predict(method, null)
      return true
    }
    extrapolation(before, method.nodes, ratio, carry)
    multiply(method.tInverse, carry, method.stages, method.stages, method.stages + 1, weights)
    work.predict(method, weights)
    return true
  }

  /** Newton's iteration; zero when converged, or a code. */
  function solveStages(method: Collocation, timeS: number, hS: number): number {
    const mostIterations = iterationsFor(method.stages)
    const count = n * method.stages
    let normBefore = 0
    let quotientBefore = 0
    // To the power of three quarters: the contraction of the step before counts, but not fully. Roots and products only, so that all engines decide alike.
    outlook = Math.sqrt(outlook) * Math.sqrt(Math.sqrt(outlook))
    suggested = 0.5
    contraction = 0
    for (iterations = 1; ; iterations++) {
      const squares = work.iterate(method, timeS, hS)
      if (!(squares < Infinity)) return NOT_FINITE
      const norm = Math.sqrt(squares / count)
      if (iterations > 1) {
        const quotient = norm / normBefore
        contraction = iterations === 2 ? quotient : Math.sqrt(quotient * quotientBefore)
        quotientBefore = quotient
        if (!(contraction < DIVERGES)) return NOT_CONVERGED
        outlook = contraction / (1 - contraction)
        const rest = mostIterations - iterations
        let expected = (outlook * norm) / leftOver
        for (let i = 0; i < rest; i++) expected *= contraction
        if (expected >= 1) {
          suggested = 0.8 / Math.sqrt(Math.sqrt(Math.min(MOST_EXPECTED, expected)))
          return NOT_CONVERGED
        }
      }
      if (outlook * norm <= leftOver) return 0
      if (iterations >= mostIterations) return NOT_CONVERGED
      normBefore = norm
    }
  }

  function attempt(timeS: number, hS: number): number {
    const method = methods[place]!
    last = method
    if (!prepare(method, timeS, hS)) return SINGULAR
    const code = solveStages(method, timeS, hS)
    if (code !== 0) return code
    const error = work.finish(method, hS)
    return error >= 1 && (hBefore === 0 || isRepeated) ? work.refine(method, timeS) : error
  }

  function change(to: number): void {
    place = to
    sinceChange = 0
    controls[place]!.restart()
  }

  /** Books a step that failed for other reasons than its error. */
  function failed(h: number): number {
    failures++
    isRepeated = true
    outlook = 1
    if (failures > MOST_FAILURES && place > 0) change(place - 1)
    return h
  }

  const control: StepControl = {
    restart() {
      for (const each of controls) each.restart()
      place = preferred
      sinceChange = 0
      failures = 0
      isRepeated = false
      outlook = 1
      hBefore = 0
    },
    afterAccepted(hS, error) {
      const tries = 2 * iterationsFor(last.stages)
      const next = (controls[place]!.afterAccepted(hS, error) * (tries + 1)) / (tries + iterations)
      hBefore = hS
      before = last
      failures = 0
      isRepeated = false
      sinceChange++
      if (place > 0 && contraction >= LOWER_ABOVE) change(place - 1)
      else if (place < preferred && sinceChange >= STEPS_BEFORE_RAISE) change(place + 1)
      return next
    },
    afterError(hS, error) {
      isRepeated = true
      return controls[place]!.afterError(hS, error)
    },
    afterNotFinite: (hS) => failed(controls[place]!.afterNotFinite(hS)),
    afterBelowFloor: (hS) => failed(controls[place]!.afterBelowFloor(hS)),
    afterNotConverged: (hS) => failed(2 * suggested * controls[place]!.afterNotConverged(hS)),
  }

  const start = { pattern: system.pattern, jacobian: work.jacobian, rates: work.startRates, state }
  return {
    size: n,
    method: factsFor(allowed),
    control,
    state,
    trial,
    dense,
    get offender() {
      return work.offender()
    },
    counts,
    setTolerances(relative, absolute, floor) {
      const inner = ESTIMATE_SHARE * relative ** ESTIMATE_POWER
      work.relative.fill(inner)
      for (let k = 0; k < n; k++) work.absolute[k] = absolute[k]! * (inner / relative)
      work.floor.set(floor)
      preferred = Math.max(
        0,
        allowed.findLastIndex((stages) => relative <= PREFERRED_FROM[stages]),
      )
      leftOver = Math.max((10 * Number.EPSILON) / inner, Math.min(MOST_LEFT, LEFT_PER_ROOT * Math.sqrt(inner)))
    },
    begin(timeS) {
      slopesAtState = false
      if (!work.begin(timeS)) return false
      // Later steps take it ahead of themselves.
      if (hBefore > 0) return true
      slopesAtState = true
      return work.slopes(timeS)
    },
    firstStep: (_timeS, longestS) => stepFromBend(start, work.timeSlope, work.absolute, work.relative[0]!, longestS),
    imbalance: (w) => imbalanceOf(start, w),
    attempt,
    interpolate: () => work.interpolate(last),
    accept: () => work.accept(last),
  }
}
