/** Aim at this share of the length that would just meet the tolerance. */
const SAFETY = 0.9
const MOST_GROWTH = 6
const MOST_SHRINK = 0.2
/** A step that failed the error test may shrink further: a radical burst needs a factor of a thousand and more at once. */
const MOST_SHRINK_AFTER_ERROR = 0.1
/** When a stage overflowed there is no estimate to go by. */
const SHRINK_NOT_FINITE = 0.25
const SHRINK_BELOW_FLOOR = 0.5
const SHRINK_NOT_CONVERGED = 0.5
/** An error far below the tolerance says nothing about the trend; the predictor treats it as this. */
const LEAST_ERROR = 0.01
/** Below this the step grows by the most anyway. */
const SMALLEST_ERROR = 1e-10

/** Lengths of steps from error norms. */
export interface StepControl {
  /** Forgets the history: after a break the past says nothing. */
  restart(): void
  /** Length of the next step after one of `hS` was accepted with this error norm. */
  afterAccepted(hS: number, error: number): number
  /** Length to try again after an error norm above 1. */
  afterError(hS: number, error: number): number
  afterNotFinite(hS: number): number
  afterBelowFloor(hS: number): number
  /** Length to try again after an iteration that did not converge. */
  afterNotConverged(hS: number): number
}

/** A double and, behind it, its two halves; the upper half holds the exponent. */
const whole = new Float64Array(1)
const halves = new Uint32Array(whole.buffer)
const upper = new Uint8Array(Float64Array.of(1).buffer)[7] === 0x3f ? 1 : 0
/** Four fifths of the upper half of 1: what is left out when the exponent of x is divided by five. */
const FOUR_FIFTHS_OF_ONE = 0.8 * 0x3ff00000

/** x^(1/5) to about 1e-5 of itself, x a positive normal double: a fifth of the exponent to start from, then Newton's rule twice. */
function fifthRoot(x: number): number {
  whole[0] = x
  halves[upper] = halves[upper]! / 5 + FOUR_FIFTHS_OF_ONE
  let y = whole[0]
  for (let i = 0; i < 2; i++) {
    const square = y * y
    y = 0.8 * y + (0.2 * x) / (square * square)
  }
  return y
}

/** Two thirds of it, for the third root. */
const TWO_THIRDS_OF_ONE = (2 / 3) * 0x3ff00000

/** x^(1/3) in the same way. */
function thirdRoot(x: number): number {
  whole[0] = x
  halves[upper] = halves[upper]! / 3 + TWO_THIRDS_OF_ONE
  let y = whole[0]
  for (let i = 0; i < 2; i++) y = (2 / 3) * y + x / 3 / (y * y)
  return y
}

/**
 * The k-th root for step lengths. Not the general power: that costs as much as a small step, and differs in the last bit from engine to engine, so that runs
 * would too.
 */
function rootOf(k: number): (x: number) => number {
  if (k === 4) return (x) => Math.sqrt(Math.sqrt(x))
  if (k === 6) return (x) => thirdRoot(Math.sqrt(x))
  if (k === 8) return (x) => Math.sqrt(Math.sqrt(Math.sqrt(x)))
  return k === 5 ? fifthRoot : (x) => x ** (1 / k)
}

/**
 * Predictive control: the plain rule h ← 0.9 h err^(−1/k) and one that extrapolates the trend of the last two accepted
 * steps, h ← 0.9 h (h/h₋) (err₋/err²)^(1/k), the shorter of both; k is the embedded order plus one. No growth straight after a
 * rejection. Source: K. Gustafsson 1994, ACM Trans. Math. Softw. 20, 496–517; Hairer & Wanner II, section IV.8.
 */
export function createStepControl(embeddedOrder: number): StepControl {
  const root = rootOf(embeddedOrder + 1)
  const leastRoot = root(LEAST_ERROR)
  /** Length of the step before and root of its error; in an array, because captured numbers would be boxed at every change. */
  const before = new Float64Array(2)
  let justRejected = false
  return {
    restart() {
      before[0] = 0
      justRejected = false
    },
    afterAccepted(hS, error) {
      const now = root(Math.max(error, SMALLEST_ERROR))
      let factor = SAFETY / now
      if (before[0]! > 0) {
        const trend = (SAFETY * (hS / before[0]!) * before[1]!) / (now * now)
        if (trend < factor) factor = trend
      }
      factor = Math.min(justRejected ? 1 : MOST_GROWTH, Math.max(MOST_SHRINK, factor))
      before[0] = hS
      before[1] = Math.max(leastRoot, now)
      justRejected = false
      return hS * factor
    },
    afterError(hS, error) {
      justRejected = true
      return hS * Math.max(MOST_SHRINK_AFTER_ERROR, SAFETY / root(error))
    },
    afterNotFinite(hS) {
      justRejected = true
      return hS * SHRINK_NOT_FINITE
    },
    afterBelowFloor(hS) {
      justRejected = true
      return hS * SHRINK_BELOW_FLOOR
    },
    afterNotConverged(hS) {
      justRejected = true
      return hS * SHRINK_NOT_CONVERGED
    },
  }
}
