import { readFileSync } from 'node:fs'
import { beforeAll, describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { ClearingPlan } from '@beakertide/core/clearing'
import type { Outcome } from '@beakertide/basis/problems'
import type { Band } from '@beakertide/core/rehearsal'
import { clearAt, type Leftovers, leftoversAlong } from './clear-at.ts'
import { prepareDocument, openDocument } from './open-document.ts'
import type { Prepared } from './day.ts'

const house = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
const valueOf = <T>(o: Outcome<T>): T => {
  if (!o.ok) throw new Error(JSON.stringify(o.problems))
  return o.value
}

describe('clearing at a chosen moment', () => {
  let prepared: Prepared
  let left: Leftovers
  beforeAll(() => {
    const text = readFileSync(new URL('../examples/right/slow-fuse.yaml', import.meta.url), 'utf8')
    prepared = valueOf(prepareDocument(valueOf(openDocument(text, 'slow-fuse', () => ({ ok: false, why: 'none' }), house)), house))
    left = valueOf(leftoversAlong(prepared, prepared.demonstration.vessels[0]!.id, house.day))
  })
  const plan = (stopAtS: number | null, more: object = {}): ClearingPlan =>
    valueOf(clearAt(prepared, left, { stopAtS, ...more }, house.day))
  const persulfate = (p: ClearingPlan) => p.oxidants.find((o) => o.species === 'S2O8^2-')?.amountMol.high ?? 0

  it('times grow, from the complete mixture to the end', () => {
    const times = left.along.map((i) => i.atS)
    expect([...times].sort((a, b) => a - b)).toEqual(times)
    expect(times[0]).toBe(Math.max(...prepared.demonstration.vessels[0]!.pours.map((p) => p.atS)))
  })
  it('the later the stop, the less persulfate; the end is the finished plan', () => {
    const [first, middle, last] = [left.along[0]!.atS, left.along[Math.floor(left.along.length / 2)]!.atS, left.along.at(-1)!.atS]
    expect(persulfate(plan(first + 1))).toBeGreaterThan(persulfate(plan(middle)))
    expect(persulfate(plan(middle))).toBeGreaterThan(persulfate(plan(last)))
    expect(persulfate(plan(null))).toBeCloseTo(persulfate(plan(last)), 12)
    expect(plan(null).cases[0]).toMatch(/^finished/)
    expect(plan(middle).cases).toHaveLength(1)
    expect(plan(middle).cases[0]).toMatch(/^stopped early/)
  })
  it('a band widens the range, around what the model itself says', () => {
    const atS = left.along[150]!.atS
    const value = { low: 30, middle: 50, high: 90, share: 1 }
    const none = { low: null, middle: null, high: null, share: 0 }
    const band = { lengthS: none, firstTurnS: value } as unknown as Band
    const wide = plan(atS, { band }).oxidants.find((o) => o.species === 'S2O8^2-')!.amountMol
    const own = persulfate(plan(atS))
    expect(wide.low).toBeLessThan(own)
    expect(wide.high).toBeGreaterThan(own)
  })
  it('a stop before all is poured, or after the rehearsal, is refused with the times', () => {
    for (const atS of [-1, left.along.at(-1)!.atS + 1, Number.NaN]) {
      const o = clearAt(prepared, left, { stopAtS: atS }, house.day)
      expect(!o.ok && o.problems[0]?.code).toBe('clearing/stop-outside')
    }
  })
})
