import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { findSubstance } from './find-substance.ts'
import { splitHydrateName, watersIn } from './hydrates.ts'

fc.configureGlobal({ seed: 20_260_101 })

const f = facts.matter()
function read(text: string, hydrate?: string): string {
  const found = findSubstance(text, hydrate, f)
  if (!found.ok) return found.problems.map((p) => p.code).join(' ')
  return [found.value.formula, ...found.warnings.map((w) => w.code)].join(' ')
}
function check(text: string, hydrate: string | undefined, expected: string): void {
  it(`${text}${hydrate === undefined ? '' : ` / ${hydrate}`} -> ${expected}`, () => expect(read(text, hydrate)).toBe(expected))
}

describe('names and formulas', () => {
  check('potassium iodate', undefined, 'KIO3')
  check('Potassium Iodate', undefined, 'KIO3')
  check('KIO3', undefined, 'KIO3')
  check('potassium-iodate', undefined, 'KIO3')
  check('sulphuric acid', undefined, 'H2SO4')
  check('CH2(COOH)2', undefined, 'C3H4O4')
  check('sodium thiosulphate pentahydrate', undefined, 'Na2S2O3·5H2O')
  check('copper(II) sulfate pentahydrate', undefined, 'CuSO4·5H2O')
  check('copper sulfate pentahydrate', undefined, 'CuSO4·5H2O')
  check('Na2S2O3.5H2O', undefined, 'Na2S2O3·5H2O')
  check('bleach', undefined, 'NaClO')
  check('water', undefined, 'H2O')
})

describe('hydrates', () => {
  check('manganese(II) sulfate', undefined, 'matter/hydrate-missing')
  check('MnSO4', undefined, 'matter/hydrate-missing')
  check('MnSO4', 'monohydrate', 'MnSO4·H2O')
  check('MnSO4', '·4H2O', 'MnSO4·4H2O')
  check('manganese sulfate', 'anhydrous', 'MnSO4')
  check('manganese(II) sulfate monohydrate', undefined, 'MnSO4·H2O')
  check('manganese-ii-sulfate-tetrahydrate', undefined, 'MnSO4·4H2O')
  check('manganese(II) sulfate monohydrate', 'tetrahydrate', 'matter/hydrate-contradicts')
  check('MnSO4', '7 H2O', 'MnSO4·7H2O matter/hydrate-not-in-table')
  check('MnSO4', 'wet', 'matter/hydrate-not-readable')
  check('citric acid', undefined, 'matter/hydrate-missing')
  check('citric acid anhydrous', undefined, 'C6H8O7')
  check('washing soda', undefined, 'Na2CO3·10H2O')
  check('borax', undefined, 'Na2B4O7·10H2O')
  check('Glauber salt', undefined, 'Na2SO4·10H2O')
  check('Epsom salt', undefined, 'MgSO4·7H2O')
  check('cobalt chloride', undefined, 'CoCl2·6H2O matter/hydrate-assumed')
  check('CoCl2', undefined, 'matter/hydrate-missing')
  check('CoCl2', 'anhydrous', 'CoCl2 matter/hydrate-not-in-table')
  it('the question shows every choice with its molar mass', () => {
    const asked = findSubstance('MnSO4', undefined, f)
    const what = asked.ok ? '' : asked.problems[0]!.what
    for (const formula of ['MnSO4,', 'MnSO4·H2O', 'MnSO4·4H2O', '169.0', '223.0']) expect(what).toContain(formula)
  })
  it('a hydrate made from its family balances and weighs more by its water', () => {
    const made = findSubstance('MnSO4', '7 H2O', f)
    const known = findSubstance('MnSO4', 'monohydrate', f)
    if (!made.ok || !known.ok) throw new Error('not found')
    expect(made.value.molarMassGPerMol - known.value.molarMassGPerMol).toBeCloseTo(6 * 18.015, 3) // CIAAW H2O
    expect(made.value.entersWater.find((e) => e.species === 'H2O')?.count).toBe(7)
    expect(made.value.cas).toBeNull()
  })
})

