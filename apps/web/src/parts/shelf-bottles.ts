/** Bottles of the shelf: their names, their age, and how they stand to the bottles of a document. Free of the framework. */
import { parseQuantity } from '@beakertide/basis/units'
import type { WrittenBottleFields } from '@beakertide/demonstration/edit'
import type { ShelfRecord } from '../store/shelf-record.ts'
import type { BottleLook, ShelfStock, SubstanceChoice, WrittenBottle } from '../work/shelf-contract.ts'

const textOf = (value: unknown): string => (typeof value === 'string' ? value : '')
export const writtenText = (record: ShelfRecord, key: string): string => textOf(record.written[key])

/** What each bottle is called: by its substance, numbered where there are several of it. Ids of the records to names. */
export function bottleNames(records: readonly ShelfRecord[], unnamed: string): ReadonlyMap<string, string> {
  const names = new Map<string, string>()
  const taken = new Set<string>()
  for (const r of records) {
    const base = writtenText(r, 'substance').replaceAll('"', '') || unnamed
    let name = base
    for (let n = 2; taken.has(name); n++) name = `${base} ${n}`
    taken.add(name)
    names.set(r.id, name)
  }
  return names
}

/** Keys with nothing in them are no keys. */
export function withKey(written: WrittenBottle, key: string, value: unknown): WrittenBottle {
  const next: Record<string, unknown> = { ...written, [key]: value }
  return Object.fromEntries(Object.entries(next).filter(([, v]) => v !== undefined && v !== ''))
}

/** What the reader of documents takes for a bottle: what the record says, and the day it was opened. */
export function documentBottle(record: ShelfRecord): WrittenBottle {
  return withKey(record.written, 'opened', record.openedOn || record.written['opened'])
}

/** What is left as a number; null when nobody knows. */
export function leftOf(record: ShelfRecord): ShelfStock['left'] {
  const read = record.left === '' ? null : parseQuantity(record.left, ['mass', 'volume'], {})
  return read?.ok && (read.value.kind === 'mass' || read.value.kind === 'volume')
    ? { kind: read.value.kind, value: read.value.value }
    : null
}

const DAY_MS = 86_400_000

/** Days since a day; null when nobody knows or it lies ahead. */
export function daysSince(day: string, nowMs: number): number | null {
  const at = Date.parse(`${day}T00:00:00`)
  const days = Math.floor((nowMs - at) / DAY_MS)
  return Number.isFinite(days) && days >= 0 ? days : null
}

/** An assay says how strong it was on its day; after so many days what perishes should be looked at again (our choice, a month). */
export const ASSAY_HOLDS_DAYS = 30

/** Whether the strength should be assayed before it is relied on. */
export function wantsAssay(record: ShelfRecord, look: BottleLook | undefined, nowMs: number): boolean {
  if (!look?.content?.perishes) return false
  if (!look.content.assayed) return true
  const days = daysSince(record.assayedOn, nowMs)
  return days === null || days > ASSAY_HOLDS_DAYS
}

/** Bottles of a document that a bottle of the shelf could stand for: those of the same compound. */
export function servesFor(
  look: BottleLook | undefined,
  bottles: readonly WrittenBottleFields[],
  all: readonly SubstanceChoice[],
): readonly string[] {
  const family = look?.content?.family
  if (family === undefined) return []
  const plain = (text: string): string =>
    text
      .toLowerCase()
      .replace(/[₀-₉]/g, (c) => String(c.charCodeAt(0) - 0x2080))
      .trim()
  const choice = all.find((s) => s.id === family)
  if (!choice) return []
  const names = new Set([choice.name, choice.formula, choice.id, ...choice.otherNames].map(plain))
  return bottles.filter((b) => names.has(plain(b.fields['substance'] ?? ''))).map((b) => b.id)
}

/** Whether a bottle of the document says just what the bottle of the shelf does: it is this one. */
export function isUsedAs(record: ShelfRecord, bottle: WrittenBottleFields): boolean {
  const inDocument = { ...bottle.fields, ...(bottle.assay === null ? {} : { assay: bottle.assay }) }
  return sameWritten(documentBottle(record), inDocument)
}
const sameWritten = (a: unknown, b: unknown): boolean => {
  if (!isKeyed(a) || !isKeyed(b)) return String(a) === String(b)
  const keys = new Set([...Object.keys(a), ...Object.keys(b)])
  return [...keys].every((key) => sameWritten(a[key], b[key]))
}
const isKeyed = (value: unknown): value is Readonly<Record<string, unknown>> => typeof value === 'object' && value !== null

/** A record of a document's bottle, for taking it onto the shelf. */
export function recordOf(bottle: WrittenBottleFields, id: string, nowMs: number): ShelfRecord {
  const { opened, pack, ...fields } = bottle.fields
  const isDay = opened !== undefined && /^\d{4}-\d{2}-\d{2}$/.test(opened)
  return {
    id,
    written: {
      ...fields,
      ...(pack === undefined ? {} : { pack }),
      ...(bottle.assay === null ? {} : { assay: bottle.assay }),
      ...(isDay || opened === undefined ? {} : { opened }),
    },
    left: pack ?? '',
    openedOn: isDay ? opened : '',
    assayedOn: '',
    changedAt: nowMs,
  }
}
