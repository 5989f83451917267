import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { anhydrousPer100g, dissolvesAbove, dissolvesWithin, hydratePer100gWater, solubilityAt } from './solubility.ts'

const f = facts.matter()
const at = (formula: string, celsius: number): number => solubilityAt(formula, celsius, f)?.gPer100gWater ?? Number.NaN

describe('solubility', () => {
  it('table rows come back', () => {
    // CRC Handbook 98th ed. (read): KIO3 8.19 at 20, 9.22 at 25 degC; KNO3 31.93 at 20.
    expect(at('KIO3', 20)).toBe(8.19)
    expect(at('KIO3', 25)).toBe(9.22)
    expect(at('KNO3', 20)).toBe(31.93)
  })
  it('between rows it stays between them', () => {
    expect(at('KIO3', 22)).toBeGreaterThan(8.19)
    expect(at('KIO3', 22)).toBeLessThan(9.22)
  })
  it('outside the table the end value is flagged', () => {
    const found = solubilityAt('KIO3', 120, f)
    expect(found?.extrapolated).toBe(true)
    expect(found?.gPer100gWater).toBe(at('KIO3', 100))
  })
  it('substances with one known value give it, flagged away from its temperature', () => {
    expect(solubilityAt('C4H6O6', 20, f)?.extrapolated).toBe(false)
    expect(solubilityAt('C4H6O6', 40, f)?.extrapolated).toBe(true)
  })
  it('what mixes in all proportions or is unknown has none', () => {
    for (const formula of ['H2SO4', 'C2H6O', 'XeF2', 'nonsense']) expect(solubilityAt(formula, 20, f)).toBeNull()
  })
  it('the oxalic acid table, listed for the dihydrate, is given for the anhydrous acid', () => {
    // Handbook value 9.5 g anhydrous acid per 100 g water at 20 degC (memory).
    expect(Math.abs(at('H2C2O4', 20) - 9.5)).toBeLessThan(0.5)
  })
})

describe('hydrates', () => {
  it('copper sulfate pentahydrate', () => {
    // Handbook: 20.05 g CuSO4 (CRC, read) correspond to about 35.6 g CuSO4·5H2O per 100 g water at 20 degC (memory).
    expect(Math.abs(hydratePer100gWater(20.05, 'CuSO4', 5, f.weights)! - 35.6)).toBeLessThan(0.5)
  })
  it('the two directions undo each other', () => {
    for (const [formula, waters, s] of [
      ['CuSO4', 5, 20],
      ['Na2CO3', 10, 21.8],
      ['MnSO4', 1, 62.9],
    ] as const) {
      expect(anhydrousPer100g(hydratePer100gWater(s, formula, waters, f.weights)!, formula, waters, f.weights)).toBeCloseTo(s, 10)
    }
  })
  it('a hydrate that dissolves in its own water has no limit', () => {
    // Sodium thiosulfate pentahydrate melts in its crystal water near 48 degC (memory): 158.1 g salt to 90.1 g water.
    expect(hydratePer100gWater(180, 'Na2S2O3', 5, f.weights)).toBeNull()
  })
})

describe('dissolves above', () => {
  it('the answer is where the curve meets the wanted amount', () => {
    const celsius = dissolvesAbove('KIO3', 10, f)!
    expect(at('KIO3', celsius)).toBeCloseTo(10, 9)
    expect(celsius).toBeGreaterThan(25)
    expect(celsius).toBeLessThan(30)
  })
  it('what fits at the first table temperature says that temperature', () => expect(dissolvesAbove('KIO3', 1, f)).toBe(0))
  it('what never fits says nothing', () => expect(dissolvesAbove('KIO3', 500, f)).toBeNull())
  it('a salt that grows less soluble on heating has an upper border', () => {
    const [only, more] = dissolvesWithin('MnSO4', 60, f)!
    expect(more).toBeUndefined()
    // Table (CRC, read): 59.49 at 10, 62.87 at 20, 60.51 at 40, 56.99 at 50 degC.
    expect(only!.fromCelsius).toBeGreaterThan(10)
    expect(only!.fromCelsius).toBeLessThan(20)
    expect(only!.toCelsius).toBeGreaterThan(40)
    expect(only!.toCelsius).toBeLessThan(50)
  })
  it('cerium(III) sulfate: only cold', () => {
    expect(dissolvesWithin('Ce2(SO4)3', 9.84, f)).toEqual([{ fromCelsius: 0, toCelsius: 20 }])
  })
})
