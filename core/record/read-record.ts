/**
 * A measured trace as somebody's instrument wrote it: which column is time, in which unit, and how far its
 * stamps can be trusted. Numbers are read with decimal point or comma; nothing is repaired silently.
 */
import { done, type Outcome, type Problem, refuse, suggestion } from '@beakertide/basis/problems'

/** A table of text cells, as `readTable` gives it. */
export interface RecordTable {
  /** For messages: the file's name. */
  readonly from: string
  readonly header: readonly string[]
  readonly rows: readonly (readonly string[])[]
  /** Line of the file that each row stands in; missing: rows are counted from 1. */
  readonly lines?: readonly number[]
}

export interface RecordedTrace {
  readonly name: string
  /** One a row, NaN where the cell is empty. */
  readonly values: Float64Array
}

/** Which column is time and how many seconds its unit has, where the headings do not say it. */
export interface TimeAsked {
  readonly column?: string
  readonly unitS?: number
}

export interface MeasuredRecord {
  readonly from: string
  readonly timeColumn: string
  /** The first stamp as written, s. */
  readonly startsAtS: number
  /** Seconds from the first stamp, as written, one a row. */
  readonly timesS: Float64Array
  readonly traces: readonly RecordedTrace[]
  /** Even spacing that the stamps fit when their rounding is undone, s; null when the spacing is not even. */
  readonly evenSpacingS: number | null
}

/** Seconds in the time units that headers use. */
const TIME_UNITS: Readonly<Record<string, number>> = { s: 1, sec: 1, seconds: 1, ms: 1e-3, min: 60, minutes: 60, h: 3600 }
/** A run of equal largest values longer than this looks like an instrument at the end of its scale. */
const SATURATED_RUN = 5
/** … and it stands so many times as long as any other value: else the instrument only rounds. */
const TWICE = 2
/** Share of stamps that may repeat or run back before the stamps as a whole are doubted. */
const DOUBTFUL_SHARE = 0.05
/** Bad cells that are listed one by one; the rest are counted. */
const LISTED = 60
/** A cell is quoted up to this length. */
const LONGEST_CELL = 40
/** Even spacing is claimed when the stamps fit it within this share of a spacing, on average. */
const EVEN_WITHIN = 0.5

/** A cell as number, NaN when it is none; accepts one decimal comma ("0,35"). */
export function cellNumber(cell: string): number {
  const text = cell.trim()
  if (text === '' || !/^[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d+)?$/i.test(text)) return Number.NaN
  return Number(text.replace(',', '.'))
}

/** "1:02:03.5" (hours) or "1:23" (minutes) as seconds; undefined when the cell is no clock. */
export function clockSeconds(cell: string): number | undefined {
  const read = /^(?:(\d{1,3}):)?(\d{1,3}):(\d{2}(?:[.,]\d*)?)$/.exec(cell.trim())
  return read ? 3600 * Number(read[1] ?? 0) + 60 * Number(read[2]) + Number(read[3]!.replace(',', '.')) : undefined
}

/** Factor to seconds named by a header such as "t_s", "time (min)", "t/ms"; undefined when the header is no time. */
export function timeFactor(header: string): number | undefined {
  const words = header
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((w) => w !== '')
  if (!words.some((w) => w === 't' || w === 'time' || w === 'zeit' || w === 'temps')) return undefined
  const unit = words.find((w) => Object.hasOwn(TIME_UNITS, w))
  return unit === undefined ? undefined : TIME_UNITS[unit]
}

/** Even spacing hidden behind rounded stamps: last stamp over count, if the stamps scatter around it. */
function evenSpacing(timesS: Float64Array): number | null {
  const n = timesS.length
  if (n < 3) return null
  const spacing = (timesS[n - 1]! - timesS[0]!) / (n - 1)
  if (!(spacing > 0)) return null
  const off = timesS.reduce((sum, t, i) => sum + Math.abs(t - timesS[0]! - i * spacing), 0) / n
  return off <= EVEN_WITHIN * spacing ? spacing : null
}

/** The column of time: the one asked for, one whose heading says it with its unit, or one of clock stamps; -1: it must be asked for. */
function timeColumnOf(table: RecordTable, asked: TimeAsked): number {
  if (asked.column !== undefined) return table.header.indexOf(asked.column)
  const stated = table.header.findIndex((h) => timeFactor(h) !== undefined)
  if (stated >= 0) return stated
  const first = table.rows[0] ?? []
  return table.header.findIndex((_, i) => clockSeconds(first[i] ?? '') !== undefined)
}

/**
 * Reads a table into traces. `asked` names the column of time and its unit when the headings do not say them.
 * Problems: no time column, unit of time not stated, cells that are no numbers (each with its place, the rest counted), too few rows.
 * Warnings: stamps that repeat or run back, stamps read as a clock, columns without numbers, values stuck at the largest one.
 */
