import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { type Outcome, problemsText } from '@beakertide/basis/problems'
import { constantNamesOf } from '@beakertide/core/rehearsal'
import { facts } from '@beakertide/data'
import { rehearseVessel } from './day.ts'
import { type HouseFacts, openDocument, prepareDocument } from './open-document.ts'
import { fineLook, type QuickChanges, quickLook } from './quick-look.ts'

const house: HouseFacts = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
const value = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new Error(problemsText(outcome.problems))
  return outcome.value
}
const source = (name: string): string => readFileSync(new URL(`../examples/right/${name}.yaml`, import.meta.url), 'utf8')
const made = (text: string) =>
  value(prepareDocument(value(openDocument(text, 'day.yaml', () => ({ ok: false, why: 'none' }), house)), house))
const none: QuickChanges = { amounts: {}, celsius: null, depthCm: null, constants: {} }
const middle = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0

describe('a quick look agrees with the full rehearsal as its page says', () => {
  it.each(['slow-fuse', 'sudden-night', 'tide-in-a-jar', 'amber-beat', 'red-blue-clockwork', 'fading-violet'])('%s', (name) => {
    const prepared = made(source(name))
    for (const { id } of prepared.poured) {
      const full = value(rehearseVessel(prepared, id, house.day))
      const quick = value(quickLook(prepared, id, none, house.day))
      expect(quick.startS).toBe(full.startS)
      if (full.inductionS === null) expect(quick.inductionS).toBeNull()
      else expect(Math.abs(quick.inductionS! - full.inductionS)).toBeLessThan(Math.max(1, 0.02 * full.inductionS))
      expect(Math.abs(quick.cycles - full.cycles)).toBeLessThanOrEqual(Math.ceil(full.cycles / 10))
      if (full.cycles > 1) expect(Math.abs(middle(quick.periodsS) / middle(full.periodsS) - 1)).toBeLessThan(0.03)
      expect(quick.turns[0]?.to).toBe(full.turns[0]?.to)
      expect(quick.toS).toBe(full.strip.at(-1)!.timeS)
    }
  })
})

describe('a quick look at held changes agrees with the fine look at them', () => {
  const tide = made(source('tide-in-a-jar'))
  it.each<[string, Partial<QuickChanges>]>([
    ['less malonic acid', { amounts: { 'B/malonic': 0.7 } }],
    ['more malonic acid', { amounts: { 'B/malonic': 1.3 } }],
    ['less iodate, more peroxide', { amounts: { 'A/iodate': 0.8, 'C/peroxide': 1.1 } }],
    ['a cold room', { celsius: 16 }],
    ['a warm room, less to look through', { celsius: 26, depthCm: 4 }],
  ])('%s', (_, changes) => {
    for (const key of Object.keys(changes.amounts ?? {}))
      expect(tide.makeUp.portions.map((p) => `${p.solution}/${p.bottle}`)).toContain(key)
    const held = { ...none, ...changes }
    const quick = value(quickLook(tide, 'jar', held, house.day))
    const fine = value(fineLook(tide, 'jar', held, house.day))
    expect(Math.abs(quick.inductionS! - fine.inductionS!)).toBeLessThan(1)
    expect(Math.abs(quick.cycles - fine.cycles)).toBeLessThanOrEqual(Math.ceil(fine.cycles / 10))
    expect(fine.cycles).toBeGreaterThan(5)
    expect(Math.abs(middle(quick.periodsS) / middle(fine.periodsS) - 1)).toBeLessThan(0.03)
  })
})

