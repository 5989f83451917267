/** Aim at this share of the length that would just meet the tolerance. */
const SAFETY = 0.9
const MOST_GROWTH = 6
const MOST_SHRINK = 0.2
/** A step that failed the error test may shrink further: a radical burst needs a factor of a thousand and more at once. */
const MOST_SHRINK_AFTER_ERROR = 0.1
/** When a stage overflowed there is no estimate to go by. */
const SHRINK_NOT_FINITE = 0.25
const SHRINK_BELOW_FLOOR = 0.5
/** An error far below the tolerance says nothing about the trend; the predictor treats it as this. */
const LEAST_ERROR = 0.01

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
}

/**
 * Predictive control: the plain rule h ← 0.9 h err^(−1/k) and one that extrapolates the trend of the last two accepted
 * steps, h ← 0.9 h (h/h₋) (err₋/err²)^(1/k), the shorter of both; k is the embedded order plus one. No growth straight after a
 * rejection. Source: K. Gustafsson 1994, ACM Trans. Math. Softw. 20, 496–517; Hairer & Wanner II, section IV.8.
 */
export function createStepControl(embeddedOrder: number): StepControl {
  const exponent = 1 / (embeddedOrder + 1)
  let lengthBefore = 0
  let errorBefore = 0
  let justRejected = false
  return {
    restart() {
      lengthBefore = 0
      justRejected = false
    },
    afterAccepted(hS, error) {
      let factor = SAFETY * Math.max(error, 1e-10) ** -exponent
      if (lengthBefore > 0) {
        const trend = SAFETY * (hS / lengthBefore) * (errorBefore / (error * error + 1e-300)) ** exponent
        if (trend < factor) factor = trend
      }
      factor = Math.min(justRejected ? 1 : MOST_GROWTH, Math.max(MOST_SHRINK, factor))
      lengthBefore = hS
      errorBefore = Math.max(LEAST_ERROR, error)
      justRejected = false
      return hS * factor
    },
    afterError(hS, error) {
      justRejected = true
      return hS * Math.max(MOST_SHRINK_AFTER_ERROR, SAFETY * error ** -exponent)
    },
    afterNotFinite(hS) {
      justRejected = true
      return hS * SHRINK_NOT_FINITE
    },
    afterBelowFloor(hS) {
      justRejected = true
      return hS * SHRINK_BELOW_FLOOR
    },
  }
}
