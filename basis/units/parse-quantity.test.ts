import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { formatQuantity, parseQuantity, type QuantityKind } from './index.ts'
import { allKinds } from './unit-tables.ts'

/** Text -> value in the internal unit, to one part in 1e12. */
function check(text: string, kinds: readonly QuantityKind[], kind: QuantityKind, value: number, uncertainty?: number): void {
  const got = parseQuantity(text, kinds)
  expect(got.ok ? got.value.kind : got.problems, text).toBe(kind)
  if (!got.ok) return
  expect(Math.abs(got.value.value - value), text).toBeLessThanOrEqual(1e-12 * Math.max(1e-9, Math.abs(value)))
  if (uncertainty === undefined) expect(got.value.uncertainty, text).toBeUndefined()
  else expect(got.value.uncertainty, text).toBeCloseTo(uncertainty, 12)
}
/** Text -> the one problem's code, with words that its message or advice must hold. */
function refused(text: string, kinds: readonly QuantityKind[], code: string, ...words: string[]): void {
  const got = parseQuantity(text, kinds)
  expect(got.ok, text).toBe(false)
  if (got.ok) return
  expect(got.problems.map((p) => p.code)).toEqual([`units/${code}`])
  const all = `${got.problems[0]?.what} ${got.problems[0]?.todo}`
  for (const word of words) expect(all).toContain(word)
}
const strengths: readonly QuantityKind[] = [
  'mass-fraction',
  'mass-concentration',
  'volume-fraction',
  'amount-concentration',
  'molality',
  'oxygen-volumes',
]

// Expected values are prefixes and definitions: SI Brochure 9th ed. (2019), tables 7 and 8.
describe('a quantity is read in the internal unit of its kind', () => {
  it('reads concentrations in every usual spelling', () => {
    for (const text of [
      '0.19 mol/L',
      '0.19mol/l',
      '0.19 M',
      '190 mM',
      '190 mmol/L',
      '0.19 mol/dm3',
      '0.19 mol/dm³',
      '0.19 mol dm^-3',
      '0.19 mol·L⁻¹',
      '190 mol/m3',
      '1.9e-1 mol / L',
      '.19 M',
      '+0.19 M',
    ])
      check(text, ['amount-concentration'], 'amount-concentration', 0.19)
    check('5 uM', ['amount-concentration'], 'amount-concentration', 5e-6)
    check('5 µM', ['amount-concentration'], 'amount-concentration', 5e-6)
    check('5 μmol/L', ['amount-concentration'], 'amount-concentration', 5e-6)
  })
  it('reads strengths on labels', () => {
    check('27.5 % w/w', strengths, 'mass-fraction', 0.275)
    check('27.5% (w/w)', strengths, 'mass-fraction', 0.275)
    check('96 % m/m', strengths, 'mass-fraction', 0.96)
    check('96 wt%', strengths, 'mass-fraction', 0.96)
    check('3 % w/v', strengths, 'mass-concentration', 30)
    check('70 % v/v', strengths, 'volume-fraction', 0.7)
    check('10 volumes', strengths, 'oxygen-volumes', 10)
    check('10 vol', strengths, 'oxygen-volumes', 10)
    check('70 vol%', strengths, 'volume-fraction', 0.7)
    check('0.5 mol/kg', strengths, 'molality', 0.5)
    check('12 g/L', strengths, 'mass-concentration', 12)
    check('99.5 %', ['fraction'], 'fraction', 0.995)
  })
  it('reads masses, volumes, lengths, densities, pressures', () => {
    check('5 mg', ['mass'], 'mass', 0.005)
    check('1.2 kg', ['mass'], 'mass', 1200)
    check('300 mL', ['volume'], 'volume', 0.3)
    check('300 ml', ['volume'], 'volume', 0.3)
    check('2 l', ['volume'], 'volume', 2)
    check('250 cm³', ['volume'], 'volume', 0.25)
    check('120 m3', ['volume'], 'volume', 120_000)
    check('8 cm', ['length'], 'length', 8)
    check('85 mm', ['length'], 'length', 8.5)
    check('1.18 g/mL', ['density'], 'density', 1.18)
    check('998 kg/m3', ['density'], 'density', 0.998)
    check('1013 hPa', ['pressure'], 'pressure', 101_300)
    check('3', ['number'], 'number', 3)
  })
  it('reads temperatures and temperature differences apart', () => {
    for (const text of ['21 degC', '21 °C', '21 ℃', '21 deg C', '21 C', '294.15 K']) check(text, ['temperature'], 'temperature', 294.15)
    check('-5 degC', ['temperature'], 'temperature', 268.15)
    check('−5 °C', ['temperature'], 'temperature', 268.15)
    check('5 K', ['temperature-difference'], 'temperature-difference', 5)
    check('5 degC', ['temperature-difference'], 'temperature-difference', 5)
    check('21.0 +/- 0.5 degC', ['temperature'], 'temperature', 294.15, 0.5)
    check('21 degC ± 0.5 K', ['temperature'], 'temperature', 294.15, 0.5)
  })
  it('reads times, in parts too', () => {
    check('6 min', ['time'], 'time', 360)
    check('1 min 30 s', ['time'], 'time', 90)
    check('1 h 5 min', ['time'], 'time', 3900)
    check('1min30s', ['time'], 'time', 90)
    check('0', ['time'], 'time', 0)
    check('250 ms', ['time'], 'time', 0.25)
  })
  it('reads one standard uncertainty', () => {
    check('0.02 +/- 0.001 mol/L', ['amount-concentration'], 'amount-concentration', 0.02, 0.001)
    check('20 ± 1 mM', ['amount-concentration'], 'amount-concentration', 0.02, 0.001)
    check('0.02 mol/L +/- 5 %', ['amount-concentration'], 'amount-concentration', 0.02, 0.001)
    check('27.5 +/- 0.3 % w/w', strengths, 'mass-fraction', 0.275, 0.003)
  })
})

