/** Places on a coast: which point is next to where. No framework. */
import type { CoastPoint } from '@beakertide/core/rehearsal'
import { type CoastScale, shareAlong } from '@beakertide/core/papers'

/** The point nearest to a place (shares); null without points. */
export function nearestPoint(
  points: readonly CoastPoint[],
  x: CoastScale,
  y: CoastScale,
  at: { readonly x: number; readonly y: number },
): CoastPoint | null {
  let best: CoastPoint | null = null
  let least = Number.POSITIVE_INFINITY
  for (const p of points) {
    const far = (shareAlong(x, p.x) - at.x) ** 2 + (shareAlong(y, p.y) - at.y) ** 2
    if (far < least) [best, least] = [p, far]
  }
  return best
}

/** The next point in a direction: the nearest one that lies more that way than aside. */
export function pointTowards(
  points: readonly CoastPoint[],
  x: CoastScale,
  y: CoastScale,
  from: CoastPoint,
  direction: 'left' | 'right' | 'up' | 'down',
): CoastPoint {
  const [fx, fy] = [shareAlong(x, from.x), shareAlong(y, from.y)]
  const sign = direction === 'left' || direction === 'down' ? -1 : 1
  const across = direction === 'left' || direction === 'right'
  let best = from
  let least = Number.POSITIVE_INFINITY
  for (const p of points) {
    const [dx, dy] = [shareAlong(x, p.x) - fx, shareAlong(y, p.y) - fy]
    const along = sign * (across ? dx : dy)
    const aside = Math.abs(across ? dy : dx)
    if (along <= 1e-9 || aside > along) continue
    const far = along + 2 * aside
    if (far < least) [best, least] = [p, far]
  }
  return best
}
