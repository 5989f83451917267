import { describe, expect, it } from 'vitest'
import { rows } from '@beakertide/data'
import { readAbsorbers, usualAbsorbers } from './absorbers.ts'
import {
  absorbanceAt,
  coupleMillivolts,
  electrodeSources,
  gasVolumeL,
  iodideElectrode,
  nernstSlopeMv,
  readElectrodeFacts,
  rulingCouple,
} from './signals.ts'

const facts = readElectrodeFacts(rows('tables/equilibria'))

describe('electrodes', () => {
  it.each(
    rows('tables/equilibria')
      .filter((row) => row.kind === 'electrode slope')
      .map((row) => [Number(row.temperature_c), Number(row.value)] as const),
  )('slope at %f °C is %f mV a decade (table computed from R, T, F)', (celsius, slope) => {
    expect(nernstSlopeMv(celsius + 273.15)).toBeCloseTo(slope, 2)
  })

  it('reads pI and millivolts against 3 mol/L Ag/AgCl', () => {
    // By hand: -152.2 - 210 + 59.16 x 5 = -66.4 mV at 1e-5 mol/L and 25 °C.
    const met = iodideElectrode(1e-5, 298.15, facts)
    expect(met.pI).toBeCloseTo(5, 12)
    expect(met.millivolts).toBeCloseTo(-66.4, 1)
    expect(iodideElectrode(1e-5, 298.15, facts, 0.8).pI).toBeCloseTo(5 - Math.log10(0.8), 12)
    expect(iodideElectrode(0, 298.15, facts).pI).toBe(14)
    expect(iodideElectrode(1e-6, 298.15, facts).millivolts).toBeGreaterThan(met.millivolts)
  })

  it('agrees with the solubility product: E°(Ag+/Ag) + S lg Ksp is E°(AgI/Ag) within the tables', () => {
    // Ag+ + e = Ag 0.7996 V and lg Ksp(AgI) -16.07 are other rows of the same table, from other sources.
    const silver = Number(rows('tables/equilibria').find((row) => row.kind === 'E0' && row.system === 'silver')!.value)
    expect(Math.abs(silver + (nernstSlopeMv(298.15) / 1000) * -16.07 - facts.silverIodide.value)).toBeLessThan(0.005)
  })

  it('follows the couple that is there, by Nernst', () => {
    const cerium = rulingCouple({ 'Ce4+': 1e-3, 'Ce3+': 1e-3, 'Br-': 1e-6, Br2: 0 }, facts)
    expect(cerium?.name).toMatch(/Ce/)
    expect(coupleMillivolts(cerium!, { 'Ce4+': 1e-3, 'Ce3+': 1e-3 }, 298.15, facts)).toBeCloseTo(1440 - 210, 6)
    // Ten times more of the oxidised form: one slope higher.
    const more = coupleMillivolts(cerium!, { 'Ce4+': 1e-2, 'Ce3+': 1e-3 }, 298.15, facts)
    expect(more - (1440 - 210)).toBeCloseTo(59.16, 2)
    const iodine = rulingCouple({ I2: 1e-4, 'I-': 1e-6 }, facts)
    // By hand: 620 - 210 + 29.58 (lg 1e-4 + 12) = 646.6 mV.
    expect(coupleMillivolts(iodine!, { I2: 1e-4, 'I-': 1e-6 }, 298.15, facts)).toBeCloseTo(646.6, 1)
    expect(rulingCouple({ 'MnO4-': 1e-3 }, facts)).toBeNull()
    expect(rulingCouple({ ferriin: 1e-5, ferroin: 1e-4, 'Ce4+': 1e-3, 'Ce3+': 1e-2 }, facts)?.name).toMatch(/Ce/)
    expect(electrodeSources(facts, cerium)).toHaveLength(3)
    expect(electrodeSources(facts, null)).toHaveLength(2)
  })

  it('gives every potential with source and status', () => {
    for (const couple of facts.couples) expect(couple.potential.source, couple.name).not.toBe('')
    expect(() => readElectrodeFacts([])).toThrow(/no standard potential/)
  })
})

describe('absorbance', () => {
  const absorbers = readAbsorbers(rows('tables/absorbers_spectra'), rows('tables/absorbers'))
  it('adds what all species take, by hand', () => {
    // 1e-4 mol/L permanganate in 2 cm at 525 nm: 2440 x 1e-4 x 2 = 0.488.
    expect(absorbanceAt(525, { 'MnO4-': 1e-4, 'K+': 1 }, 2, usualAbsorbers, absorbers)).toBeCloseTo(0.488, 3)
    const both = absorbanceAt(460, { I2: 1e-4, 'I3-': 1e-4 }, 1, usualAbsorbers, absorbers)!
    // 746 + 975 (single points of the table).
    expect(Math.abs(both - 0.1721)).toBeLessThan(0.004)
    expect(absorbanceAt(353, { 'I3-': 1e-5 }, 1, usualAbsorbers, absorbers)!).toBeGreaterThan(0.25)
  })
  it('does not guess where nothing is known', () => {
    expect(absorbanceAt(300, { 'MnO4-': 1e-4 }, 1, usualAbsorbers, absorbers)).toBeNull()
    expect(absorbanceAt(300, { 'K+': 1 }, 1, usualAbsorbers, absorbers)).toBe(0)
  })
})

describe('gas', () => {
  it('has the molar volume of the ideal gas', () => {
    // 22.413 969 54 L/mol at 273.15 K and 101.325 kPa (CODATA 2018, exact).
    expect(gasVolumeL(1, 273.15, 101325)).toBeCloseTo(22.41396954, 7)
  })
  it('fills more room over water and none at the boil', () => {
    // Water at 25 °C: 3169 Pa (data/tables/water_properties.csv; memory: 3.169 kPa).
    expect(gasVolumeL(0.01, 298.15, 101325, 3169) / gasVolumeL(0.01, 298.15, 101325)).toBeCloseTo(101325 / (101325 - 3169), 12)
    expect(gasVolumeL(1, 373.15, 101325, 101325)).toBeNaN()
  })
})
