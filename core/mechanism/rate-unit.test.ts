import { describe, expect, it } from 'vitest'
import { parseExpression } from './expression.ts'
import { type Dimension, molPerL, printUnit, readUnit, unitFault, unitOfOrder } from './rate-unit.ts'

const unit = (text: string): string => {
  const read = readUnit(text)
  return 'notUnderstood' in read ? `? ${read.notUnderstood}` : `${read.factor === 1 ? '' : `${read.factor} `}${printUnit(read.dimension)}`
}

describe('reading units', () => {
  it.each([
    ['L^2 mol^-2 s^-1', 'L^2 mol^-2 s^-1'],
    ['M-2 s-1', 'L^2 mol^-2 s^-1'],
    ['L²·mol⁻²·s⁻¹', 'L^2 mol^-2 s^-1'],
    ['dm3 mol-1 s-1', 'L mol^-1 s^-1'],
    ['L/mol/s', 'L mol^-1 s^-1'],
    ['mol/L', 'mol L^-1'],
    ['s^-1', 's^-1'],
    ['L^0.5 mol^-0.5', 'L^0.5 mol^-0.5'],
    ['', '1'],
    ['1', '1'],
    ['J mol^-1 K^-1', 'J mol^-1 K^-1'],
  ])('%s', (text, wanted) => expect(unit(text)).toBe(wanted))
  it('converts: a minute is 60 s, mM is 1e-3', () => {
    const perMinute = readUnit('L mol^-1 min^-1')
    expect('factor' in perMinute && perMinute.factor).toBeCloseTo(1 / 60, 15)
    const perMilli = readUnit('mM^-1 s^-1')
    expect('factor' in perMilli && perMilli.factor).toBeCloseTo(1000, 12)
  })
  it.each([
    ['furlong s^-1', '? furlong'],
    ['L^2^3', '? L^2^3'],
    ['L^99 s^-1', '? L^99'],
    ['constructor', '? constructor'],
  ])('%s is not understood', (text, wanted) => expect(unit(text)).toBe(wanted))
})

describe('units of orders', () => {
  it.each([
    [0, 'mol L^-1 s^-1'],
    [1, 's^-1'],
    [2, 'L mol^-1 s^-1'],
    [4, 'L^3 mol^-3 s^-1'],
  ])('order %d', (order, wanted) => expect(printUnit(unitOfOrder(order))).toBe(wanted))
})

describe('units of laws', () => {
  const second: Dimension = [0, 0, -1, 0, 0]
  const root: Dimension = [-0.5, 0.5, 0, 0, 0]
  const constants = new Map<string, { dimension: Dimension; value: number }>([
    ['k', { dimension: unitOfOrder(2), value: 1 }],
    ['k1', { dimension: second, value: 1 }],
    ['K', { dimension: molPerL, value: 1 }],
    ['Am', { dimension: root, value: 0.5 }],
    ['n', { dimension: [0, 0, 0, 0, 0], value: 0.5 }],
    ['I', { dimension: molPerL, value: 0.1 }],
  ])
  const fault = (text: string): string | null => {
    const parsed = parseExpression(text, { where: 'x' })
    if (!parsed.ok) throw new Error(text)
    return unitFault(parsed.value, constants)
  }
  it.each([
    'k*[A]*[B]',
    'k1*[A]*[B]/(K + [B])',
    'k*10^(4*Am*sqrt(I))*[A]*[B]',
    'k1*[A]^n*[B]^0.5',
    'k1*max([A] - K, [B])',
    'k1*[A]*exp(-[B]/K)',
  ])('%s fits', (text) => expect(fault(text)).toBeNull())
  it.each([
    ['k*[A]', /comes out in s\^-1/],
    ['k1*[A]/(1 + [B])', /two sides of "\+" have different units, 1 and mol L\^-1/],
    ['k1*[A]*exp([B])', /exp is taken of mol L\^-1/],
    ['k1*[A]^[B]', /exponent has the unit/],
    ['k1*[A]^(1/T*T)', /not a fixed number/],
    ['k1*K + k1*k1', /different units/],
    ['k1*[A]*T', /mol K L\^-1 s\^-1/],
  ])('%s', (text, wanted) => expect(fault(text)).toMatch(wanted))
})
