import { facts as tables } from '@beakertide/data'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { MadeSolution } from '../makeup/index.ts'
import { densityOf, waterDensity } from '../matter/index.ts'
import { heatOfMixing } from './heat-of-mixing.ts'
import { inventoriesAtPours, mix, overdrawn, pouredAlone } from './mix.ts'
import type { Vessel } from './pour.ts'
import { settle } from './settle.ts'

const matter = tables.matter()
const facts = { matter, equilibria: tables.equilibria() }
const WATER_G_PER_MOL = 18.015

/** A solution of `species` (mol/L) with a density; the rest of its mass is water. */
function made(
  id: string,
  species: Record<string, number>,
  soluteGPerL: number,
  densityGPerMl: number,
  more: Partial<MadeSolution> = {},
): MadeSolution {
  const massG = 1000 * densityGPerMl
  return {
    id,
    volumeL: 1,
    massG,
    densityGPerMl,
    densityFrom: 'test',
    amountsMol: { ...species, H2O: (massG - soluteGPerL) / WATER_G_PER_MOL },
    relativeUncertainty: {},
    temperatureC: 20,
    heatCapacityJPerGK: 4.18,
    heatOfMakingK: null,
    ...more,
  }
}
/** A litre of one tabled solute at a mass fraction. */
function tabled(
  id: string,
  formula: string,
  molarMass: number,
  massFraction: number,
  species: (mol: number) => Record<string, number>,
  more: Partial<MadeSolution> = {},
): MadeSolution {
  const density = densityOf(formula, massFraction, 20, matter)!.gPerMl
  const soluteG = 1000 * density * massFraction
  return made(id, species(soluteG / molarMass), soluteG, density, more)
}
const water = made('water', {}, 0, waterDensity(20, matter))
function vessel(pours: readonly (readonly [string, number, number?])[], more: Partial<Vessel> = {}): Vessel {
  return {
    id: 'jar',
    capacityL: null,
    depthCm: 8,
    stirred: true,
    count: 1,
    pours: pours.map(([solution, ml, atS = 0]) => ({ solution, volumeL: ml / 1000, atS })),
    ...more,
  }
}
function mixed(pours: readonly (readonly [string, number, number?])[], solutions: readonly MadeSolution[]) {
  const outcome = mix(vessel(pours), solutions, facts)
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems))
  return outcome.value
}

