import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { countAtoms, type FormulaItem } from './formula-tree.ts'
import { molarMass, readAtomicWeights } from './molar-mass.ts'
import { formulaLimits, parseFormula } from './parse-formula.ts'
import { writeFormula, writeSpecies } from './write-formula.ts'

fc.configureGlobal({ seed: 20_260_101 })

function check(text: string, unicode: string, html: string, plain: string): void {
  it(text, () => {
    expect(writeFormula(text, 'unicode')).toBe(unicode)
    expect(writeFormula(text, 'html')).toBe(html)
    expect(writeFormula(text, 'plain')).toBe(plain)
  })
}

describe('formulas typeset', () => {
  check('CuSO4.5H2O', 'CuSO₄·5H₂O', 'CuSO<sub>4</sub>·5H<sub>2</sub>O', 'CuSO4·5H2O')
  check('SO4 2-', 'SO₄²⁻', 'SO<sub>4</sub><sup>2−</sup>', 'SO4^2-')
  check('Mn2+', 'Mn²⁺', 'Mn<sup>2+</sup>', 'Mn2+')
  check('I3-', 'I₃⁻', 'I<sub>3</sub><sup>−</sup>', 'I3-')
  check('[Fe(CN)6]3-', '[Fe(CN)₆]³⁻', '[Fe(CN)<sub>6</sub>]<sup>3−</sup>', '[Fe(CN)6]^3-')
  check('HO2.', 'HO₂•', 'HO<sub>2</sub>•', 'HO2.')
  check('I2(s)', 'I₂(s)', 'I<sub>2</sub>(s)', 'I2(s)')
  check('CaSO4·½H2O', 'CaSO₄·0.5H₂O', 'CaSO<sub>4</sub>·0.5H<sub>2</sub>O', 'CaSO4·0.5H2O')
})

describe('own names of species', () => {
  check('MA^2-', 'MA²⁻', 'MA<sup>2−</sup>', 'MA^2-')
  check('ferroin', 'ferroin', 'ferroin', 'ferroin')
  it('strange text cannot become markup', () => expect(writeFormula('<img src=x>', 'html')).toBe('&#60;img src=x&#62;'))
  it('a species is written by its own charge', () => {
    const mn3 = { id: 'MnOH2+', name: '', composition: { Mn: 1, O: 1, H: 1 }, charge: 2, phase: 'dissolved' } as const
    expect(writeSpecies(mn3, 'unicode')).toBe('MnOH²⁺')
    expect(writeSpecies({ ...mn3, id: 'SO4^2-', charge: -2 }, 'unicode')).toBe('SO₄²⁻')
    expect(writeSpecies({ ...mn3, id: 'MB+', charge: 1 }, 'html')).toBe('MB<sup>+</sup>')
  })
})

const atom = fc.record({
  kind: fc.constant('atom' as const),
  symbol: fc.constantFrom('H', 'O', 'Cu', 'S', 'N', 'C', 'Fe', 'Mn', 'I', 'D'),
  count: fc.integer({ min: 1, max: 30 }),
})
const items: fc.Arbitrary<readonly FormulaItem[]> = fc.letrec<{ items: readonly FormulaItem[] }>((tie) => ({
  items: fc.array(
    fc.oneof(
      { maxDepth: 2, depthSize: 'small' },
      atom,
      fc.record({
        kind: fc.constant('group' as const),
        bracket: fc.constantFrom('(' as const, '[' as const, '{' as const),
        items: tie('items'),
        count: fc.integer({ min: 1, max: 12 }),
      }),
    ),
    { minLength: 1, maxLength: 3 },
  ),
})).items
const closers = { '(': ')', '[': ']', '{': '}' } as const
function print(list: readonly FormulaItem[]): string {
  return list
    .map(
      (x) => (x.kind === 'atom' ? x.symbol : `${x.bracket}${print(x.items)}${closers[x.bracket]}`) + (x.count === 1 ? '' : String(x.count)),
    )
    .join('')
}
const textOf = (f: { items: readonly FormulaItem[]; waters: number; charge: number }): string => {
  const water = f.waters === 0 ? '' : `·${f.waters === 1 ? '' : f.waters}H2O`
  return `${print(f.items)}${water}${f.charge === 0 ? '' : `^${Math.abs(f.charge)}${f.charge < 0 ? '-' : '+'}`}`
}

/** Longer ones are refused on purpose. */
const fits = (text: string): boolean => text.length <= formulaLimits.mostCharacters
const any = fc
  .record({ items, waters: fc.integer({ min: 0, max: 12 }), charge: fc.integer({ min: -4, max: 4 }) })
  .filter((f) => fits(textOf(f)))

describe('laws', () => {
  it('what was built is what is read', () => {
    fc.assert(
      fc.property(any, (f) => {
        const atoms: Record<string, number> = {}
        countAtoms(f.items, 1, atoms)
        if (f.waters > 0) {
          atoms['H'] = (atoms['H'] ?? 0) + 2 * f.waters
          atoms['O'] = (atoms['O'] ?? 0) + f.waters
        }
        const parsed = parseFormula(textOf(f))
        expect(parsed.ok && parsed.value.elements).toEqual(atoms)
        expect(parsed.ok && [parsed.value.charge, parsed.value.waters]).toEqual([f.charge, f.waters])
      }),
    )
  })
  it('every rendering reads back to the same atoms and charge; plain is its own rendering', () => {
    fc.assert(
      fc.property(any, (f) => {
        const first = parseFormula(textOf(f))
        for (const style of ['plain', 'unicode'] as const) {
          const back = parseFormula(writeFormula(textOf(f), style))
          expect(back.ok && first.ok && [back.value.elements, back.value.charge]).toEqual(
            first.ok && [first.value.elements, first.value.charge],
          )
        }
        const plain = writeFormula(textOf(f), 'plain')
        expect(writeFormula(plain, 'plain')).toBe(plain)
      }),
    )
  })
  it('masses add up', () => {
    const weights = readAtomicWeights(
      [
        'H 1.008 0.0002',
        'O 15.999 0.001',
        'Cu 63.546 0.003',
        'S 32.06 0.02',
        'N 14.007 0.001',
        'C 12.011 0.002',
        'Fe 55.845 0.002',
        'Mn 54.938 0',
        'I 126.904 0',
        'D 2.014 0',
      ].map((line) => {
        const [symbol = '', abridged_value = '', abridged_uncertainty = ''] = line.split(' ')
        return { symbol, abridged_value, abridged_uncertainty, source: 'rounded, only for this law', read_or_memory: 'assumed' }
      }),
    )
    const mass = (text: string): number => {
      const m = molarMass(text, weights)
      return m.ok ? m.value.value : Number.NaN
    }
    fc.assert(
      fc.property(items, items, fc.integer({ min: 1, max: 9 }), (a, b, n) => {
        fc.pre(fits(`${print(a)}(${print(b)})${n}`))
        const sum = mass(print(a)) + n * mass(print(b))
        expect(mass(`${print(a)}(${print(b)})${n}`)).toBeCloseTo(sum, 6 - Math.ceil(Math.log10(sum)))
      }),
    )
  })
})
