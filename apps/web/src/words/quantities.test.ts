import { afterEach, describe, expect, it } from 'vitest'
import { useNumbersOf } from './numbers.ts'
import { documentQuantity, readTyped, shownQuantity } from './quantities.ts'

afterEach(() => useNumbersOf('en'))

describe('quantities as people write them', () => {
  it('take the comma of the place and keep digits and zeros', () => {
    useNumbersOf('de')
    expect(['0,25 L', '12,0 ± 0,3 % w/w', '1 min 30 s', '1.250,5 mL', '2,50 g', '−5 °C'].map(documentQuantity)).toEqual([
      '0.25 L',
      '12.0 ± 0.3 % w/w',
      '1 min 30 s',
      '1250.5 mL',
      '2.50 g',
      '-5 °C',
    ])
    expect(shownQuantity('0.186 mol/L')).toBe('0,186 mol/L')
  })
  it('take the point, and the comma too, elsewhere', () => {
    expect(['250 mL', '0,25 L', '0.25 L', '1,250 mL'].map(documentQuantity)).toEqual(['250 mL', '0.25 L', '0.25 L', '1250 mL'])
    expect(shownQuantity('21.5 degC +/- 1 uL')).toBe('21.5 °C ± 1 µL')
  })
  it('give a bare number the unit beside the field', () => {
    const read = readTyped('250', ['volume'], 'mL')
    expect(read.ok && read.value).toMatchObject({ text: '250 mL', value: 0.25 })
    expect(readTyped('250 furlongs', ['volume'], 'mL').ok).toBe(false)
    expect(readTyped('', ['volume'], 'mL').ok).toBe(false)
  })
})
