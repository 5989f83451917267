/**
 * Units of rate constants as powers of mol, L, s, K and J, and the check that a rate law comes out in mol L^-1 s^-1.
 * A wrong unit is the commonest slip when a constant is carried from a paper, so it is refused, not guessed.
 */
import type { Expression } from './mechanism.ts'

/** Powers of mol, L, s, K, J. */
export type Dimension = readonly [number, number, number, number, number]

export const pureNumber: Dimension = [0, 0, 0, 0, 0]
export const molPerL: Dimension = [1, -1, 0, 0, 0]
export const ratePerS: Dimension = [1, -1, -1, 0, 0]
export const kelvinUnit: Dimension = [0, 0, 0, 1, 0]
export const joulePerMol: Dimension = [-1, 0, 0, 0, 1]

const BASE = ['mol', 'L', 's', 'K', 'J'] as const

/** Symbols with their dimension and factor to mol, L, s, K, J (exact by definition). */
const symbols: Readonly<Record<string, readonly [Dimension, number]>> = {
  '1': [pureNumber, 1],
  mol: [[1, 0, 0, 0, 0], 1],
  mmol: [[1, 0, 0, 0, 0], 1e-3],
  umol: [[1, 0, 0, 0, 0], 1e-6],
  L: [[0, 1, 0, 0, 0], 1],
  l: [[0, 1, 0, 0, 0], 1],
  mL: [[0, 1, 0, 0, 0], 1e-3],
  dm3: [[0, 1, 0, 0, 0], 1],
  M: [molPerL, 1],
  mM: [molPerL, 1e-3],
  s: [[0, 0, 1, 0, 0], 1],
  min: [[0, 0, 1, 0, 0], 60],
  h: [[0, 0, 1, 0, 0], 3600],
  K: [[0, 0, 0, 1, 0], 1],
  J: [[0, 0, 0, 0, 1], 1],
  kJ: [[0, 0, 0, 0, 1], 1000],
}

/** Unit symbols for messages. */
export const unitSymbols: readonly string[] = Object.keys(symbols).filter((s) => s !== '1')

const superscripts: Readonly<Record<string, string>> = {
  '⁻': '-',
  '⁰': '0',
  '¹': '1',
  '²': '2',
  '³': '3',
  '⁴': '4',
  '⁵': '5',
  '⁶': '6',
}

export interface ReadUnit {
  readonly dimension: Dimension
  /** Multiply the written number by this. */
  readonly factor: number
}

/**
 * "L^2 mol^-2 s^-1", "M-2 s-1", "L mol⁻¹ min⁻¹", "kJ/mol", "1": dimension and factor, or the part that is not understood.
 * A "/" divides by the next unit only.
 */
export function readUnit(text: string): ReadUnit | { readonly notUnderstood: string } {
  const plain = text
    .replace(/[⁻⁰¹²³⁴⁵⁶]+/g, (m) => `^${m.replace(/./g, (c) => superscripts[c] ?? '')}`)
    .replace(/[·⋅*]/g, ' ')
    .replace(/−/g, '-')
    .replace(/\s*\/\s*/g, ' /')
    .trim()
  if (plain === '') return { dimension: pureNumber, factor: 1 }
  let dimension: Dimension = pureNumber
  let factor = 1
  for (const word of plain.split(/\s+/)) {
    const match = /^(\/?)(1|[A-Za-z]+3?)(?:\^?([+-]?\d+(?:\.\d+)?))?$/.exec(word)
    const known = match?.[2] !== undefined && Object.hasOwn(symbols, match[2]) ? symbols[match[2]] : undefined
    if (!match || !known) return { notUnderstood: word }
    const power = Number(match[3] ?? 1) * (match[1] === '/' ? -1 : 1)
    if (!Number.isFinite(power) || Math.abs(power) > 20) return { notUnderstood: word }
    dimension = combine(dimension, known[0], power)
    factor *= known[1] ** power
  }
  return { dimension, factor }
}

/** a * b^power */
export function combine(a: Dimension, b: Dimension, power = 1): Dimension {
  return [a[0] + power * b[0], a[1] + power * b[1], a[2] + power * b[2], a[3] + power * b[3], a[4] + power * b[4]]
}

