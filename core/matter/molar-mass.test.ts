import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { molarMass, readAtomicWeights } from './molar-mass.ts'

const { weights } = facts.matter()
function check(formula: string, theirs: number, within: number): void {
  it(`${formula} is ${theirs} g/mol`, () => {
    const ours = molarMass(formula, weights)
    expect(ours.ok && Math.abs(ours.value.value - theirs)).toBeLessThanOrEqual(within)
  })
}

// CRC Handbook of Chemistry and Physics, Physical Constants of Inorganic / Organic Compounds (memory). Printed with the weights of
// 2001 to 2009, in which S was 32.065: 0.005 is allowed a sulfur atom, and 0.003 else for H, C, N, O, Cl moved in the last digit.
describe('handbook molar masses', () => {
  check('KIO3', 214.001, 0.003)
  check('KI', 166.003, 0.003)
  check('I2', 253.809, 0.003)
  check('KMnO4', 158.034, 0.003)
  check('H2O2', 34.015, 0.003)
  check('H2SO4', 98.079, 0.008)
  check('MnSO4·H2O', 169.016, 0.008)
  check('CuSO4·5H2O', 249.685, 0.01)
  check('Na2S2O3·5H2O', 248.184, 0.013)
  check('CH2(COOH)2', 104.062, 0.003)
  check('KBrO3', 167.0, 0.003)
  check('(NH4)2Ce(NO3)6', 548.222, 0.006)
  check('C6H12O6', 180.155, 0.003)
  check('D2O', 20.027, 0.002)
})

describe('standard uncertainty', () => {
  // Eurachem/CITAC Guide CG 4 (QUAM), 3rd ed. 2012, example A2, step 3: potassium hydrogen phthalate C8H5O4K,
  // 204.2212 g/mol with u = 0.0038 g/mol, from the weights of 1997 and rectangular bounds (memory).
  it('the worked example of the Eurachem guide', () => {
    const quam = readAtomicWeights(
      [
        ['C', '12.0107', '0.0008'],
        ['H', '1.00794', '0.00007'],
        ['O', '15.9994', '0.0003'],
        ['K', '39.0983', '0.0001'],
      ].map(([symbol = '', abridged_value = '', abridged_uncertainty = '']) => ({
        symbol,
        abridged_value,
        abridged_uncertainty,
        source: 'QUAM 2012 example A2',
        read_or_memory: 'memory',
      })),
    )
    const mass = molarMass('C8H5O4K', quam)
    expect(mass.ok && mass.value.value.toFixed(4)).toBe('204.2212')
    expect(mass.ok && mass.value.uncertainty.toFixed(4)).toBe('0.0038')
  })
  it('atoms of one element add linearly, elements in quadrature', () => {
    const u = (formula: string): number => {
      const mass = molarMass(formula, weights)
      return mass.ok ? mass.value.uncertainty : Number.NaN
    }
    expect(u('S8')).toBeCloseTo(8 * u('S'), 12)
    expect(u('SO2')).toBeCloseTo(Math.hypot(u('S'), 2 * u('O')), 12)
  })
})

describe('what has no weight', () => {
  it('is refused by name', () => {
    const mass = molarMass('KTcO4', weights)
    expect(mass.ok ? [] : mass.problems.map((p) => p.code)).toEqual(['matter/no-atomic-weight'])
  })
  it('faults of the formula come through', () => expect(molarMass('K(', weights).ok).toBe(false))
})
