/** Reads what was copied into checks/outside/: tables of facts with their sources. */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import Papa from 'papaparse'
import type { Rows } from '@beakertide/basis/sources'

const place = (file: string): string => fileURLToPath(new URL(`./outside/${file}`, import.meta.url))

/** Rows of checks/outside/NAME.csv as text. */
export function outsideRows(name: string): Rows {
  const parsed = Papa.parse<Record<string, string>>(readFileSync(place(`${name}.csv`), 'utf8'), { header: true, skipEmptyLines: true })
  const fault = parsed.errors[0]
  if (fault) throw new Error(`checks/outside/${name}.csv does not parse: ${fault.message}`)
  return parsed.data
}

/** checks/outside/NAME.json, unchecked: whoever reads it says what it must hold. */
export function outsideJson(name: string): unknown {
  return JSON.parse(readFileSync(place(`${name}.json`), 'utf8'))
}
