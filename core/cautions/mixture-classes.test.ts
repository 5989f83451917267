import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { type Ingredient, mixtureCodes } from './mixture-classes.ts'

const hazards = facts.hazards()

/** "potassium_iodate 5.5, sulfuric_acid 0.93" in % w/w. */
function parts(text: string): readonly Ingredient[] {
  return text.split(', ').map((part) => {
    const [id, percent] = part.split(' ')
    const row = hazards.substances.find((s) => s.id === id)
    if (!row) throw new Error(`no substance ${id}`)
    return { row, massFraction: Number(percent) / 100, bands: hazards.bands.filter((b) => b.substanceId === row.id) }
  })
}
const codesOf = (text: string): readonly string[] => mixtureCodes(parts(text), hazards.mixtureRules)
function check(text: string, expected: string): void {
  expect(mixtureCodes(parts(text), hazards.mixtureRules).join(' ')).toBe(expected)
}

describe('worked examples of data/hazards/ghs_worked_examples.csv', () => {
  it('G4 iodate and sulfuric acid: eye damage only', () => check('potassium_iodate 5.5, sulfuric_acid 0.93', 'H318'))
  it('G5 copper sulfate 21.7 %', () => check('copper_sulfate_5 21.7', 'H318 H400 H411'))
  it('G6 copper sulfate 2.46 %', () => check('copper_sulfate_5 2.46', 'H319 H412'))
  it('G7 cobalt chloride 1.29 %', () => check('cobalt_chloride 1.29', 'H317 H334 H341 H350i H360F H411'))
  it('G8 sulfuric acid 0.49 %: nothing', () => check('sulfuric_acid 0.49', ''))
  it('G9 sodium hydroxide 0.40 %: nothing', () => check('sodium_hydroxide 0.40', ''))
  it('G10 peroxide 3 %: nothing', () => check('hydrogen_peroxide_100 3', ''))
})

describe('rules', () => {
  it('STOT-1, STOT-2: iodide 16 %, 2 %, 0.9 %', () => {
    check('potassium_iodide 16', 'H372')
    check('potassium_iodide 2', 'H373')
    check('potassium_iodide 0.9', '')
  })
  it('CARC-1 keeps the cancer statement of 3 % bromate; 0.05 % loses it', () => {
    expect(codesOf('potassium_bromate 3')).toContain('H350')
    check('potassium_bromate 0.05', '')
  })
  it('AT-1 with AT-P: bromate (category 3, 100 mg/kg) is poisonous from a third on, harmful from 5 %', () => {
    expect(codesOf('potassium_bromate 34')).toContain('H301')
    expect(codesOf('potassium_bromate 5.1')).toContain('H302')
    expect(codesOf('potassium_bromate 4.9')).not.toContain('H302')
  })
  it('SKIN-7: two acids, each at two thirds of its corrosive limit, burn together', () => {
    check('sulfuric_acid 10', 'H315 H319')
    expect(codesOf('sulfuric_acid 10, phosphoric_acid 16')).toContain('H314')
  })
  it('SENS-1, SENS-3, SENS-5: persulfate 2.4 %, 0.5 % and 0.09 %', () => {
    check('sodium_persulfate 2.4', 'H317 H334')
    check('sodium_persulfate 0.5', 'EUH208')
    check('sodium_persulfate 0.09', '')
  })
  it('nothing of nothing', () => expect(mixtureCodes([], hazards.mixtureRules)).toEqual([]))
})