export function readRecord(table: RecordTable, asked: TimeAsked = {}): Outcome<MeasuredRecord> {
  const problems: Problem[] = []
  const warnings: Problem[] = []
  const timeIndex = timeColumnOf(table, asked)
  if (timeIndex < 0) {
    return refuse({
      code: 'record/no-time',
      where: table.from,
      what:
        asked.column === undefined
          ? `no column says that it is time and in which unit; met: ${table.header.join(', ')}`
          : `there is no column "${asked.column}"`,
      todo:
        asked.column === undefined
          ? 'name the column of time with its unit, as in "t (s)" or "time (min)"'
          : suggestion(asked.column, table.header) || 'name one of the columns',
    })
  }
  const timeHeading = table.header[timeIndex]!
  const isClock = clockSeconds(table.rows[0]?.[timeIndex] ?? '') !== undefined
  const factor = isClock ? 1 : (asked.unitS ?? timeFactor(timeHeading))
  if (factor === undefined) {
    problems.push({
      code: 'record/time-unit',
      where: `${table.from}, column "${timeHeading}"`,
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

  const count = table.rows.length
  const columns = table.header.map((_, j) =>
    Float64Array.from({ length: count }, (_none, i) => {
      const cell = table.rows[i]![j] ?? ''
      return isClock && j === timeIndex ? (clockSeconds(cell) ?? Number.NaN) : cellNumber(cell)
    }),
  )
  const isNumeric = columns.map((column, j) => j === timeIndex || column.reduce((n, v) => n + (Number.isFinite(v) ? 1 : 0), 0) > count / 2)
  let bad = 0
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < columns.length; j++) {
      if (!isNumeric[j] || Number.isFinite(columns[j]![i]!)) continue
      const cell = (table.rows[i]![j] ?? '').trim()
      if ((cell === '' && j !== timeIndex) || bad++ >= LISTED) continue
      problems.push({
        code: 'record/not-a-number',
        where: `${table.from}, ${table.lines ? `line ${table.lines[i]}` : `row ${i + 1}`}, column "${table.header[j]}"`,
        what:
          cell === ''
            ? 'the time is missing'
            : `"${cell.length > LONGEST_CELL ? `${cell.slice(0, LONGEST_CELL)}…` : cell}" is not a number`,
        todo: 'correct the cell or leave it empty',
      })
    }
  }
  if (bad > LISTED) {
    problems.push({
      code: 'record/not-a-number',
      where: table.from,
      what: `${bad - LISTED} further cells are no numbers`,
      todo: 'look whether the separator and the decimal sign are what the file means',
    })
  }
  if (problems.length > 0) return refuse(...problems)

  const stamps = columns[timeIndex]!
  const startsAtS = stamps[0]! * factor!
  const timesS = stamps.map((t) => (t - stamps[0]!) * factor!)
  let doubtful = 0
  for (let i = 1; i < timesS.length; i++) if (timesS[i]! <= timesS[i - 1]!) doubtful++
  const spacing = evenSpacing(timesS)
  if (isClock) {
    warnings.push({
      code: 'record/clock-stamps',
      where: `${table.from}, column "${timeHeading}"`,
      what: `stamps such as "${(table.rows[0]![timeIndex] ?? '').trim()}" are read as ${/:.*:/.test(table.rows[0]![timeIndex]!) ? 'hours, minutes and seconds' : 'minutes and seconds'}`,
      todo: 'if they mean something else, write the time in one unit and name it in the heading',
    })
  }
  if (doubtful > 0) {
    const share = doubtful / timesS.length
    warnings.push({
      code: share > DOUBTFUL_SHARE ? 'record/stamps-doubtful' : 'record/stamps-repeat',
      where: `${table.from}, column "${timeHeading}"`,
      what: `${doubtful} of ${timesS.length} time stamps repeat or run back`,
      todo:
        spacing === null
          ? 'look at how the instrument writes its time'
          : `the stamps are probably rounded: an even spacing of ${Number(spacing.toPrecision(4))} s fits them; use it if the instrument measures evenly`,
    })
  }
  const traces: RecordedTrace[] = []
  table.header.forEach((h, j) => {
    if (j === timeIndex) return
    const values = columns[j]!
    if (!isNumeric[j]) {
      if (table.rows.some((row) => (row[j] ?? '').trim() !== ''))
        warnings.push({
          code: 'record/column-left-out',
          where: `${table.from}, column "${h}"`,
          what: 'more than half of its cells are no numbers, so it is not read',
          todo: 'nothing, if it holds words; else look at its decimal sign',
        })
      return
    }
    const stuck = longestAtTop(values)
    if (stuck !== null) {
      warnings.push({
        code: 'record/saturated',
        where: `${table.from}, column "${h}"`,
        what: `${stuck.longest} values in a row stand at the largest one, ${stuck.top}`,
        todo: 'the instrument was probably at the end of its scale there; dilute or shorten the path',
      })
    }
    traces.push({ name: h, values })
  })
  return done({ from: table.from, timeColumn: timeHeading, startsAtS, timesS, traces, evenSpacingS: spacing }, warnings)
}

/**
 * The largest value and how often in a row it stands, where that looks like the end of a scale: longer than any other value stands, or it
 * is only the resolution of the instrument. Empty cells are stepped over.
 */
function longestAtTop(values: Float64Array): { readonly top: number; readonly longest: number } | null {
  let top = Number.NEGATIVE_INFINITY
  for (const v of values) if (v > top) top = v
  let run = 0
  let before = Number.NaN
  let longest = 0
  let elsewhere = 0
  for (const v of values) {
    if (Number.isNaN(v)) continue
    run = v === before ? run + 1 : 1
    before = v
    if (v === top) longest = Math.max(longest, run)
    else elsewhere = Math.max(elsewhere, run)
  }
  return longest > SATURATED_RUN && elsewhere > 0 && longest > TWICE * elsewhere ? { top, longest } : null
}
