/**
 * How a fact came to us. `read`: seen in a copy of the named source; `computed`: calculated from read
 * inputs; `memory`: general handbook knowledge, to be confirmed; `assumed`: our own choice, no source;
 * `practice`: common practice of the trade, no source; `mixed`: the source text says which part is which.
 */
export type Seen = 'read' | 'computed' | 'memory' | 'assumed' | 'practice' | 'mixed'

/** Where a number or rule comes from. */
export interface Source {
  readonly source: string
  readonly seen: Seen
}

/** A number from the world, with everything needed to trust or distrust it. */
export interface Sourced extends Source {
  readonly value: number
  readonly unit: string
  /** One rough standard width, in `unit`. */
  readonly uncertainty?: number
  /** Conditions under which it holds. */
  readonly valid?: string
}

/** Reads the fact tables' status words ("read: check digit good …", "computed (memory inputs)", "READ", "MIXED"). */
export function seenFrom(statusText: string): Seen {
  const t = statusText.trim().toLowerCase()
  if (t.startsWith('read')) return 'read'
  if (t.startsWith('computed') || t.startsWith('calculated')) return t.includes('memory') ? 'memory' : 'computed'
  if (t.startsWith('mixed')) return 'mixed'
  if (t.startsWith('assumed')) return 'assumed'
  if (t.startsWith('common practice') || t.startsWith('practice')) return 'practice'
  return 'memory'
}

/** Distinct sources, first mention first. */
export function distinctSources(sources: readonly Source[]): readonly Source[] {
  const seenBy = new Map<string, Seen[]>()
  const distinct: Source[] = []
  for (const { source, seen } of sources) {
    const before = seenBy.get(source)
    if (before?.includes(seen)) continue
    if (before) before.push(seen)
    else seenBy.set(source, [seen])
    distinct.push({ source, seen })
  }
  return distinct
}

/** Rows of a fact table as text, one record a row, keyed by the column names of its header line. */
export type Rows = readonly Readonly<Record<string, string>>[]
