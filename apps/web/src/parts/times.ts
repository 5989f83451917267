/** Times as the page says them, with the digits a prediction earns and the decimals of the place. */
import { formatNumber } from '../words/numbers.ts'

const MINUTES_FROM_S = 120
const HOURS_FROM_S = 7200

/** "21 s", "14 min", "2.5 h": two digits. */
export function aboutTime(seconds: number): string {
  if (seconds >= HOURS_FROM_S) return `${formatNumber(seconds / 3600, 2)} h`
  if (seconds >= MINUTES_FROM_S) return `${formatNumber(seconds / 60, 2)} min`
  return `${formatNumber(seconds, 2)} s`
}

/** Under this share of a unit the lower end is said in the next smaller one; the papers do the same. */
const LEAST_SHARE = 0.5
/** Digits in which two times are told apart at most. */
const MOST_DIGITS = 8

/** Both ends in one unit, that of the larger one unless the lower end were a small share of it: "12 to 31 s" gives ["12", "31", "s"]. */
export function timeRange(low: number, high: number): readonly [string, string, string] {
  let size = high >= HOURS_FROM_S ? 3600 : high >= MINUTES_FROM_S ? 60 : 1
  while (size > 1 && low > 0 && low < LEAST_SHARE * size) size = size > 60 ? 60 : 1
  const unit = size === 3600 ? 'h' : size === 60 ? 'min' : 's'
  return [formatNumber(low / size, 2), formatNumber(high / size, 2), unit]
}

/** Two times as `aboutTime` has them; where these read alike, in seconds with as many digits more as tell them apart. */
export function timesApart(a: number, b: number): readonly [string, string] {
  let words: readonly [string, string] = [aboutTime(a), aboutTime(b)]
  for (let digits = 3; words[0] === words[1] && digits <= MOST_DIGITS; digits++)
    words = [`${formatNumber(a, digits)} s`, `${formatNumber(b, digits)} s`]
  return words
}

/** "45 s", "2 min 30 s", "1 h 5 min". */
export function spokenTime(seconds: number): string {
  const s = Math.round(seconds)
  if (s < 60) return `${s} s`
  if (s < 3600) return s % 60 === 0 ? `${s / 60} min` : `${Math.floor(s / 60)} min ${s % 60} s`
  const minutes = Math.round(s / 60)
  return minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}
