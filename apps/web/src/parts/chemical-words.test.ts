import { describe, expect, it } from 'vitest'
import { equationText, powerText, speciesText, unitText } from './chemical-words.ts'

describe('species on the page', () => {
  it.each([
    ['SO4^2-', 'SO₄²⁻'],
    ['H+', 'H⁺'],
    ['Mn2+', 'Mn²⁺'],
    ['I3-', 'I₃⁻'],
    ['HSO4-', 'HSO₄⁻'],
    ['HO2.', 'HO₂•'],
    ['I2', 'I₂'],
    ['O2(g)', 'O₂(g)'],
    ['ferroin', 'ferroin'],
    ['MA', 'MA'],
  ])('%s', (id, text) => {
    expect(speciesText(id, { 'Mn2+': 2, 'I3-': -1 })).toBe(text)
  })
  it('takes the charge from the mechanism where digits could be either', () => {
    expect(speciesText('MnOH2+', { 'MnOH2+': 2 })).toBe('MnOH²⁺')
    expect(speciesText('NH4+', { 'NH4+': 1 })).toBe('NH₄⁺')
  })
  it('equations, units and powers', () => {
    expect(equationText('2 I- + S2O8^2- -> I2 + 2 SO4^2-')).toBe('2 I⁻ + S₂O₈²⁻ → I₂ + 2 SO₄²⁻')
    expect(equationText('I2 + I- <=> I3-')).toBe('I₂ + I⁻ ⇌ I₃⁻')
    expect(unitText('L^2 mol^-2 s^-1')).toBe('L² mol⁻² s⁻¹')
    expect([0, 12, 1.5e-5, 3e9].map((x) => powerText(x, String))).toEqual(['0', '12', '1.5 · 10⁻⁵', '3 · 10⁹'])
  })
})
