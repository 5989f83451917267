/**
 * A check against the outside: our number beside theirs, with source and reason for the tolerance. Every check
 * is a test, and every check leaves a row in out/ledger/, from which `tools/ledger.mjs` prints the ledger.
 */
import { mkdirSync, writeFileSync } from 'node:fs'
import { afterAll, expect, it } from 'vitest'
import type { Seen } from '@beakertide/basis/sources'

export interface OutsideCheck {
  readonly source: string
  /** How the outside value came to us. */
  readonly seen: Seen
  readonly ours: () => number
  readonly theirs: number
  readonly unit: string
  /** Largest absolute difference allowed, in `unit`; or a share of `theirs` when `relative` is set. */
  readonly within: number
  readonly relative?: true
  /** Why this tolerance. */
  readonly because: string
}

export interface LedgerRow {
  readonly subject: string
  readonly name: string
  readonly ours: number
  readonly theirs: number
  readonly unit: string
  readonly difference: number
  readonly allowed: number
  readonly because: string
  readonly source: string
  readonly seen: Seen
  readonly ok: boolean
}

/** Opens the ledger page of one subject; call once a file, then `check` as often as needed. */
export function ledger(subject: string): { readonly check: (name: string, c: OutsideCheck) => void } {
  const rows: LedgerRow[] = []
  afterAll(() => {
    mkdirSync('out/ledger', { recursive: true })
    writeFileSync(`out/ledger/${subject.replace(/[^a-z0-9]+/gi, '-').toLowerCase()}.json`, JSON.stringify(rows, null, 1))
  })
  return {
    check: (name, c) => {
      it(`${name} (${c.seen})`, () => {
        const ours = c.ours()
        const allowed = c.relative ? Math.abs(c.theirs) * c.within : c.within
        const difference = ours - c.theirs
        const ok = Number.isFinite(ours) && Math.abs(difference) <= allowed
        rows.push({
          subject,
          name,
          ours,
          theirs: c.theirs,
          unit: c.unit,
          difference,
          allowed,
          because: c.because,
          source: c.source,
          seen: c.seen,
          ok,
        })
        expect(ok, `${name}: ours ${ours} ${c.unit}, theirs ${c.theirs} ${c.unit}, allowed ${allowed} (${c.because})`).toBe(true)
      })
    },
  }
}