describe('a quantity that cannot be right is refused with the way out', () => {
  it('names the needed kind', () => {
    refused('5 mg', ['volume'], 'wrong-kind', 'is a mass', 'a volume is needed', '300 mL')
    refused('300 mL', ['mass'], 'wrong-kind', 'is a volume', 'a mass is needed')
    refused('21 degC', ['time'], 'wrong-kind', 'a temperature')
  })
  it('tells capital and small letters apart', () => {
    refused('0.19 m', ['amount-concentration'], 'unit-case', 'a length', 'did you mean "M"')
    refused('5 mm', ['amount-concentration'], 'unit-case', 'did you mean "mM"')
    refused('5 Ml', ['volume'], 'unit-case', 'did you mean "mL"')
    refused('5 MG', ['mass'], 'unit-case', '"mg"')
  })
  it('suggests the nearest unit', () => {
    refused('5 mll', ['volume'], 'unit-unknown', 'did you mean "mL"')
    refused('5 mol/Lt', ['amount-concentration'], 'unit-unknown', 'mol/L')
    refused('2 cups', ['volume'], 'unit-not-taken', 'mL')
    refused('1 N', ['amount-concentration'], 'unit-not-taken', 'normality')
    refused('3 g', ['number'], 'wrong-kind', 'plain number')
  })
  it('asks for the basis of a percentage and for a missing unit', () => {
    refused('30 %', strengths, 'percent-basis', '"30 % w/w"', '"30 % w/v"', '"30 % v/v"')
    refused('0.19', ['amount-concentration'], 'unit-missing', '"0.19 mol/L"')
    refused('0', ['temperature'], 'unit-missing', 'degC')
    refused('', ['mass'], 'empty')
  })
  it('takes no comma, no Fahrenheit, nothing infinite', () => {
    refused('0,19 mol/L', ['amount-concentration'], 'decimal-comma', '"0.19 mol/L"')
    refused('1,000 mL', ['volume'], 'decimal-comma', '"1000 mL"', '"1.000 mL"')
    refused('70 degF', ['temperature'], 'fahrenheit', '"21.1 degC"')
    refused('NaN', ['mass'], 'not-finite')
    refused('-Infinity g', ['mass'], 'not-finite')
    refused('.inf', ['mass'], 'not-finite')
    refused('1e999 g', ['mass'], 'too-large')
    refused('1e308 m3', ['volume'], 'too-large')
    refused('1e-999 g', ['mass'], 'too-small')
    refused('0x10 g', ['mass'], 'not-decimal')
    refused('1.2.3 g', ['mass'], 'not-a-number')
    refused("1'000 g", ['mass'], 'not-a-number')
    refused('about 3 g', ['mass'], 'not-a-number')
    refused('5 g 3', ['mass'], 'unit-unknown')
  })
  it('knows what cannot be', () => {
    refused('-5 mL', ['volume'], 'negative', 'minus')
    refused('-300 degC', ['temperature'], 'below-absolute-zero')
    refused('120 % w/w', strengths, 'too-much', '100 %')
    refused('5 +/- x g', ['mass'], 'uncertainty')
    refused('5 +/- -1 g', ['mass'], 'uncertainty')
    refused('5 g +/- 1 s', ['mass'], 'uncertainty')
    refused('5 +/- 1 +/- 1 g', ['mass'], 'uncertainty')
    refused('1:30', ['time'], 'unit-unknown')
    refused('30 s 1 min', ['time'], 'unit-unknown')
    refused(`1${'0'.repeat(200)} g`, ['mass'], 'too-long')
  })
  it('never throws and never lets a non-finite value through', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.string({ unit: fc.constantFrom(...'0123456789.,-+e%/ mLgMK°CwvsinhN±'.split('')) })), (text) => {
        for (const kind of allKinds) {
          const got = parseQuantity(text, [kind])
          if (got.ok) expect(Number.isFinite(got.value.value)).toBe(true)
        }
      }),
      { numRuns: 300, seed: 7 },
    )
  })
})

describe('what is printed can be read again', () => {
  const kinds: readonly QuantityKind[] = [
    'amount-concentration',
    'mass-concentration',
    'mass',
    'volume',
    'amount',
    'length',
    'density',
    'molality',
    'energy',
    'pressure',
    'rate',
  ]
  it('to the digits printed', () => {
    fc.assert(
      fc.property(fc.constantFrom(...kinds), fc.double({ min: 1e-8, max: 1e4, noNaN: true }), (kind, value) => {
        const again = parseQuantity(formatQuantity(value, kind, 12), [kind])
        expect(again.ok && Math.abs(again.value.value / value - 1)).toBeLessThan(1e-11)
      }),
      { numRuns: 300, seed: 7 },
    )
  })
})
