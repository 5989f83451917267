import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { Caution } from '@beakertide/core/cautions'
import { facts } from '@beakertide/data'
import { knownCautions } from './known-cautions.ts'
import { type HouseFacts, openDocument, prepareDocument } from './open-document.ts'

const day = facts.day()
const house: HouseFacts = { day, mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
const example = (path: string): string => readFileSync(new URL(`../examples/${path}.yaml`, import.meta.url), 'utf8')
const known = (text: string) => {
  const cautions = knownCautions(text, 'test.yaml', day)
  if (cautions === null) throw new Error('nothing is known')
  return cautions
}
const keysOf = (list: readonly Caution[]): readonly string[] => list.map((c) => `${c.code}|${c.about}`)
const tide = example('right/tide-in-a-jar')
const bleach = example('wrong/bleach-and-acid')
/** A document changed in one place; a test that changes nothing would test nothing. */
const changed = (text: string, from: string | RegExp, to: string): string => {
  const out = text.replace(from, to)
  if (out === text) throw new Error(`"${String(from)}" does not stand there`)
  return out
}

describe('cautions of a document that is not prepared', () => {
  it.each(['tide-in-a-jar', 'slow-fuse', 'sudden-night', 'rising-foam'])('are all of those of %s when nothing is wrong with it', (name) => {
    const text = example(`right/${name}`)
    const opened = openDocument(text, name, () => ({ ok: false, why: 'none' }), house)
    const prepared = opened.ok ? prepareDocument(opened.value, house) : opened
    if (!prepared.ok) throw new Error('not ready')
    const cautions = known(text)
    expect(keysOf(cautions.list)).toEqual(expect.arrayContaining([...keysOf(prepared.value.cautions.list)]))
    expect(cautions.incomplete).toBeUndefined()
    expect(cautions.standing).toEqual(prepared.value.cautions.standing)
  })

  // Each of these stops the preparing; none may cost a danger of what can still be read.
  it.each([
    ['a vessel that is too small', changed(tide, 'holds: 2 L', 'holds: 300 mL')],
    ['too little made', changed(tide, 'A: { make: 500 mL', 'A: { make: 100 mL')],
    ['no title', changed(tide, /^title:.*$/m, '')],
    ['a room of 200 degrees', changed(tide, 'temperature: 21 degC', 'temperature: 200 degC')],
    ['an unknown key', changed(tide, 'depth: 9 cm', 'deepness: 9 cm')],
    ['a later version', changed(tide, 'beakertide: 1', 'beakertide: 7')],
    ['a key twice', changed(tide, 'story: >', 'title: again\nstory: >')],
  ])('lose nothing to %s, and say that they are not complete', (_, text) => {
    const opened = openDocument(text, 'test.yaml', () => ({ ok: false, why: 'none' }), house)
    expect(opened.ok).toBe(false)
    const cautions = known(text)
    expect(cautions.incomplete).toMatch(/not complete.*has problems/)
    const codes = new Set(cautions.list.map((c) => `${c.code}|${c.about}`))
    const lost = keysOf(known(tide).list).filter((key) => !codes.has(key))
    // A vessel that runs over is told as that, no more as one too small for foam.
    const runsOver = cautions.list.some((c) => /are poured into 300 mL/.test(c.what))
    expect(lost.filter((key) => !(runsOver && key.startsWith('cautions/vessel-small-for-foam')))).toEqual([])
  })

  it('keep a misspelt bottle on the shelf as one of which nothing is known', () => {
    const cautions = known(changed(tide, 'substance: hydrogen peroxide', 'substance: hydrogn peroxid'))
    expect(cautions.list.find((c) => c.about === 'bottle "peroxide"')?.what).toMatch(/nothing is known of "hydrogn peroxid"/)
    expect(keysOf(cautions.list)).toContain('cautions/bottle-hazard|bottle "acid"')
    expect(cautions.incomplete).toBeDefined()
  })

  it('ask the bottles themselves where a volume is missing', () => {
    const cautions = known(changed(bleach, 'B: { make: 300 mL, with:', 'B: { with:'))
    const chlorine = cautions.list.filter((c) => /chlorine\.?$/.test(c.what))
    expect(chlorine.map((c) => c.about)).toEqual(
      expect.arrayContaining(['the bottles side by side', 'the bottles, poured together as they are']),
    )
    expect(cautions.list.some((c) => c.about === 'solution "B"' && c.what.includes('bottle "sulfite"'))).toBe(true)
    // Nobody planned to pour the bottles themselves together.
    expect(cautions.list.filter((c) => c.about.startsWith('the bottles, ')).every((c) => c.hypothetical === true)).toBe(true)
  })

  it('tell a bottle without strength as the substance itself, and one without its hydrate too', () => {
    const noStrength = known(
      changed(tide, 'acid: { substance: sulfuric acid, strength: 96 % w/w, pack: 500 mL }', 'acid: { substance: sulfuric acid }'),
    )
    expect(noStrength.list.find((c) => c.code === 'cautions/bottle-hazard' && c.about === 'bottle "acid"')?.severity).toBe(3)
    const noHydrate = known(changed(tide, ', hydrate: monohydrate', ''))
    expect(keysOf(noHydrate.list)).toContain('cautions/bottle-hazard|bottle "manganese"')
  })

  it('of a refused document are complete, refusal and all', () => {
    const cautions = known(bleach)
    expect(cautions.refused).toBe(true)
    expect(cautions.incomplete).toBeUndefined()
    expect(cautions.list[0]).toMatchObject({ code: 'cautions/hypochlorite-acid', refuses: true, about: 'vessel "jar"' })
    expect(cautions.list.length).toBeGreaterThan(10)
  })

  it('stand there for every wrong example that has a bottle', () => {
    const folder = new URL('../examples/wrong/', import.meta.url)
    const silent = readdirSync(folder)
      .filter((n) => n.endsWith('.yaml') && !n.endsWith('.steps.yaml'))
      .filter((n) => (knownCautions(readFileSync(new URL(n, folder), 'utf8'), n, day)?.list.length ?? 0) === 0)
    // No bottles in them.
    expect(silent).toEqual(['a-list.yaml', 'alias-bomb.yaml', 'empty.yaml'])
  })

  it.each([
    ['a tab', (text: string) => text.replace('  acid: {', '\tacid: {')],
    ['a quote that is not closed', (text: string) => text.replace('title: ', 'title: "')],
    ['a bracket that is not closed', (text: string) => text.replace('A: { make: 500 mL,', 'A: { { make: 500 mL,')],
    ['brackets without end', (text: string) => text.replace('title: ', `title: ${'['.repeat(500)}`)],
  ])('name every bottle although the text itself is broken by %s', (_, broken) => {
    expect(broken(tide)).not.toBe(tide)
    const whole = known(tide)
    const cautions = known(broken(tide))
    const bottlesOf = (list: readonly Caution[]): readonly string[] =>
      list.filter((c) => c.code === 'cautions/bottle-hazard').map((c) => c.about)
    expect(bottlesOf(whole.list).length).toBeGreaterThan(4)
    expect(bottlesOf(cautions.list)).toEqual(expect.arrayContaining([...bottlesOf(whole.list)]))
    expect(cautions.incomplete).toBeDefined()
  })

  it('are none where there is no document', () => {
    expect(knownCautions('', 'empty.yaml', day)).toBeNull()
    expect(knownCautions('- a list', 'list.yaml', day)).toBeNull()
  })
})
