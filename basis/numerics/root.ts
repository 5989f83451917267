/** Share of the bracket's square by which the interpolated point is moved towards the middle. */
const TRUNCATION = 0.2

/**
 * A root of f in [low, high], within `tolerance` of it (absolute, in the unit of x): the middle of a bracket no wider
 * than 2 × tolerance (or 4 units in the last place). Null when f has the same sign at both ends or is not a number there.
 *
 * ITP method: superlinear on smooth functions, never more than one evaluation worse than bisection.
 * Source: I. F. D. Oliveira & R. H. C. Takahashi 2020, ACM Trans. Math. Softw. 47(1), 5 (κ2 = 2, n0 = 1).
 */
export function findRoot(f: (x: number) => number, low: number, high: number, tolerance: number): number | null {
  let a = low
  let b = high
  let fa = f(a)
  let fb = f(b)
  if (fa === 0) return a
  if (fb === 0) return b
  if (Number.isNaN(fa) || Number.isNaN(fb) || fa < 0 === fb < 0) return null
  const smallest = 2 * Number.EPSILON * Math.max(Math.abs(a), Math.abs(b))
  const half = Math.max(tolerance, smallest, Number.MIN_VALUE)
  const k1 = TRUNCATION / (b - a)
  // Bisection would need this many halvings; one more is allowed.
  const most = Math.max(0, Math.ceil(Math.log2((b - a) / (2 * half)))) + 1
  let radiusScale = half * 2 ** most
  for (let j = 0; b - a > 2 * half && j <= most + 1; j++) {
    const middle = a + (b - a) / 2
    const radius = Math.max(0, radiusScale - (b - a) / 2)
    // Regula falsi; where an end value is infinite or the products overflow there is nothing to interpolate.
    const secant = (fb * a - fa * b) / (fb - fa)
    const falsi = secant >= a && secant <= b ? secant : middle
    const side = Math.sign(middle - falsi)
    // At least the tolerance, or rounding in f would keep both last points on one side of the root.
    const shift = Math.max(k1 * (b - a) ** 2, half)
    const truncated = shift <= Math.abs(middle - falsi) ? falsi + side * shift : middle
    const x = Math.abs(truncated - middle) <= radius ? truncated : middle - side * radius
    const fx = f(x)
    if (Number.isNaN(fx)) return null
    if (fx === 0) return x
    if (fx < 0 === fa < 0) {
      a = x
      fa = fx
    } else {
      b = x
      fb = fx
    }
    radiusScale /= 2
  }
  return a + (b - a) / 2
}
