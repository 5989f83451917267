/**
 * A check against the outside: our number beside theirs, with source and reason for the tolerance. Every check
 * is a test, and every check leaves a row in out/ledger/, from which `tools/ledger.mjs` prints the ledger.
 */
import { mkdirSync, writeFileSync } from 'node:fs'
import { afterAll, expect, it } from 'vitest'
import type { Outcome } from '@beakertide/basis/problems'
import type { Seen } from '@beakertide/basis/sources'

export interface OutsideCheck {
  readonly source: string
  /** How the outside value came to us. */
  readonly seen: Seen
  /** Our number. May throw: the row is then kept as failed, with the message. */
  readonly ours: () => number
  readonly theirs: number
  readonly unit: string
  /** Largest absolute difference allowed, in `unit`; or a share of `theirs` when `relative` is set. */
  readonly within: number
  readonly relative?: true
  /** Why this tolerance. */
  readonly because: string
  /**
   * Set when the two do not agree and the outside value is held to be the wrong one: the evidence. Such a row counts as
   * "doubted", never as agreed, and it fails when the two do agree, so that it cannot stay here unnoticed.
   */
  readonly doubted?: string
  /** Set when they do not agree and ours is the wrong one, known and not mended yet: the evidence. Fails when the two do agree. */
  readonly ourFault?: string
}

export interface LedgerRow {
  readonly subject: string
  readonly name: string
  /** Null when ours is no finite number. */
  readonly ours: number | null
  readonly theirs: number
  readonly unit: string
  readonly difference: number | null
  readonly allowed: number
  readonly because: string
  readonly source: string
  readonly seen: Seen
  readonly state: 'agrees' | 'doubted' | 'our fault' | 'failed'
  readonly remark: string
}

/** Opens the ledger page of one subject, the name of the check file; call once a file, then `check` as often as needed. */
export function ledger(subject: string): { readonly check: (name: string, c: OutsideCheck) => void } {
  const rows: LedgerRow[] = []
  const names = new Set<string>()
  afterAll(() => {
    mkdirSync('out/ledger', { recursive: true })
    writeFileSync(`out/ledger/${subject}.json`, JSON.stringify(rows, null, 1))
  })
  return {
    check: (name, c) => {
      if (names.has(name)) throw new Error(`two checks of ${subject} are called "${name}"`)
      if (!Number.isFinite(c.theirs)) throw new Error(`"${name}": theirs is no number`)
      names.add(name)
      it(`${name} (${c.seen})`, () => {
        const row = compare(subject, name, c)
        rows.push(row)
        const met = `${name}: ours ${row.ours ?? 'no number'} ${c.unit}, theirs ${c.theirs} ${c.unit}, allowed ${row.allowed} (${c.because})`
        expect(row.state, `${met} ${row.remark}`).not.toBe('failed')
      })
    },
  }
}

function compare(subject: string, name: string, c: OutsideCheck): LedgerRow {
  let ours = Number.NaN
  let remark = c.doubted ?? c.ourFault ?? ''
  try {
    ours = c.ours()
  } catch (fault) {
    remark = fault instanceof Error ? fault.message : String(fault)
  }
  const isNumber = Number.isFinite(ours)
  const allowed = c.relative ? Math.abs(c.theirs) * c.within : c.within
  const isNear = isNumber && Math.abs(ours - c.theirs) <= allowed
  const apart = c.doubted !== undefined ? 'doubted' : c.ourFault !== undefined ? 'our fault' : undefined
  return {
    subject,
    name,
    ours: isNumber ? ours : null,
    theirs: c.theirs,
    unit: c.unit,
    difference: isNumber ? ours - c.theirs : null,
    allowed,
    because: c.because,
    source: c.source,
    seen: c.seen,
    state: !isNumber || isNear === (apart !== undefined) ? 'failed' : (apart ?? 'agrees'),
    remark,
  }
}

/** The value of a good outcome; a refused one throws its problems, so that the row fails with them. */
export function valueOf<T>(outcome: Outcome<T>): T {
  if (outcome.ok) return outcome.value
  throw new Error(outcome.problems.map((p) => `${p.code}: ${p.where}: ${p.what}`).join('; '))
}

/** What must be there. */
export function found<T>(thing: T | null | undefined, what: string): T {
  if (thing === null || thing === undefined) throw new Error(`there is no ${what}`)
  return thing
}
