/**
 * The inverse of the cumulative normal distribution: algorithm AS 241, routine PPND16 (M. J. Wichura 1988, Applied Statistics
 * 37, 477–484): three rational approximations, of the middle, of the shoulder and of the tail. Stated there: about one part in 10¹⁶.
 */

/** Coefficients from the constant upwards; numerator and denominator. Printed with 20 digits there, here as the nearest doubles. */
interface Ratio {
  readonly over: readonly number[]
  readonly under: readonly number[]
}

const MIDDLE: Ratio = {
  over: [
    3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987, 67265.7709270087, 33430.57558358813,
    2509.0809287301227,
  ],
  under: [
    1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271, 28729.085735721943,
    5226.495278852854,
  ],
}
const SHOULDER: Ratio = {
  over: [
    1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684, 0.2417807251774506,
    0.022723844989269184, 0.0007745450142783414,
  ],
  under: [
    1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457, 0.0005475938084995345,
    1.0507500716444169e-9,
  ],
}
const TAIL: Ratio = {
  over: [
    6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124, 0.0012426609473880784,
    0.000027115555687434876, 2.0103343992922881e-7,
  ],
  under: [
    1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133, 0.000018463183175100548, 1.421511758316446e-7,
    2.0442631033899397e-15,
  ],
}

/** Half width of the middle, its square less the square of p − 1/2, and where the shoulder ends; all from the routine. */
const MIDDLE_HALF_WIDTH = 0.425
const MIDDLE_SQUARE = 0.180625
const SHOULDER_START = 1.6
const SHOULDER_END = 5

function at({ over, under }: Ratio, x: number): number {
  const polynomial = (c: readonly number[]): number => c.reduceRight((sum, next) => sum * x + next, 0)
  return polynomial(over) / polynomial(under)
}

/**
 * The standard normal deviate below which the share p lies, 0 < p < 1; p ≤ 0 gives −∞, p ≥ 1 gives +∞, no number gives NaN.
 * Relative error about 1e-15.
 */
export function inverseNormal(p: number): number {
  if (Number.isNaN(p)) return Number.NaN
  if (p <= 0) return Number.NEGATIVE_INFINITY
  if (p >= 1) return Number.POSITIVE_INFINITY
  const q = p - 0.5
  if (Math.abs(q) <= MIDDLE_HALF_WIDTH) return q * at(MIDDLE, MIDDLE_SQUARE - q * q)
  const r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p))
  const size = r <= SHOULDER_END ? at(SHOULDER, r - SHOULDER_START) : at(TAIL, r - SHOULDER_END)
  return q < 0 ? -size : size
}
