import { describe, expect, it } from 'vitest'
import { formatNumber, formatQuantity, formatTime, withUncertainty } from './index.ts'

describe('formatNumber keeps the digits earned', () => {
  it.each([
    [0.19, 3, '0.190'],
    [1000, 3, '1000'],
    [999.96, 4, '1000'],
    [0.099996, 4, '0.1000'],
    [1234567, 3, '1230000'],
    [12345678, 3, '1.23e7'],
    [0.00001234, 2, '1.2e-5'],
    [-0.5, 2, '-0.50'],
    [0, 5, '0'],
    [-0, 5, '0'],
    [Number.NaN, 3, 'not a number'],
    [Number.POSITIVE_INFINITY, 3, 'infinite'],
    [Number.NEGATIVE_INFINITY, 3, '-infinite'],
    [5, 0, '5'],
  ])('%f with %i digits is %s', (value, digits, expected) => {
    expect(formatNumber(value, digits)).toBe(expected)
  })
})

describe('withUncertainty rounds the value to the uncertainty', () => {
  // first two rows: JCGM 100:2008 (GUM) 7.2.2 gives m_s = 100.02147 g with u_c = 0.35 mg (read from memory of the standard)
  it.each([
    [100.02147, 0.00035, '100.02147 ± 0.00035'],
    [10.05762, 0.027, '10.058 ± 0.027'],
    [0.19, 0.0123, '0.190 ± 0.012'],
    [0.19, 0.0996, '0.19 ± 0.10'],
    [1234.5, 123, '1230 ± 120'],
    [12, 5, '12.0 ± 5.0'],
    [0.19, 0, '0.1900'],
    [0.19, Number.NaN, '0.1900'],
    [2.5e-7, 3.1e-9, '(2.500 ± 0.031)e-7'],
  ])('%f and %f: %s', (value, u, expected) => {
    expect(withUncertainty(value, u)).toBe(expected)
  })
})

describe('formatQuantity chooses the unit a person would', () => {
  it.each([
    [0.3, 'volume', '300 mL'],
    [2, 'volume', '2.00 L'],
    [120_000, 'volume', '120 m3'],
    [0.19, 'amount-concentration', '0.190 mol/L'],
    [0.0021, 'amount-concentration', '2.10 mmol/L'],
    [0.275, 'mass-fraction', '27.5 % w/w'],
    [0.005, 'mass', '5.00 mg'],
    [40.66, 'mass', '40.7 g'],
    [0, 'mass', '0 g'],
    [294.15, 'temperature', '21.0 °C'],
    [3, 'number', '3.00'],
    [Number.NaN, 'mass', 'not a number'],
  ] as const)('%f as %s is %s', (value, kind, expected) => {
    expect(formatQuantity(value, kind)).toBe(expected)
  })
  it.each([
    [12.34, '12.3 s'],
    [59.96, '1 min'],
    [370, '6 min 10 s'],
    [360, '6 min'],
    [3900, '1 h 05 min'],
    [-90, '-1 min 30 s'],
    [Number.POSITIVE_INFINITY, 'infinite'],
  ])('%f s is %s', (seconds, expected) => {
    expect(formatTime(seconds)).toBe(expected)
  })
})
