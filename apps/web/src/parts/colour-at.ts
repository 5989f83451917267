/** Finding the present moment in sampled courses. */
import type { StripSample, Turn } from '@beakertide/core/rehearsal'

/** Index of the last entry at or before a time; 0 before the first. */
export function indexAt(count: number, timeOf: (i: number) => number, timeS: number): number {
  let low = 0
  let high = count - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (timeOf(middle) <= timeS) low = middle
    else high = middle - 1
  }
  return low
}

/** The strip's sample at a time; null for an empty strip. */
export function sampleAt(strip: readonly StripSample[], timeS: number): StripSample | null {
  return strip[indexAt(strip.length, (i) => strip[i]!.timeS, timeS)] ?? null
}

/** The next turn after a time, and how long until then. */
export function nextTurn(turns: readonly Turn[], timeS: number): { readonly turn: Turn; readonly inS: number } | null {
  const turn = turns.find((x) => x.timeS > timeS)
  return turn ? { turn, inS: turn.timeS - timeS } : null
}

/** Value of a curve at a time, straight between samples; null outside. */
export function valueOfTrace(timesS: readonly number[], values: readonly number[], timeS: number): number | null {
  const n = timesS.length
  if (n === 0 || timeS < timesS[0]! || timeS > timesS[n - 1]!) return null
  const i = indexAt(n, (k) => timesS[k]!, timeS)
  const [t0, t1] = [timesS[i]!, timesS[Math.min(n - 1, i + 1)]!]
  const [v0, v1] = [values[i]!, values[Math.min(n - 1, i + 1)]!]
  return t1 > t0 ? v0 + ((timeS - t0) / (t1 - t0)) * (v1 - v0) : v0
}

/** The part of a strip that is seen between two times, its first and last sample moved to the ends. */
export function stripWithin(strip: readonly StripSample[], fromS: number, toS: number): readonly StripSample[] {
  const first = strip[0]
  const last = strip.at(-1)
  if (!first || !last || last.timeS <= fromS || first.timeS >= toS) return []
  const i = indexAt(strip.length, (k) => strip[k]!.timeS, fromS)
  const j = indexAt(strip.length, (k) => strip[k]!.timeS, toS)
  const inside = strip.slice(i, j + 1)
  const start = Math.max(first.timeS, fromS)
  const end = Math.min(last.timeS, toS)
  const cut = inside.map((s, k) => (k === 0 ? { ...s, timeS: start } : s))
  return cut.at(-1)!.timeS < end ? [...cut, { ...cut.at(-1)!, timeS: end }] : cut
}
