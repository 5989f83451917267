/** The hot parts of a step of the variational equations, from tables. */
import type { EsdirkTableau } from './esdirk-tableau.ts'
import { createSparseLu } from './sparse-lu.ts'
import type { VariedSystem } from './varied-system.ts'

/**
 * Arithmetic of one step of s_k′ = J(y) s_k + ∂f/∂p_k for all k at once, at states y that are known: what generated code replaces. Every array holds one row of
 * `width` numbers a component, one of them a parameter, so that all parameters run along memory; the width is even, a place left over stays zero.
 */
export interface VariationWork {
  readonly width: number
  /** At the start of the step. */
  readonly start: Float64Array
  /** At its end, after the last stage. */
  readonly end: Float64Array
  /** ∂f/∂p_k at the state of the coming stage: filled by the caller. */
  readonly sources: Float64Array
  /** s′ at the start of the step, times any number of seconds: filled by the caller, or by `keep`. */
  readonly slope: Float64Array
  readonly absolute: Float64Array
  /** One number, held as often as the arithmetic likes. */
  readonly relative: Float64Array
  /** Squares of the weighted errors, after `judge`; weights are absolute + relative · max(|start|, |end|). */
  readonly squares: Float64Array
  /** Rows r_1, r_2, r_3 of StepKernel.dense, after `interpolate`. */
  readonly dense: readonly Float64Array[]
  readonly counts: Int32Array
  /** U_0 = scale · slope. */
  begin(scale: number): void
  /** Factors of shift·I − J(y); false when singular. */
  factor(timeS: number, y: Float64Array, shift: number): boolean
  /** U_i and the end of stage i (1 to 6), with the factors of the last `factor` and its shift. */
  stage(i: number, shift: number): void
  judge(): void
  interpolate(): void
  /** slope = U of the last stage: h s′ at the end. */
  keep(): void
}

/** Numbers a row for so many parameters. */
export const widthFor = (parameters: number): number => 2 * Math.ceil(parameters / 2)

/** For any system. */
export function createVariationWork(system: VariedSystem, tableau: EsdirkTableau): VariationWork {
  const n = system.size
  const width = widthFor(system.parameterCount)
  const size = n * width
  const stages = tableau.nodes.length
  const lu = createSparseLu(system.pattern)
  const jacobian = new Float64Array(system.pattern.columns.length)
  const row = (): Float64Array => new Float64Array(size)
  const [start, end, sources, slope, squares, known] = [row(), row(), row(), row(), row(), row()]
  const absolute = row().fill(1)
  const relative = new Float64Array(1)
  const u = Array.from({ length: stages }, row)
  const dense = tableau.dense.map(row)
  const counts = new Int32Array(5)
  const perGamma = 1 / tableau.gamma

  /** target = base + Σ weights_j U_j, in this order; a null base is nothing. */
  function combine(base: Float64Array | null, weights: readonly number[], target: Float64Array): void {
    const first = u[0]!
    const w = weights[0]!
    for (let q = 0; q < size; q++) target[q] = (base === null ? 0 : base[q]!) + w * first[q]!
    for (let j = 1; j < weights.length; j++) {
      const [weight, from] = [weights[j]!, u[j]!]
      for (let q = 0; q < size; q++) target[q] = target[q]! + weight * from[q]!
    }
  }

  return {
    width,
    start,
    end,
    sources,
    slope,
    absolute,
    relative,
    squares,
    dense,
    counts,
    begin(scale) {
      const first = u[0]!
      for (let q = 0; q < size; q++) first[q] = scale * slope[q]!
    },
    factor(timeS, y, shift) {
      system.jacobian(timeS, y, jacobian)
      counts[1]!++
      counts[2]!++
      if (!lu.decompose(shift, jacobian)) return false
      if (lu.pivoted) counts[4]!++
      return true
    },
    stage(i, shift) {
      combine(start, tableau.a[i]!, known)
      for (let q = 0; q < size; q++) end[q] = shift * known[q]! + sources[q]!
      lu.solveMany(end, width)
      counts[3]! += width
      const ui = u[i]!
      for (let q = 0; q < size; q++) ui[q] = perGamma * (end[q]! - known[q]!)
    },
    judge() {
      combine(null, tableau.error, squares)
      const [tolerance] = relative
      for (let q = 0; q < size; q++) {
        const before = Math.abs(start[q]!)
        const after = Math.abs(end[q]!)
        const scaled = squares[q]! / (absolute[q]! + tolerance! * (after > before ? after : before))
        squares[q] = scaled * scaled
      }
    },
    interpolate() {
      for (const [r, weights] of tableau.dense.entries()) combine(null, weights, dense[r]!)
    },
    keep() {
      slope.set(u[stages - 1]!)
    },
  }
}