describe('volume of a mix', () => {
  // The density tables are the outside truth (CRC Handbook, read): mixing down to a strength must give that strength's density.
  it.each([
    ['sulfuric acid 96 %', 'H2SO4', 98.072, 0.96, (n: number) => ({ 'H+': 2 * n, 'SO4^2-': n }), [0.05, 0.2, 0.5, 0.8]],
    ['nitric acid 40 %', 'HNO3', 63.012, 0.4, (n: number) => ({ 'H+': n, 'NO3-': n }), [0.05, 0.2]],
    ['hydrochloric acid 36 %', 'HCl', 36.458, 0.36, (n: number) => ({ 'H+': n, 'Cl-': n }), [0.05, 0.2]],
    ['ethanol 94 %', 'C2H6O', 46.069, 0.94, (n: number) => ({ ethanol: n }), [0.1, 0.4, 0.7]],
    ['ammonia 25 %', 'NH3', 17.031, 0.25, (n: number) => ({ NH3: n }), [0.02, 0.1]],
    ['sodium hydroxide 30 %', 'NaOH', 39.997, 0.3, (n: number) => ({ 'Na+': n, 'OH-': n }), [0.02, 0.1]],
    ['hydrogen peroxide 30 %', 'H2O2', 34.014, 0.3, (n: number) => ({ H2O2: n }), [0.03, 0.1]],
  ] as const)('%s diluted with water has the density of the table', (_name, formula, molarMass, strong, species, targets) => {
    const stock = tabled('stock', formula, molarMass, strong, species)
    for (const target of targets) {
      const stockG = 100 * (target / strong)
      const { volumeL, massG, temperatureK } = mixed(
        [
          ['stock', stockG / stock.densityGPerMl],
          ['water', (100 - stockG) / water.densityGPerMl],
        ],
        [stock, water],
      )
      const celsius = temperatureK - 273.15
      const wanted = densityOf(formula, target, 20, matter)!.gPerMl * (waterDensity(celsius, matter) / waterDensity(20, matter))
      expect(massG).toBeCloseTo(100, 6)
      expect(Math.abs(massG / (1000 * volumeL) / wanted - 1)).toBeLessThan(0.0005)
    }
  })

  it('contracts: 50 mL ethanol 94 % and 50 mL water give about 97 mL (common practice, no source: 96 to 97 mL)', () => {
    const spirit = tabled('spirit', 'C2H6O', 46.069, 0.94, (n) => ({ ethanol: n }))
    const { volumeL } = mixed(
      [
        ['spirit', 50],
        ['water', 50],
      ],
      [spirit, water],
    ) // prettier keeps
    expect(volumeL * 1000).toBeGreaterThan(95.5)
    expect(volumeL * 1000).toBeLessThan(97.5)
  })

  it('dilute solutions add within 0.3 %', () => {
    const iodide = tabled('iodide', 'KI', 166.002, 0.03, (n) => ({ 'K+': n, 'I-': n }))
    const acid = tabled('acid', 'H2SO4', 98.072, 0.02, (n) => ({ 'H+': 2 * n, 'SO4^2-': n }))
    const { volumeL } = mixed(
      [
        ['iodide', 100],
        ['acid', 100],
        ['water', 100],
      ],
      [iodide, acid, water],
    )
    expect(Math.abs(volumeL - 0.3)).toBeLessThan(0.001)
  })
})

