/** Laws that must hold for any liquid whatever, tried on random ones (fast-check prints the seed of a failure). */
import { facts as tables } from '@beakertide/data'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chargeFromName } from './reactions.ts'
import { settle } from './settle.ts'
import type { SettleOptions } from './settle-input.ts'

const facts = tables.equilibria()

const cations = [
  'H+',
  'Na+',
  'K+',
  'NH4+',
  'Mn2+',
  'Cu2+',
  'Fe2+',
  'Fe3+',
  'Ce3+',
  'Ce4+',
  'Ag+',
  'Ca2+',
  'Mg2+',
  'Ba2+',
  'Zn2+',
  'Ni2+',
  'Co2+',
]
const anions = [
  'OH-',
  'Cl-',
  'Br-',
  'I-',
  'IO3-',
  'NO3-',
  'SO4^2-',
  'CO3^2-',
  'PO4^3-',
  'Cit^3-',
  'C2O4^2-',
  'MA^2-',
  'SO3^2-',
  'S2O3^2-',
  'CH3COO-',
  'ClO4-',
  'IO4-',
  'CrO4^2-',
  'SCN-',
  'Pht^2-',
]
const neutrals = ['NH3', 'I2', 'Br2', 'H3BO3', 'MA', 'H2O2', 'CO2', 'H2SO3', 'H2Asc', 'GLC']

/** From hardly there to very strong, even in the logarithm; now and then nothing at all. */
const amount = fc.oneof(
  { weight: 9, arbitrary: fc.double({ min: -12, max: 0.3, noNaN: true }).map((e) => 10 ** e) },
  { weight: 1, arbitrary: fc.constant(0) },
)
const some = (ids: readonly string[], most: number): fc.Arbitrary<(readonly [string, number])[]> =>
  fc.uniqueArray(fc.tuple(fc.constantFrom(...ids), amount), { maxLength: most, selector: ([id]) => id })

/** A neutral liquid: what the drawn ions lack in charge is made up with chloride or sodium. */
const liquid = fc.tuple(some(cations, 6), some(anions, 6), some(neutrals, 4)).map(([plus, minus, none]) => {
  const amounts: Record<string, number> = {}
  let charge = 0
  for (const [id, mol] of [...plus, ...minus, ...none]) {
    amounts[id] = (amounts[id] ?? 0) + mol
    charge += mol * chargeFromName(id)
  }
  const balance = charge > 0 ? 'NO3-' : 'Na+'
  amounts[balance] = (amounts[balance] ?? 0) + Math.abs(charge)
  return amounts
})
const celsius = fc.double({ min: 0, max: 80, noNaN: true })

function solve(amountsMol: Record<string, number>, temperatureC: number, options: SettleOptions = {}, volumeL = 1) {
  const outcome = settle({ volumeL, amountsMol }, temperatureC + 273.15, facts, options)
  if (!outcome.ok) throw new Error(outcome.problems.map((p) => `${p.where}: ${p.what}`).join('; '))
  return outcome.value
}

describe('every neutral liquid', () => {
  it('settles, with every balance and the charge met, nothing negative and no solid or gas above saturation', () => {
    fc.assert(
      fc.property(liquid, celsius, fc.constantFrom('davies' as const, 'none' as const), (amounts, t, activity) => {
        const e = solve(amounts, t, { activity })
        expect(e.residual).toBeLessThan(1e-10)
        for (const c of Object.values(e.concentrationsMolPerL)) expect(c).toBeGreaterThanOrEqual(0)
        let net = 0
        let gross = 0
        for (const [id, c] of Object.entries(e.concentrationsMolPerL)) {
          const z = facts.charges[id] ?? chargeFromName(id)
          net += z * c
          gross += Math.abs(z) * c
        }
        // What went into solids and gases was rounded too.
        for (const [id, n] of Object.entries(amounts)) gross += Math.abs(chargeFromName(id)) * n
        expect(Math.abs(net)).toBeLessThanOrEqual(1e-10 * gross)
        for (const [id, n] of Object.entries(e.solidsMol)) expect(n, id).toBeGreaterThan(0)
        for (const [id, index] of Object.entries(e.saturationIndices)) expect(index, id).toBeLessThan(1e-9)
      }),
      { numRuns: 600 },
    )
  })

  it('is the same in whatever order its parts are named', () => {
    fc.assert(
      fc.property(liquid, celsius, (amounts, t) => {
        const one = solve(amounts, t)
        const other = solve(Object.fromEntries(Object.entries(amounts).reverse()), t)
        expect(Math.abs(one.pH - other.pH)).toBeLessThan(1e-7)
        expect(Math.abs(one.ionicStrengthMolPerL - other.ionicStrengthMolPerL)).toBeLessThan(1e-9 * (1 + one.ionicStrengthMolPerL))
      }),
      { numRuns: 150 },
    )
  })

  it('is the same however large the vessel', () => {
    fc.assert(
      fc.property(liquid, fc.double({ min: 1e-4, max: 1e3, noNaN: true }), (amounts, litres) => {
        const scaled = Object.fromEntries(Object.entries(amounts).map(([id, n]) => [id, n * litres]))
        expect(Math.abs(solve(amounts, 25).pH - solve(scaled, 25, {}, litres).pH)).toBeLessThan(1e-7)
      }),
      { numRuns: 100 },
    )
  })

  it('takes back its own answer: settled again from free species, it stays (ideal)', () => {
    fc.assert(
      fc.property(liquid, (amounts) => {
        const once = solve(amounts, 25, { activity: 'none', solids: 'none', gases: 'stay' })
        const again = solve({ ...once.concentrationsMolPerL }, 25, { activity: 'none', solids: 'none', gases: 'stay' })
        expect(Math.abs(once.pH - again.pH)).toBeLessThan(1e-5)
      }),
      { numRuns: 100 },
    )
  })

  it('never gets less acid when strong acid is added (at fixed activity coefficients)', () => {
    fc.assert(
      fc.property(liquid, amount, (amounts, acid) => {
        const before = solve(amounts, 25, { activity: 'none' }).pH
        const more = { ...amounts, 'H+': (amounts['H+'] ?? 0) + acid, 'NO3-': (amounts['NO3-'] ?? 0) + acid }
        expect(solve(more, 25, { activity: 'none' }).pH).toBeLessThanOrEqual(before + 1e-8)
      }),
      { numRuns: 200 },
    )
  })

  it('holds any pH that is asked for, and the acid it names brings that pH about', () => {
    fc.assert(
      fc.property(liquid, fc.double({ min: 0, max: 14, noNaN: true }), (amounts, pH) => {
        const held = solve(amounts, 25, { pH, activity: 'none' })
        expect(held.pH).toBeCloseTo(pH, 9)
        const acid = held.acidAddedMol!
        const ion = acid > 0 ? { 'H+': (amounts['H+'] ?? 0) + acid, 'X-': acid } : { 'OH-': (amounts['OH-'] ?? 0) - acid, 'X+': -acid }
        const free = solve({ ...amounts, ...ion }, 25, { activity: 'none' })
        // An unbuffered liquid amplifies the rounding of its totals (1e-16 of 1 mol/L against 1e-7 mol/L of protons).
        expect(Math.abs(free.pH - pH)).toBeLessThan(1e-5)
      }),
      { numRuns: 150 },
    )
  })
})
