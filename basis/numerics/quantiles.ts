/**
 * Quantile of a sample, 0 ≤ p ≤ 1, by linear interpolation between order statistics (definition 7 of R. J. Hyndman & Y. Fan
 * 1996, The American Statistician 50, 361–365). p outside is taken to the nearer end; an empty sample gives NaN.
 * The values need not be sorted and are left as they are.
 */
export function quantile(values: ArrayLike<number>, p: number): number {
  return quantiles(values, [p])[0]!
}

/** Several quantiles of one sample, sorted once. */
export function quantiles(values: ArrayLike<number>, shares: readonly number[]): number[] {
  const sorted = Float64Array.from(values).sort()
  return shares.map((p) => {
    if (sorted.length === 0) return Number.NaN
    const place = Math.min(1, Math.max(0, p)) * (sorted.length - 1)
    const below = Math.floor(place)
    const low = sorted[below]!
    const high = sorted[Math.min(below + 1, sorted.length - 1)]!
    return low + (place - below) * (high - low)
  })
}
