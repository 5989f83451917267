/**
 * The operations of exchanged mathematics: value and first-order change of each. A tape (tape.ts) holds them as codes.
 * Truth values are 0 and 1; every number but 0 counts as true.
 */

interface OperationRow {
  /** Operands it does not use are ignored. */
  readonly value: (x: number, y: number, z: number) => number
  /** Change of the value v when the operands change by dx, dy, dz. Steps are flat; at a kink the side taken counts. */
  readonly slope: (dx: number, dy: number, dz: number, x: number, y: number, v: number) => number
  readonly truth?: true
}

/** A product in which nothing times anything is nothing, so that an operand that does not move cannot spoil a slope. */
const times = (d: number, factor: number): number => (d === 0 ? 0 : d * factor)
const flat = (): number => 0

/** Of a whole number from 0 to 170; infinite above; not a number otherwise. */
function factorial(x: number): number {
  if (!Number.isInteger(x) || x < 0) return Number.NaN
  let product = 1
  for (let i = 2; i <= x && product < Infinity; i++) product *= i
  return product
}

/** Real root of degree n: of a negative number only for odd whole degrees. */
function root(x: number, degree: number): number {
  if (degree === 2) return Math.sqrt(x)
  if (degree === 3) return Math.cbrt(x)
  return x < 0 && Math.abs(degree % 2) === 1 ? -((-x) ** (1 / degree)) : x ** (1 / degree)
}

/** x^y moved by x; a power 0 is flat also at x = 0. */
const powerFactor = (x: number, y: number): number => (y === 0 ? 0 : y * x ** (y - 1))

