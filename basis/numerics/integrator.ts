import { invariant } from '../problems/index.ts'
import { createStepStore, evaluateStep, type StepStore } from './dense-output.ts'
import { createEventWatch } from './events.ts'
import { createGeneratedKernel } from './generated-kernel.ts'
import { holdLeastFirst, type InvariantHold } from './invariants.ts'
import {
  BELOW_FLOOR,
  type Break,
  type Ending,
  type Integrator,
  type Invariant,
  NOT_CONVERGED,
  NOT_FINITE,
  type OdeSystem,
  type RunRequest,
  SINGULAR,
  type Solution,
  type Statistics,
  type StepKernel,
  type Tolerances,
} from './ode.ts'
import { createGeneratedRadauKernel } from './radau-generated.ts'
import { createRadauKernel } from './radau-kernel.ts'
import { createRosenbrockKernel } from './rosenbrock-kernel.ts'
import { type MethodName, methods } from './rosenbrock-tableau.ts'
import { createStepControl } from './step-control.ts'

const DEFAULT_MOST_STEPS = 1_000_000
const DEFAULT_MOST_BYTES = 2 ** 28
const DEFAULT_FLOOR_SHARE = 0.01
const POLL_EVERY = 32
/**
 * Time is carried as a sum of two doubles, so a step may be far shorter than the spacing of doubles at that time;
 * below this share of the time it is hopeless.
 */
const LEAST_STEP_SHARE = 1e-10 * Number.EPSILON
const LEAST_STEP = 1e-250

/** A Rosenbrock method, or the Radau IIA methods of order 5, 9 and 13 as one of variable order. */
export type IntegratorName = MethodName | 'radau'

/** Below these relative tolerances the next method is the better one: read off the work–precision diagram of decision 11. */
const RODAS5P_BELOW = 1e-4
const RADAU_BELOW = 1e-7

/** The method that reaches the accuracy of a relative tolerance in the least time on most of the measured problems (decision 11). */
export function methodFor(relativeTolerance: number): IntegratorName {
  if (relativeTolerance < RADAU_BELOW) return 'radau'
  return relativeTolerance < RODAS5P_BELOW ? 'rodas5p' : 'rodas4'
}

/**
 * Integrator for one system; `rodas4` (default) for display accuracy, `rodas5p` where more digits are wanted, `radau` from about seven on (see README and methodFor).
 * Runs generated code when the system offers it and the host can run it, tables otherwise; the results are the same.
 */
export function createIntegrator(system: OdeSystem, method: IntegratorName = 'rodas4'): Integrator {
  return createIntegratorFor(kernelFor(system, method))
}

/** Its steps alone. */
export function kernelFor(system: OdeSystem, method: IntegratorName): StepKernel {
  if (method === 'radau') return createGeneratedRadauKernel(system) ?? createRadauKernel(system)
  const tableau = methods[method]
  return createGeneratedKernel(system, tableau) ?? createRosenbrockKernel(system, tableau)
}

function absoluteOf(size: number, tolerances: Tolerances): Float64Array {
  const given = tolerances.absolute
  const absolute = typeof given === 'number' ? new Float64Array(size).fill(given) : given
  invariant(absolute.length === size, `${absolute.length} absolute tolerances for ${size} components`)
  invariant(tolerances.relative > 0 && tolerances.relative < 1, `relative tolerance ${tolerances.relative} is not between 0 and 1`)
  invariant(
    absolute.every((x) => x > 0 && Number.isFinite(x)),
    'an absolute tolerance is not a positive number',
  )
  return absolute
}

function floorOf(absolute: Float64Array, tolerances: Tolerances): Float64Array {
  const which = tolerances.nonNegative ?? 'all'
  const share = tolerances.floorShare ?? DEFAULT_FLOOR_SHARE
  return absolute.map((a, i) => (which === 'all' || (which !== 'none' && which[i] === 1) ? -share * a : -Infinity))
}

function breaksWithin(request: RunRequest): readonly Break[] {
  return (request.breaks ?? []).filter((b) => b.timeS >= request.fromS && b.timeS < request.toS).sort((a, b) => a.timeS - b.timeS)
}

const adviceFor = {
  floor:
    'a component goes below zero however short the step: a rate that does not vanish with what it uses up, or a start far from any real state',
  error: 'the error test fails however short the step: the rates are discontinuous, or the solution runs away at this time',
  notFinite: 'a rate or its Jacobian is not a finite number here: look for a division by zero, a root or power of a negative amount',
  notConverged: 'the equations of a step are not solved however short it is: the rates are discontinuous here',
  singular:
    'rounding spoils the step however short it is: opposed rates beyond about 1e12 times those that matter cancel; state such a pair as an equilibrium',
  startNotFinite: 'the rates, the Jacobian or the start values are not finite at the start of this stretch',
  steps:
    'allow more steps, loosen the tolerance, or shorten the run; a very small absolute tolerance on a species that matters little is a common cause',
  room: 'keep samples instead of every step, or allow more bytes',
  cancelled: 'stopped on request; the part before this time is good',
} as const

