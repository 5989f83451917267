/**
 * Rate laws over numbered places ("slots") of one working vector: states, held species, constants, literal numbers.
 * Here they are differentiated, tidied, and turned into sums of products (fast) or small stack programs.
 */
import { invariant } from '@beakertide/basis/problems'
import type { Expression } from './mechanism.ts'

export type SlotNode =
  | { readonly op: 'number'; readonly value: number }
  | { readonly op: 'slot'; readonly slot: number }
  | { readonly op: 'neg' | 'sqrt' | 'exp' | 'ln' | 'log10'; readonly a: SlotNode }
  | { readonly op: 'add' | 'sub' | 'mul' | 'div' | 'pow' | 'min' | 'max'; readonly a: SlotNode; readonly b: SlotNode }
  /** `ifSo` where a <= b, `ifNot` elsewhere. */
  | { readonly op: 'if-at-most'; readonly a: SlotNode; readonly b: SlotNode; readonly ifSo: SlotNode; readonly ifNot: SlotNode }

export const numberNode = (value: number): SlotNode => ({ op: 'number', value })
export const slotNode = (slot: number): SlotNode => ({ op: 'slot', slot })
const isNumber = (n: SlotNode, value: number): boolean => n.op === 'number' && n.value === value

/** The same law with every name replaced by its slot. */
export function placeInSlots(e: Expression, slotOf: (leaf: Expression) => number): SlotNode {
  switch (e.op) {
    case 'number':
      return e
    case 'concentration':
    case 'constant':
    case 'temperature':
      return slotNode(slotOf(e))
    case 'neg':
    case 'sqrt':
    case 'exp':
    case 'ln':
    case 'log10':
      return { op: e.op, a: placeInSlots(e.a, slotOf) }
    default:
      return { op: e.op, a: placeInSlots(e.a, slotOf), b: placeInSlots(e.b, slotOf) }
  }
}

export function add(a: SlotNode, b: SlotNode): SlotNode {
  if (isNumber(a, 0)) return b
  if (isNumber(b, 0)) return a
  return a.op === 'number' && b.op === 'number' ? numberNode(a.value + b.value) : { op: 'add', a, b }
}
export function sub(a: SlotNode, b: SlotNode): SlotNode {
  if (isNumber(b, 0)) return a
  if (isNumber(a, 0)) return neg(b)
  return a.op === 'number' && b.op === 'number' ? numberNode(a.value - b.value) : { op: 'sub', a, b }
}
export function mul(a: SlotNode, b: SlotNode): SlotNode {
  if (isNumber(a, 0) || isNumber(b, 0)) return numberNode(0)
  if (isNumber(a, 1)) return b
  if (isNumber(b, 1)) return a
  return a.op === 'number' && b.op === 'number' ? numberNode(a.value * b.value) : { op: 'mul', a, b }
}
export function div(a: SlotNode, b: SlotNode): SlotNode {
  if (isNumber(a, 0)) return numberNode(0)
  return isNumber(b, 1) ? a : { op: 'div', a, b }
}
export function neg(a: SlotNode): SlotNode {
  return a.op === 'number' ? numberNode(-a.value) : { op: 'neg', a }
}

/** Below this a root or a broken power is taken as flat, so that a derivative at zero concentration stays finite (mol/L). */
export const FLAT_BELOW = 1e-24

/**
 * Partial derivative by one slot. `chainOf(slot)` gives the derivative of a slot that itself depends on the one asked for
 * (rate constants on temperature), or undefined.
 */
export function differentiate(n: SlotNode, by: number, chainOf: (slot: number) => SlotNode | undefined): SlotNode {
  const d = (inner: SlotNode): SlotNode => differentiate(inner, by, chainOf)
  switch (n.op) {
    case 'number':
      return numberNode(0)
    case 'slot':
      return n.slot === by ? numberNode(1) : (chainOf(n.slot) ?? numberNode(0))
    case 'neg':
      return neg(d(n.a))
    case 'add':
      return add(d(n.a), d(n.b))
    case 'sub':
      return sub(d(n.a), d(n.b))
    case 'mul':
      return add(mul(d(n.a), n.b), mul(n.a, d(n.b)))
    case 'div':
      return sub(div(d(n.a), n.b), div(mul(n.a, d(n.b)), mul(n.b, n.b)))
    case 'sqrt':
      return div(mul(numberNode(0.5), d(n.a)), { op: 'max', a: n, b: numberNode(Math.sqrt(FLAT_BELOW)) })
    case 'exp':
      return mul(n, d(n.a))
    case 'ln':
      return div(d(n.a), n.a)
    case 'log10':
      return div(mul(numberNode(Math.LOG10E), d(n.a)), n.a)
    case 'min':
      return choose(n.a, n.b, d(n.a), d(n.b))
    case 'max':
      return choose(n.a, n.b, d(n.b), d(n.a))
    case 'if-at-most':
      return choose(n.a, n.b, d(n.ifSo), d(n.ifNot))
    case 'pow':
      return powerSlope(n.a, n.b, d(n.a), d(n.b))
  }
}