const table = {
  add: { value: (x, y) => x + y, slope: (dx, dy) => dx + dy },
  sub: { value: (x, y) => x - y, slope: (dx, dy) => dx - dy },
  mul: { value: (x, y) => x * y, slope: (dx, dy, _dz, x, y) => times(dx, y) + times(dy, x) },
  div: { value: (x, y) => x / y, slope: (dx, dy, _dz, _x, y, v) => times(dx, 1 / y) - times(dy, v / y) },
  pow: {
    value: (x, y) => x ** y,
    slope: (dx, dy, _dz, x, y, v) => times(dx, powerFactor(x, y)) + times(dy, v === 0 ? 0 : v * Math.log(x)),
  },
  neg: { value: (x) => -x, slope: (dx) => -dx },
  abs: { value: Math.abs, slope: (dx, _dy, _dz, x) => (x < 0 ? -dx : dx) },
  exp: { value: Math.exp, slope: (dx, _dy, _dz, _x, _y, v) => times(dx, v) },
  ln: { value: Math.log, slope: (dx, _dy, _dz, x) => times(dx, 1 / x) },
  log10: { value: Math.log10, slope: (dx, _dy, _dz, x) => times(dx, Math.LOG10E / x) },
  sqrt: { value: Math.sqrt, slope: (dx, _dy, _dz, _x, _y, v) => times(dx, 0.5 / v) },
  /** Root of x of degree y. */
  root: {
    value: root,
    slope: (dx, dy, _dz, x, y, v) => times(dx, v / (y * x)) - times(dy, (v * Math.log(Math.abs(x))) / (y * y)),
  },
  floor: { value: Math.floor, slope: flat },
  ceiling: { value: Math.ceil, slope: flat },
  factorial: { value: factorial, slope: flat },
  min: { value: (x, y) => Math.min(x, y), slope: (dx, dy, _dz, x, y) => (x <= y ? dx : dy) },
  max: { value: (x, y) => Math.max(x, y), slope: (dx, dy, _dz, x, y) => (x >= y ? dx : dy) },
  /** Division towards zero, and what it leaves. */
  quotient: { value: (x, y) => Math.trunc(x / y), slope: flat },
  rem: { value: (x, y) => x % y, slope: (dx, dy, _dz, x, y) => dx - times(dy, Math.trunc(x / y)) },
  sin: { value: Math.sin, slope: (dx, _dy, _dz, x) => times(dx, Math.cos(x)) },
  cos: { value: Math.cos, slope: (dx, _dy, _dz, x) => times(dx, -Math.sin(x)) },
  tan: { value: Math.tan, slope: (dx, _dy, _dz, _x, _y, v) => times(dx, 1 + v * v) },
  sinh: { value: Math.sinh, slope: (dx, _dy, _dz, x) => times(dx, Math.cosh(x)) },
  cosh: { value: Math.cosh, slope: (dx, _dy, _dz, x) => times(dx, Math.sinh(x)) },
  tanh: { value: Math.tanh, slope: (dx, _dy, _dz, _x, _y, v) => times(dx, 1 - v * v) },
  arcsin: { value: Math.asin, slope: (dx, _dy, _dz, x) => times(dx, 1 / Math.sqrt(1 - x * x)) },
  arccos: { value: Math.acos, slope: (dx, _dy, _dz, x) => times(dx, -1 / Math.sqrt(1 - x * x)) },
  arctan: { value: Math.atan, slope: (dx, _dy, _dz, x) => times(dx, 1 / (1 + x * x)) },
  arcsinh: { value: Math.asinh, slope: (dx, _dy, _dz, x) => times(dx, 1 / Math.sqrt(1 + x * x)) },
  arccosh: { value: Math.acosh, slope: (dx, _dy, _dz, x) => times(dx, 1 / Math.sqrt(x * x - 1)) },
  arctanh: { value: Math.atanh, slope: (dx, _dy, _dz, x) => times(dx, 1 / (1 - x * x)) },
  lt: { value: (x, y) => Number(x < y), slope: flat, truth: true },
  leq: { value: (x, y) => Number(x <= y), slope: flat, truth: true },
  gt: { value: (x, y) => Number(x > y), slope: flat, truth: true },
  geq: { value: (x, y) => Number(x >= y), slope: flat, truth: true },
  eq: { value: (x, y) => Number(x === y), slope: flat, truth: true },
  neq: { value: (x, y) => Number(x !== y), slope: flat, truth: true },
  and: { value: (x, y) => Number(x !== 0 && y !== 0), slope: flat, truth: true },
  or: { value: (x, y) => Number(x !== 0 || y !== 0), slope: flat, truth: true },
  xor: { value: (x, y) => Number((x !== 0) !== (y !== 0)), slope: flat, truth: true },
  not: { value: (x) => Number(x === 0), slope: flat, truth: true },
  /** y where x is true, z elsewhere. */
  choose: { value: (x, y, z) => (x !== 0 ? y : z), slope: (_dx, dy, dz, x) => (x !== 0 ? dy : dz) },
} satisfies Readonly<Record<string, OperationRow>>

export type Operation = keyof typeof table
export const operationNames = Object.keys(table) as readonly Operation[]
/** Code of each operation: its place in `operationNames`. */
export const codeOf = Object.fromEntries(operationNames.map((op, code) => [op, code])) as Readonly<Record<Operation, number>>
/** Value and slope by code. */
export const operationRows: readonly OperationRow[] = operationNames.map((op) => table[op])

export type Relation = 'lt' | 'leq' | 'gt' | 'geq' | 'eq' | 'neq'
const relations: readonly string[] = ['lt', 'leq', 'gt', 'geq', 'eq', 'neq'] satisfies readonly Relation[]
export const isRelation = (op: string): op is Relation => relations.includes(op)
/** Whether the operation gives a truth value. */
export const givesTruth = (op: string): boolean => operationRows[codeOf[op as Operation] ?? -1]?.truth === true

/** Truth of a relation whose left side less its right side has this sign (0: equal). */
export function relationHolds(op: Relation, sign: number): boolean {
  return operationRows[codeOf[op]]?.value(sign, 0, 0) === 1
}
