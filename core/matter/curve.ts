import { invariant } from '@beakertide/basis/problems'

/** A curve through table points; plain data, x strictly ascending. */
export interface Curve {
  readonly x: readonly number[]
  readonly y: readonly number[]
  /** Slopes dy/dx at the points. */
  readonly slopes: readonly number[]
}

/**
 * Cubic through the points that rises and falls only where the points do: piecewise cubic Hermite with the slopes of
 * Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300 (weighted harmonic mean of neighbouring secants; 0 at a turning
 * point), one-sided three-point slopes at the ends, kept within the monotone region of Fritsch & Carlson (1980).
 */
export function curveThrough(points: readonly (readonly [number, number])[]): Curve {
  const sorted = [...points].sort((a, b) => a[0] - b[0])
  const x = sorted.map((p) => p[0])
  const y = sorted.map((p) => p[1])
  invariant(x.length > 0 && x.every((v, i) => i === 0 || v > x[i - 1]!), 'a curve needs points at distinct places')
  const h = x.slice(1).map((v, i) => v - x[i]!)
  const secant = h.map((step, i) => (y[i + 1]! - y[i]!) / step)
  const last = x.length - 1
  const slopes = x.map((_, i) => {
    if (last === 0) return 0
    if (last === 1) return secant[0]!
    if (i === 0) return endSlope(h[0]!, h[1]!, secant[0]!, secant[1]!)
    if (i === last) return endSlope(h[last - 1]!, h[last - 2]!, secant[last - 1]!, secant[last - 2]!)
    const before = secant[i - 1]!
    const after = secant[i]!
    if (before * after <= 0) return 0
    const w1 = 2 * h[i]! + h[i - 1]!
    const w2 = h[i]! + 2 * h[i - 1]!
    return (w1 + w2) / (w1 / before + w2 / after)
  })
  return { x, y, slopes }
}

function endSlope(near: number, far: number, secant: number, next: number): number {
  const slope = ((2 * near + far) * secant - near * next) / (near + far)
  if (slope * secant <= 0) return 0
  return secant * next <= 0 && Math.abs(slope) > 3 * Math.abs(secant) ? 3 * secant : slope
}

/** Value at `at`; beyond the ends the curve goes on straight with its last slope (the caller flags that). */
export function along(curve: Curve, at: number): number {
  const { x, y, slopes } = curve
  const last = x.length - 1
  if (at <= x[0]!) return y[0]! + slopes[0]! * (at - x[0]!)
  if (at >= x[last]!) return y[last]! + slopes[last]! * (at - x[last]!)
  let low = 0
  let high = last
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (x[middle]! <= at) low = middle
    else high = middle
  }
  const h = x[high]! - x[low]!
  const t = (at - x[low]!) / h
  const s = 1 - t
  return y[low]! * s * s * (1 + 2 * t) + y[high]! * t * t * (1 + 2 * s) + h * (slopes[low]! * t * s * s - slopes[high]! * t * t * s)
}

export function isWithin(curve: Curve, at: number): boolean {
  return at >= curve.x[0]! && at <= curve.x.at(-1)!
}