function choose(a: SlotNode, b: SlotNode, ifSo: SlotNode, ifNot: SlotNode): SlotNode {
  const both = isNumber(ifSo, 0) && isNumber(ifNot, 0)
  return both ? numberNode(0) : { op: 'if-at-most', a, b, ifSo, ifNot }
}

/** (a^b)' = b a^(b-1) a' + a^b ln(a) b' */
function powerSlope(a: SlotNode, b: SlotNode, da: SlotNode, db: SlotNode): SlotNode {
  const lower = sub(b, numberNode(1))
  const whole = b.op === 'number' && Number.isInteger(b.value) && b.value >= 1
  const base: SlotNode = whole ? a : { op: 'max', a, b: numberNode(FLAT_BELOW) }
  const power: SlotNode = isNumber(lower, 0) ? numberNode(1) : isNumber(lower, 1) ? a : { op: 'pow', a: base, b: lower }
  const byBase = mul(mul(b, power), da)
  const byExponent = mul(mul({ op: 'pow', a, b }, { op: 'ln', a: { op: 'max', a, b: numberNode(FLAT_BELOW) } }), db)
  return add(byBase, byExponent)
}

/** coefficient * product of slots (a slot stands as often as its power). */
export interface Monomial {
  readonly coefficient: number
  readonly slots: readonly number[]
}

const MOST_MONOMIALS = 12
const MOST_FACTORS = 10

/** The law as a sum of products, or null when it is not one (a quotient of concentrations, a root …). */
export function asMonomials(n: SlotNode): readonly Monomial[] | null {
  switch (n.op) {
    case 'number':
      return n.value === 0 ? [] : [{ coefficient: n.value, slots: [] }]
    case 'slot':
      return [{ coefficient: 1, slots: [n.slot] }]
    case 'neg':
      return scaled(asMonomials(n.a), -1)
    case 'add':
    case 'sub': {
      const a = asMonomials(n.a)
      const b = scaled(asMonomials(n.b), n.op === 'add' ? 1 : -1)
      return a && b && a.length + b.length <= MOST_MONOMIALS ? [...a, ...b] : null
    }
    case 'mul':
      return product(asMonomials(n.a), asMonomials(n.b))
    case 'div':
      return n.b.op === 'number' && n.b.value !== 0 ? scaled(asMonomials(n.a), 1 / n.b.value) : null
    case 'pow': {
      if (n.b.op !== 'number' || !Number.isInteger(n.b.value) || n.b.value < 1 || n.b.value > MOST_FACTORS) return null
      const base = asMonomials(n.a)
      let result = base
      for (let i = 1; i < n.b.value; i++) result = product(result, base)
      return result
    }
    default:
      return null
  }
}

function scaled(list: readonly Monomial[] | null, by: number): readonly Monomial[] | null {
  return list?.map((m) => ({ coefficient: m.coefficient * by, slots: m.slots })) ?? null
}

function product(a: readonly Monomial[] | null, b: readonly Monomial[] | null): readonly Monomial[] | null {
  if (!a || !b || a.length * b.length > MOST_MONOMIALS) return null
  const all = a.flatMap((x) => b.map((y) => ({ coefficient: x.coefficient * y.coefficient, slots: [...x.slots, ...y.slots] })))
  return all.every((m) => m.slots.length <= MOST_FACTORS) ? all : null
}

/** Equal products added up; those that cancel are gone. */
export function merged(list: readonly Monomial[]): readonly Monomial[] {
  const sums = new Map<string, { coefficient: number; readonly slots: readonly number[] }>()
  for (const m of list) {
    const slots = [...m.slots].sort((a, b) => a - b)
    const before = sums.get(slots.join(' '))
    if (before) before.coefficient += m.coefficient
    else sums.set(slots.join(' '), { coefficient: m.coefficient, slots })
  }
  return [...sums.values()].filter((m) => m.coefficient !== 0)
}

