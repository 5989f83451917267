/**
 * The one interface between whatever makes rates (tables today, generated code tomorrow) and whatever
 * integrates them. All arrays are owned by the caller and reused: nothing is allocated in an inner loop.
 */
import type { Emittable } from './emittable.ts'
import type { StepControl } from './step-control.ts'

export interface SparsePattern {
  readonly size: number
  /** Compressed rows: entries of row i stand at columns[rowStart[i] .. rowStart[i+1]), ascending. The diagonal is always present. */
  readonly rowStart: Int32Array
  readonly columns: Int32Array
}

export interface OdeSystem {
  readonly size: number
  /** Fills `out` with dy/dt (unit of y per second). */
  rates(timeS: number, y: Float64Array, out: Float64Array): void
  /** Fills `values` with df_i/dy_j in the order of `pattern`. Every entry of `values` must be written at every call. */
  jacobian(timeS: number, y: Float64Array, values: Float64Array): void
  readonly pattern: SparsePattern
  /** Fills `out` with the partial df/dt; absent when the system does not depend on time explicitly. */
  timeDerivative?(timeS: number, y: Float64Array, out: Float64Array): void
  /** The same rates and Jacobian as code to be generated; absent: they can only be called. */
  readonly emittable?: Emittable
}

export interface Tolerances {
  readonly relative: number
  /** One for all, or one a component; in the unit of y. */
  readonly absolute: number | Float64Array
  /**
   * Components that must not become negative: `all` (the default: amounts, concentrations, kelvin), `none`
   * (a general system), or one flag a component (1: must not). A trial step that leaves such a component below
   * -floorShare × absolute is rejected and repeated with a shorter step; nothing is ever clipped.
   */
  readonly nonNegative?: 'all' | 'none' | Uint8Array
  /** How far below zero rounding and truncation may carry such a component, as a share of `absolute`; default 0.01. */
  readonly floorShare?: number
}

/** g(t, y) whose sign changes are found by root-finding on the dense output. */
export interface EventFunction {
  readonly name: string
  value(timeS: number, y: Float64Array): number
  readonly direction: 'rising' | 'falling' | 'both'
  /** Ends the run when met. */
  readonly stops?: boolean
}

export interface FoundEvent {
  readonly name: string
  readonly timeS: number
  readonly rising: boolean
  /** True when a break carried g through zero: the sign changed at that instant, between the two states. */
  readonly byBreak?: boolean
}

/** An exact discontinuity (a pour): the run ends a step there, changes the state and starts afresh. */
export interface Break {
  readonly timeS: number
  /** Changes `y` in place, and whatever the system itself holds (volume, held species). Absent: only the rates jump. */
  change?(timeS: number, y: Float64Array): void
}

/** A linear invariant Σ weights_i y_i that exact rates keep constant (an element, the charge). */
export interface Invariant {
  readonly name: string
  readonly weights: Float64Array
}

/**
 * Largest change of an invariant over a run, |Σ w y(t) − Σ w y(start)| / Σ |w_i y_i|(start). It is measured against
 * the gross amount, not the net one, because a charge total is zero. Every break starts a new measurement.
 */
export interface Drift {
  readonly name: string
  readonly maxRelative: number
  readonly atS: number
  /** Sum of the shares by which rounding had to be put right, step by step; see createInvariantHold. */
  readonly corrected: number
}

export interface Statistics {
  readonly steps: number
  readonly rejected: number
  /** Steps rejected because a component went below -positivity tolerance. */
  readonly rejectedForSign: number
  readonly rateCalls: number
  readonly jacobianCalls: number
  readonly decompositions: number
  readonly solves: number
  /** Decompositions in which the fixed pivot order failed and dense partial pivoting was used. */
  readonly pivoted: number
}

export type Ending =
  | { readonly how: 'reached-end'; readonly timeS: number }
  | { readonly how: 'event'; readonly event: string; readonly timeS: number }
  | {
      readonly how: 'stopped-short'
      readonly timeS: number
      readonly why: 'step-too-small' | 'too-many-steps' | 'not-finite' | 'cancelled' | 'out-of-room'
      readonly advice: string
      /** The component that prevented the last step, where one can be named. */
      readonly component?: number
    }

/**
 * What is remembered of a run. `dense`: every step, so that `at` answers at any time (about 8 × size × (denseRows + 1)
 * bytes a step); `samples`: the times of `sample` only; `end`: the final state only.
 */
export type Keep = 'dense' | 'samples' | 'end'

export interface RunRequest {
  readonly fromS: number
  /** Not before `fromS`. */
  readonly toS: number
  /** Copied; one entry a component. */
  readonly y0: ArrayLike<number>
  readonly tolerances: Tolerances
  readonly events?: readonly EventFunction[]
  /** Any order. Those outside [fromS, toS) are not met, so runs can be chained; equal times act in the order given. */
  readonly breaks?: readonly Break[]
  /** Ascending times at which the state is recorded while running; needs no dense storage. */
  readonly sample?: ArrayLike<number>
  /** Default `dense`. */
  readonly keep?: Keep
  /** Their totals are held against rounding after every step, and what remains is reported as drift. */
  readonly invariants?: readonly Invariant[]
  /** Overrides the estimated first step of every stretch between breaks. */
  readonly firstStepS?: number
  readonly longestStepS?: number
  /** Trial steps, rejected ones included; default 1,000,000. */
  readonly mostSteps?: number
  /** Bytes that the dense store may take; default 2^28. The run ends `out-of-room` when they are used. */
  readonly mostBytes?: number
  /** Asked every 32 trial steps; true ends the run with `cancelled`. */
  readonly shouldStop?: () => boolean
}

