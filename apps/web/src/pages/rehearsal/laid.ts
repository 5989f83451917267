/** How measured records lie over a rehearsal: which line in which band with which mark, and what of the time axis they need. Plain functions. */
import { type IntoUnit, intoUnit, timeAtPlace, traceFor } from '@beakertide/core/record'
import type { Trace } from '@beakertide/core/rehearsal'
import { type LaidLine, MARKS, type MeasuredLine, measuredLine } from '../../parts/measured-line.ts'
import type { TimeSpan } from '../../parts/time-stage.ts'
import type { MeasuredNumbers, MeasuredRecord, MeasuredSeries } from '../../store/measured-record.ts'
import type { ReadRecord } from '../../work/record-contract.ts'

export type PredictedName = Pick<Trace, 'name' | 'unit'>

/** A record with its numbers ready for drawing. */
export interface Measured {
  readonly record: MeasuredRecord
  /** s from the first row, as the record says it is used. */
  readonly timesS: Float64Array
  readonly lines: readonly MeasuredLine[]
  /** Earliest and latest row, s from the first. */
  readonly reach: TimeSpan
}

/** Columns that belong to nothing predicted and still get a band of their own at first; the others can be asked for. */
const OWN_AT_FIRST = 2

/** Rows evenly apart where the record says so, else the stamps. */
export function usedTimes(record: Pick<MeasuredRecord, 'isEven' | 'evenSpacingS'>, stampsS: Float64Array): Float64Array {
  const spacing = record.evenSpacingS
  return record.isEven && spacing !== null ? Float64Array.from(stampsS, (_, i) => i * spacing) : stampsS
}

/** The record with its lines made, which takes a moment for a long one. */
export function measuredOf(record: MeasuredRecord, numbers: MeasuredNumbers): Measured {
  const timesS = usedTimes(record, numbers.timesS)
  let fromS = 0
  let toS = 0
  for (const s of timesS) {
    if (s < fromS) fromS = s
    if (s > toS) toS = s
  }
  return { record, timesS, lines: numbers.values.map((values) => measuredLine(timesS, values)), reach: { fromS, toS } }
}

/** A record that was just read, laid where it most likely belongs. */
export function firstLaid(
  read: ReadRecord,
  warnings: MeasuredRecord['warnings'],
  given: { readonly id: string; readonly of: string; readonly vessel: string; readonly now: number },
  predicted: readonly PredictedName[],
  course: { readonly fromS: number; readonly toS: number; readonly startS: number },
): MeasuredRecord {
  let own = 0
  const series = read.series.map((s): MeasuredSeries => {
    const over = traceFor(s, predicted) ?? (own++ < OWN_AT_FIRST ? 'own' : 'none')
    return { name: s.name, unit: s.unit, over, offset: 0, swingsAt: s.swingsAt }
  })
  // Stamps that could be the clock's are taken as such; a time of day or a counter that began elsewhere is laid to the pour.
  const isClock = read.startsAtS >= course.fromS && read.startsAtS <= course.toS
  return {
    id: given.id,
    version: 1,
    of: given.of,
    vessel: given.vessel,
    addedAt: given.now,
    name: read.from,
    run: null,
    rows: read.timesS.length,
    timeColumn: read.timeColumn,
    evenSpacingS: read.evenSpacingS,
    isEven: false,
    startsAtS: isClock ? read.startsAtS : course.startS,
    series,
    warnings: warnings.map(({ code, where, what, todo }) => ({ code, where, what, todo })),
  }
}

/** The predicted trace that a series lies over now, with the way into its unit; null: a trace of its own. */
export function liesOver(
  series: Pick<MeasuredSeries, 'over' | 'unit'>,
  predicted: readonly PredictedName[],
): { readonly trace: PredictedName; readonly into: IntoUnit } | null {
  const trace = predicted.find((x) => x.name === series.over)
  const into = trace ? intoUnit(series.unit, trace.unit) : null
  return trace && into ? { trace, into } : null
}

/** The band of a trace of its own. */
export const ownName = (record: MeasuredRecord, at: number): string => `own ${record.id} ${at}`

/** A series in its band. */
export interface LaidSeries extends LaidLine {
  readonly band: string
  readonly of: Measured
  readonly at: number
}

/** Everything that is drawn as a line; marks are given out band by band. */
export function laidSeries(all: readonly Measured[], predicted: readonly PredictedName[]): readonly LaidSeries[] {
  const inBand = new Map<string, number>()
  return all.flatMap((of) =>
    of.record.series.flatMap((series, at): readonly LaidSeries[] => {
      const line = of.lines[at]
      if (series.over === 'none' || line === undefined) return []
      const over = liesOver(series, predicted)
      const band = over?.trace.name ?? ownName(of.record, at)
      const count = inBand.get(band) ?? 0
      inBand.set(band, count + 1)
      const { factor, plus } = over?.into ?? { factor: 1, plus: 0 }
      return [
        { band, of, at, line, startsAtS: of.record.startsAtS, factor, plus: plus + series.offset, mark: MARKS[count % MARKS.length]! },
      ]
    }),
  )
}

/** Times of turns that somebody saw: taps of a run, or a table with a column of times only. Null for other records. s on the clock. */
export function seenTimes(m: Measured): readonly number[] | null {
  return m.record.series.length === 0 ? Array.from(m.timesS, (s) => s + m.record.startsAtS) : null
}

/** Times at which a series swings, s on the clock. */
export function swingTimes(m: Measured, at: number): readonly number[] {
  return (m.record.series[at]?.swingsAt ?? []).map((place) => timeAtPlace(m.timesS, place) + m.record.startsAtS)
}

/** First and last moment of a record on the clock. */
export function endsOf({ record, reach }: Measured): TimeSpan {
  return { fromS: reach.fromS + record.startsAtS, toS: reach.toS + record.startsAtS }
}

/** How far records may widen the time axis, in lengths of the rehearsal: a record of a whole day does not squeeze it to a line. */
const BEFORE = 1
const AFTER = 3

/** The rehearsal's time, widened to records as far as allowed. */
export function spanWith(course: TimeSpan, all: readonly Measured[]): TimeSpan {
  const length = course.toS - course.fromS
  let { fromS, toS } = course
  for (const m of all) {
    const ends = endsOf(m)
    fromS = Math.min(fromS, Math.max(ends.fromS, course.fromS - BEFORE * length))
    toS = Math.max(toS, Math.min(ends.toS, course.toS + AFTER * length))
  }
  return { fromS, toS }
}

/** How much of a record no window can show, s. */
export function outsideS(m: Measured, span: TimeSpan): number {
  const ends = endsOf(m)
  return Math.max(0, Math.min(ends.toS, span.fromS) - ends.fromS) + Math.max(0, ends.toS - Math.max(ends.fromS, span.toS))
}