describe('what is not known', () => {
  check('', undefined, 'matter/substance-empty')
  check('unobtainium', undefined, 'matter/substance-unknown')
  check('__proto__', undefined, 'matter/substance-unknown')
  check('SO4^2-', undefined, 'matter/substance-unknown')
  it('a dangerous name is never answered with a near harmless one', () => {
    for (const [met, speaks] of [
      ['sodium azide', 'azide'],
      ['NaN3', 'azide'],
      ['potassium cyanide', 'hydrogen cyanide'],
      ['sodium sulphide', 'hydrogen sulfide'],
      ['ammonium perchlorate', 'explodes'],
      ['hydrofluoric acid', 'skin'],
    ] as const) {
      const found = findSubstance(met, undefined, f)
      const problem = found.ok ? undefined : found.problems[0]
      expect(problem, met).toMatchObject({ code: 'matter/substance-unknown', danger: true })
      expect(problem?.what).toContain(speaks)
      expect(problem?.todo).not.toContain('did you mean')
    }
    for (const harmless of ['potassium ferrocyanide', 'potassium ferricyanide', 'sodium sulfit', 'potassium iodid']) {
      const found = findSubstance(harmless, undefined, f)
      expect(found.ok ? undefined : found.problems[0]?.danger, harmless).toBeUndefined()
    }
  })
  it('near misses are offered', () => {
    for (const [met, meant] of [
      ['potasium iodate', 'potassium iodate'],
      ['kio3', 'KIO3'],
      ['CUSO4', 'CuSO4·5H2O'],
      ['malonic acd', 'malonic acid'],
      ['Kl', 'KI'],
    ] as const) {
      const found = findSubstance(met, undefined, f)
      expect(found.ok ? '' : found.problems[0]!.todo, met).toContain(meant)
    }
  })
  it('never throws', () => {
    fc.assert(
      fc.property(
        fc.string({ maxLength: 200 }),
        fc.option(fc.string(), { nil: undefined }),
        (t, h) => typeof findSubstance(t, h, f).ok === 'boolean',
      ),
    )
  })
})

describe('every substance', () => {
  it('is found by its id, and by its name with its hydrate', () => {
    for (const s of f.substances) {
      expect(read(s.id), s.id).toBe(s.formula)
      expect(read(s.name, s.waters === 0 ? 'anhydrous' : `${s.waters} H2O`), s.name).toBe(s.formula)
    }
  })
  it('is found by its formula, or the hydrate is asked for', () => {
    for (const s of f.substances) expect([s.formula, 'matter/hydrate-missing'], s.id).toContain(read(s.formula).split(' ')[0])
  })
})

describe('hydrate words', () => {
  it('texts of a label', () => {
    const met: readonly (readonly [string, number | null])[] = [
      ['anhydrous', 0],
      ['Monohydrate', 1],
      ['penta-hydrate', 5],
      ['·4H2O', 4],
      ['.4 H2O', 4],
      ['H2O', 1],
      ['MnSO4·H2O', 1],
      ['0.5 H2O', 0.5],
      ['hemihydrate', 0.5],
      ['hydrate', null],
      ['', null],
      ['many', null],
    ]
    for (const [text, waters] of met) expect(watersIn(text), text).toBe(waters)
  })
  it('names are cut into compound and water', () => {
    expect(splitHydrateName('cobalt(II) chloride hexahydrate')).toEqual({ compound: 'cobalt(II) chloride', waters: 6 })
    expect(splitHydrateName('sodium carbonate (anhydrous)')).toEqual({ compound: 'sodium carbonate', waters: 0 })
    expect(splitHydrateName('potassium iodate')).toEqual({ compound: 'potassium iodate', waters: null })
  })
})