export interface Solution {
  readonly ending: Ending
  readonly statistics: Statistics
  readonly size: number
  readonly fromS: number
  /** Where the run really ended. */
  readonly toS: number
  /** State at `toS`. */
  readonly end: Float64Array
  readonly events: readonly FoundEvent[]
  /** Times of the breaks that were met. */
  readonly breaksS: readonly number[]
  readonly drift: readonly Drift[]
  /** Rows of `size` for each time of `sample` that was reached (`sampledCount` of them). */
  readonly sampled: Float64Array
  readonly sampledCount: number
  /** Times at which steps begin, and the last end; empty unless `keep` was `dense`. */
  readonly stepTimesS: Float64Array
  /**
   * Fills `out` with the state at a time within [fromS, toS]; times outside give the nearest end. At a break the state
   * after it, or before it when `side` says so. Needs `keep: 'dense'`. Order of accuracy: the method's denseOrder.
   * A component that must not be negative is not negative here either (beyond its floor): where the polynomial dips,
   * the whole state is mixed with the straight line between the step's ends, which keeps every linear invariant.
   */
  at(timeS: number, out: Float64Array, side?: 'before' | 'after'): void
  /** States at many times, rows of `size`; same rules as `at`. */
  sample(timesS: ArrayLike<number>): Float64Array
}

/** An integrator bound to one system: its buffers are allocated once and reused by every run. One run at a time. */
export interface Integrator {
  readonly method: MethodFacts
  run(request: RunRequest): Solution
}

export interface MethodFacts {
  readonly name: string
  /** Order of the solution that is carried on. */
  readonly order: number
  /** Order of the embedded solution that measures the error. */
  readonly embeddedOrder: number
  /** Global order of the dense output. */
  readonly denseOrder: number
  /** Coefficient rows that one step's dense output needs besides its two ends. */
  readonly denseRows: number
  readonly source: string
}

/** The sums behind a hold. Rows of one entry a total, in the caller's arrays: set by the hold, or filled by `measure`. */
export interface TotalsArithmetic {
  /** Set by the hold: what the totals must be, their gross amounts (0: judge against what is there), and 1 for those to be held. */
  readonly totals: Float64Array
  readonly scales: Float64Array
  readonly kept: Float64Array
  /** Filled by `measure`: what is missing of each, as a share of its gross amount. */
  readonly shares: Float64Array
  /** The largest share among those to be held. */
  measure(y: Float64Array): number
  /** Puts back what the last `measure` found missing of those to be held. */
  correct(y: Float64Array): void
}

/** `attempt` could not form the step: a stage or the result is not finite. */
export const NOT_FINITE = -1
/** `attempt` left a component below its floor; see `offender`. */
export const BELOW_FLOOR = -2
/** `attempt` met a matrix that is singular, or so nearly that its solution would have no digits. */
export const SINGULAR = -3
/** `attempt` is implicit and its iteration did not converge. */
export const NOT_CONVERGED = -5

/**
 * One method on one system, one step at a time: the seam at which generated code can replace everything that is hot.
 * The driver decides lengths, breaks, events and storage; the kernel owns every array.
 */
export interface StepKernel {
  readonly size: number
  /** Events read the first so many components only; absent: all. */
  readonly looked?: number
  readonly method: MethodFacts
  /** Lengths of steps, for a method that has reasons of its own; absent: by the order of its error estimate. */
  readonly control?: StepControl
  /** y at the start of the step. The driver writes here before `begin` when a stretch starts. */
  readonly state: Float64Array
  /** y at the end of the last attempt. */
  readonly trial: Float64Array
  /**
   * After `interpolate`: rows r_1 … r_m of `size`, for
   * y(θ) = (1−θ) state + θ (trial + (1−θ) (r_1 + θ (r_2 + θ (r_3 + …)))), 0 ≤ θ ≤ 1.
   */
  readonly dense: Float64Array
  /** Component named by the last `BELOW_FLOOR` or largest in the last error norm. */
  readonly offender: number
  /** Error weights are absolute_i + relative max(|state_i|, |trial_i|); `floor_i` is the lowest value allowed. */
  setTolerances(relative: number, absolute: Float64Array, floor: Float64Array): void
  /** Rates, Jacobian and time derivative at (timeS, state); false when not finite. */
  begin(timeS: number): boolean
  /** A first step for the stretch just begun, seconds: half of h²‖y″‖ equals the tolerance. */
  firstStep(timeS: number, longestS: number): number
  /**
   * How far Σ w_i y_i is from an invariant at `begin`'s state: the larger of |w·f| and max_j |w·J_j|, each relative to the
   * flows it is the sum of. About 1e-16 for a true invariant.
   */
  imbalance(weights: Float64Array): number
  /** Error norm of a step of hS from `begin`'s state (≤ 1: within tolerance), or one of the negative codes. */
  attempt(timeS: number, hS: number): number
  /** Arithmetic of held totals on this kernel's own `state` and `trial`; absent or null: the plain one serves. */
  totalsArithmetic?(weights: readonly Float64Array[]): TotalsArithmetic | null
  /** Fills `dense` for the last attempt. */
  interpolate(): void
  /** state ← trial. */
  accept(): void
  /** Counts since `resetCounts`: rate calls, Jacobian calls, decompositions, solves, pivoted decompositions. */
  readonly counts: Int32Array
}
