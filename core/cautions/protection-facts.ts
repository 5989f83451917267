/** The table of protection, first-aid and spill lines: data/hazards/protection_lines.csv. */
import { invariant } from '@beakertide/basis/problems'
import { type Rows, type Source, seenFrom } from '@beakertide/basis/sources'
import { parseThreshold, type Threshold } from './threshold.ts'

export interface ProtectionLine {
  /** "eyes", "hands", "air", "audience", "first aid", "spill" */
  readonly topic: string
  /** What makes the line apply: a danger group over a strength, a hazard statement, a gas, or a code of a caution. */
  readonly when: 'group' | 'statement' | 'gas' | 'code'
  readonly what: RegExp
  readonly groups: readonly string[]
  readonly over: Threshold
  readonly text: string
  readonly source: Source
}

/** Rows in the order in which they are printed. */
export function readProtection(
  rows: Rows,
  source: (keys: string, status: string) => Source,
  groups: Readonly<Record<string, unknown>>,
): readonly ProtectionLine[] {
  return rows.map((r) => {
    const what = r['what'] ?? ''
    const when = r['when']
    invariant(
      when === 'group' || when === 'statement' || when === 'gas' || when === 'code',
      `protection line "${r['text']}" has the when "${when}"`,
    )
    const names = when === 'group' ? what.split('|') : []
    for (const n of names) invariant(groups[n] !== undefined, `a protection line names the unknown group "${n}"`)
    return {
      topic: r['topic'] ?? '',
      when,
      what: new RegExp(`^(${what})`),
      groups: names,
      over: when === 'group' ? parseThreshold(r['over'] ?? '', `the protection line "${r['text']}"`) : { over: 'solid' },
      text: r['text'] ?? '',
      source: { ...source(r['source_key'] ?? '', r['status'] ?? ''), seen: seenFrom(r['status'] ?? '') },
    }
  })
}
