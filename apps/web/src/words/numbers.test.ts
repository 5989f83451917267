import fc from 'fast-check'
import { afterEach, describe, expect, it } from 'vitest'
import { formatClock, formatFixed, formatNumber, parseNumber, useNumbersOf } from './numbers.ts'

const value = (typed: string): number | string => {
  const read = parseNumber(typed)
  return read.ok ? read.value : read.why
}

describe('numbers of a place', () => {
  afterEach(() => useNumbersOf('en'))

  it('writes decimals as the place does, with a true minus', () => {
    useNumbersOf('en')
    expect(formatNumber(-1.5)).toBe('−1.5')
    expect(formatNumber(0.000123)).toBe('0.000123')
    useNumbersOf('de')
    expect(formatNumber(1.5)).toBe('1,5')
    expect(formatFixed(2, 2)).toBe('2,00')
    useNumbersOf('de-CH')
    expect(formatNumber(1.5)).toBe('1.5')
  })

  it('reads both signs; the habit of the place decides only what is unclear', () => {
    useNumbersOf('en')
    expect(['1,5', '1.5', '-1,5', '−2', '1,234', '1.234', '1,234.5', '1.234,5', '0,125', '12 345,6', '2e-3'].map(value)).toEqual([
      1.5, 1.5, -1.5, -2, 1234, 1.234, 1234.5, 1234.5, 0.125, 12345.6, 0.002,
    ])
    useNumbersOf('de')
    expect(['1,234', '1.234', '1.234.567', '1,5'].map(value)).toEqual([1.234, 1234, 1234567, 1.5])
  })

  it('refuses what is no number, and what may be two', () => {
    expect(['', 'abc', '1,2,3', '1.2.3,4.5', '1e', '--1', '5 g'].map(value)).toEqual([
      'empty',
      'not a number',
      'unclear',
      'unclear',
      'not a number',
      'not a number',
      'not a number',
    ])
  })

  it('reads back what it wrote, in every place', () => {
    for (const place of ['en', 'de', 'de-CH', 'fr']) {
      useNumbersOf(place)
      fc.assert(
        fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (number) => {
          // Five decimals cannot be mistaken for a group of thousands.
          const read = parseNumber(formatFixed(number, 5))
          return read.ok && Math.abs(read.value - number) <= 0.5e-5 + 1e-12 * Math.abs(number)
        }),
      )
    }
  })

  it('writes times as clocks show them', () => {
    expect([0, 65, 3725, -5].map(formatClock)).toEqual(['0:00', '1:05', '1:02:05', '−0:05'])
  })
})
