/** Times in words, and the marks of a time scale. */
import { formatNumber } from '@beakertide/basis/units'

/** A round step of a time scale: 1, 2, 5, 10, 15, 30 s, 1, 2, 5, 10, 15, 30 min … so that about `most` marks fit. */
export function timeStep(spanS: number, most: number): number {
  const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400]
  return steps.find((s) => spanS / s <= most) ?? 86400
}

/** "45 s", "2 min", "2 min 30 s", "1 h 5 min": whole seconds below an hour, whole minutes above. */
export function timeWords(seconds: number): string {
  const s = Math.round(seconds)
  if (s < 60) return `${s} s`
  if (s < 3600) return s % 60 === 0 ? `${s / 60} min` : `${Math.floor(s / 60)} min ${s % 60} s`
  const minutes = Math.round(s / 60)
  return minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}

interface TimeUnit {
  readonly unit: string
  /** Its length, s. */
  readonly s: number
  /** From this on, s, a time is given in it. */
  readonly fromS: number
}
const SECONDS: TimeUnit = { unit: 's', s: 1, fromS: 0 }
const COARSER: readonly TimeUnit[] = [
  { unit: 'h', s: 3600, fromS: 7200 },
  { unit: 'min', s: 60, fromS: 120 },
]

/** The unit in which a time of this size is said with few digits. */
export const timeUnit = (seconds: number): TimeUnit => COARSER.find((u) => seconds >= u.fromS) ?? SECONDS

/** Under this share of a unit the lower end of a range is said in the next smaller one: "4.3 to 170 s", not "0.071 to 2.9 min". */
const LEAST_SHARE = 0.5

/** The unit in which both ends of a range are said. */
export const rangeUnit = (lowS: number, highS: number): TimeUnit =>
  COARSER.find((u) => highS >= u.fromS && !(lowS > 0 && lowS < LEAST_SHARE * u.s)) ?? SECONDS

/** A predicted time with the two digits that a prediction earns: "21 s", "14 min", "2.5 h". */
export function aboutTime(seconds: number): string {
  const { unit, s } = timeUnit(seconds)
  return `${formatNumber(seconds / s, 2)} ${unit}`
}
