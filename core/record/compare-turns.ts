/** What was seen beside what was predicted: the times of turns tapped or filmed against those of a rehearsal. */
import type { Turn } from '../rehearsal/index.ts'

export interface TurnComparison {
  readonly pairs: readonly { readonly predictedS: number; readonly seenS: number; readonly offS: number }[]
  readonly onlyPredictedS: readonly number[]
  readonly onlySeenS: readonly number[]
  /** Factor by which seen times are longer than predicted ones, least squares through the origin; null without pairs. */
  readonly stretch: number | null
}

/** Pairs turns (or swings of a trace) in order of time, first with first; surplus ones on either side are listed, never dropped. */
export function compareTurns(predicted: readonly Pick<Turn, 'timeS'>[], seenS: readonly number[]): TurnComparison {
  const p = predicted.map((t) => t.timeS).sort((a, b) => a - b)
  const s = [...seenS].sort((a, b) => a - b)
  const count = Math.min(p.length, s.length)
  const pairs = Array.from({ length: count }, (_, i) => ({ predictedS: p[i]!, seenS: s[i]!, offS: s[i]! - p[i]! }))
  const square = pairs.reduce((sum, q) => sum + q.predictedS ** 2, 0)
  return {
    pairs,
    onlyPredictedS: p.slice(count),
    onlySeenS: s.slice(count),
    stretch: square > 0 ? pairs.reduce((sum, q) => sum + q.predictedS * q.seenS, 0) / square : null,
  }
}
