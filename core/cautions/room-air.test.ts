import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { airCaution, gasesNow, mostGases, ppmInRoom, shortLimit } from './room-air.ts'
import { peroxideHeat } from './heat-and-foam.ts'

const hazards = facts.hazards()
const room = (volumeM3: number | null, celsius = 25) => ({ temperatureK: celsius + 273.15, volumeM3 })

describe('air of the room', () => {
  it('W17: 0.41 mmol of iodine bring 100 m3 to 0.1 ppm (hand-worked in cleanup_worked_examples.csv; NIOSH/OSHA ceiling READ)', () => {
    expect(ppmInRoom(0.41e-3, room(100))).toBeCloseTo(0.1, 2)
    expect(shortLimit('I2', hazards)).toMatchObject({ ppm: 0.1 })
  })
  it('W18: 4.1 mmol of SO2 bring 100 m3 to 1 ppm (hand-worked there)', () => {
    expect(ppmInRoom(4.1e-3, room(100))).toBeCloseTo(1.0, 1)
  })
  it('a 2 L oscillator that ends with 10 mmol/L iodine holds 20 mmol: 2 % suffices (hazards notes, section 3)', () => {
    const c = airCaution('I2', 0.02, 'vessel "jar"', 'at the end', room(100), hazards)
    expect(c?.what).toContain('If all of it left the liquid')
    expect(c?.what).toMatch(/49 times the limit of 0\.10 ppm .*a share of 2\.0 % is enough/)
    expect(c?.numbers).toContain('smell is no guard')
    expect(c?.severity).toBe(3)
  })
  it('says an example room when none is stated', () => {
    expect(airCaution('SO2', 0.01, 'x', 'y', room(null), hazards)?.what).toContain('an example: no room volume is stated')
  })
  it('says "below the limit even then" for a trace, and nothing for nothing', () => {
    expect(airCaution('I2', 1e-6, 'x', 'y', room(100), hazards)).toMatchObject({ severity: 1 })
    expect(airCaution('I2', 0, 'x', 'y', room(100), hazards)).toBeNull()
    expect(airCaution('XeF6', 1, 'x', 'y', room(100), hazards)).toBeNull()
  })
  it('twice the room, half the ppm', () => {
    expect(ppmInRoom(0.01, room(200))).toBeCloseTo(ppmInRoom(0.01, room(100)) / 2, 12)
  })
})

describe('the most gas that can form', () => {
  it('all iodine as I2 with an oxidant, none from iodide alone', () => {
    expect(mostGases({ 'IO3-': 0.01, 'I-': 0.05, 'H+': 1 })['I2']).toBeCloseTo(0.03, 12)
    expect(mostGases({ 'I-': 0.05 })['I2']).toBe(0)
  })
  it('SO2 only in acid; ammonia only in alkali', () => {
    expect(mostGases({ 'S2O3^2-': 0.01, 'H+': 0.1 })['SO2']).toBe(0.01)
    expect(mostGases({ 'S2O3^2-': 0.01 })['SO2']).toBeUndefined()
    expect(mostGases({ 'NH4+': 0.02, 'OH-': 0.01 })['NH3']).toBe(0.01)
    expect(mostGases({ 'NH4+': 0.02, 'H+': 0.01 })['NH3']).toBe(0)
  })
  it('from an inventory: what is there now', () => {
    expect(gasesNow({ I2: 0.001, 'I3-': 0.002, 'IO3-': 9 })['I2']).toBeCloseTo(0.003, 12)
  })
})

describe('peroxide heat', () => {
  it('1 L of 1 mol/L: 22.7 K and 12.0 L oxygen at 20 degC (W14, decomposition; hand-worked, memory enthalpies)', () => {
    const h = peroxideHeat(1, 997, 293.15, hazards)
    expect(h.riseK).toBeCloseTo(22.7, 1)
    expect(h.oxygenL).toBeCloseTo(12.0, 1)
    expect(h.boils).toBe(false)
  })
  it('30 % (9.8 mol/L, 1.11 kg/L): 928 kJ a litre, boils (hazards notes, section 5)', () => {
    const h = peroxideHeat(9.8, 1110, 293.15, hazards)
    expect(h.heatKJ).toBeCloseTo(928, 0)
    expect(h.boils).toBe(true)
    expect(h.steamG).toBeGreaterThan(200)
  })
  it('doubling the batch doubles heat and gas and leaves the temperature', () => {
    const one = peroxideHeat(0.5, 500, 293.15, hazards)
    const two = peroxideHeat(1, 1000, 293.15, hazards)
    expect(two.heatKJ).toBeCloseTo(2 * one.heatKJ, 9)
    expect(two.oxygenL).toBeCloseTo(2 * one.oxygenL, 9)
    expect(two.riseK).toBeCloseTo(one.riseK, 9)
  })
})
