import { describe, expect, it } from 'vitest'
import { hillText, molarMass, parseFormula, speciesNamed } from '@beakertide/core/matter'
import { facts, rows } from './index.ts'

const f = facts.matter()
const atoms = (text: string): Readonly<Record<string, number>> => {
  const parsed = parseFormula(text)
  if (!parsed.ok) throw new Error(`"${text}" does not parse: ${parsed.problems[0]?.what}`)
  return parsed.value.elements
}

describe('species.csv', () => {
  for (const row of rows('species')) {
    const id = row['id']!
    it(`${id}: composition, charge and phase agree with its id`, () => {
      const composition = parseFormula(row['composition']!)
      expect(composition.ok && composition.value.charge).toBe(0)
      const asFormula = parseFormula(id)
      if (row['id_reads_as'] === 'formula') {
        expect(asFormula.ok && hillText(asFormula.value.elements)).toBe(hillText(atoms(row['composition']!)))
        expect(asFormula.ok && asFormula.value.charge).toBe(Number(row['charge']))
        const phase = asFormula.ok ? asFormula.value.phase : null
        expect(phase).toBe(row['phase'] === 'solid' ? 's' : row['phase'] === 'gas' ? 'g' : null)
      } else {
        // A name must not read as some other formula. MnOH2+ keeps the spelling of the mechanisms, on purpose.
        expect(asFormula.ok && id !== 'MnOH2+').toBe(false)
        expect(id.endsWith('+') ? 1 : id.endsWith('-') ? -1 : 0).toBe(Math.sign(Number(row['charge'])) * (/[+-]$/.test(id) ? 1 : 0))
      }
    })
  }
  it('other names are no ids', () => {
    for (const name of Object.keys(f.speciesNames)) expect(Object.hasOwn(f.species, name), name).toBe(false)
  })
  it('acid ladders differ by one proton a step', () => {
    const ladders = [
      ['H3PO4', 'H2PO4-', 'HPO4^2-', 'PO4^3-'],
      ['H2SO4', 'HSO4-', 'SO4^2-'],
      ['H2SO3', 'HSO3-', 'SO3^2-'],
      ['H2S2O3', 'HS2O3-', 'S2O3^2-'],
      ['H2C2O4', 'HC2O4-', 'C2O4^2-'],
      ['MA', 'HMA-', 'MA^2-'],
      ['BrMA', 'HBrMA-'],
      ['IMA', 'HIMA-'],
      ['H3Cit', 'H2Cit-', 'HCit^2-', 'Cit^3-'],
      ['H2Tar', 'HTar-', 'Tar^2-'],
      ['H2Asc', 'HAsc-', 'Asc^2-'],
      ['H2Pht', 'HPht-', 'Pht^2-'],
      ['H2Lum', 'HLum-', 'Lum^2-'],
      ['H2TB', 'HTB-', 'TB^2-'],
      ['HBTB-', 'BTB^2-'],
      ['HPhR-', 'PhR^2-'],
      ['HBCG-', 'BCG^2-'],
      ['H2PhPh', 'HPhPh-'],
      ['H2TPh', 'HTPh-'],
      ['HMO', 'MO-'],
      ['HMR', 'MR-'],
      ['IndC^2-', 'IndC^3-'],
      ['phenH+', 'phen'],
      ['NH4+', 'NH3'],
      ['H2OI+', 'HOI', 'IO-'],
      ['GLC', 'ENE-'],
    ]
    for (const ladder of ladders) {
      for (const [i, id] of ladder.entries()) {
        if (i === 0) continue
        const before = f.species[ladder[i - 1]!]!
        const here = f.species[id]!
        expect(before.charge - here.charge, id).toBe(1)
        expect(hillText({ ...here.composition, H: (here.composition['H'] ?? 0) + 1 }), id).toBe(hillText(before.composition))
      }
    }
  })
  it('oxidised and reduced forms of the dyes differ by what they gain', () => {
    const hydrogens = (id: string): number => f.species[id]!.composition['H']!
    expect(hydrogens('MBH') - hydrogens('MB+')).toBe(1)
    expect(hydrogens('H2IndC^2-') - hydrogens('IndC^2-')).toBe(2)
    expect(f.species['RZ-']!.composition['O']! - f.species['RF-']!.composition['O']!).toBe(1)
    expect(f.species['ferriin']!.charge - f.species['ferroin']!.charge).toBe(1)
  })
})

/** Species of the mechanism files as they were handed over (ids that stand for a formula; model letters such as X, Y, Z of the reduced models stand for none). */
const mechanismIds = (
  'H2O H+ OH- MB+ MBH GLC ENE- GLON O2 IO3- I- HOI HIO2 I2O I2 H2O2 IO2. Mn2+ MnOH2+ HO2. MA IMA MAenol I. I3- HSO4- SO4^2- HMA- IMAenol ' +
  'I2MA HIMA- I2AA CO2 Br- BrO3- HOBr HBrO2 Br2 BrO2. Br2O Ce3+ Ce4+ BrMA HCOOH ClO2 ClO2- Cl- HClO2 HOCl Cl2 H2OI+ HSO3- SO3^2- H2SO3 ' +
  'MnO4- H2C2O4 S2O3^2- S4O6^2- S2O8^2-'
).split(' ')

