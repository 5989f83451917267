/** Places on a coast: axes, marks, and which point is next to where. No framework. */
import type { CoastPoint } from '@beakertide/core/rehearsal'
import { roundMarks } from '@beakertide/core/papers'

export interface PlanAxis {
  readonly from: number
  readonly to: number
  readonly steps: 'linear' | 'log'
}

/** Share of the way along an axis, 0 to 1. */
export function shareOf(axis: PlanAxis, value: number): number {
  if (axis.steps === 'linear') return (value - axis.from) / (axis.to - axis.from)
  return Math.log(value / axis.from) / Math.log(axis.to / axis.from)
}

/** Round numbers along an axis; on a logarithmic one 1, 2 and 5 times powers of ten where these are enough. */
export function marksOf(axis: PlanAxis, most: number): readonly number[] {
  const [low, high] = [Math.min(axis.from, axis.to), Math.max(axis.from, axis.to)]
  if (axis.steps === 'linear' || high / low < 4) return roundMarks(low, high, most)
  const marks: number[] = []
  for (let power = Math.floor(Math.log10(low)); power <= Math.ceil(Math.log10(high)); power++) {
    for (const m of [1, 2, 5]) marks.push(Number((m * 10 ** power).toPrecision(12)))
  }
  return marks.filter((m) => m >= low * (1 - 1e-9) && m <= high * (1 + 1e-9))
}

/** The point nearest to a place (shares); null without points. */
export function nearestPoint(
  points: readonly CoastPoint[],
  x: PlanAxis,
  y: PlanAxis,
  at: { readonly x: number; readonly y: number },
): CoastPoint | null {
  let best: CoastPoint | null = null
  let least = Number.POSITIVE_INFINITY
  for (const p of points) {
    const far = (shareOf(x, p.x) - at.x) ** 2 + (shareOf(y, p.y) - at.y) ** 2
    if (far < least) [best, least] = [p, far]
  }
  return best
}

/** The next point in a direction: the nearest one that lies more that way than aside. */
export function pointTowards(
  points: readonly CoastPoint[],
  x: PlanAxis,
  y: PlanAxis,
  from: CoastPoint,
  direction: 'left' | 'right' | 'up' | 'down',
): CoastPoint {
  const [fx, fy] = [shareOf(x, from.x), shareOf(y, from.y)]
  const sign = direction === 'left' || direction === 'down' ? -1 : 1
  const across = direction === 'left' || direction === 'right'
  let best = from
  let least = Number.POSITIVE_INFINITY
  for (const p of points) {
    const [dx, dy] = [shareOf(x, p.x) - fx, shareOf(y, p.y) - fy]
    const along = sign * (across ? dx : dy)
    const aside = Math.abs(across ? dy : dx)
    if (along <= 1e-9 || aside > along) continue
    const far = along + 2 * aside
    if (far < least) [best, least] = [p, far]
  }
  return best
}
