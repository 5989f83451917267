import { describe, expect, it } from 'vitest'
import { balanceOf, describeImbalance, parseEquation } from './equation.ts'
import { parseFormula } from '../matter/index.ts'

const composed = (id: string) => {
  const f = parseFormula(id)
  if (!f.ok) throw new Error(id)
  return { composition: f.value.elements, charge: f.value.charge }
}
const difference = (text: string): string => {
  const parsed = parseEquation(text, { where: 'x' })
  if (!parsed.ok) throw new Error(parsed.problems[0]!.what)
  return describeImbalance(balanceOf(parsed.value, composed))
}
const fault = (text: string): string => {
  const parsed = parseEquation(text, { where: 'step X' })
  return parsed.ok ? 'no fault' : parsed.problems.map((p) => `${p.what} | ${p.todo}`).join(' || ')
}

describe('reading', () => {
  it('coefficients, charges and arrows', () => {
    expect(parseEquation('IO3- + I- + 2 H+ -> HIO2 + HOI', { where: 'x' })).toMatchObject({
      ok: true,
      value: {
        reversible: false,
        reactants: [
          { species: 'IO3-', coefficient: 1 },
          { species: 'I-', coefficient: 1 },
          { species: 'H+', coefficient: 2 },
        ],
        products: [
          { species: 'HIO2', coefficient: 1 },
          { species: 'HOI', coefficient: 1 },
        ],
      },
    })
    expect(parseEquation('I2 + I- <=> I3-', { where: 'x' })).toMatchObject({ ok: true, value: { reversible: true } })
    expect(parseEquation('I2 + I- ⇌ I3-', { where: 'x' })).toMatchObject({ ok: true, value: { reversible: true } })
    expect(parseEquation('A → B', { where: 'x' }).ok).toBe(true)
  })
  it('adds up a species written twice, and takes broken coefficients', () => {
    expect(parseEquation('X + X -> 0.5 Y', { where: 'x' })).toMatchObject({
      ok: true,
      value: { reactants: [{ species: 'X', coefficient: 2 }], products: [{ species: 'Y', coefficient: 0.5 }] },
    })
  })
  it.each([
    ['2H+ + A -> B', /write the coefficient apart: "2 H\+"/],
    ['A B -> C', /"A" is not a coefficient/],
    ['A+ B -> C', /"A\+" is not a coefficient/],
    ['1 2 A -> C', /not a coefficient and a species/],
    ['A -> B -> C', /no single arrow/],
    ['A <=> B -> C', /no single arrow/],
    ['A = B', /no single arrow/],
    ['A + -> B', /species/],
    [' -> B', /missing/],
    ['-1 A -> B', /not a coefficient/],
    ['0 A -> B', /not a coefficient/],
    ['NaN A -> B', /not a coefficient/],
    ['1e9 A -> B', /at most 100/],
    ['[A] -> B', /not a species name/],
    [`A -> ${'B'.repeat(500)}`, /at most 400/],
  ])('%s', (text, wanted) => expect(fault(text)).toMatch(wanted))
  it('tells all faults at once', () => {
    expect(fault('2H+ + [A] -> 3C')).toMatch(/2 H\+.*\[A\].*3 C/s)
  })
})

describe('balance names what is missing', () => {
  it.each([
    ['HOI + I- + H+ -> I2 + H2O', ''],
    ['IO3- + I- + 2 H+ -> HIO2 + HOI', ''],
    ['HOI + I- + H+ -> I2', 'the products lack 2 H, 1 O'],
    ['HOI + I- -> I2 + H2O', 'the products have 1 H too many; the charge is -1 on the left and 0 on the right'],
    ['IO3- + I- -> 2 HOI', 'the products lack 1 O and have 2 H too many; the charge is -2 on the left and 0 on the right'],
    ['Mn2+ -> Mn2+ + Mn2+', 'the products have 1 Mn too many; the charge is 2 on the left and 4 on the right'],
  ])('%s: %s', (text, wanted) => expect(difference(text)).toBe(wanted))
})