/** Operations of a stack program; a program is pairs (operation, slot or power). */
export const operations = {
  load: 0,
  neg: 1,
  add: 2,
  sub: 3,
  mul: 4,
  div: 5,
  /** Power with a whole exponent 1 … 10, given as operand. */
  powWhole: 6,
  /** Any other power; a negative base counts as zero. */
  pow: 7,
  /** Of a negative number: zero. */
  sqrt: 8,
  exp: 9,
  ln: 10,
  log10: 11,
  min: 12,
  max: 13,
  /** Takes a, b, ifSo, ifNot from the stack. */
  ifAtMost: 14,
} as const

const opcodes: Readonly<Record<'neg' | 'sqrt' | 'exp' | 'ln' | 'log10' | 'add' | 'sub' | 'mul' | 'div' | 'min' | 'max', number>> =
  operations

/** Appends the program of `n` to `code`; `slotOfNumber` gives the slot of a literal number. Returns the stack depth it needs. */
export function writeProgram(n: SlotNode, code: number[], slotOfNumber: (value: number) => number): number {
  const write = (inner: SlotNode): number => writeProgram(inner, code, slotOfNumber)
  if (n.op === 'number' || n.op === 'slot') {
    code.push(operations.load, n.op === 'slot' ? n.slot : slotOfNumber(n.value))
    return 1
  }
  if (n.op === 'if-at-most') {
    const depth = Math.max(write(n.a), 1 + write(n.b), 2 + write(n.ifSo), 3 + write(n.ifNot))
    code.push(operations.ifAtMost, 0)
    return depth
  }
  const deepA = write(n.a)
  if (n.op === 'pow') {
    if (n.b.op === 'number' && Number.isInteger(n.b.value) && n.b.value >= 1 && n.b.value <= MOST_FACTORS) {
      code.push(operations.powWhole, n.b.value)
      return deepA
    }
    const deep = Math.max(deepA, 1 + write(n.b))
    code.push(operations.pow, 0)
    return deep
  }
  const deep = 'b' in n ? Math.max(deepA, 1 + write(n.b)) : deepA
  code.push(opcodes[n.op], 0)
  return deep
}

/**
 * Runs the program code[from, to) on the slots and leaves the result in stack[0]; `stack` must be as deep as writeProgram said.
 * Nothing is returned: a returned number would be boxed, and this stands in the innermost loop.
 */
export function runProgram(code: Int32Array, from: number, to: number, slots: Float64Array, stack: Float64Array): void {
  let top = -1
  for (let i = from; i < to; i += 2) {
    const operand = code[i + 1]!
    switch (code[i]) {
      case operations.load:
        stack[++top] = slots[operand]!
        break
      case operations.neg:
        stack[top] = -stack[top]!
        break
      case operations.add:
        top--
        stack[top] = stack[top]! + stack[top + 1]!
        break
      case operations.sub:
        top--
        stack[top] = stack[top]! - stack[top + 1]!
        break
      case operations.mul:
        top--
        stack[top] = stack[top]! * stack[top + 1]!
        break
      case operations.div:
        top--
        stack[top] = stack[top]! / stack[top + 1]!
        break
      case operations.powWhole: {
        const base = stack[top]!
        let value = base
        for (let power = 1; power < operand; power++) value *= base
        stack[top] = value
        break
      }
      case operations.pow:
        top--
        stack[top] = Math.max(stack[top]!, 0) ** stack[top + 1]!
        break
      case operations.sqrt:
        stack[top] = Math.sqrt(Math.max(stack[top]!, 0))
        break
      case operations.exp:
        stack[top] = Math.exp(stack[top]!)
        break
      case operations.ln:
        stack[top] = Math.log(stack[top]!)
        break
      case operations.log10:
        stack[top] = Math.log10(stack[top]!)
        break
      case operations.min:
        top--
        stack[top] = Math.min(stack[top]!, stack[top + 1]!)
        break
      case operations.max:
        top--
        stack[top] = Math.max(stack[top]!, stack[top + 1]!)
        break
      case operations.ifAtMost:
        top -= 3
        stack[top] = stack[top]! <= stack[top + 1]! ? stack[top + 2]! : stack[top + 3]!
        break
      default:
        invariant(false, 'a rate program holds an unknown operation')
    }
  }
}
