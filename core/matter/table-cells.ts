import { invariant } from '@beakertide/basis/problems'
import { seenFrom, type Source } from '@beakertide/basis/sources'

/** One row of a fact table. A missing or unreadable cell is a fault of our tables, so it is an invariant, not a problem of the user. */
export type Row = Readonly<Record<string, string>>

export function cell(row: Row, column: string): string {
  const value = row[column]
  invariant(value !== undefined, `a fact table lacks the column "${column}"`)
  return value.trim()
}

export function numberCell(row: Row, column: string): number {
  const text = cell(row, column)
  const value = Number(text)
  invariant(text !== '' && Number.isFinite(value), `column "${column}" of a fact table holds "${text}" where a number is needed`)
  return value
}

/** Null for an empty cell. */
export function optionalNumberCell(row: Row, column: string): number | null {
  return cell(row, column) === '' ? null : numberCell(row, column)
}

export function sourceOf(row: Row): Source {
  return { source: cell(row, 'source'), seen: seenFrom(cell(row, 'read_or_memory')) }
}

/** Names separated by ";". */
export function namesIn(text: string): readonly string[] {
  return text
    .split(';')
    .map((name) => name.trim())
    .filter((name) => name !== '')
}

/** Rows in groups by `key`, in order of first mention. */
export function groupRows(rows: readonly Row[], key: (row: Row) => string): ReadonlyMap<string, readonly Row[]> {
  const groups = new Map<string, Row[]>()
  for (const row of rows) {
    const k = key(row)
    const group = groups.get(k)
    if (group) group.push(row)
    else groups.set(k, [row])
  }
  return groups
}

/** A record's own entry, never an inherited one, so that text from a file may be the key. */
export function own<T>(record: Readonly<Record<string, T>>, key: string): T | undefined {
  return Object.hasOwn(record, key) ? record[key] : undefined
}
