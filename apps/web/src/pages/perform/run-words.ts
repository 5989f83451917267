/** A run against its prediction in sentences. */
import { aboutTime, spokenTime } from '../../parts/times.ts'
import { lateness, type RunRecord } from '../../store/run-record.ts'
import { t } from '../../words/index.ts'
import { formatClock, formatNumber } from '../../words/numbers.ts'
import { type Phase, phaseOf } from './phase.ts'

export interface RunJudged {
  readonly phase: Phase
  readonly lateS: number
  readonly sentences: readonly string[]
}

/** Differences below this, s, are one time (the hand on the key). */
const SAME_S = 1

/** `pours`: planned times of the vessel's pours. */
export function judgeRun(run: RunRecord, pours: readonly number[]): RunJudged {
  const lateS = lateness(pours, run.pouredS, run.predicted.startS)
  const phase = phaseOf(run.predicted.turns, run.turnsSeenS, lateS)
  const sentences: string[] = []
  const say = (text: string): void => void sentences.push(text)
  if (Math.abs(lateS) >= SAME_S) say(t('perform.pourWasLate', { time: spokenTime(Math.abs(lateS)) }))
  const [first] = phase.pairs
  const predicted = run.predicted.turns[0]
  if (run.turnsSeenS.length === 0) say(t('perform.nothingSeen', { time: spokenTime(run.stoppedS ?? 0) }))
  if (first && predicted) {
    const at = predicted.timeS + lateS
    const off = first.seenS - at
    const given = { time: aboutTime(Math.abs(off)), seen: formatClock(first.seenS), predicted: formatClock(at) }
    say(
      Math.abs(off) < SAME_S ? t('perform.firstSame', given) : off > 0 ? t('perform.firstLater', given) : t('perform.firstEarlier', given),
    )
    const { lowS, highS } = predicted
    if (lowS !== null && highS !== null) {
      const band = { low: formatClock(lowS + lateS), high: formatClock(highS + lateS) }
      const isInside = first.seenS >= lowS + lateS - SAME_S && first.seenS <= highS + lateS + SAME_S
      say(isInside ? t('perform.insideBand', band) : t('perform.outsideBand', band))
    }
  }
  const last = phase.pairs.at(-1)
  if (first && last && last.turn - first.turn >= 2) {
    const pace = (last.seenS - first.seenS) / (run.predicted.turns[last.turn]!.timeS - run.predicted.turns[first.turn]!.timeS)
    const percent = 100 * Math.abs(pace - 1)
    const words =
      percent < 2
        ? t('perform.onPace')
        : t('perform.pace', { percent: formatNumber(percent, 2), slower: pace > 1 ? t('perform.slower') : t('perform.faster') })
    say(t('perform.paceSentence', { pace: words }))
  }
  const stoppedS = run.stoppedS ?? Number.POSITIVE_INFINITY
  const due = phase.coming.filter((n) => n.timeS < stoppedS).length
  const missed = phase.missed.length + (run.turnsSeenS.length > 0 ? due : 0)
  if (missed > 0) say(t('perform.missedSentence', { n: missed }))
  if (phase.extraS.length > 0) say(t('perform.extraSentence', { n: phase.extraS.length }))
  return { phase, lateS, sentences }
}
