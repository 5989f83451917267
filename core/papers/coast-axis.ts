/** Axes of a coast, and its words: one set for the sheet, the terminal and the page. */
import type { Show } from '../rehearsal/index.ts'
import { roundMarks } from './svg-traces.ts'

/** An axis from one value to another, in equal steps or in equal ratios (then both ends are above 0). */
export interface CoastScale {
  readonly from: number
  readonly to: number
  readonly steps: 'linear' | 'log'
}

/** Share of the way along an axis: 0 at its beginning, 1 at its end. */
export function shareAlong(axis: CoastScale, value: number): number {
  if (axis.steps === 'linear') return (value - axis.from) / (axis.to - axis.from)
  return Math.log(value / axis.from) / Math.log(axis.to / axis.from)
}

/** The value at a share of the way along an axis. */
export function valueAlong(axis: CoastScale, share: number): number {
  return axis.steps === 'log' ? axis.from * (axis.to / axis.from) ** share : axis.from + share * (axis.to - axis.from)
}

/** About `most` round marks on an axis; on a logarithmic one 1, 2 and 5 times powers of ten, or round numbers where these are too few. */
export function axisMarks(axis: CoastScale, most: number): readonly number[] {
  const [low, high] = [Math.min(axis.from, axis.to), Math.max(axis.from, axis.to)]
  if (axis.steps === 'linear' || high / low < 4) return roundMarks(low, high, most)
  const marks: number[] = []
  for (let power = Math.floor(Math.log10(low)); power <= Math.ceil(Math.log10(high)); power++) {
    for (const m of [1, 2, 5]) marks.push(Number((m * 10 ** power).toPrecision(12)))
  }
  return marks.filter((m) => m >= low * (1 - 1e-9) && m <= high * (1 + 1e-9))
}

/** What a place on a coast shows, in words for its key. */
export const SHOW_WORDS: Readonly<Record<Show, string>> = {
  cycles: 'cycles',
  turns: 'turns without return',
  nothing: 'nothing seen',
  refused: 'DANGER: refused, not rehearsed',
  unknown: 'not rehearsed',
}
