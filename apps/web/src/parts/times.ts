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

/** Both ends in the unit of the larger one: "12 to 31 s" gives ["12", "31", "s"]. */
export function timeRange(low: number, high: number): readonly [string, string, string] {
  const { unit, size } =
    high >= HOURS_FROM_S ? { unit: 'h', size: 3600 } : high >= MINUTES_FROM_S ? { unit: 'min', size: 60 } : { unit: 's', size: 1 }
  return [formatNumber(low / size, 2), formatNumber(high / size, 2), unit]
}

/** "45 s", "2 min 30 s", "1 h 5 min". */
export function spokenTime(seconds: number): string {
  const s = Math.round(seconds)
  if (s < 60) return `${s} s`
  if (s < 3600) return s % 60 === 0 ? `${s / 60} min` : `${Math.floor(s / 60)} min ${s % 60} s`
  const minutes = Math.round(s / 60)
  return minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}
