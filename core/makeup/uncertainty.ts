/**
 * Standard uncertainties by the law of propagation, first order, inputs independent
 * (JCGM 100:2008 "GUM", 5.1.2 equation 10).
 */

/** A number and its standard uncertainty, both in the same unit. */
export interface Uncertain {
  readonly value: number
  readonly u: number
}

/** How a stated half-width was turned into a standard uncertainty. */
export type Shape = 'triangular' | 'rectangular' | 'normal'

/** One line of an uncertainty budget: what it is, and its share as a relative standard uncertainty of the result. */
export interface UncertaintyPart {
  readonly what: string
  readonly shape: Shape
  readonly relative: number
}

/** Relative standard uncertainty; 0 for a value of 0. */
export const relative = (x: Uncertain): number => (x.value === 0 ? 0 : Math.abs(x.u / x.value))

/**
 * Standard uncertainty of a limit `halfWidth` within which every value is equally likely: a / sqrt 3 (GUM 4.3.7).
 * Used where only the limits are known: rounding, purity, temperature and pressure limits, balance linearity.
 */
export const rectangular = (halfWidth: number): number => Math.abs(halfWidth) / Math.sqrt(3)

/**
 * Standard uncertainty of a limit `halfWidth` whose middle is likelier than its ends: a / sqrt 6 (GUM 4.3.9).
 * Used for volumetric glassware: makers aim at the nominal value, extremes are rare (Eurachem/CITAC guide, example A1, read).
 */
export const triangular = (halfWidth: number): number => Math.abs(halfWidth) / Math.sqrt(6)

/** Root of the sum of squares. */
export const quadrature = (parts: readonly number[]): number => Math.hypot(...parts)

/** Combined relative standard uncertainty of a product or quotient: root sum of squares of the relative parts (GUM 5.1.6). */
export const combined = (parts: readonly UncertaintyPart[]): number => quadrature(parts.map((p) => p.relative))

/**
 * Value and standard uncertainty of `model` at `inputs`, with the contribution of every input (same unit as the result).
 * Sensitivities are central differences over one standard uncertainty, (f(x + u) - f(x - u)) / 2 (GUM 5.1.3, note 2).
 */
export function propagate(
  model: (x: readonly number[]) => number,
  inputs: readonly Uncertain[],
): Uncertain & { readonly contributions: readonly number[] } {
  const at = inputs.map((x) => x.value)
  const contributions = inputs.map((x, i) => {
    if (x.u === 0) return 0
    const moved = (by: number): number => model(at.with(i, x.value + by))
    return Math.abs(moved(x.u) - moved(-x.u)) / 2
  })
  return { value: model(at), u: quadrature(contributions), contributions }
}
