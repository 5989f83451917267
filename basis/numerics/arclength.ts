import { createScaledSolver } from './steady-equations.ts'

/** size − 1 equations G(x) = 0 in `size` unknowns: a curve. */
export interface CurveEquations {
  readonly size: number
  /** Fills `out` (size − 1) and `matrix` ((size − 1) × size, row-major) with G and its derivatives; false where x is no possible point. */
  fill(x: Float64Array, out: Float64Array, matrix: Float64Array): boolean
  /** Fills `out` with the typical size of each unknown near x: the measure of length along the curve. */
  scale(x: Float64Array, out: Float64Array): void
}

export interface CurvePoint {
  readonly x: Float64Array
  /** Unit tangent in unknowns divided by their scales at this point. */
  readonly tangent: Float64Array
  /** Newton iterations that led here. */
  readonly iterations: number
}

/** Pseudo-arclength steps along a curve (H. B. Keller 1977; E. L. Allgower & K. Georg, Numerical Continuation Methods, 1990). */
export interface Curve {
  /** The point of the curve with unknown `held` as in x, tangent towards growing (`+1`) or falling (`−1`) `held`; null when Newton fails. */
  start(x: Float64Array, held: number, direction: 1 | -1): CurvePoint | null
  /** The point whose distance along the tangent is `length` (in scales); null when Newton fails. Depends smoothly on `length`. */
  step(from: CurvePoint, length: number): CurvePoint | null
}

const MOST_ITERATIONS = 12
/** Newton steps below this share of the scales end it … */
const CLOSE = 1e-12
/** … and so do steps that no longer shrink below this: rounding. */
const CLOSE_TO_ROUNDING = 1e-8

/** Steps along the curve of these equations; buffers are reused. */
export function createCurve(equations: CurveEquations): Curve {
  const n = equations.size
  const solver = createScaledSolver(n)
  const out = new Float64Array(n)
  const matrix = new Float64Array(n * n)
  const scale = new Float64Array(n)
  const residual = out.subarray(0, n - 1)
  const upper = matrix.subarray(0, (n - 1) * n)

  /** Newton on G(x) = 0 and row·x = value. Overwrites x; the number of iterations, or 0 when it fails. */
  function correct(x: Float64Array, row: Float64Array, value: number): number {
    let before = Infinity
    for (let round = 1; round <= MOST_ITERATIONS; round++) {
      if (!equations.fill(x, residual, upper)) return 0
      let sum = -value
      for (let j = 0; j < n; j++) {
        matrix[(n - 1) * n + j] = row[j]!
        sum += row[j]! * x[j]!
      }
      out[n - 1] = sum
      if (!out.every(Number.isFinite)) return 0
      if (!solver.solve(matrix, out, scale)) return 0
      let size = 0
      for (let j = 0; j < n; j++) {
        size = Math.max(size, Math.abs(out[j]!) / scale[j]!)
        x[j] = x[j]! - out[j]!
      }
      if (size <= CLOSE || (size <= CLOSE_TO_ROUNDING && size > 0.2 * before)) return round
      if (!(size < 1e6)) return 0
      before = size
    }
    return 0
  }

  /** Unit tangent at x with row·tangent > 0; null when singular. */
  function tangentAt(x: Float64Array, row: Float64Array): Float64Array | null {
    if (!equations.fill(x, residual, upper)) return null
    out.fill(0)
    out[n - 1] = 1
    for (let j = 0; j < n; j++) matrix[(n - 1) * n + j] = row[j]!
    if (!solver.solve(matrix, out, scale)) return null
    equations.scale(x, scale)
    const tangent = out.map((v, j) => v / scale[j]!)
    const length = Math.hypot(...tangent)
    return length > 0 && length < Infinity ? tangent.map((v) => v / length) : null
  }

  return {
    start(x0, held, direction) {
      const x = x0.slice()
      equations.scale(x, scale)
      const row = new Float64Array(n)
      row[held] = 1 / scale[held]!
      const iterations = correct(x, row, x0[held]! / scale[held]!)
      if (iterations === 0) return null
      row[held] = direction / scale[held]!
      const tangent = tangentAt(x, row)
      return tangent === null ? null : { x, tangent, iterations }
    },
    step(from, length) {
      equations.scale(from.x, scale)
      const x = from.x.map((v, j) => v + length * scale[j]! * from.tangent[j]!)
      const row = from.tangent.map((t, j) => t / scale[j]!)
      const value = from.x.reduce((sum, v, j) => sum + row[j]! * v, length)
      const iterations = correct(x, row, value)
      if (iterations === 0) return null
      const tangent = tangentAt(x, row)
      return tangent === null ? null : { x, tangent, iterations }
    },
  }
}

/** How a trip along a curve goes on: lengths of steps by the effort of the last one and the turn it made. */
export interface Pace {
  length: number
  readonly longest: number
  readonly shortest: number
}

/** Steps that turn the tangent by more than about 25 degrees are repeated shorter. */
const LEAST_COSINE = 0.9

/** The next point along the curve, `pace` adjusted; null when the step has become shorter than the shortest. */
export function advance(
  curve: Curve,
  from: CurvePoint,
  pace: Pace,
  accept: (point: CurvePoint) => boolean,
): { point: CurvePoint; length: number } | null {
  for (;;) {
    const length = pace.length
    const point = curve.step(from, length)
    if (point !== null && accept(point)) {
      const cosine = point.tangent.reduce((sum, t, j) => sum + t * from.tangent[j]!, 0)
      if (cosine >= LEAST_COSINE || length <= pace.shortest) {
        const factor = point.iterations <= 4 && cosine > 0.98 ? 1.6 : point.iterations >= 7 ? 0.6 : 1
        pace.length = Math.min(pace.longest, Math.max(pace.shortest, length * factor))
        return { point, length }
      }
    }
    if (length <= pace.shortest) return null
    pace.length = Math.max(pace.shortest, length / 3)
  }
}
