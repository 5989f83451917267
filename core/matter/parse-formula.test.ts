import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { elementSymbols } from './element-symbols.ts'
import { formulaLimits, parseFormula } from './parse-formula.ts'

fc.configureGlobal({ seed: 20_260_101 })

/** "Cu1 S1 O9 H10 | 0 | 5" */
function read(text: string): string {
  const parsed = parseFormula(text)
  if (!parsed.ok) return parsed.problems.map((p) => p.code).join(' ')
  const atoms = Object.entries(parsed.value.elements).map(([symbol, count]) => symbol + count)
  return `${atoms.join(' ')} | ${parsed.value.charge} | ${parsed.value.waters}`
}
function check(text: string, expected: string): void {
  it(`${JSON.stringify(text.length > 40 ? `${text.slice(0, 40)}…` : text)} -> ${expected}`, () => expect(read(text)).toBe(expected))
}
function problemOf(text: string): { readonly where: string; readonly what: string; readonly todo: string } {
  const parsed = parseFormula(text)
  if (parsed.ok) throw new Error(`"${text}" should not parse`)
  return parsed.problems[0]!
}

describe('formulas read', () => {
  check('KIO3', 'K1 I1 O3 | 0 | 0')
  check('Fe2(SO4)3', 'Fe2 S3 O12 | 0 | 0')
  check('[Fe(C12H8N2)3]SO4', 'Fe1 C36 H24 N6 S1 O4 | 0 | 0')
  check('CO(NH2)2', 'C1 O1 N2 H4 | 0 | 0')
  check('K4{Fe[CN]6}', 'K4 Fe1 C6 N6 | 0 | 0')
  check('D2O', 'D2 O1 | 0 | 0')
})

describe('water of crystallisation', () => {
  for (const dot of ['·', '.', '*', '•', '⋅', ' · ']) check(`CuSO4${dot}5H2O`, 'Cu1 S1 O9 H10 | 0 | 5')
  check('CuSO4·5 H2O', 'Cu1 S1 O9 H10 | 0 | 5')
  check('MnSO4·H2O', 'Mn1 S1 O5 H2 | 0 | 1')
  check('CaSO4·0.5H2O', 'Ca1 S1 O4.5 H1 | 0 | 0.5')
  check('CaSO4.1/2H2O', 'Ca1 S1 O4.5 H1 | 0 | 0.5')
  check('CaSO4·½H2O', 'Ca1 S1 O4.5 H1 | 0 | 0.5')
  check('K2SO4.Al2(SO4)3.24H2O', 'K2 S4 O40 Al2 H48 | 0 | 24')
  check('Na2CO3·1.5H2O2', 'Na2 C1 O6 H3 | 0 | 0')
})

describe('charges', () => {
  check('Mn2+', 'Mn1 | 2 | 0')
  check('NH4+', 'N1 H4 | 1 | 0')
  check('I3-', 'I3 | -1 | 0')
  check('MnO4-', 'Mn1 O4 | -1 | 0')
  check('SO4^2-', 'S1 O4 | -2 | 0')
  check('SO4^-2', 'S1 O4 | -2 | 0')
  check('SO4 2-', 'S1 O4 | -2 | 0')
  check('SO4-2', 'S1 O4 | -2 | 0')
  check('SO4--', 'S1 O4 | -2 | 0')
  check('SO₄²⁻', 'S1 O4 | -2 | 0')
  check('NH₄⁺', 'N1 H4 | 1 | 0')
  check('Mn²⁺', 'Mn1 | 2 | 0')
  check('Mg+2', 'Mg1 | 2 | 0')
  check('Fe(CN)6^3-', 'Fe1 C6 N6 | -3 | 0')
  check('[Fe(CN)6]3-', 'Fe1 C6 N6 | -3 | 0')
  check('Ag(NH3)2+', 'Ag1 N2 H6 | 1 | 0')
  check('HO2.', 'H1 O2 | 0 | 0')
  check('Cl2.-', 'Cl2 | -1 | 0')
  it('the phase is taken off', () => {
    const parsed = parseFormula('CO3 2-(aq)')
    expect(parsed.ok && [parsed.value.phase, parsed.value.charge]).toEqual(['aq', -2])
  })
  it('one negative charge on two atoms of one element is said', () => {
    const parsed = parseFormula('S2-')
    expect(parsed.ok && parsed.warnings[0]?.todo).toContain('S^2-')
  })
  it('digits that may be atoms or charge are refused with both readings', () => {
    expect(problemOf('SO42-').todo).toBe('write "SO4^2-" or "SO42^-"')
  })
})