export function sameDimension(a: Dimension, b: Dimension): boolean {
  return a.every((x, i) => Math.abs(x - (b[i] ?? 0)) < 1e-9)
}

/** "L^2 mol^-2 s^-1", positive powers first; "1" for a pure number. */
export function printUnit(dimension: Dimension): string {
  const parts = BASE.map((symbol, i) => ({ symbol, power: Math.round((dimension[i] ?? 0) * 1e6) / 1e6 })).filter((p) => p.power !== 0)
  if (parts.length === 0) return '1'
  return parts
    .sort((a, b) => Number(b.power > 0) - Number(a.power > 0))
    .map((p) => (p.power === 1 ? p.symbol : `${p.symbol}^${p.power}`))
    .join(' ')
}

/** Unit of the constant of a mass-action step of that order: (L/mol)^(order-1) s^-1. */
export function unitOfOrder(order: number): Dimension {
  return [1 - order, order - 1, -1, 0, 0]
}

/** What the check needs to know of a constant. */
export interface KnownConstant {
  readonly dimension: Dimension
  readonly value: number
}

/** Value of an exponent that holds no concentration and no temperature; null otherwise. */
function fixedValue(e: Expression, constants: ReadonlyMap<string, KnownConstant>): number | null {
  switch (e.op) {
    case 'number':
      return e.value
    case 'constant': {
      const known = constants.get(e.name)
      return known && sameDimension(known.dimension, pureNumber) ? known.value : null
    }
    case 'neg': {
      const a = fixedValue(e.a, constants)
      return a === null ? null : -a
    }
    case 'add':
    case 'sub':
    case 'mul':
    case 'div': {
      const a = fixedValue(e.a, constants)
      const b = fixedValue(e.b, constants)
      if (a === null || b === null) return null
      return e.op === 'add' ? a + b : e.op === 'sub' ? a - b : e.op === 'mul' ? a * b : a / b
    }
    default:
      return null
  }
}

/** Dimension of the expression, or what does not fit, in words. */
function dimensionOf(e: Expression, constants: ReadonlyMap<string, KnownConstant>): Dimension | string {
  if (e.op === 'number') return pureNumber
  if (e.op === 'concentration') return molPerL
  if (e.op === 'temperature') return kelvinUnit
  if (e.op === 'constant') return constants.get(e.name)?.dimension ?? pureNumber
  const a = dimensionOf(e.a, constants)
  if (typeof a === 'string' || e.op === 'neg') return a
  if (e.op === 'sqrt') return combine(pureNumber, a, 0.5)
  if (!('b' in e)) return sameDimension(a, pureNumber) ? pureNumber : `${e.op} is taken of ${printUnit(a)}; it needs a pure number`
  const b = dimensionOf(e.b, constants)
  if (typeof b === 'string') return b
  if (e.op === 'mul') return combine(a, b)
  if (e.op === 'div') return combine(a, b, -1)
  if (e.op === 'pow') {
    if (!sameDimension(b, pureNumber)) return `an exponent has the unit ${printUnit(b)}; it must be a pure number`
    if (sameDimension(a, pureNumber)) return pureNumber
    const fixed = fixedValue(e.b, constants)
    return fixed === null ? `${printUnit(a)} is raised to a power that is not a fixed number` : combine(pureNumber, a, fixed)
  }
  const sign = e.op === 'add' ? '+' : e.op === 'sub' ? '-' : e.op
  return sameDimension(a, b) ? a : `the two sides of "${sign}" have different units, ${printUnit(a)} and ${printUnit(b)}`
}

/** Null when the law gives mol L^-1 s^-1; otherwise what does not fit. All constants must be known. */
export function unitFault(law: Expression, constants: ReadonlyMap<string, KnownConstant>): string | null {
  const found = dimensionOf(law, constants)
  if (typeof found === 'string') return found
  return sameDimension(found, ratePerS) ? null : `the rate comes out in ${printUnit(found)} instead of ${printUnit(ratePerS)}`
}