function holdOf(kernel: StepKernel, invariants: readonly Invariant[], y0: ArrayLike<number>): InvariantHold | null {
  if (invariants.length === 0) return null
  return holdLeastFirst(invariants, y0, (weights) => kernel.totalsArithmetic?.(weights) ?? undefined)
}

/**
 * Drives any kernel: step lengths, breaks, events, samples, storage and endings. Buffers of the kernel are reused from run to run;
 * a Solution owns its own arrays and stays valid.
 */
export function createIntegratorFor(kernel: StepKernel): Integrator {
  const n = kernel.size
  const rows = kernel.method.denseRows
  const control = kernel.control ?? createStepControl(kernel.method.embeddedOrder)
  let expectedRecords = 0

  function run(request: RunRequest): Solution {
    const { fromS, toS, tolerances } = request
    invariant(Number.isFinite(fromS) && Number.isFinite(toS) && toS >= fromS, `a run from ${fromS} to ${toS} s is not a run`)
    invariant(request.y0.length === n, `${request.y0.length} start values for ${n} components`)
    const absolute = absoluteOf(n, tolerances)
    const floor = floorOf(absolute, tolerances)
    const breaks = breaksWithin(request)
    const mostSteps = request.mostSteps ?? DEFAULT_MOST_STEPS
    const longest = request.longestStepS ?? Infinity
    const store: StepStore | null =
      (request.keep ?? 'dense') === 'dense'
        ? createStepStore(n, rows, floor, request.mostBytes ?? DEFAULT_MOST_BYTES, expectedRecords)
        : null
    const watch = request.events !== undefined && request.events.length > 0 ? createEventWatch(request.events, n) : null
    const totals = holdOf(kernel, request.invariants ?? [], request.y0)
    const wantedTimes = request.sample ?? []
    const sampled = new Float64Array(wantedTimes.length * n)
    const sampleRow = new Float64Array(n)
    let sampledCount = 0

    const { state, trial, dense, counts } = kernel
    state.set(request.y0)
    counts.fill(0)
    let t = fromS
    /** What the rounding of t has left out. */
    let tRest = 0
    let steps = 0
    let rejected = 0
    let rejectedForSign = 0
    let ending = null as Ending | null
    let end = null as Float64Array | null
    /** Where the last step would have ended had no event cut it short. */
    let closingS = fromS
    let nextBreak = 0
    const breaksS: number[] = []

    const evaluate = (theta: number, out: Float64Array): void => {
      evaluateStep(n, rows, theta, state, 0, trial, 0, dense, 0, floor, out)
    }
    const looked = kernel.looked ?? n
    const look = (theta: number, out: Float64Array): void => {
      evaluateStep(n, rows, theta, state, 0, trial, 0, dense, 0, floor, out, looked)
    }
    const stop = (why: (Ending & { how: 'stopped-short' })['why'], advice: string, component?: number): void => {
      ending =
        component === undefined
          ? { how: 'stopped-short', timeS: t, why, advice }
          : { how: 'stopped-short', timeS: t, why, advice, component }
    }
    const record = (values: Float64Array): void => {
      sampled.set(values, sampledCount * n)
      sampledCount++
    }
    const recordUpTo = (timeS: number, values: Float64Array): void => {
      while (sampledCount < wantedTimes.length && wantedTimes[sampledCount]! <= timeS) record(values)
    }

    /** Applies the breaks of this instant; true when there was one. */
    function pour(): boolean {
      let met = false
      while (nextBreak < breaks.length && breaks[nextBreak]!.timeS <= t) {
        breaks[nextBreak]!.change?.(t, state)
        breaksS.push(t)
        nextBreak++
        met = true
      }
      return met
    }

    /** One stretch without breaks: from the state at t to `until`, or to an ending. */
    function stretch(until: number): void {
      for (let k = 0; k < n; k++) floor[k] = Math.min(floor[k]!, state[k]!)
      kernel.setTolerances(tolerances.relative, absolute, floor)
      control.restart()
      if (!state.every(Number.isFinite) || !kernel.begin(t)) return stop('not-finite', adviceFor.startNotFinite)
      totals?.start(state, kernel)
      let h = request.firstStepS ?? kernel.firstStep(t, Math.min(longest, until - t))
      for (;;) {
        const remaining = until - t - tRest
        // Never leave a sliver: stretch to the end, or halve what remains so that two like steps reach it.
        if (h > longest) h = longest
        let lastOfStretch = false
        if (h >= remaining * 0.9999) {
          h = remaining
          lastOfStretch = true
        } else if (h > remaining * 0.5) h = remaining * 0.5
        let error = kernel.attempt(t, h)
        if (error >= 0 && error <= 1 && totals?.spoilt(trial, floor) === true) error = SINGULAR
        if (steps + rejected >= mostSteps) return stop('too-many-steps', adviceFor.steps)
        if ((steps + rejected) % POLL_EVERY === 0 && request.shouldStop?.() === true) return stop('cancelled', adviceFor.cancelled)
        if (error >= 0 && error <= 1) {
          const used = h
          h = control.afterAccepted(h, error)
          finishStep(used, lastOfStretch, until)
          if (ending !== null || lastOfStretch) return
          if (!kernel.begin(t)) return stop('not-finite', adviceFor.notFinite)
          continue
        }
        rejected++
        let advice: string = adviceFor.error
        if (error > 1) h = control.afterError(h, error)
        else if (error === BELOW_FLOOR) {
          rejectedForSign++
          h = control.afterBelowFloor(h)
          advice = adviceFor.floor
        } else if (error === NOT_CONVERGED) {
          h = control.afterNotConverged(h)
          advice = adviceFor.notConverged
        } else {
          h = control.afterNotFinite(h)
          advice = error === NOT_FINITE ? adviceFor.notFinite : adviceFor.singular
        }
        if (h < Math.max(LEAST_STEP, LEAST_STEP_SHARE * Math.abs(t))) {
          const named = error > 1 || error === BELOW_FLOOR
          return named ? stop('step-too-small', advice, kernel.offender) : stop('not-finite', advice)
        }
      }
    }

    /** Books an accepted step: time, storage, events, samples, drift; moves the state on. */
    function finishStep(h: number, lastOfStretch: boolean, until: number): void {
      steps++
      const from = t
      const sum = h + tRest
      const to = lastOfStretch ? until : t + sum
      const samplesHere = sampledCount < wantedTimes.length && wantedTimes[sampledCount]! < to
      if (store !== null || watch !== null || samplesHere) kernel.interpolate()
      if (store !== null && !store.add(from, h, state, dense)) return stop('out-of-room', adviceFor.room)
      let reached = to
      const stopsAt = watch === null ? -1 : watch.step(from, h, look)
      if (stopsAt >= 0) {
        reached = from + stopsAt * h
        end = new Float64Array(n)
        evaluate(stopsAt, end)
        ending = { how: 'event', event: watch?.stoppedBy ?? '', timeS: reached }
      }
      while (sampledCount < wantedTimes.length && wantedTimes[sampledCount]! < reached) {
        evaluate(Math.max(0, (wantedTimes[sampledCount]! - from) / h), sampleRow)
        record(sampleRow)
      }
      kernel.accept()
      t = to
      tRest = lastOfStretch ? 0 : sum - (to - from)
      closingS = to
      if (ending === null) totals?.hold(t, state, true)
      else t = reached
    }

    pour()
    watch?.start(t, state)
    while (ending === null) {
      if (t >= toS) {
        ending = { how: 'reached-end', timeS: toS }
        break
      }
      recordUpTo(t, state)
      stretch(nextBreak < breaks.length ? breaks[nextBreak]!.timeS : toS)
      if (ending !== null) break
      store?.add(t, 0, state, null)
      if (pour()) {
        watch?.jump(t, state)
        if (watch !== null && watch.stoppedBy !== null) ending = { how: 'event', event: watch.stoppedBy, timeS: t }
      }
    }
    return assemble()

    function assemble(): Solution {
      const finished = ending ?? { how: 'reached-end' as const, timeS: t }
      const final = end ?? state.slice()
      const reached = finished.timeS
      if (finished.how !== 'stopped-short') recordUpTo(reached, final)
      // The closing record holds the end of the last step, also when an event has cut that step short.
      if (store !== null && (finished.how !== 'reached-end' || store.count === 0)) store.add(Math.max(t, closingS), 0, state, null)
      expectedRecords = store === null ? expectedRecords : Math.min(store.count + (store.count >> 3), 1 << 16)
      const statistics: Statistics = {
        steps,
        rejected,
        rejectedForSign,
        rateCalls: counts[0]!,
        jacobianCalls: counts[1]!,
        decompositions: counts[2]!,
        solves: counts[3]!,
        pivoted: counts[4]!,
      }
      const at = (timeS: number, out: Float64Array, side: 'before' | 'after' = 'after'): void => {
        invariant(store !== null, 'at() needs a run that kept every step: keep "dense"')
        store.at(Math.min(reached, Math.max(fromS, timeS)), out, side)
      }
      return {
        ending: finished,
        statistics,
        size: n,
        fromS,
        toS: reached,
        end: final,
        events: watch?.found ?? [],
        breaksS,
        drift: totals?.result() ?? [],
        sampled,
        sampledCount,
        stepTimesS: store === null ? new Float64Array(0) : store.times().map((time) => Math.min(time, reached)),
        at,
        sample(timesS) {
          const out = new Float64Array(timesS.length * n)
          const row = new Float64Array(n)
          for (let i = 0; i < timesS.length; i++) {
            at(timesS[i]!, row)
            out.set(row, i * n)
          }
          return out
        },
      }
    }
  }

  return { method: kernel.method, run }
}
