import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { speciesBook, speciesName, speciesNamed, speciesWords } from './species-book.ts'
import { typeset } from './typeset.ts'

const book = speciesBook(facts.matter().species)

describe('species for print', () => {
  // Expected: the charges and names that the species table states, set by the rules of chemical notation.
  it.each([
    ['SO4^2-', 'SO₄²⁻', 'SO₄²⁻'],
    ['Mn2+', 'Mn²⁺', 'Mn²⁺'],
    ['MnOH2+', 'MnOH²⁺', 'MnOH²⁺'],
    ['I3-', 'I₃⁻', 'I₃⁻'],
    ['IO2.', 'IO₂•', 'IO₂•'],
    ['MnCO3(s)', 'MnCO₃(s)', 'MnCO₃(s)'],
    ['MA', 'MA', 'malonic acid'],
    ['HMA-', 'HMA⁻', 'hydrogenmalonate'],
    ['MB+', 'MB⁺', 'methylene blue'],
    ['ferroin', 'ferroin', 'ferroin'],
    ['starch', 'starch', 'starch'],
    ['no such thing', 'no such thing', 'no such thing'],
  ])('%s: %s, in full %s', (id, set, named) => {
    expect(speciesWords(id, book)).toBe(set)
    expect(speciesNamed(id, book)).toBe(named)
  })
  it('names what a formula stands for', () => {
    expect(speciesName('IO3-', book)).toBe('iodate')
    expect(speciesName('unknown', book)).toBe('')
  })
  it('takes species from a mechanism that the table does not know, and no inherited names', () => {
    const more = speciesBook({}, [{ id: 'ZZ', name: 'a lumped thing', composition: null, charge: 0, role: 'dynamic' }])
    expect(speciesNamed('ZZ', more)).toBe('a lumped thing')
    expect(speciesNamed('constructor', more)).toBe('constructor')
  })
})

describe('typeset', () => {
  it.each([
    ['3 I2 + 6 OH- -> 5 I- + IO3- + 3 H2O', '3 I₂ + 6 OH⁻ → 5 I⁻ + IO₃⁻ + 3 H₂O'],
    ['SO4^2- + H+ <=> HSO4-', 'SO₄²⁻ + H⁺ ⇌ HSO₄⁻'],
    ['heat of HIO2, IO2., MnOH2+ not known', 'heat of HIO₂, IO₂•, MnOH²⁺ not known'],
    ['frees SO2. Then', 'frees SO₂. Then'],
    ['sodium hydrogensulfite (NaHSO3): 130 g', 'sodium hydrogensulfite (NaHSO₃): 130 g'],
    ['H302 harmful; GHS05; EN 166; step I1', 'H302 harmful; GHS05; EN 166; step I1'],
    ['dilute to <=0.2 mol/L; stop at 40 C.', 'dilute to ≤ 0.2 mol/L; stop at 40 °C.'],
    ['21 degC in 120 m3, 380 umol', '21 °C in 120 m³, 380 µmol'],
    ['4e-5 mol/L', '4·10⁻⁵ mol/L'],
    ['(5.995 ± 0.078)e-5', '(5.995 ± 0.078)·10⁻⁵'],
    ['3.1e12 L^2 mol^-2 s^-1', '3.1·10¹² L² mol⁻² s⁻¹'],
    ['a plain sentence, nothing else.', 'a plain sentence, nothing else.'],
  ])('%s', (text, expected) => {
    expect(typeset(text, book)).toBe(expected)
  })
})
