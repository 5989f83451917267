/** The few numbers of a course that a person asks for, and that bands and sensitivities are made of. */
import type { Turn } from './rehearsal.ts'

export interface Features {
  /** First turn, s after the reaction starts; null when nothing is seen. */
  readonly firstTurnS: number | null
  /** Middle one of the first three periods (mean of two), s: one missed turn does not move it. Null without a period. */
  readonly periodS: number | null
  readonly cycles: number
  /** Last turn, s after the reaction starts; null when nothing is seen. */
  readonly lengthS: number | null
  /** It still oscillates when the rehearsal stops: the length and the cycles are then at least what they are here. */
  readonly stillGoing: boolean
}

/** Periods looked at for "the period at first". */
export const FIRST_PERIODS = 3
/** An oscillation is called over when no turn has come for this many of its last periods (our own choice). */
const SILENT_PERIODS = 1.5

/** True when the last period has room for another turn after the rehearsed time; never without a period. */
export function isStillGoing(turns: readonly Turn[], periodsS: readonly number[], endS: number): boolean {
  const last = turns.at(-1)
  const period = periodsS.at(-1)
  return last !== undefined && period !== undefined && endS - last.timeS < SILENT_PERIODS * period
}

function median(values: readonly number[]): number | null {
  const sorted = [...values].sort((a, b) => a - b)
  const half = Math.floor(sorted.length / 2)
  const upper = sorted[half]
  if (upper === undefined) return null
  return sorted.length % 2 === 1 ? upper : (upper + sorted[half - 1]!) / 2
}

/** Times in s; `turns` and `endS` on the clock of the course, results counted from `startS`. */
export function featuresOf(startS: number, endS: number, turns: readonly Turn[], periodsS: readonly number[], cycles: number): Features {
  const first = turns[0]
  const last = turns.at(-1)
  return {
    firstTurnS: first ? first.timeS - startS : null,
    periodS: median(periodsS.slice(0, FIRST_PERIODS)),
    cycles,
    lengthS: last ? last.timeS - startS : null,
    stillGoing: isStillGoing(turns, periodsS, endS),
  }
}
