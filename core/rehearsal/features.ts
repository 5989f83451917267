/** The few numbers of a course that a person asks for, and that bands and sensitivities are made of. */
import type { Turn } from './rehearsal.ts'

export interface Features {
  /** First turn, s after the reaction starts; null when nothing is seen. */
  readonly firstTurnS: number | null
  /** Mean of the first three periods (or of as many as there are), s. */
  readonly periodS: number | null
  readonly cycles: number
  /** Last turn, s after the reaction starts. */
  readonly lengthS: number | null
}

/** Periods averaged for "the period at first". */
export const FIRST_PERIODS = 3

export function featuresOf(startS: number, turns: readonly Turn[], periodsS: readonly number[], cycles: number): Features {
  const first = turns[0]
  const last = turns.at(-1)
  const early = periodsS.slice(0, FIRST_PERIODS)
  return {
    firstTurnS: first ? first.timeS - startS : null,
    periodS: early.length > 0 ? early.reduce((a, b) => a + b, 0) / early.length : null,
    cycles,
    lengthS: last ? last.timeS - startS : null,
  }
}
