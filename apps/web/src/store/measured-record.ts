/**
 * What is laid over the rehearsals of a demonstration: a measured record, or the taps of a run. How it lies is in the collection "measured";
 * the numbers, which may be megabytes and never change, are in the collection "numbers" under the same id.
 */
import type { Problem } from '@beakertide/basis/problems'

export interface MeasuredSeries {
  readonly name: string
  readonly unit: string
  /** Name of the predicted trace that it lies over; 'own': a trace of its own; 'none': not drawn. */
  readonly over: string
  /** Added to its values, in the unit of what it lies over. */
  readonly offset: number
  /** Where it swings, as fractional rows. */
  readonly swingsAt: readonly number[]
}

export interface MeasuredRecord {
  readonly id: string
  readonly version: 1
  /** Key of the demonstration. */
  readonly of: string
  readonly vessel: string
  /** ms since 1970. */
  readonly addedAt: number
  /** Name of the file; of taps: when the run began, in words. */
  readonly name: string
  /** The run whose taps these are; null for a table. */
  readonly run: string | null
  readonly rows: number
  readonly timeColumn: string
  /** Spacing that fits rounded stamps, s. */
  readonly evenSpacingS: number | null
  /** Even spacing is used instead of the stamps. */
  readonly isEven: boolean
  /** Where the first row stands on the clock, s. */
  readonly startsAtS: number
  readonly series: readonly MeasuredSeries[]
  readonly warnings: readonly Pick<Problem, 'code' | 'where' | 'what' | 'todo'>[]
}

export interface MeasuredNumbers {
  readonly id: string
  /** s from the first row. */
  readonly timesS: Float64Array
  /** One for each series, NaN where nothing was measured. */
  readonly values: readonly Float64Array[]
}

const isMap = (x: unknown): x is Readonly<Record<string, unknown>> => typeof x === 'object' && x !== null && !Array.isArray(x)
const isNumber = (x: unknown): x is number => typeof x === 'number' && Number.isFinite(x)
const areTexts = (x: Readonly<Record<string, unknown>>, keys: readonly string[]): boolean => keys.every((key) => typeof x[key] === 'string')

/** A record read back, or null when it is not one of ours: what lies in a browser's storage is not to be trusted. */
export function readMeasuredRecord(x: unknown): MeasuredRecord | null {
  if (!isMap(x) || x['version'] !== 1) return null
  const isWhole =
    areTexts(x, ['id', 'of', 'vessel', 'name', 'timeColumn']) &&
    isNumber(x['addedAt']) &&
    isNumber(x['rows']) &&
    isNumber(x['startsAtS']) &&
    typeof x['isEven'] === 'boolean' &&
    (x['evenSpacingS'] === null || isNumber(x['evenSpacingS'])) &&
    (x['run'] === null || typeof x['run'] === 'string') &&
    Array.isArray(x['series']) &&
    x['series'].every(
      (s) =>
        isMap(s) &&
        areTexts(s, ['name', 'unit', 'over']) &&
        isNumber(s['offset']) &&
        Array.isArray(s['swingsAt']) &&
        s['swingsAt'].every(isNumber),
    ) &&
    Array.isArray(x['warnings']) &&
    x['warnings'].every((w) => isMap(w) && areTexts(w, ['code', 'where', 'what', 'todo']))
  return isWhole ? (x as unknown as MeasuredRecord) : null
}

/** The numbers of this record, or null when they are not there or not as many. */
export function readMeasuredNumbers(x: unknown, of: MeasuredRecord): MeasuredNumbers | null {
  if (!isMap(x) || x['id'] !== of.id || !(x['timesS'] instanceof Float64Array) || x['timesS'].length !== of.rows) return null
  const values = x['values']
  if (!Array.isArray(values) || values.length !== of.series.length) return null
  return values.every((v) => v instanceof Float64Array && v.length === of.rows) ? (x as unknown as MeasuredNumbers) : null
}
