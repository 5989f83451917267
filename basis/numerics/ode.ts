/**
 * The one interface between whatever makes rates (tables today, generated code tomorrow) and whatever
 * integrates them. All arrays are owned by the caller and reused: nothing is allocated in an inner loop.
 */
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
  /** Fills `values` with df_i/dy_j in the order of `pattern`. */
  jacobian(timeS: number, y: Float64Array, values: Float64Array): void
  readonly pattern: SparsePattern
  /** Fills `out` with the partial df/dt; absent when the system does not depend on time explicitly. */
  timeDerivative?(timeS: number, y: Float64Array, out: Float64Array): void
}

export interface Tolerances {
  readonly relative: number
  /** One for all, or one a component; in the unit of y. */
  readonly absolute: number | Float64Array
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
}

export type Ending =
  | { readonly how: 'reached-end'; readonly timeS: number }
  | { readonly how: 'event'; readonly event: string; readonly timeS: number }
  | {
      readonly how: 'stopped-short'
      readonly timeS: number
      readonly why: 'step-too-small' | 'too-many-steps' | 'not-finite' | 'cancelled'
      readonly advice: string
    }
