import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import Papa from 'papaparse'
import type { Rows } from '@beakertide/basis/sources'
import { invariant } from '@beakertide/basis/problems'

/** Folder of the data package, from src/ or from dist/src/. */
const here = fileURLToPath(new URL(import.meta.url.includes('/dist/') ? '../../' : '../', import.meta.url))
const kept = new Map<string, Rows>()

/** Rows of a fact table by its place in data/, e.g. `rows('tables/substances')`. Read once. */
export function rows(table: string): Rows {
  const before = kept.get(table)
  if (before) return before
  const parsed = Papa.parse<Record<string, string>>(readFileSync(`${here}${table}.csv`, 'utf8'), { header: true, skipEmptyLines: true })
  invariant(parsed.errors.length === 0, `data/${table}.csv does not parse: ${parsed.errors[0]?.message ?? ''}`)
  kept.set(table, parsed.data)
  return parsed.data
}