describe('faults', () => {
  check('', 'matter/formula-empty')
  check('   ', 'matter/formula-empty')
  check('KL', 'matter/unknown-element')
  check('Cu(SO4', 'matter/bracket-left-open')
  check('Fe2(SO4))3', 'matter/bracket-not-opened')
  check('Fe2(SO4]3', 'matter/bracket-mismatch')
  check('Fe()2', 'matter/bracket-empty')
  check('H0', 'matter/count-zero')
  check('H02', 'matter/count-zero')
  check('H99999', 'matter/count-not-allowed')
  check('MgSO4·xH2O', 'matter/hydrate-not-stated')
  check('2H2O', 'matter/number-before-formula')
  check('CuSO4·', 'matter/nothing-beside-dot')
  check('NaCl.', 'matter/nothing-beside-dot')
  check('·5H2O', 'matter/nothing-beside-dot')
  check('Na+Cl-', 'matter/sign-misplaced')
  check('SO4^', 'matter/sign-misplaced')
  check('SO4^22-', 'matter/charge-not-readable')
  check('SO4+-', 'matter/charge-not-readable')
  check('Cu SO4', 'matter/space-inside')
  check('Cu<b>', 'matter/character-not-allowed')
  check('(5H2O)', 'matter/count-without-element')
  it('all faults at once, each at its character', () => {
    const parsed = parseFormula('KxQ3(SO0')
    expect(parsed.ok ? [] : parsed.problems.map((p) => `${p.code} ${p.where}`)).toEqual([
      'matter/unknown-element formula "KxQ3(SO0", character 1',
      'matter/unknown-element formula "KxQ3(SO0", character 3',
      'matter/count-zero formula "KxQ3(SO0", character 8',
      'matter/bracket-left-open formula "KxQ3(SO0", character 5',
    ])
  })
  it('wrong capitals get the formula that was meant', () => {
    for (const [met, meant] of [
      ['CUSO4', 'CuSO4'],
      ['cuso4', 'CuSO4'],
      ['kio3', 'KIO3'],
      ['NACL', 'NaCl'],
      ['h2so4', 'H2SO4'],
      ['MNSO4.H2O', 'MnSO4.H2O'],
      ['naoh', 'NaOH'],
    ] as const) {
      expect(problemOf(met).todo, met).toContain(`"${meant}"`)
    }
    expect(problemOf('Kl').todo).toContain('"KI"')
    expect(problemOf('H02').todo).toContain('"O2"')
  })
  it('formulas that are all capitals by right are left alone', () => {
    for (const right of ['KIO3', 'KOH', 'HNO3', 'H2SO4', 'CO2', 'HCN', 'KSCN', 'H3PO4', 'NO', 'UO2'])
      expect(parseFormula(right).ok, right).toBe(true)
  })
})

describe('hostile text', () => {
  check('A'.repeat(formulaLimits.mostCharacters + 1), 'matter/formula-too-long')
  check('('.repeat(100), 'matter/brackets-too-deep')
  check('__proto__', 'matter/character-not-allowed')
  it('never throws, whatever the text', () => {
    fc.assert(fc.property(fc.string({ maxLength: 250 }), (text) => typeof parseFormula(text).ok === 'boolean'))
    const pieces = fc.constantFrom(
      'H',
      'O',
      'Cu',
      'So',
      '(',
      ')',
      '[',
      ']',
      '2',
      '0',
      '·',
      '.',
      '^',
      '+',
      '-',
      ' ',
      '(s)',
      'x',
      '²',
      '₂',
      '😀',
    )
    fc.assert(fc.property(fc.array(pieces, { maxLength: 30 }), (p) => typeof parseFormula(p.join('')).ok === 'boolean'))
  })
  it('only element symbols become keys', () => {
    const pieces = fc.constantFrom('H', 'O', 'Cu', '(', ')', '2', '·', 'constructor', '__proto__', 'toString')
    fc.assert(
      fc.property(fc.array(pieces, { maxLength: 12 }), (p) => {
        const parsed = parseFormula(p.join(''))
        return !parsed.ok || Object.keys(parsed.value.elements).every((symbol) => elementSymbols.has(symbol))
      }),
    )
  })
})
