import { facts as tables } from '@beakertide/data'
import { describe, expect, it } from 'vitest'
import { davies, DAVIES_LIMIT_MOL_PER_L, debyeHueckelA } from './activity.ts'
import { enthalpyOf, log10KAt } from './constants-at-temperature.ts'
import { chargeFromName, type EquilibriumReaction, readReaction } from './reactions.ts'

const facts = tables.equilibria()
const { species } = tables.matter()
const named = (id: string): EquilibriumReaction => facts.reactions.find((r) => r.id === id)!

describe('the list of equilibria', () => {
  it.each(facts.reactions.map((r) => [r.text, r] as const))('%s balances in every element and in charge', (_text, reaction) => {
    const sum: Record<string, number> = {}
    let charge = 0
    for (const [id, number] of Object.entries(reaction.numbers)) {
      const one = species[id]
      expect(one, `${id} stands in data/species.csv`).toBeDefined()
      for (const [element, count] of Object.entries(one!.composition)) sum[element] = (sum[element] ?? 0) + number * count
      charge += number * one!.charge
    }
    expect(Object.entries(sum).filter(([, n]) => n !== 0)).toEqual([])
    expect(charge).toBe(0)
  })

  it('defines every species once and gives each a source', () => {
    const always = facts.reactions.filter((r) => !r.isOnRequest)
    expect(new Set(always.map((r) => r.defines)).size).toBe(always.length)
    expect(new Set(facts.reactions.map((r) => r.id)).size).toBe(facts.reactions.length)
    expect(facts.reactions.filter((r) => r.source === '').map((r) => r.id)).toEqual([])
  })

  it('never lets an oxidation state change by itself: halogen hydrolyses are on request', () => {
    expect(facts.reactions.filter((r) => r.isOnRequest).map((r) => r.id)).toEqual(['iodine-hydrolysis', 'bromine-hydrolysis'])
  })

  it('a broken line is our fault and says which', () => {
    expect(() => readReaction('A + B')).toThrow(/"A \+ B"/)
    expect(() => readReaction('A +B = C D')).toThrow(/is not "n species"/)
  })
})

describe('charges in names', () => {
  it.each([
    ['H+', 1],
    ['Mn2+', 2],
    ['SO4^2-', -2],
    ['HSO4-', -1],
    ['I3-', -1],
    ['Fe2(OH)2^4+', 4],
    ['Ag(S2O3)2^3-', -3],
    ['H2O2', 0],
    ['I2(s)', 0],
    ['ferroin', 0],
  ])('%s: %i', (id, charge) => {
    expect(chargeFromName(id)).toBe(charge)
  })
  it('agree with the species table for all but the names that hide theirs', () => {
    for (const one of Object.values(species)) expect(facts.charges[one.id] ?? chargeFromName(one.id), one.id).toBe(one.charge)
    expect(facts.charges).toMatchObject({ ferroin: 2, ferriin: 3, 'MnOH2+': 2 })
  })
})

describe('constants at other temperatures', () => {
  const at = (id: string, celsius: number): number => log10KAt(named(id), celsius + 273.15)
  it('triiodide by interpolation agrees with the van t Hoff line of Palmer et al. 1984 (read) between rows', () => {
    // ln K = ln 698 + dH/R (1/T0 - 1/T), dH = -17.0 kJ/mol, dCp left out: 0.003 at 12.5 K.
    const line = (t: number): number => Math.log10(698) + (-17000 / 8.314462 / Math.LN10) * (1 / 298.15 - 1 / (t + 273.15))
    expect(Math.abs(at('triiodide', 12.5) - line(12.5))).toBeLessThan(0.004)
    expect(Math.abs(at('triiodide', 37.5) - line(37.5))).toBeLessThan(0.004)
  })
  it('hydrogensulfate with the CODATA enthalpy comes within 0.1 of the remembered column, which is known to be too flat', () => {
    for (const row of tables.rows('tables/equilibria')) {
      if (row.system !== 'hydrogensulfate' || Number(row.ionic_strength) > 0) continue
      expect(Math.abs(at('hydrogensulfate', Number(row.temperature_c)) + Number(row.value))).toBeLessThan(0.1)
    }
  })
  it('enthalpies: water 55.81, first carbonic step 9.16, ammonium 52.1 kJ/mol (CODATA, reaction rows of tables/thermochemistry)', () => {
    expect(enthalpyOf(named('water'))).toBeCloseTo(55.81, 1)
    expect(Math.abs(enthalpyOf(named('carbonic-1'))! - 9.16)).toBeLessThan(0.3)
    expect(Math.abs(enthalpyOf(named('ammonium'))! - 52.1)).toBeLessThan(0.3)
  })
  it('the slope of a table stands in for an enthalpy that is not stated', () => {
    const { deltaHKJPerMol, ...rest } = named('ammonium')
    expect(deltaHKJPerMol).not.toBeNull()
    // Bates & Pinching 1950 constants: 52.2 kJ/mol (data.md).
    expect(Math.abs(enthalpyOf({ ...rest, deltaHKJPerMol: null })! - 52.2)).toBeLessThan(0.5)
    expect(enthalpyOf({ ...named('solid-kclo4'), deltaHKJPerMol: null })).toBeNull()
  })
})

describe('activity coefficients', () => {
  it('the slope A agrees with the handbook values 0 to 40 degC (memory, tables/water_properties)', () => {
    for (const row of tables.rows('tables/water_properties')) {
      if (!row.quantity?.startsWith('Debye-Huckel A')) continue
      // Molar against molal scale: 0.3 %.
      expect(Math.abs(debyeHueckelA(Number(row.temperature_c) + 273.15) / Number(row.value) - 1)).toBeLessThan(0.005)
    }
  })
  it('Davies at 0.1 mol/L, 25 degC: 0.78 for charge 1, 0.37 for charge 2 (textbook values 0.78 and 0.38; memory)', () => {
    const lg = davies(0.1, 298.15)
    expect(10 ** lg).toBeCloseTo(0.78, 2)
    expect(Math.abs(10 ** (4 * lg) - 0.38)).toBeLessThan(0.01)
    expect(davies(0, 298.15)).toBeCloseTo(0, 12)
  })
  it('is held above its limit', () => {
    expect(davies(3, 298.15)).toBe(davies(DAVIES_LIMIT_MOL_PER_L, 298.15))
  })
})
