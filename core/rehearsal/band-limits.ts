/** Limits of a band from its runs, and when more runs would no longer move them. */
import { quantile } from '@beakertide/basis/numerics'
import type { Features } from './features.ts'
import type { BandValue } from './rehearsal.ts'

/** Shares of the band: ten to ninety in a hundred. */
const LOW_SHARE = 0.1
const HIGH_SHARE = 0.9

/** Limits of one feature; runs in which it does not exist (null) count in `share` only. */
export function bandValue(values: readonly (number | null)[], round: (value: number) => number = (v) => v): BandValue {
  const seen = values.filter((v): v is number => v !== null)
  const share = values.length === 0 ? 0 : seen.length / values.length
  if (seen.length === 0) return { low: null, middle: null, high: null, share }
  const at = (p: number): number => round(quantile(seen, p))
  return { low: at(LOW_SHARE), middle: at(0.5), high: at(HIGH_SHARE), share }
}

/** A band is looked at after each batch of so many runs: the points are even in powers of two. */
const BATCH = 16
/** Fewer runs never count as stable: below, a limit rests on one or two runs. */
export const leastSamples = 32
/** A limit that moves by less than this share of its band's width (and a share of runs that moves by less than this) is at rest. */
export const restShare = 0.05

/** Number of runs at which to look next. */
export const nextLook = (runs: number): number => Math.max(leastSamples, (Math.floor(runs / BATCH) + 1) * BATCH)

/** What a band shows, by feature; cycles are compared before they are rounded. */
const SHOWN: readonly ((f: Features) => number | null)[] = [(f) => f.firstTurnS, (f) => f.periodS, (f) => f.cycles, (f) => f.lengthS]

function atRest(before: BandValue, now: BandValue): boolean {
  if (Math.abs(now.share - before.share) > restShare) return false
  const [from, to] = [
    [before.low, before.high],
    [now.low, now.high],
  ] as const
  if (to[0] === null || to[1] === null || from[0] === null || from[1] === null) return to[0] === from[0]
  const allowed = restShare * (to[1] - to[0])
  return Math.abs(to[0] - from[0]) <= allowed && Math.abs(to[1] - from[1]) <= allowed
}

/**
 * True when the second half of the runs has moved no limit of any feature by more than `restShare` of its width. Half, not the
 * last batch: one more batch after many moves little whatever it holds. null in the list: a run that failed.
 */
export function isStable(runs: readonly (Features | null)[]): boolean {
  if (runs.length < leastSamples) return false
  const there = (list: readonly (Features | null)[]): readonly Features[] => list.filter((f): f is Features => f !== null)
  const [first, all] = [there(runs.slice(0, Math.floor(runs.length / 2))), there(runs)]
  return SHOWN.every((feature) => atRest(bandValue(first.map(feature)), bandValue(all.map(feature))))
}