describe('changes held on sliders', () => {
  const text = source('slow-fuse')
  const fuse = made(text)
  it('do what the same changes of the document do', () => {
    const quick = value(quickLook(fuse, 'flask', { ...none, amounts: { 'ember/thiosulfate': 1.5 }, celsius: 26 }, house.day))
    const written = made(text.replace(/temperature: [\d.]+ degC/, 'temperature: 26 degC'))
    const same = value(quickLook(written, 'flask', { ...none, amounts: { 'ember/thiosulfate': 1.5 } }, house.day))
    expect(quick.turns[0]!.timeS).toBeCloseTo(same.turns[0]!.timeS, 1)
    const before = value(quickLook(fuse, 'flask', none, house.day))
    // through less liquid the first blue is seen later
    const shallow = value(quickLook(fuse, 'flask', { ...none, depthCm: 1 }, house.day))
    expect(shallow.inductionS!).toBeGreaterThan(before.inductionS!)
    const slower = value(quickLook(fuse, 'flask', { ...none, amounts: { 'ember/thiosulfate': 1.5 } }, house.day))
    expect(slower.inductionS!).toBeGreaterThan(1.3 * before.inductionS!)
  })
  it('reach the constants of the mechanism: a slower first step is seen later, and the next look has forgotten it', () => {
    const [constant] = constantNamesOf(fuse.mechanism)
    const before = value(quickLook(fuse, 'flask', none, house.day))
    const slow = value(quickLook(fuse, 'flask', { ...none, constants: { [constant!]: 0.5 } }, house.day))
    expect(slow.inductionS! / before.inductionS!).toBeGreaterThan(1.5)
    expect(value(quickLook(fuse, 'flask', none, house.day))).toEqual(before)
  })
  it('say what they add to the dangers: more peroxide is more heat and gas', () => {
    const tide = made(source('tide-in-a-jar'))
    const much = value(quickLook(tide, 'jar', { ...none, amounts: { 'C/peroxide': 2.5 } }, house.day))
    expect(much.worse.length).toBeGreaterThan(0)
    expect(much.worse.map((c) => c.about)).toContain('vessel "jar"')
    expect(much.worse.map((c) => c.severity)).toEqual(much.worse.map((c) => c.severity).sort((a, b) => b - a))
    expect(value(quickLook(tide, 'jar', none, house.day)).worse).toEqual([])
    expect(value(quickLook(tide, 'jar', { ...none, depthCm: 3 }, house.day)).worse).toEqual([])
    expect(value(quickLook(tide, 'jar', { ...none, amounts: { 'C/peroxide': 1 }, celsius: 21 }, house.day)).worse).toEqual([])
  })
  it('are looked at finely when they rest: the rehearsal of the same document, refused for the same reasons', () => {
    const more = { ...none, amounts: { 'ember/thiosulfate': 1.5 } }
    const fine = value(fineLook(fuse, 'flask', more, house.day))
    // 1.5 times 2 mmol/L in the mix
    const written = made(text.replace('thiosulfate: { in the mix: 2 mmol/L }', 'thiosulfate: { in the mix: 3 mmol/L }'))
    const full = value(rehearseVessel(written, 'flask', house.day))
    expect(fine.turns[0]!.timeS / full.turns[0]!.timeS).toBeCloseTo(1, 4)
    expect(fine.strip.length).toBe(full.strip.length)
    expect(fine.strip.length).toBeGreaterThan(value(quickLook(fuse, 'flask', more, house.day)).strip.length)
    // Nothing changed: the rehearsal of the document itself.
    expect(value(fineLook(fuse, 'flask', none, house.day)).turns).toEqual(value(rehearseVessel(fuse, 'flask', house.day)).turns)
    const foam = made(source('spilling-foam'))
    const [portion] = foam.makeUp.portions.filter((p) => p.substanceName.startsWith('hydrogen peroxide'))
    const key = `${portion!.solution}/${portion!.bottle}`
    let refused = 0
    for (const factor of [3, 10, 30]) {
      const held = { ...none, amounts: { [key]: factor } }
      const [quick, slow] = [quickLook(foam, foam.poured[0]!.id, held, house.day), fineLook(foam, foam.poured[0]!.id, held, house.day)]
      if (!quick.ok) expect(slow.ok).toBe(false)
      if (!quick.ok && !slow.ok) refused += 1
    }
    expect(refused).toBeGreaterThan(0)
    const constant = constantNamesOf(fuse.mechanism)[0]!
    const slow = value(fineLook(fuse, 'flask', { ...none, constants: { [constant]: 0.5 } }, house.day))
    expect(slow.inductionS! / value(fineLook(fuse, 'flask', none, house.day)).inductionS!).toBeGreaterThan(1.5)
  })
  it('leave no trace in the next look', () => {
    const first = value(quickLook(fuse, 'flask', none, house.day))
    value(quickLook(fuse, 'flask', { ...none, amounts: { 'ember/thiosulfate': 3 }, celsius: 35 }, house.day))
    expect(value(quickLook(fuse, 'flask', none, house.day))).toEqual(first)
  })
  it('are refused where cautions refuse the document: ten times the iodide sets iodine free for a room to breathe', () => {
    const got = quickLook(fuse, 'flask', { ...none, amounts: { 'ember/iodide': 10 } }, house.day)
    expect(got.ok ? [] : got.problems.map((p) => [p.code, p.danger])).toContainEqual(['cautions/vapour-iodine', true])
  })
})
