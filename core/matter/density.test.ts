import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { along, curveThrough } from './curve.ts'
import { concentrationFromMassFraction, densityOf, massFractionFromConcentration } from './density.ts'
import { molarMass } from './molar-mass.ts'

const f = facts.matter()
const mass = (formula: string): number => {
  const m = molarMass(formula, f.weights)
  return m.ok ? m.value.value : Number.NaN
}

/** One numeric example with its source. */
function check(name: string, ours: () => number | undefined, theirs: number, within: number): void {
  it(name, () => expect(Math.abs((ours() ?? Number.NaN) - theirs)).toBeLessThanOrEqual(within))
}

// Flowers et al., OpenStax Chemistry 2e (read); numbers and tolerances as carried in the project's worked examples W05 to W14.
describe('worked examples', () => {
  check('W05: 40.0 % sulfuric acid is 5.33 mol/L', () => concentrationFromMassFraction('H2SO4', 0.4, 20, f)?.molPerL, 5.33, 0.02)
  check('W06: 96 % sulfuric acid is 18.0 mol/L', () => concentrationFromMassFraction('H2SO4', 0.96, 20, f)?.molPerL, 18.0, 0.05)
  check('W07: 28 % ammonia is 14.8 mol/L', () => concentrationFromMassFraction('NH3', 0.28, 20, f)?.molPerL, 14.8, 0.05)
  check(
    'W08: 27.83 mL of 96 % acid hold 0.500 mol',
    () => (0.5 * 1000) / (concentrationFromMassFraction('H2SO4', 0.96, 20, f)?.molPerL ?? 0),
    27.83,
    0.05,
  )
  check('W09: 250 mL of 0.100 mol/L need 6.242 g CuSO4·5H2O', () => 0.1 * 0.25 * mass('CuSO4·5H2O'), 6.242, 0.003)
  check('W10: 10.5 kg Na2SO4·10H2O in 18.60 L are 1.75 mol/L', () => 10500 / mass('Na2SO4·10H2O') / 18.6, 1.75, 0.005)
  check('W11: 500 mL of 0.0200 mol/L need 1.6901 g MnSO4·H2O', () => 0.02 * 0.5 * mass('MnSO4·H2O'), 1.6901, 0.001)
  check('W11: or 2.2305 g MnSO4·4H2O', () => 0.02 * 0.5 * mass('MnSO4·4H2O'), 2.2305, 0.001)
  check('W12: 1.00 L of 0.500 mol/L need 32.62 g of 86.0 % KOH', () => (0.5 * mass('KOH')) / 0.86, 32.62, 0.02)
  check('W13: 0.710 kg Na2CO3 in 10.0 kg water are 0.67 mol/kg', () => 710 / mass('Na2CO3') / 10, 0.67, 0.002)
  check('W14: 50.0 % sulfuric acid is 10.196 mol/kg', () => 500 / mass('H2SO4') / 0.5, 10.196, 0.005)
  check('W14: and 7.113 mol/L', () => concentrationFromMassFraction('H2SO4', 0.5, 20, f)?.molPerL, 7.113, 0.005)
})

// Strengths printed on bottles and in reagent charts (common practice, no source).
describe('commercial solutions', () => {
  check('37 % hydrochloric acid', () => concentrationFromMassFraction('HCl', 0.37, 20, f)?.molPerL, 12.0, 0.1)
  check('65 % nitric acid', () => concentrationFromMassFraction('HNO3', 0.65, 20, f)?.molPerL, 14.4, 0.1)
  check('85 % phosphoric acid', () => concentrationFromMassFraction('H3PO4', 0.85, 20, f)?.molPerL, 14.7, 0.1)
  check('30 % peroxide', () => concentrationFromMassFraction('H2O2', 0.3, 20, f)?.molPerL, 9.8, 0.05)
  check('glacial acetic acid', () => concentrationFromMassFraction('CH3COOH', 1, 20, f)?.molPerL, 17.4, 0.1)
})

describe('interpolation', () => {
  // Leaving out a row doubles its interval, so the true error between rows is several times smaller than what is allowed here.
  // Near the pure acids (density maximum of sulfuric acid near 98 %) the curvature is largest.
  for (const table of Object.values(f.densities)) {
    it(`${table.solute}: every row is met by its neighbours`, () => {
      const { x, y } = table.curve
      for (let left = 1; left < x.length - 1; left++) {
        const others = x.map((v, i): [number, number] => [v, y[i]!]).filter((_, i) => i !== left)
        const within = x[left]! <= 0.6 ? 0.0006 : 0.0035
        expect(Math.abs(along(curveThrough(others), x[left]!) - y[left]!), `at ${x[left]}`).toBeLessThanOrEqual(within)
      }
    })
    it(`${table.solute}: strength by volume rises with mass fraction and is undone by the inverse`, () => {
      let before = -1
      for (let i = 0; i <= 100; i++) {
        const there = concentrationFromMassFraction(table.formula, i / 100, 20, f)
        expect(there!.molPerL).toBeGreaterThan(before)
        before = there!.molPerL
        expect(massFractionFromConcentration(table.formula, there!.molPerL, 20, f)?.massFraction).toBeCloseTo(i / 100, 9)
      }
    })
  }
  it('the molarity column of the source agrees', () => {
    for (const row of facts.rows('tables/solution_density')) {
      const w = Number(row['mass_percent']) / 100
      const theirs = Number(row['molarity_mol_per_l'])
      const ours = concentrationFromMassFraction(row['formula']!, w, 20, f)!.molPerL
      // Printed to four digits.
      expect(Math.abs(ours - theirs), `${row['solute']} ${row['mass_percent']} %`).toBeLessThanOrEqual(Math.max(0.0002, theirs * 1e-4))
    }
  })
})

describe('limits', () => {
  it('temperature is corrected with the expansion of water, and the source says so', () => {
    const warm = densityOf('KI', 0.1, 30, f)!
    const cold = densityOf('KI', 0.1, 20, f)!
    expect(warm.gPerMl / cold.gPerMl).toBeCloseTo(0.995652 / 0.998206, 6) // IAPWS-IF97 rows of the water table
    expect(warm.source.source).toContain('expansion of water')
    expect(warm.extrapolated).toBe(false)
  })
  it('what lies beyond the table or far from its temperature is flagged', () => {
    expect(densityOf('KI', 0.45, 20, f)?.extrapolated).toBe(true)
    expect(densityOf('H2SO4', 0.96, 30, f)?.extrapolated).toBe(true)
    expect(densityOf('H2SO4', 0.2, 45, f)?.extrapolated).toBe(true)
  })
  it('nonsense gives nothing', () => {
    for (const w of [-0.1, 1.1, Number.NaN]) expect(densityOf('KI', w, 20, f)).toBeNull()
    expect(densityOf('KI', 0.1, Number.NaN, f)).toBeNull()
    expect(densityOf('KIO3', 0.1, 20, f)).toBeNull()
    expect(densityOf('nonsense', 0.1, 20, f)).toBeNull()
    expect(massFractionFromConcentration('H2O2', 60, 20, f)).toBeNull()
    expect(massFractionFromConcentration('H2O2', -1, 20, f)).toBeNull()
  })
  it('hydrates and other spellings find the table of the anhydrous solute', () => {
    expect(densityOf('CuSO4·5H2O', 0.1, 20, f)).toEqual(densityOf('CuSO4', 0.1, 20, f))
    expect(densityOf('H2C2O4', 0.05, 20, f)).toEqual(densityOf('C2H2O4', 0.05, 20, f))
  })
})