describe('temperature of a mix', () => {
  it('equal masses of water at 20 and 60 degC: 40 degC', () => {
    const hot = made('hot', {}, 0, waterDensity(60, matter), { temperatureC: 60 })
    const { temperatureK } = mixed(
      [
        ['water', 100 / waterDensity(20, matter)],
        ['hot', 100 / waterDensity(60, matter)],
      ],
      [water, hot],
    )
    expect(temperatureK - 273.15).toBeCloseTo(40, 6)
  })

  it('W29: 50.0 mL of 1.00 mol/L hydrochloric acid and as much sodium hydroxide, from 22.0 degC: 28.9 degC (OpenStax, read)', () => {
    const acid = tabled('acid', 'HCl', 36.458, 0.03586, (n) => ({ 'H+': n, 'Cl-': n }), { temperatureC: 22, heatCapacityJPerGK: 4.184 })
    const base = tabled('base', 'NaOH', 39.997, 0.03843, (n) => ({ 'Na+': n, 'OH-': n }), { temperatureC: 22, heatCapacityJPerGK: 4.184 })
    expect(acid.amountsMol['H+']).toBeCloseTo(1, 2)
    const { temperatureK } = mixed(
      [
        ['acid', 50],
        ['base', 50],
      ],
      [acid, base],
    )
    // The book takes 100 g of water; ours weigh 105 g and dilute: 0.6 K less.
    expect(Math.abs(temperatureK - 273.15 - 28.9)).toBeLessThan(0.7)
  })

  it('sulfuric acid: heat of dilution by the integral heats of the table (memory), nothing counted twice', () => {
    const strong = tabled('strong', 'H2SO4', 98.072, 0.96, (n) => ({ 'H+': 2 * n, 'SO4^2-': n }), { heatCapacityJPerGK: 1.46 })
    const { temperatureK, heatCapacityJPerK, amountsMol } = mixed(
      [
        ['strong', 10],
        ['water', 200],
      ],
      [strong, water],
    )
    const acid = amountsMol['SO4^2-']!
    // Table rows: r = 0.227 (96 %) and about 60 mol water a mol acid: -74.2 and, near pure acid, -7 kJ/mol.
    const perMol = (-(temperatureK - 293.15) * heatCapacityJPerK) / 1000 / acid
    expect(perMol).toBeGreaterThan(-70)
    expect(perMol).toBeLessThan(-62)
  })

  it.each([
    ['a small heat of mixing, without a second round', 0.06, 0.4, 0.5, 1e-3],
    ['a large one, with it', 1, 6, 8, 5e-3],
  ])('%s is in balance at the temperature found', (_, molPerL, least, most, within) => {
    const acid = made('acid', { 'H+': 2 * molPerL, 'SO4^2-': molPerL }, 98.07 * molPerL, 1)
    const base = made('base', { 'Na+': molPerL, 'OH-': molPerL }, 40 * molPerL, 1)
    const poured = [
      ['acid', 100],
      ['base', 100],
    ] as const
    const { temperatureK, heatCapacityJPerK, volumeL, amountsMol } = mixed(poured, [acid, base])
    const parts = [acid, base].map(({ amountsMol: n }) => ({
      volumeL: 0.1,
      amountsMol: Object.fromEntries(Object.entries(n).map(([id, mol]) => [id, mol / 10])),
      solidsMol: {},
    }))
    const there = heatOfMixing(parts, { volumeL, amountsMol, solidsMol: {} }, temperatureK, facts.equilibria, matter)!
    expect(temperatureK - 293.15).toBeGreaterThan(least)
    expect(temperatureK - 293.15).toBeLessThan(most)
    expect(Math.abs((-1000 * there.kJ) / heatCapacityJPerK - (temperatureK - 293.15))).toBeLessThan(within)
  })

  it('equal volumes of sulfuric acid 96 % and water boil: a danger that is said', () => {
    const strong = tabled('strong', 'H2SO4', 98.072, 0.96, (n) => ({ 'H+': 2 * n, 'SO4^2-': n }), { heatCapacityJPerGK: 1.46 })
    const outcome = mix(
      vessel([
        ['strong', 100],
        ['water', 50],
      ]),
      [strong, water],
      facts,
    )
    expect(outcome.ok && outcome.warnings.find((w) => w.code === 'mixture/boils')?.danger).toBe(true)
  })

  it('a strong solution whose heat of dilution is unknown is named', () => {
    const lye = tabled('lye', 'NaOH', 39.997, 0.4, (n) => ({ 'Na+': n, 'OH-': n }))
    const outcome = mix(
      vessel([
        ['lye', 10],
        ['water', 200],
      ]),
      [lye, water],
      facts,
    )
    expect(outcome.ok && outcome.warnings.map((w) => w.code)).toContain('mixture/heat-incomplete')
  })
})

