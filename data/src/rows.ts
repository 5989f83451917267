import Papa from 'papaparse'
import { invariant } from '@beakertide/basis/problems'
import type { Rows } from '@beakertide/basis/sources'
import type { Texts } from './texts.ts'

/** Rows of a fact table by its place in data/, e.g. `rows('tables/substances')`. */
export type RowsOf = (table: string) => Rows

/** Reads each table of `texts` once. */
export function rowsOf(texts: Texts): RowsOf {
  const kept = new Map<string, Rows>()
  return (table) => {
    const before = kept.get(table)
    if (before) return before
    const parsed = Papa.parse<Record<string, string>>(texts.table(table), { header: true, skipEmptyLines: true })
    invariant(parsed.errors.length === 0, `data/${table}.csv does not parse: ${parsed.errors[0]?.message ?? ''}`)
    kept.set(table, parsed.data)
    return parsed.data
  }
}
