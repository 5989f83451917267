import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { debyeHueckelA, waterDensity, waterHeatCapacity, waterVapourPressurePa } from './water.ts'

const f = facts.matter()

describe('water', () => {
  it('density agrees with the formula of Kell 1975', () => {
    // G. S. Kell, J. Chem. Eng. Data 20 (1975) 97; coefficients as in data/tables/water_properties.csv, "density formula". kg/m3.
    const kell = (t: number): number =>
      (999.83952 + 16.945176 * t - 7.9870401e-3 * t ** 2 - 46.170461e-6 * t ** 3 + 105.56302e-9 * t ** 4 - 280.54253e-12 * t ** 5) /
      (1 + 16.87985e-3 * t)
    // Between rows of 1 degC (to 40) and 5 degC (above); the two formulations differ by 0.012 kg/m3 (data table's own remark).
    for (let t = 0.5; t < 95; t += 1.3) expect(Math.abs(waterDensity(t, f) - kell(t) / 1000), `at ${t}`).toBeLessThan(2e-5)
  })
  it('vapour pressure agrees with handbook rows that are not in the table', () => {
    // CRC Handbook, vapour pressure of water, Pa (memory).
    for (const [celsius, pascal] of [
      [17, 1938],
      [23, 2810],
      [27, 3568],
      [37, 6281],
      [55, 15762],
      [85, 57867],
    ] as const) {
      expect(Math.abs(waterVapourPressurePa(celsius, f) / pascal - 1), `at ${celsius}`).toBeLessThan(0.001)
    }
  })
  it('heat capacity at 25 degC', () => expect(waterHeatCapacity(25, f)).toBeCloseTo(4.1819, 4)) // IAPWS-IF97 row
  it('Debye-Hueckel slope rises with temperature', () => {
    expect(debyeHueckelA(25, f)).toBeCloseTo(0.5091, 4) // handbook (memory)
    expect(debyeHueckelA(35, f)).toBeGreaterThan(0.5091)
  })
  it('outside the table the end value holds', () => {
    expect(waterDensity(-5, f)).toBe(waterDensity(0, f))
    expect(waterDensity(150, f)).toBe(waterDensity(99.9, f))
  })
})