describe('the inventory', () => {
  const iodate = made('iodate', { 'K+': 0.1, 'IO3-': 0.1 }, 21.4, 1.013, { relativeUncertainty: { 'K+': 0.01, 'IO3-': 0.01 } })
  const acid = made('acid', { 'H+': 0.1, 'SO4^2-': 0.05, 'K+': 0.02, 'HSO3-': 0.02 }, 7, 1.003, { relativeUncertainty: { 'K+': 0.02 } })

  it('adds amounts, spectators too, and conserves mass', () => {
    const got = mixed(
      [
        ['iodate', 100],
        ['acid', 50, 3],
      ],
      [iodate, acid],
    )
    expect(got.amountsMol['K+']).toBeCloseTo(0.01 + 0.001, 12)
    expect(got.amountsMol['SO4^2-']).toBeCloseTo(0.0025, 12)
    expect(got.massG).toBeCloseTo(101.3 + 50.15, 9)
    expect(got.atS).toBe(3)
    // GUM, independent: sqrt((0.010 * 1 %)^2 + (0.001 * 2 %)^2) / 0.011.
    expect(got.relativeUncertainty['K+']).toBeCloseTo(Math.hypot(1e-4, 2e-5) / 0.011, 12)
  })

  it('two pours of one solution share its error', () => {
    const got = mixed(
      [
        ['iodate', 50],
        ['iodate', 50, 10],
      ],
      [iodate],
    )
    expect(got.relativeUncertainty['IO3-']).toBeCloseTo(0.01, 12)
  })

  it('is given after each moment of pouring', () => {
    const outcome = inventoriesAtPours(
      vessel([
        ['acid', 50, 20],
        ['iodate', 100, 0],
        ['acid', 10, 20],
      ]),
      [iodate, acid],
      facts,
    )
    expect(outcome.ok && outcome.value.map((i) => [i.atS, Number((1000 * i.volumeL).toPrecision(3))])).toEqual([
      [0, 100],
      [20, 160],
    ])
    const alone = pouredAlone({ solution: 'acid', volumeL: 0.01, atS: 20 }, vessel([]), [acid], facts)
    expect(alone.ok && alone.value.amountsMol['H+']).toBeCloseTo(0.001, 12)
  })

  it('keeps solids apart and settles them with the liquid', () => {
    const chalk = made('chalk', { 'CaCO3(s)': 0.1 }, 10, 1.005)
    const vinegar = made('vinegar', { CH3COOH: 1 }, 60, 1.007)
    const got = mixed(
      [
        ['chalk', 100],
        ['vinegar', 100],
      ],
      [chalk, vinegar],
    )
    expect(got.solidsMol).toEqual({ 'CaCO3(s)': expect.closeTo(0.01, 12) })
    const after = settle(got, got.temperatureK, facts.equilibria)
    // Acetic acid in fivefold excess dissolves it all.
    expect(after.ok && after.value.solidsMol).toEqual({})
  })

  it('conserves every amount and the mass, whatever is poured', () => {
    const solutions = [iodate, acid, water]
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.constantFrom('iodate', 'acid', 'water'), fc.double({ min: 0.01, max: 500, noNaN: true })), {
          minLength: 1,
          maxLength: 5,
        }),
        (pours) => {
          const got = mixed(pours, solutions)
          let mass = 0
          let potassium = 0
          for (const [id, ml] of pours) {
            const solution = solutions.find((s) => s.id === id)!
            mass += (solution.massG * ml) / 1000
            potassium += ((solution.amountsMol['K+'] ?? 0) * ml) / 1000
          }
          expect(got.massG).toBeCloseTo(mass, 8)
          expect(got.amountsMol['K+'] ?? 0).toBeCloseTo(potassium, 12)
          expect(got.volumeL).toBeGreaterThan(0)
        },
      ),
      { numRuns: 60 },
    )
  })
})

describe('pours that cannot be', () => {
  it('all faults at once, with the nearest name', () => {
    const outcome = mix(
      vessel([
        ['watr', 10],
        ['water', -1],
        ['water', Number.NaN],
      ]),
      [water],
      facts,
    )
    expect(outcome.ok ? [] : outcome.problems.map((p) => p.code)).toEqual([
      'mixture/solution-unknown',
      'mixture/pour-volume',
      'mixture/pour-volume',
    ])
    expect(outcome.ok ? '' : outcome.problems[0]!.todo).toContain('"water"')
    const empty = mix(vessel([['water', 10, 5]]), [water], facts, 1)
    expect(empty.ok ? '' : empty.problems[0]!.code).toBe('mixture/nothing-poured')
  })
  it('more than the vessel holds, more than was made', () => {
    const small = vessel([['water', 400]], { capacityL: 0.3, count: 3 })
    const outcome = mix(small, [water], facts)
    expect(outcome.ok && outcome.warnings.map((w) => w.code)).toEqual(['mixture/over-the-brim'])
    expect(overdrawn([small], [water]).map((p) => p.what)).toEqual(['1200 mL are poured in all; 1000 mL are made'])
    expect(overdrawn([{ ...small, count: 2 }], [water])).toEqual([])
  })
})
