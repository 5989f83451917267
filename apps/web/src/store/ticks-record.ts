/** Steps that were done at the bench, kept with their demonstration. Plain data, in the collection "ticks". */

export interface TicksRecord {
  /** Key of the demonstration. */
  readonly id: string
  readonly version: 1
  /** Keys of the steps that are done (`tickKey`). */
  readonly done: readonly string[]
}

/** Ticks of one demonstration that are kept at most; far more than any make-up and clearing have steps. */
const MOST_TICKS = 2000

/** A record read back, or null when it is not one of ours: what lies in a browser's storage is not to be trusted. */
export function readTicksRecord(x: unknown): TicksRecord | null {
  if (typeof x !== 'object' || x === null) return null
  const { id, version, done } = x as Readonly<Record<string, unknown>>
  const isWhole = typeof id === 'string' && version === 1 && Array.isArray(done) && done.every((k) => typeof k === 'string')
  return isWhole ? (x as TicksRecord) : null
}

/**
 * The key of a step: where it belongs, and everything it says. A step that says something else (another mass, another reagent) is another
 * step, and stands there undone.
 */
export function tickKey(group: string, said: readonly string[]): string {
  return `${group}\n${said.join('\n')}`
}

/** The record with a step done or not done. */
export function withTick(record: TicksRecord, key: string, isDone: boolean): TicksRecord {
  const others = record.done.filter((k) => k !== key)
  return { ...record, done: isDone ? [...others, key].slice(-MOST_TICKS) : others }
}

/** The record without the steps of the groups that begin so. */
export function withoutTicks(record: TicksRecord, groups: string): TicksRecord {
  return { ...record, done: record.done.filter((k) => !k.startsWith(groups)) }
}
