import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { findMechanism } from '../mechanism/index.ts'
import type { Vessel } from '../mixture/index.ts'
import { airSaturation, gasSolubility, limitOf, solidSaturation, vesselProcesses } from './vessel-facts.ts'

const equilibria = facts.equilibria()
const ROOM_K = 298.15

describe('what leaves and what comes out', () => {
  it('water in air holds 2.6e-4 mol/L oxygen at 25 °C', () => {
    // 8.26 mg/L at 25 °C and 1 atm, table of dissolved oxygen (Benson and Krause 1984, memory) / 32.00 g/mol = 2.58e-4
    expect(Math.abs(airSaturation('O2', ROOM_K, equilibria)! / 2.58e-4 - 1)).toBeLessThan(0.06)
  })
  it('and about 1.4e-5 mol/L carbon dioxide', () => {
    // Henry constant 0.034 mol/(L atm) (memory) x 4.2e-4 atm
    expect(Math.abs(airSaturation('CO2', ROOM_K, equilibria)! / (0.034 * 4.2e-4) - 1)).toBeLessThan(0.06)
  })
  it('cold water holds more', () => {
    expect(airSaturation('O2', 278.15, equilibria)!).toBeGreaterThan(airSaturation('O2', ROOM_K, equilibria)!)
  })
  it('what is not in the air, or has no solubility on file, is null', () => {
    expect(airSaturation('I2', ROOM_K, equilibria)).toBeNull()
    expect(airSaturation('toString', ROOM_K, equilibria)).toBeNull()
    expect(gasSolubility('Ce4+', ROOM_K, equilibria)).toBeNull()
    expect(solidSaturation('O2', ROOM_K, equilibria)).toBeNull()
  })
  it('a stirred vessel lets go of what is above air, a still one of what is above the pure gas', () => {
    const mechanism = findMechanism('iodate-peroxide-malonate', facts.mechanisms(), facts.mechanismDefaults())
    if (!mechanism.ok) throw new Error('no mechanism')
    const vessel: Vessel = { id: 'v', capacityL: null, depthCm: 5, pours: [], stirred: true, count: 1 }
    const stirred = vesselProcesses(mechanism.value, vessel, ROOM_K, equilibria)
    expect(stirred.map((p) => `${p.kind} ${p.species}`).sort()).toEqual(['gas-leaves CO2', 'gas-leaves O2', 'solid-forms I2'])
    const still = vesselProcesses(mechanism.value, { ...vessel, stirred: false }, ROOM_K, equilibria)
    const limit = (list: typeof still, species: string): number =>
      list.flatMap((p) => (p.kind === 'gas-leaves' && p.species === species ? [p.saturationMolPerL] : []))[0]!
    expect(limit(still, 'O2') / limit(stirred, 'O2')).toBeCloseTo(1 / 0.2095, 6)
    for (const p of stirred)
      expect(limitOf(p, vessel, ROOM_K, equilibria)).toBe(p.kind === 'gas-leaves' ? p.saturationMolPerL : p.solubilityMolPerL)
  })
})
