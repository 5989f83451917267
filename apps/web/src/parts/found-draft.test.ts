import { facts } from '@beakertide/data'
import { besideIn, editText, openDocument, prepareDocument, readFoundText } from '@beakertide/demonstration'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { asksOf, documentOf, draftOf, type FoundDraft, foundEntry, isSettled, partsOf } from './found-draft.ts'
import { takenName } from './taken-name.ts'

const house = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
const words =
  '4.3 g potassium iodate and 20 mL 2.5 mol/L sulfuric acid in 120 mL water; 1.5 g malonic acid and 0.4 g manganese sulfate in 60 mL water; 100 mL hydrogen peroxide 10 %'
const settled = (draft: FoundDraft): FoundDraft => ({
  ...draft,
  lines: draft.lines.map((l) => ({
    ...l,
    isConfirmed: true,
    hydrate: l.hydrates.length > 0 ? 'monohydrate' : l.hydrate,
    strength: l.strength === '10' ? '10 % w/w' : l.strength,
  })),
})

describe('a found recipe', () => {
  const draft = draftOf(readFoundText(words, house.day.matter))
  it('asks before it is taken, and adds liquids to the water they go into', () => {
    expect(draft.lines.map((l) => asksOf(l, true).join())).toEqual(['', '', '', 'hydrate', 'percent'])
    expect(isSettled(draft)).toBe(false)
    expect(isSettled(settled(draft))).toBe(true)
    expect(draft.solutions.map((s) => s.volume)).toEqual(['140 mL', '60 mL', '100 mL'])
  })
  it('becomes a document that opens and holds what the masses say', () => {
    const text = documentOf(settled(draft), {
      title: 'As found',
      reaction: 'iodate-peroxide-malonate',
      temperature: '20 degC',
      note: 'Found recipe, in its own words:',
      words,
    })
    expect(text.startsWith('# Found recipe, in its own words:\n#   4.3 g potassium iodate')).toBe(true)
    const opened = openDocument(text, 'x', besideIn({ text, beside: {} }), house)
    if (!opened.ok) throw new Error(opened.problems.map((p) => `${p.where} ${p.what}`).join())
    const prepared = prepareDocument(opened.value, house)
    if (!prepared.ok) throw new Error(prepared.problems.map((p) => p.what).join())
    // 4.3 g of 214.00 g/mol (IUPAC weights) in 300 mL after all pours: 67.0 mmol/L, but for volumes that do not quite add.
    const mixed = prepared.value.poured[0]!.inventory
    expect((mixed.amountsMol['IO3-'] ?? 0) / mixed.volumeL).toBeCloseTo(0.067, 3)
  })
  it('stands beside the recipes of another document', () => {
    const tide = readFileSync(new URL('../../../../examples/right/tide-in-a-jar.yaml', import.meta.url), 'utf8')
    const edited = editText(tide, [{ path: ['found', 'pasted'], value: foundEntry(settled(draft), 'a page') }])
    const text = edited.ok ? edited.value : ''
    const opened = openDocument(text, 'x', besideIn({ text, beside: {} }), house)
    expect(opened.ok && opened.value.demonstration.found.map((f) => f.name)).toContain('pasted')
  })
  it('keeps two bottles of one substance apart and adds what is the same', () => {
    const twice = settled(
      draftOf(
        readFoundText(
          '50 mL 1 mol/L sulfuric acid; 20 mL 2 mol/L sulfuric acid; 10 mL 1 mol/L sulfuric acid and 5 mL 1 mol/L sulfuric acid',
          house.day.matter,
        ),
      ),
    )
    const { bottles, solutions } = partsOf(twice)
    expect(Object.keys(bottles)).toEqual(['sulfuric acid', 'sulfuric acid 2'])
    expect(Object.values(solutions).map((s) => s.with)).toEqual([
      { 'sulfuric acid': '50 mL' },
      { 'sulfuric acid 2': '20 mL' },
      { 'sulfuric acid': '15 mL' },
    ])
  })
  it('takes only names that documents take', () => {
    expect(takenName('  "KI": 5 <b>', 'x')).toBe('KI 5 b')
    expect(takenName('***', 'x')).toBe('x')
  })
})
