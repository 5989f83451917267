import { facts } from '@beakertide/data'
import fc from 'fast-check'
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { Demonstration } from './demonstration.ts'
import { editText, renameInText } from './edit-text.ts'
import { orderedKeys } from './key-order.ts'
import { documentKeys, parseDemonstration } from './parse-demonstration.ts'
import { vesselKeys } from './read-vessels.ts'
import { writtenDocument } from './written-document.ts'
import { writeDemonstration } from './write-demonstration.ts'

const folder = new URL('../examples/right/', import.meta.url)
const examples = readdirSync(folder)
  .filter((f) => f.endsWith('.yaml'))
  .map((name) => ({ name, text: readFileSync(new URL(name, folder), 'utf8') }))
const tide = examples.find((e) => e.name === 'tide-in-a-jar.yaml')!.text

function read(text: string): Demonstration {
  const outcome = parseDemonstration(text, 'test.yaml', { matter: facts.matter() })
  if (!outcome.ok) throw new Error(`${outcome.problems.map((p) => `${p.where}: ${p.what}`).join('\n')}\n${text}`)
  return outcome.value
}
function edited(text: string, ...edits: Parameters<typeof editText>[1]): string {
  const outcome = editText(text, edits)
  if (!outcome.ok) throw new Error(outcome.problems.map((p) => p.what).join())
  return outcome.value
}
/** Without places in the text. */
const bare = (d: unknown): unknown => JSON.parse(JSON.stringify(d, (key, value: unknown) => (key === 'span' ? undefined : value)))
const comments = (text: string): readonly string[] => text.match(/^\s*#.*$/gm) ?? []

describe('editing a document', () => {
  it.each([
    [
      'what was weighed',
      ['solutions', 'A', 'with', 'iodate', 'weighed'],
      '19.9 g',
      'iodate: 0.186 mol/L',
      'iodate: { in solution: 0.186 mol/L, weighed: 19.9 g }',
    ],
    [
      'what was measured',
      ['solutions', 'B', 'with', 'starch', 'weighed'],
      '0.37 g',
      '{ mass: 0.36 g }',
      '{ mass: 0.36 g, weighed: 0.37 g }',
    ],
    ['the time of a pour', ['vessels', 'jar', 'pours', 2, 'at'], '12 s', '240 mL of B at 10 s', '240 mL of B at 12 s'],
    ['a pour at once', ['vessels', 'jar', 'pours', 2, 'at'], undefined, '240 mL of B at 10 s', '240 mL of B'],
    ['the volume of a pour', ['vessels', 'jar', 'pours', 0, 'volume'], '300 mL', '360 mL of A', '300 mL of A'],
    [
      'the pour of a found recipe',
      ['found', 'sheet one', 'pours', 1, 'volume'],
      '251 mL',
      '[650 mL of I, 250 mL of II',
      '[650 mL of I, 251 mL of II',
    ],
    [
      'a strength in a found recipe',
      ['found', 'sheet two', 'solutions', 'I', 'with', 'iodate', 'mass'],
      '4 g',
      'iodate: 4.3 g, acid: 71',
      'iodate: { mass: 4 g }, acid: 71',
    ],
  ] as const)('%s, in the text of the example', (_name, path, value, from, to) => {
    const now = edited(tide, { path, value })
    expect(now).toBe(tide.replace(from, to))
    read(now)
  })
  it('opens a bottle that is a name alone, and "with: water"', () => {
    const text = 'bottles:\n  starch: starch (soluble) # old\nsolutions: { W: { make: 1 L, with: water } }\n'
    expect(edited(text, { path: ['bottles', 'starch', 'purity'], value: '98 %' })).toContain(
      'starch: { substance: starch (soluble), purity: 98 % } # old',
    )
    expect(edited(text, { path: ['solutions', 'W', 'with', 'starch'], value: '1 g' })).toContain('with: { starch: 1 g } }')
  })
  it('does all edits or none, and says why', () => {
    const outcome = editText(tide, [
      { path: ['title'], value: 'Other' },
      { path: ['title', 'x'], value: 'Other' },
    ])
    expect(outcome.ok).toBe(false)
    expect(outcome.ok ? '' : outcome.problems[0]?.todo).not.toBe('')
  })
  it('changes one amount of any example and nothing else', () => {
    const amounts = examples.flatMap(({ text }) =>
      read(text).solutions.flatMap((s) =>
        s.ingredients.map((i) => ({
          text,
          path: ['solutions', s.id, 'with', i.bottle],
          unit: i.target.quantity.text.replace(/^[\d.]+ /, ''),
        })),
      ),
    )
    fc.assert(
      fc.property(fc.constantFrom(...amounts), fc.integer({ min: 1, max: 9999 }), ({ text, path, unit }, n) => {
        const value = `${n / 1000} ${unit}`
        const now = edited(text, { path, value })
        const [before, after] = [bare(read(text)), bare(read(now))] as [Demonstration, Demonstration]
        const ingredient = after.solutions.find((s) => s.id === path[1])!.ingredients.find((i) => i.bottle === path[3])!
        expect(ingredient.target.quantity.text).toBe(value)
        const others = (d: Demonstration): unknown => ({
          ...d,
          solutions: d.solutions.map((s) =>
            s.id === path[1] ? { ...s, ingredients: s.ingredients.filter((i) => i.bottle !== path[3]) } : s,
          ),
        })
        expect(others(after)).toEqual(others(before))
        expect(comments(now)).toEqual(comments(text))
        // Back again: the same demonstration.
        const old = before.solutions.find((s) => s.id === path[1])!.ingredients.find((i) => i.bottle === path[3])!
        const key = { 'in-solution': 'in solution', 'in-mix': 'in the mix', mass: 'mass', volume: 'volume' }[old.target.state]
        expect(bare(read(edited(now, { path, value: { [key]: old.target.quantity.text } })))).toEqual(before)
      }),
      { numRuns: 60 },
    )
  })
  it('gives a name another word everywhere it is used', () => {
    const outcome = renameInText(tide, { of: 'solution', from: 'A', to: 'first' })
    const text = outcome.ok ? outcome.value : ''
    expect(text).toBe(tide.replace('  A: { make', '  first: { make').replace('360 mL of A,', '360 mL of first,'))
    const bottle = renameInText(tide, { of: 'bottle', from: 'acid', to: 'sulfuric' })
    const d = read(bottle.ok ? bottle.value : '')
    expect(d.bottles.map((b) => b.id)).toContain('sulfuric')
    expect(d.found[0]?.solutions[0]?.ingredients.map((i) => i.bottle)).toEqual(['iodate', 'sulfuric'])
    const lanterns = examples.find((e) => e.name === 'three-lanterns.yaml')!.text
    const vessel = renameInText(lanterns, { of: 'vessel', from: 'left', to: 'port' })
    expect(read(vessel.ok ? vessel.value : '').vessels.map((v) => v.id)).toEqual(['port', 'middle', 'right'])
    expect(renameInText(tide, { of: 'bottle', from: 'acid', to: 'iodate' }).ok).toBe(false)
    expect(renameInText(tide, { of: 'bottle', from: 'none', to: 'x' }).ok).toBe(false)
    // What stood in a vessel before is named too; comments stay.
    const held = tide.replace('holds: 2 L', 'held before: [acid, C] # not rinsed\n    holds: 2 L')
    const again = renameInText(held, { of: 'solution', from: 'C', to: 'third' })
    expect(again.ok && again.value).toContain('held before: [acid, third] # not rinsed')
    expect(read(again.ok ? again.value : '').vessels[0]?.heldBefore).toEqual(['acid', 'third'])
    for (const to of ['', '-', 'a:b', 'x'.repeat(41)]) {
      const refused = renameInText(tide, { of: 'solution', from: 'A', to })
      expect(refused.ok ? '' : refused.problems[0]!.code).toBe('document/name-not-taken')
    }
  })
  it('knows the place of every key', () => {
    for (const key of [...documentKeys.required, ...documentKeys.optional]) expect(orderedKeys.document).toContain(key)
    for (const key of [...vesselKeys.required, ...vesselKeys.optional]) expect(orderedKeys.vessel).toContain(key)
  })
})

describe('a document as it is written', () => {
  it('gives every value as its text, the short ways written out', () => {
    const read = writtenDocument(tide)
    const d = read.ok ? read.value : null
    expect(d?.vessels[0]).toEqual({
      id: 'jar',
      holds: '2 L',
      depth: '9 cm',
      stirred: '',
      count: '',
      like: '',
      startsAt: '',
      closed: '',
      shaken: '',
      heldBefore: [],
      pours: [
        { volume: '360 mL', pour: 'A', at: '', temperature: '' },
        { volume: '400 mL', pour: 'C', at: '', temperature: '' },
        { volume: '240 mL', pour: 'B', at: '10 s', temperature: '' },
      ],
    })
    expect(d?.solutions[1]?.ingredients[0]).toEqual({
      bottle: 'malonic',
      way: 'in the mix',
      amount: '50 mmol/L',
      weighed: '',
      measured: '',
    })
    expect(d?.bottles.at(-1)?.assay?.['used']).toBe('34.2 mL')
  })
  it('shows what is wrong as it stands', () => {
    const read = writtenDocument('vessels: { jar: { holds: lots, pours: [some A] } }\nroom: warm\n')
    expect(read.ok && read.value.vessels[0]).toMatchObject({ holds: 'lots', pours: [{ volume: 'some A', pour: '' }] })
    const held = writtenDocument(
      'vessels: { a: { closed: yes, shaken: perhaps, held before: [B, x] }, b: { held before: B } }\nroom: { audience: 5 m }\n',
    )
    expect(held.ok && held.value.vessels.map((v) => [v.closed, v.shaken, v.heldBefore])).toEqual([
      ['yes', 'perhaps', ['B', 'x']],
      ['', '', ['B']],
    ])
    expect(held.ok && held.value.room.audience).toBe('5 m')
    expect(writtenDocument('a: {').ok).toBe(false)
  })
})

describe('writing a demonstration', () => {
  it.each(examples)('$name reads back the same', ({ text }) => {
    const d = read(text)
    const written = writeDemonstration(d, 'A copy.')
    expect(written.startsWith('# A copy.\nbeakertide: 1\n')).toBe(true)
    expect(forComparison(read(written))).toEqual(forComparison(d))
    // Once written, it is written so again.
    expect(writeDemonstration(read(written), 'A copy.')).toBe(written)
    expect(Math.max(...written.split('\n').map((l) => l.length))).toBeLessThanOrEqual(200)
  })
  it('writes what is not usual too', () => {
    const odd = read(
      tide
        .replace(
          'view: { light: daylight }',
          'view: { light: warm led, adaptation: 50 % }\nstarch: no\ncontrols: { a-code: a sentence that says what is done }',
        )
        .replace('volume: 120 m3', 'volume: 120 m3, air changes: 3 /h, audience: 5.5 m')
        .replace('holds: 2 L', 'holds: 2 L\n    stirred: no\n    count: 1')
        .replace('title: Tide in a jar', 'title: "Two: #1"'),
    )
    expect(forComparison(read(writeDemonstration(odd)))).toEqual(forComparison(odd))
  })
})
/** The text of a computed quantity, "0.36 L" for "360 mL", is not what counts; neither is the order of two found recipes' bottles. */
function forComparison(d: Demonstration): unknown {
  return bare({ ...d, story: d.story.replace(/\s+/g, ' ') })
}
