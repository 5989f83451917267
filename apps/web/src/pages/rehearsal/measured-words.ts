/** What was measured or seen beside what is predicted, in sentences. Plain functions. */
import { compareTurns } from '@beakertide/core/record'
import { aboutTime, spokenTime } from '../../parts/times.ts'
import { t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'

/** Differences below this, s, are one time: a hand on a key is not better. */
const SAME_S = 1
/** Paces within this share are one pace. */
const SAME_PACE = 0.02
/** Up to here times are said in seconds with a decimal, s. */
const FINE_UNTIL_S = 120

const clock = (s: number): string => (Math.abs(s) < FINE_UNTIL_S ? `${formatNumber(s, 3)} s` : spokenTime(s))

export interface Compared {
  /** What was measured, without comparison. */
  readonly seen: string
  /** How that stands to the prediction; empty where nothing can be compared. */
  readonly lines: readonly string[]
  /** How much later the first one is than the predicted one, s; null without a pair. */
  readonly firstOffS: number | null
  readonly pairs: readonly { readonly predictedS: number; readonly seenS: number; readonly offS: number }[]
}

/**
 * `seenS`, `predictedS`: times on the clock; predicted ones outside of `fromS` to `toS` were not watched. Null for `predictedS`: there is
 * nothing of the kind to compare with. `startS`: the pour that sets it off, from which paces are counted.
 */
export function compareSeen(
  what: 'swings' | 'turns',
  name: string,
  seenS: readonly number[],
  predictedS: readonly number[] | null,
  watched: { readonly fromS: number; readonly toS: number; readonly startS: number },
): Compared {
  const [first, last] = [seenS[0], seenS.at(-1)]
  const nothing = { lines: [], firstOffS: null, pairs: [] }
  if (first === undefined || last === undefined) {
    return { ...nothing, seen: t(what === 'swings' ? 'rehearsal.swingsNone' : 'rehearsal.turnsNone', { what: name }) }
  }
  const counted = { what: name, n: seenS.length, first: clock(first), last: clock(last) }
  const seen = t(what === 'swings' ? 'rehearsal.swingsSeen' : 'rehearsal.turnsSeen', counted)
  if (predictedS === null) return { ...nothing, seen }
  const within = predictedS.filter((s) => s >= watched.fromS && s <= watched.toS)
  if (within.length === 0) return { ...nothing, seen, lines: [t('rehearsal.nonePredicted')] }
  const c = compareTurns(
    within.map((s) => ({ timeS: s - watched.startS })),
    seenS.map((s) => s - watched.startS),
  )
  const lines: string[] = []
  const pair = c.pairs[0]!
  const given = { time: aboutTime(Math.abs(pair.offS)), predicted: clock(pair.predictedS + watched.startS) }
  lines.push(
    t(
      Math.abs(pair.offS) < SAME_S ? 'rehearsal.firstAsPredicted' : pair.offS > 0 ? 'rehearsal.firstLater' : 'rehearsal.firstEarlier',
      given,
    ),
  )
  if (c.pairs.length > 1 && c.stretch !== null) {
    const percent = formatNumber(100 * Math.abs(c.stretch - 1), 2)
    const key =
      Math.abs(c.stretch - 1) < SAME_PACE ? 'rehearsal.paceSame' : c.stretch > 1 ? 'rehearsal.paceLonger' : 'rehearsal.paceShorter'
    lines.push(t(key, { n: c.pairs.length, percent }))
  }
  if (c.onlyPredictedS.length > 0) lines.push(t('rehearsal.onlyPredicted', { n: c.onlyPredictedS.length }))
  if (c.onlySeenS.length > 0) lines.push(t('rehearsal.onlySeen', { n: c.onlySeenS.length }))
  const pairs = c.pairs.map((p) => ({ predictedS: p.predictedS + watched.startS, seenS: p.seenS + watched.startS, offS: p.offS }))
  return { seen, lines, firstOffS: pair.offS, pairs }
}

/** Names of predicted traces that rise and fall slowly: heights are compared, not swings. */
const SLOW: ReadonlySet<string> = new Set(['temperature', 'gas set free'])
export const isSlow = (traceName: string): boolean => SLOW.has(traceName)

/** Rounded to a thousandth of a height, so that a difference of rounding is not written out. */
export function rounded(value: number, height: number): number {
  if (!(height > 0)) return value
  const step = 10 ** (Math.floor(Math.log10(height)) - 3)
  return Math.round(value / step) * step
}

/** Between what a slow trace lies, measured and predicted. */
export function compareHeights(
  name: string,
  unit: string,
  measured: readonly [number, number] | null,
  predicted: readonly [number, number] | null,
): Compared {
  const range = ([low, high]: readonly [number, number]): string => {
    const height = Math.max(high - low, 1e-3 * Math.abs(high))
    return t('rehearsal.range', { low: formatNumber(rounded(low, height), 3), high: formatNumber(rounded(high, height), 3), unit })
  }
  const seen =
    measured === null ? t('rehearsal.heightsNone', { what: name }) : t('rehearsal.heightsSeen', { what: name, range: range(measured) })
  const lines = measured === null || predicted === null ? [] : [t('rehearsal.heightsPredicted', { range: range(predicted) })]
  return { seen, lines, firstOffS: null, pairs: [] }
}