describe('who needs which species', () => {
  it('every species of the mechanisms is there', () => {
    expect(mechanismIds.filter((id) => !Object.hasOwn(f.species, id))).toEqual([])
  })
  it('every species of the equilibrium list is there, and each reaction balances', () => {
    for (const row of rows('equilibrium_reactions')) {
      const [left = '', right = ''] = row['reaction']!.split(' = ')
      const balance: Record<string, number> = {}
      for (const [side, sign] of [
        [left, -1],
        [right, 1],
      ] as const) {
        for (const term of side.split(' + ')) {
          const found = /^(?:(\d+) )?(.+)$/.exec(term)!
          const species = f.species[found[2]!]
          expect(species, `${row['id']}: ${found[2]}`).toBeDefined()
          const times = sign * Number(found[1] ?? 1)
          for (const [element, count] of Object.entries(species!.composition)) balance[element] = (balance[element] ?? 0) + times * count
          balance['charge'] = (balance['charge'] ?? 0) + times * species!.charge
        }
      }
      expect(
        Object.values(balance).every((v) => Math.abs(v) < 1e-9),
        `${row['id']}: ${JSON.stringify(balance)}`,
      ).toBe(true)
    }
  })
  it('the names in the equilibrium tables lead to species', () => {
    const unknown = new Set<string>()
    for (const row of rows('tables/equilibria')) {
      if (!['pKa', 'Ksp', 'Henry', 'logK'].includes(row['kind']!) || /textbook|carbon dioxide hydration|starch/.test(row['system']!))
        continue
      const [left = '', right = ''] = row['reaction']!.replace(/ \(calcite\)/, '').split(' = ')
      if (/ step /.test(left) || left.startsWith('step')) continue
      const system = row['system']!
      const isGas = row['kind'] === 'Henry'
      for (const [side, wanted] of [
        [left, row['kind'] === 'Ksp' ? 'solid' : isGas ? 'gas' : undefined],
        [right, undefined],
      ] as const) {
        for (const term of side.split(' + ')) {
          const name = term
            .replace(/^\d+ /, '')
            .replace(/\((g|aq)\)$/, '')
            .trim()
          // Dissolved sulfur dioxide is H2SO3 here, one water richer (species.csv says so).
          if (name === 'SO2' && wanted === undefined) continue
          if (name !== '' && !speciesNamed(name, f, wanted, system)) unknown.add(`${system}: ${name}`)
        }
      }
    }
    expect([...unknown]).toEqual([])
  })
})

describe('enters_water.csv', () => {
  const byName = new Map(f.substances.map((s) => [s.name, s]))
  it('covers every substance that has a formula (the list asks for at least 100)', () => {
    const without = f.substances.filter((s) => s.entersWater.length === 0).map((s) => s.name)
    expect(without).toEqual([])
    expect(rows('enters_water').length).toBeGreaterThanOrEqual(100)
  })
  for (const row of rows('enters_water')) {
    it(`${row['substance']}: elements and charge balance`, () => {
      const substance = byName.get(row['substance']!)
      expect(substance).toBeDefined()
      const after: Record<string, number> = {}
      let charge = 0
      for (const { species, count } of substance!.entersWater) {
        charge += count * f.species[species]!.charge
        for (const [element, n] of Object.entries(f.species[species]!.composition)) after[element] = (after[element] ?? 0) + count * n
      }
      expect(hillText(after)).toBe(hillText(atoms(substance!.formula)))
      expect(charge).toBe(0)
    })
  }
  it('crystal water comes out as water, except where the row says it is used', () => {
    for (const s of f.substances) {
      const water = s.formula === 'H2O' ? 0 : (s.entersWater.find((e) => e.species === 'H2O')?.count ?? 0)
      const used = { borax: 7, 'sodium-metabisulfite': 1, 'potassium-metabisulfite': 1 }[s.id] ?? 0
      expect(water, s.name).toBe(s.waters - used)
    }
  })
  it('strong acids come apart, weak ones enter whole', () => {
    const protons = (id: string): number => f.substances.find((s) => s.id === id)!.entersWater.find((e) => e.species === 'H+')?.count ?? 0
    expect(['sulfuric-acid', 'hydrochloric-acid', 'nitric-acid', 'perchloric-acid'].map(protons)).toEqual([2, 1, 1, 1])
    expect(['acetic-acid', 'malonic-acid', 'phosphoric-acid', 'boric-acid', 'ascorbic-acid'].map(protons)).toEqual([0, 0, 0, 0, 0])
  })
})

describe('substances.csv', () => {
  it('the printed molar masses are those of the atomic weights', () => {
    for (const row of rows('tables/substances')) {
      if (row['formula'] === '') continue
      const ours = molarMass(row['formula']!, f.weights)
      expect(ours.ok && Math.abs(ours.value.value - Number(row['molar_mass_g_per_mol'])), row['name']).toBeLessThanOrEqual(0.00051)
    }
  })
  it('ids are unique, kebab-case and name the hydrate where several exist', () => {
    const ids = f.substances.map((s) => s.id)
    expect(new Set(ids).size).toBe(ids.length)
    for (const id of ids) expect(id).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/)
  })
  it('a trade name stands for one compound only', () => {
    const families = new Map<string, string>()
    for (const s of f.substances) {
      for (const name of s.otherNames) {
        expect(families.get(name.toLowerCase()) ?? s.family, name).toBe(s.family)
        families.set(name.toLowerCase(), s.family)
      }
    }
  })
  it('members of a family are one compound with different water', () => {
    for (const s of f.substances) {
      for (const other of f.substances.filter((o) => o.family === s.family)) {
        const bare = (formula: string): string => hillText(atoms(formula.split('·')[0]!))
        expect(bare(other.formula), `${s.id} and ${other.id}`).toBe(bare(s.formula))
      }
    }
  })
})

describe('lookups by composition', () => {
  it('no two tables of densities or solubilities stand for one composition', () => {
    for (const table of ['tables/solution_density', 'tables/solubility_vs_temperature']) {
      const formulas = [...new Set(rows(table).map((row) => row['formula']!))]
      const keys = formulas.map((formula) => hillText(atoms(formula)))
      expect(new Set(keys).size, table).toBe(keys.length)
    }
  })
})
