import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { volumeUncertaintyL } from './glassware.ts'
import { combined, propagate, rectangular, triangular } from './uncertainty.ts'
import { halfDigitRelative, labelUncertainty } from './written-number.ts'

describe('Eurachem/CITAC guide, example A1: cadmium standard, 100.28 mg of 99.99 % metal in a 100 mL flask', () => {
  // Read: measurementuncertainty.org, guide, app_a_example1, table A1.1; budget of the flask: metrodata.de, "EURACHEM A1.smu" (read).
  const flask = facts.glassware().pieces.find((p) => p.kind === 'volumetric flask' && p.class === 'A' && p.capacityL === 0.1)!

  it('purity 0.9999 +/- 0.0001, rectangular, is 0.000058', () => {
    expect(rectangular(0.0001)).toBeCloseTo(0.000058, 6)
  })

  it('the flask: +/- 0.1 mL triangular, filling 0.02 mL, +/- 4 K with 2.1e-4 /K rectangular, is 0.0665 mL (printed 0.07)', () => {
    expect(triangular(0.1)).toBeCloseTo(0.04, 2)
    expect(volumeUncertaintyL(flask, 0.1, 4, 2.1e-4) * 1000).toBeCloseTo(0.0664730521840743, 3)
  })

  it('c = 1000 m P / V is 1002.7 mg/L with 0.9 mg/L', () => {
    const inputs = [
      { value: 100.28, u: 0.05 },
      { value: 0.9999, u: 0.000058 },
      { value: 100, u: 0.07 },
    ]
    const c = propagate(([m = 0, p = 0, v = 1]) => (1000 * m * p) / v, inputs)
    expect(c.value).toBeCloseTo(1002.7, 1)
    expect(c.u).toBeCloseTo(0.9, 1)
    // a product: relative parts in quadrature give the same
    const parts = inputs.map((x) => ({ what: '', shape: 'normal' as const, relative: x.u / x.value }))
    expect(combined(parts)).toBeCloseTo(c.u / c.value, 6)
    expect(combined(parts)).toBeCloseTo(0.0009, 4)
  })
})

describe('propagate', () => {
  it('is exact for a straight line, contributions included', () => {
    const y = propagate(
      ([a = 0, b = 0]) => 3 * a - 4 * b,
      [
        { value: 1, u: 0.1 },
        { value: 2, u: 0.1 },
      ],
    )
    expect(y.u).toBeCloseTo(0.5, 12)
    expect(y.contributions).toEqual([expect.closeTo(0.3, 12), expect.closeTo(0.4, 12)])
  })

  it('leaves exact inputs alone', () => {
    expect(propagate(([a = 0]) => 1 / a, [{ value: 4, u: 0 }])).toMatchObject({ value: 0.25, u: 0 })
  })
})

describe('a number as written', () => {
  it('is trusted to half a unit of its last digit', () => {
    expect(halfDigitRelative('0.0200 mol/L')).toBeCloseTo(0.00005 / 0.02, 12)
    expect(halfDigitRelative('96 % w/w')).toBeCloseTo(0.5 / 96, 12)
    expect(halfDigitRelative('1.00e-3 mol/L')).toBeCloseTo(0.005, 12)
  })

  it('but "2 mol/L" is meant better than half a mole: at most 2 %', () => {
    expect(labelUncertainty({ kind: 'amount-concentration', value: 2, text: '2 mol/L' })).toBeCloseTo((2 * 0.02) / Math.sqrt(3), 12)
  })

  it('and a written uncertainty counts as it is', () => {
    expect(labelUncertainty({ kind: 'amount-concentration', value: 2, text: '2 +/- 0.5 mol/L', uncertainty: 0.5 })).toBe(0.5)
  })
})
