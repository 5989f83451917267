import { describe, expect, it } from 'vitest'
import { intoUnit, readHeading, traceFor } from './headings.ts'

describe('headings', () => {
  it.each([
    ['E (mV)', 'E', 'mV'],
    ['E / mV', 'E', 'mV'],
    ['U/V', 'U', 'V'],
    ['T [°C]', 'T', '°C'],
    ['T_C', 'T', '°C'],
    ['gas mL', 'gas', 'mL'],
    ['A (520 nm)', 'A (520 nm)', ''],
    ['A_green', 'A_green', ''],
    ['pH', 'pH', ''],
    ['constructor toString', 'constructor toString', ''],
  ])('%j', (header, name, unit) => expect(readHeading(header)).toEqual({ name, unit }))
})

describe('units', () => {
  it('become one another where they can', () => {
    expect(intoUnit('V', 'mV against Ag/AgCl in 3 mol/L KCl')).toEqual({ factor: 1000, plus: 0 })
    expect(intoUnit('K', '°C')).toEqual({ factor: 1, plus: -273.15 })
    expect(intoUnit('', 'mV')).toEqual({ factor: 1, plus: 0 })
    expect(intoUnit('°C', 'mV')).toBeNull()
  })
})

describe('the trace that a column belongs to', () => {
  const predicted = [
    { name: 'iodide electrode', unit: 'mV against Ag/AgCl' },
    { name: 'pI', unit: '' },
    { name: 'platinum electrode', unit: 'mV against Ag/AgCl' },
    { name: 'absorbance to the eye', unit: '' },
    { name: 'temperature', unit: '°C' },
    { name: 'gas set free', unit: 'L' },
  ]
  it.each([
    ['E (mV)', 'iodide electrode'],
    ['Pt (mV)', 'platinum electrode'],
    ['redox potential (V)', 'platinum electrode'],
    ['A_415', 'absorbance to the eye'],
    ['A (520 nm)', 'absorbance to the eye'],
    ['Extinktion', 'absorbance to the eye'],
    ['T (K)', 'temperature'],
    ['temperature', 'temperature'],
    ['gas (mL)', 'gas set free'],
    ['pI', 'pI'],
    ['pH', null],
    ['apples', null],
    ['light (lux)', null],
  ])('%j', (header, name) => expect(traceFor(readHeading(header), predicted)).toBe(name))
  it('is none where nothing of the kind is predicted', () => {
    expect(traceFor(readHeading('E (mV)'), predicted.slice(3))).toBeNull()
  })
})
