/**
 * A measured trace as somebody's instrument wrote it: which column is time, in which unit, and how far its
 * stamps can be trusted. Numbers are read with decimal point or comma; nothing is repaired silently.
 */
import { done, type Outcome, type Problem, refuse, suggestion } from '@beakertide/basis/problems'

/** A table of text cells; the door has already split lines and columns. */
export interface RecordTable {
  /** For messages: the file's name. */
  readonly from: string
  readonly header: readonly string[]
  readonly rows: readonly (readonly string[])[]
}

export interface RecordedTrace {
  readonly name: string
  /** Seconds from the first stamp, as written. */
  readonly timesS: readonly number[]
  readonly values: readonly number[]
}

export interface MeasuredRecord {
  readonly from: string
  readonly timeColumn: string
  readonly traces: readonly RecordedTrace[]
  /** Even spacing that the stamps fit when their rounding is undone, s; null when the spacing is not even. */
  readonly evenSpacingS: number | null
}

/** Seconds in the time units that headers use. */
const TIME_UNITS: Readonly<Record<string, number>> = { s: 1, sec: 1, seconds: 1, ms: 1e-3, min: 60, minutes: 60, h: 3600 }
/** A run of equal largest values longer than this looks like an instrument at the end of its scale. */
const SATURATED_RUN = 5
/** Share of stamps that may repeat or run back before the stamps as a whole are doubted. */
const DOUBTFUL_SHARE = 0.05
/** Even spacing is claimed when the stamps fit it within this share of a spacing, on average. */
const EVEN_WITHIN = 0.5

/** A cell as number, NaN when it is none; accepts one decimal comma ("0,35"). */
export function cellNumber(cell: string): number {
  const text = cell.trim()
  if (text === '' || !/^[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d+)?$/i.test(text)) return Number.NaN
  return Number(text.replace(',', '.'))
}

/** Factor to seconds named by a header such as "t_s", "time (min)", "t/ms"; undefined when the header is no time. */
export function timeFactor(header: string): number | undefined {
  const words = header
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((w) => w !== '')
  if (!words.some((w) => w === 't' || w === 'time' || w === 'zeit' || w === 'temps')) return undefined
  const unit = words.find((w) => w in TIME_UNITS)
  return unit === undefined ? undefined : TIME_UNITS[unit]
}

/** Even spacing hidden behind rounded stamps: last stamp over count, if the stamps scatter around it. */
function evenSpacing(timesS: readonly number[]): number | null {
  const n = timesS.length
  if (n < 3) return null
  const spacing = (timesS[n - 1]! - timesS[0]!) / (n - 1)
  if (!(spacing > 0)) return null
  const off = timesS.reduce((sum, t, i) => sum + Math.abs(t - timesS[0]! - i * spacing), 0) / n
  return off <= EVEN_WITHIN * spacing ? spacing : null
}

/**
 * Reads a table into traces. `timeColumn` names the column of time when the headers do not say it.
 * Problems: no time column, unit of time not stated, cells that are no numbers (all of them, each with its row), too few rows.
 * Warnings: stamps that repeat or run back, values stuck at the largest one.
 */
export function readRecord(table: RecordTable, timeColumn?: string): Outcome<MeasuredRecord> {
  const problems: Problem[] = []
  const warnings: Problem[] = []
  const timeIndex = timeColumn === undefined ? table.header.findIndex((h) => timeFactor(h) !== undefined) : table.header.indexOf(timeColumn)
  if (timeIndex < 0) {
    return refuse({
      code: 'record/no-time',
      where: table.from,
      what:
        timeColumn === undefined
          ? `no column says that it is time and in which unit; met: ${table.header.join(', ')}`
          : `there is no column "${timeColumn}"`,
      todo:
        timeColumn === undefined
          ? 'name the column of time with its unit, as in "t (s)" or "time (min)"'
          : suggestion(timeColumn, table.header) || 'name one of the columns',
    })
  }
  const factor = timeFactor(table.header[timeIndex]!)
  if (factor === undefined) {
    problems.push({
      code: 'record/time-unit',
      where: `${table.from}, column "${table.header[timeIndex]}"`,
      what: 'the unit of time is not stated',
      todo: 'put it in the heading, as in "t (s)", "t (ms)" or "t (min)"',
    })
  }
  if (table.rows.length < 2)
    problems.push({
      code: 'record/too-short',
      where: table.from,
      what: `${table.rows.length} rows of numbers; at least 2 are needed`,
      todo: 'give the whole record',
    })

  const numbers = table.rows.map((row) => table.header.map((_, i) => cellNumber(row[i] ?? '')))
  const isNumeric = table.header.map(
    (_, i) => i === timeIndex || numbers.filter((r) => Number.isFinite(r[i]!)).length > table.rows.length / 2,
  )
  for (let i = 0; i < table.rows.length; i++) {
    table.header.forEach((h, j) => {
      const cell = (table.rows[i]?.[j] ?? '').trim()
      if (!isNumeric[j] || Number.isFinite(numbers[i]![j]!) || (cell === '' && j !== timeIndex)) return
      problems.push({
        code: 'record/not-a-number',
        where: `${table.from}, row ${i + 1}, column "${h}"`,
        what: `"${cell}" is not a number`,
        todo: 'correct the cell or leave it empty',
      })
    })
  }
  if (problems.length > 0) return refuse(...problems)

  const stamps = numbers.map((r) => r[timeIndex]! * factor!)
  const timesS = stamps.map((t) => t - stamps[0]!)
  let doubtful = 0
  for (let i = 1; i < timesS.length; i++) if (timesS[i]! <= timesS[i - 1]!) doubtful++
  const spacing = evenSpacing(timesS)
  if (doubtful > 0) {
    const share = doubtful / timesS.length
    warnings.push({
      code: share > DOUBTFUL_SHARE ? 'record/stamps-doubtful' : 'record/stamps-repeat',
      where: `${table.from}, column "${table.header[timeIndex]}"`,
      what: `${doubtful} of ${timesS.length} time stamps repeat or run back`,
      todo:
        spacing === null
          ? 'look at how the instrument writes its time'
          : `the stamps are probably rounded: an even spacing of ${Number(spacing.toPrecision(4))} s fits them; use it if the instrument measures evenly`,
    })
  }
  const traces: RecordedTrace[] = []
  table.header.forEach((h, j) => {
    if (j === timeIndex || !isNumeric[j]) return
    const kept = numbers.map((r, i) => ({ t: timesS[i]!, v: r[j]! })).filter((p) => Number.isFinite(p.v))
    const top = kept.reduce((a, p) => Math.max(a, p.v), Number.NEGATIVE_INFINITY)
    let run = 0
    let longest = 0
    for (const p of kept) {
      run = p.v === top ? run + 1 : 0
      longest = Math.max(longest, run)
    }
    if (longest > SATURATED_RUN && kept.some((p) => p.v !== top)) {
      warnings.push({
        code: 'record/saturated',
        where: `${table.from}, column "${h}"`,
        what: `${longest} values in a row stand at the largest one, ${top}`,
        todo: 'the instrument was probably at the end of its scale there; dilute or shorten the path',
      })
    }
    traces.push({ name: h, timesS: kept.map((p) => p.t), values: kept.map((p) => p.v) })
  })
  return done({ from: table.from, timeColumn: table.header[timeIndex]!, traces, evenSpacingS: spacing }, warnings)
}
