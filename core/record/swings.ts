/** Where a trace swings from one side to the other: what can be compared of two traces whose heights differ. */

/** A swing counts when it is larger than this share of the height of the trace (between its 5th and 95th percentile): our choice. */
const LEAST_SHARE = 0.3
/** Heights below so many typical steps from point to point are scatter: white noise has 3.5. Our choice. */
const OVER_SCATTER = 6
/** Relative to the values, less than this is rounding. */
const ROUNDING = 1e-9

/** Value at a share of the sorted values. */
const quantile = (sorted: Float64Array, q: number): number => sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))]!

/**
 * Places of the swings, as fractional positions among the values: each where the trace first passes the middle between two neighbouring
 * extremes. Values that are no numbers are stepped over. Empty for fewer than four numbers, a flat trace or mere scatter.
 * Extremes follow each other with a hysteresis of `LEAST_SHARE`, so that drift and noise make no swings of their own.
 */
export function swingsOf(values: ArrayLike<number>): readonly number[] {
  const at: number[] = []
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i])) at.push(i)
  if (at.length < 4) return []
  const sorted = Float64Array.from(at, (i) => values[i]!).sort()
  const height = quantile(sorted, 0.95) - quantile(sorted, 0.05) || sorted.at(-1)! - sorted[0]!
  const steps = new Float64Array(at.length - 1)
  for (let k = 0; k + 1 < at.length; k++) steps[k] = Math.abs(values[at[k + 1]!]! - values[at[k]!]!)
  const scatter = quantile(steps.sort(), 0.5)
  if (!(height > ROUNDING * Math.max(Math.abs(sorted[0]!), Math.abs(sorted.at(-1)!))) || height < OVER_SCATTER * scatter) return []
  const least = LEAST_SHARE * height
  // Extremes, as places in `at`.
  const extremes: number[] = []
  let low = 0
  let high = 0
  let direction = 0
  const v = (k: number): number => values[at[k]!]!
  for (let k = 1; k < at.length; k++) {
    if (v(k) < v(low)) low = k
    if (v(k) > v(high)) high = k
    if (direction <= 0 && v(k) - v(low) >= least) {
      extremes.push(low)
      direction = 1
      high = k
      low = k
    } else if (direction >= 0 && v(high) - v(k) >= least) {
      extremes.push(high)
      direction = -1
      low = k
      high = k
    }
  }
  if (direction !== 0) extremes.push(direction > 0 ? high : low)
  const places: number[] = []
  for (let e = 0; e + 1 < extremes.length; e++) {
    const [from, to] = [extremes[e]!, extremes[e + 1]!]
    const middle = (v(from) + v(to)) / 2
    const isUp = v(to) > v(from)
    let k = from
    while (k < to && isUp === v(k + 1) < middle) k++
    const step = v(k + 1) - v(k)
    const share = step === 0 ? 0 : Math.min(1, Math.max(0, (middle - v(k)) / step))
    places.push(at[k]! + share * (at[k + 1]! - at[k]!))
  }
  return places
}

/** Time at a fractional position. */
export function timeAtPlace(timesS: ArrayLike<number>, place: number): number {
  const i = Math.min(timesS.length - 1, Math.max(0, Math.floor(place)))
  const j = Math.min(timesS.length - 1, i + 1)
  return timesS[i]! + (place - i) * (timesS[j]! - timesS[i]!)
}
