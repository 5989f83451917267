/** When each turn may come: the band of a rehearsal carried along its turns. Nothing but numbers, so that a page may take it alone. */
import type { Band, Rehearsal } from '../rehearsal/index.ts'

export interface TurnSpan {
  readonly timeS: number
  /** Null without a band, or where the band does not reach. */
  readonly lowS: number | null
  readonly highS: number | null
}

/** Longest and shortest of a band against its middle; 1 where it says nothing. */
function factors(value: Band['periodS']): { readonly low: number; readonly high: number } {
  const { low, middle, high } = value
  if (low === null || middle === null || high === null || middle <= 0) return { low: 1, high: 1 }
  return { low: low / middle, high: high / middle }
}

/**
 * The span in which each turn comes in ten to ninety of a hundred varied runs: that of the first turn as the band has it, each
 * later one by that of the first and the factor of the period (of the length, where nothing swings) on the time since.
 */
export function turnSpans(r: Pick<Rehearsal, 'turns' | 'startS' | 'cycles' | 'band'>): readonly TurnSpan[] {
  const { band } = r
  const first = r.turns[0]
  if (!first) return []
  const { low, middle, high } = band?.firstTurnS ?? { low: null, middle: null, high: null }
  if (!band || low === null || middle === null || high === null) return r.turns.map((t) => ({ timeS: t.timeS, lowS: null, highS: null }))
  const pace = factors(r.cycles > 0 ? band.periodS : band.lengthS)
  // The middle of the band and the rehearsal itself need not agree: the spread goes round the rehearsal's own time.
  const induction = first.timeS - r.startS
  const [early, late] = middle > 0 ? [(induction * low) / middle, (induction * high) / middle] : [low, high]
  return r.turns.map((t) => {
    const since = t.timeS - first.timeS
    return { timeS: t.timeS, lowS: r.startS + early + since * pace.low, highS: r.startS + late + since * pace.high }
  })
}

/** A time as a clock shows it: "0:20", "12:05", "1:02:00"; whole seconds, "−0:05" before the clock starts. */
export function clockWords(seconds: number): string {
  const s = Math.round(Math.abs(seconds))
  const two = (n: number): string => String(n).padStart(2, '0')
  const clock =
    s >= 3600 ? `${Math.floor(s / 3600)}:${two(Math.floor((s % 3600) / 60))}:${two(s % 60)}` : `${Math.floor(s / 60)}:${two(s % 60)}`
  return seconds < 0 && s > 0 ? `−${clock}` : clock
}
