/** A bottle on the user's shelf, kept for all demonstrations together. Plain data. */
import type { WrittenBottle } from '../work/shelf-contract.ts'

export interface ShelfRecord {
  readonly id: string
  /** As documents write a bottle: substance, hydrate, purity or strength, density, assay, pack, price. */
  readonly written: WrittenBottle
  /** What is left, as documents write a mass or a volume; '' when nobody knows. */
  readonly left: string
  /** Day it was opened, "2026-03-14"; '' when nobody knows. */
  readonly openedOn: string
  /** Day of the assay in `written`. */
  readonly assayedOn: string
  readonly changedAt: number
}

const DAY = /^\d{4}-\d{2}-\d{2}$/

/** A record of the store as one of ours, or null: another version or another program may have written there. */
export function readShelfRecord(x: unknown): ShelfRecord | null {
  if (typeof x !== 'object' || x === null) return null
  const r = x as Record<string, unknown>
  const { id, written, changedAt } = r
  if (typeof id !== 'string' || typeof written !== 'object' || written === null || Array.isArray(written)) return null
  const text = (key: string): string => (typeof r[key] === 'string' ? r[key] : '')
  const day = (key: string): string => (DAY.test(text(key)) ? text(key) : '')
  return {
    id,
    written: written as WrittenBottle,
    left: text('left'),
    openedOn: day('openedOn'),
    assayedOn: day('assayedOn'),
    changedAt: typeof changedAt === 'number' ? changedAt : 0,
  }
}
