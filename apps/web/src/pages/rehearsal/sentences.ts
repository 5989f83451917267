/** What a course is, in words of the page's language; and how two differ. Plain functions. */
import type { Band, BandValue } from '@beakertide/core/rehearsal'
import { colourWord } from '../../parts/colour-words.ts'
import { aboutTime, spokenTime, timeRange } from '../../parts/times.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import type { Course } from './course.ts'

/** Earlier than this, s, nobody sees a wait. */
const AT_ONCE_S = 0.5

/** A feature of the course with its sentence; faults of the model are shown beside the feature of the same name. */
export interface CourseLine {
  readonly feature: 'induction' | 'period' | 'cycles' | 'length' | 'end' | 'temperature' | 'gas'
  readonly text: string
}

export function courseLines(c: Course): readonly CourseLine[] {
  const lines: CourseLine[] = []
  const first = c.turns[0]
  if (c.inductionS === null || !first) lines.push({ feature: 'induction', text: t('rehearsal.noTurn') })
  else {
    const colours = { from: colourWord(first.from), to: colourWord(first.to) }
    lines.push({
      feature: 'induction',
      text:
        c.inductionS < AT_ONCE_S
          ? t('rehearsal.firstAtOnce', colours)
          : t('rehearsal.firstAfter', { ...colours, time: aboutTime(c.inductionS), clock: spokenTime(first.timeS) }),
    })
  }
  if (c.cycles > 0) {
    const [start] = c.periodsS
    const end = c.periodsS.at(-1)
    const n = c.cycles
    const period = start === undefined ? null : aboutTime(start)
    if (period === null) lines.push({ feature: 'cycles', text: t(c.stillGoing ? 'rehearsal.cyclesOver' : 'rehearsal.cycles', { n }) })
    else if (end !== undefined && aboutTime(end) !== period)
      lines.push({
        feature: 'period',
        text: t(c.stillGoing ? 'rehearsal.cyclesFromToOver' : 'rehearsal.cyclesFromTo', { n, period, end: aboutTime(end) }),
      })
    else lines.push({ feature: 'period', text: t(c.stillGoing ? 'rehearsal.cyclesEachOver' : 'rehearsal.cyclesEach', { n, period }) })
  }
  if (c.endS !== null && c.turns.length > 1)
    lines.push({
      feature: 'length',
      text: t(c.stillGoing ? 'rehearsal.lastsOver' : 'rehearsal.lasts', { time: aboutTime(c.endS - c.startS), clock: spokenTime(c.endS) }),
    })
  lines.push({ feature: 'end', text: t('rehearsal.ends', { cause: unended(said(c.cause)), colour: colourWord(c.endColour) }) })
  const [low, high] = c.temperatureRangeK
  lines.push({
    feature: 'temperature',
    text: t('rehearsal.temperatures', { low: formatNumber(low - ICE_K, 3), high: formatNumber(high - ICE_K, 3) }),
  })
  if (c.gasL > 0.001)
    lines.push({
      feature: 'gas',
      text: t('rehearsal.gasFree', { volume: c.gasL < 1 ? `${formatNumber(1000 * c.gasL, 2)} mL` : `${formatNumber(c.gasL, 2)} L` }),
    })
  return lines
}

const ICE_K = 273.15
const unended = (text: string): string => text.trim().replace(/\.$/, '')

/** "12 to 31 s", "nearly always 12 s", or how often it is not seen. */
export function bandText(v: BandValue, of: 'time' | 'number'): string {
  if (v.low === null || v.high === null) return t('rehearsal.bandMissing', { share: formatNumber(100 * (1 - v.share), 2) })
  const share = v.share < 1 ? `; ${t('rehearsal.bandShare', { share: formatNumber(100 * v.share, 2) })}` : ''
  if (of === 'number') {
    const [low, high] = [Math.round(v.low), Math.round(v.high)]
    return `${low === high ? formatNumber(low, 4) : t('rehearsal.range', { low: formatNumber(low, 4), high: formatNumber(high, 4), unit: '' }).trim()}${share}`
  }
  if (v.high < AT_ONCE_S) return `${t('rehearsal.atOnce')}${share}`
  const [low, high, unit] = timeRange(v.low, v.high)
  return `${low === high ? `${low} ${unit}` : t('rehearsal.range', { low, high, unit })}${share}`
}

/** Rows of the band: only features the show has. */
export function bandRows(c: Course, band: Band): readonly (readonly [feature: CourseLine['feature'], name: string, band: string])[] {
  const swings = c.cycles > 0 || (band.cycles.high ?? 0) > 0
  return [
    ['induction', t('rehearsal.bandFirst'), bandText(band.firstTurnS, 'time')],
    ...(swings
      ? ([
          ['period', t('rehearsal.bandPeriod'), bandText(band.periodS, 'time')],
          ['cycles', t('rehearsal.bandCycles'), bandText(band.cycles, 'number')],
        ] as const)
      : []),
    ...(swings || c.turns.length > 1 ? ([['length', t('rehearsal.bandLength'), bandText(band.lengthS, 'time')]] as const) : []),
  ]
}

/** How a course differs from a pinned one, in words; one line a feature that differs. */
export function differences(pinned: Course, now: Course): readonly string[] {
  const out: string[] = []
  const time = (s: number | null): string => (s === null ? t('rehearsal.none') : aboutTime(s))
  const line = (what: string, before: string, after: string): void => {
    if (before !== after) out.push(t('rehearsal.difference', { what, before, after }))
  }
  line(t('rehearsal.bandFirst'), time(pinned.inductionS), time(now.inductionS))
  line(t('rehearsal.bandPeriod'), time(pinned.periodsS[0] ?? null), time(now.periodsS[0] ?? null))
  const cycles = (c: Course): string =>
    c.stillGoing ? t('rehearsal.over', { what: formatNumber(c.cycles, 4) }) : formatNumber(c.cycles, 4)
  line(t('rehearsal.bandCycles'), cycles(pinned), cycles(now))
  const length = (c: Course): string =>
    c.endS === null ? t('rehearsal.none') : c.stillGoing ? t('rehearsal.over', { what: time(c.endS - c.startS) }) : time(c.endS - c.startS)
  line(t('rehearsal.bandLength'), length(pinned), length(now))
  line(t('rehearsal.endColour'), colourWord(pinned.endColour), colourWord(now.endColour))
  return out
}
