/**
 * Formulas of a whole model as one list of numbered operations, each reading earlier ones: equal parts stand once, values
 * come from one pass, exact derivatives from a second pass along the same list (forward differentiation).
 */
import { invariant } from '@beakertide/basis/problems'
import { codeOf, isRelation, type Operation, operationNames, operationRows } from './operations.ts'

const INPUT = -1
const NUMBER = -2

/** Grows while formulas are entered; a node is its place in the list. */
export class TapeBuilder {
  readonly code: number[] = []
  readonly a: number[] = []
  readonly b: number[] = []
  readonly c: number[] = []
  readonly start: number[] = []
  private readonly known = new Map<string, number>()

  private put(key: string, code: number, a: number, b: number, c: number, start: number): number {
    const before = this.known.get(key)
    if (before !== undefined) return before
    const node = this.code.push(code) - 1
    this.a.push(a)
    this.b.push(b)
    this.c.push(c)
    this.start.push(start)
    this.known.set(key, node)
    return node
  }
  number(value: number): number {
    return this.put(`n${Object.is(value, -0) ? '-0' : value}`, NUMBER, 0, 0, 0, value)
  }
  /** A value given from outside; the name only keeps inputs apart. */
  input(name: string): number {
    return this.put(`i${name}`, INPUT, 0, 0, 0, Number.NaN)
  }
  isNumber(node: number): boolean {
    return this.code[node] === NUMBER
  }
  /** The value of a number node. */
  valueOf(node: number): number {
    return this.start[node] ?? Number.NaN
  }
  /** An operation on nodes; computed at once when all operands are numbers. */
  apply(op: Operation, a: number, b: number = a, c: number = b): number {
    const code = codeOf[op]
    if (this.isNumber(a) && this.isNumber(b) && this.isNumber(c)) {
      return this.number(operationRows[code]!.value(this.valueOf(a), this.valueOf(b), this.valueOf(c)))
    }
    if (op === 'choose' && this.isNumber(a)) return this.valueOf(a) !== 0 ? b : c
    if (op === 'mul' && this.isNumber(a) && this.valueOf(a) === 1) return b
    if ((op === 'mul' || op === 'div') && this.isNumber(b) && this.valueOf(b) === 1) return a
    if (op === 'add' && this.isNumber(a) && this.valueOf(a) === 0) return b
    if ((op === 'add' || op === 'sub') && this.isNumber(b) && this.valueOf(b) === 0) return a
    return this.put(`${code} ${a} ${b} ${c}`, code, a, b, c, 0)
  }
  /** The finished list. */
  tape(): Tape {
    return new Tape(this)
  }
}

/** Nodes to be computed, in order. */
export type Program = Int32Array

/** Values and slopes of a finished list. Inputs are written straight into `values`. */
export class Tape {
  readonly size: number
  readonly values: Float64Array
  /** Change of each node in the present direction; see `slopes`. */
  readonly dots: Float64Array
  /** Truth of each relation while it is held (0 or 1); not a number: compare. Other nodes: not a number. */
  readonly held: Float64Array
  private readonly code: Int32Array
  private readonly a: Int32Array
  private readonly b: Int32Array
  private readonly c: Int32Array

  constructor(built: TapeBuilder) {
    this.size = built.code.length
    this.code = Int32Array.from(built.code)
    this.a = Int32Array.from(built.a)
    this.b = Int32Array.from(built.b)
    this.c = Int32Array.from(built.c)
    this.values = Float64Array.from(built.start)
    this.dots = new Float64Array(this.size)
    this.held = new Float64Array(this.size).fill(Number.NaN)
  }

  /** Name of the node's operation; null for an input or a number. */
  operationOf(node: number): Operation | null {
    return operationNames[this.code[node] ?? -1] ?? null
  }
  operandsOf(node: number): readonly [number, number, number] {
    return [this.a[node]!, this.b[node]!, this.c[node]!]
  }
  isInput(node: number): boolean {
    return this.code[node] === INPUT
  }

  /** All operations that these nodes need, in order. */
  programFor(nodes: readonly number[]): Program {
    const needed = this.reach(nodes)
    return Int32Array.from(needed.keys()).filter((node) => needed[node] === 1 && this.code[node]! >= 0)
  }
  private reach(nodes: readonly number[]): Uint8Array {
    const needed = new Uint8Array(this.size)
    for (const node of nodes) needed[node] = 1
    for (let node = this.size - 1; node >= 0; node--) {
      if (needed[node] !== 1 || this.code[node]! < 0) continue
      needed[this.a[node]!] = 1
      needed[this.b[node]!] = 1
      needed[this.c[node]!] = 1
    }
    return needed
  }
  /** Inputs that these nodes read. */
  inputsOf(nodes: readonly number[]): readonly number[] {
    const needed = this.reach(nodes)
    return [...needed.keys()].filter((node) => needed[node] === 1 && this.code[node] === INPUT)
  }
  /** The part of the program that an input moves; a held relation is not moved, so nothing moves through it. */
  movedBy(input: number, program: Program): Program {
    const moved = new Uint8Array(this.size)
    moved[input] = 1
    for (const node of program) {
      if (isRelation(this.operationOf(node) ?? '')) continue
      if (moved[this.a[node]!] === 1 || moved[this.b[node]!] === 1 || moved[this.c[node]!] === 1) moved[node] = 1
    }
    return program.filter((node) => moved[node] === 1)
  }
  /** Relations within a program, in order. */
  relationsIn(program: Program): readonly number[] {
    return [...program].filter((node) => isRelation(this.operationOf(node) ?? ''))
  }

  /** Fills `values` of the program's nodes. */
  run(program: Program): void {
    const { values, code, a, b, c, held } = this
    for (let i = 0; i < program.length; i++) {
      const node = program[i]!
      const truth = held[node]!
      values[node] = truth === truth ? truth : operationRows[code[node]!]!.value(values[a[node]!]!, values[b[node]!]!, values[c[node]!]!)
    }
  }
  /** One operation alone. */
  runOne(node: number): void {
    this.values[node] = operationRows[this.code[node]!]!.value(
      this.values[this.a[node]!]!,
      this.values[this.b[node]!]!,
      this.values[this.c[node]!]!,
    )
  }
  /** Fills `dots` of the program's nodes from those of its inputs, at the present values. Relations are flat. */
  slopes(program: Program): void {
    for (let i = 0; i < program.length; i++) this.slopeOne(program[i]!)
  }
  slopeOne(node: number): void {
    const { values, dots } = this
    const a = this.a[node]!
    const b = this.b[node]!
    const c = this.c[node]!
    dots[node] = operationRows[this.code[node]!]!.slope(dots[a]!, dots[b]!, dots[c]!, values[a]!, values[b]!, values[node]!)
  }
  /** Sets the dots of the program's nodes to zero. */
  clearSlopes(program: Program): void {
    for (let i = 0; i < program.length; i++) this.dots[program[i]!] = 0
  }
  /** Writes an input. */
  set(input: number, value: number): void {
    invariant(this.code[input] === INPUT, 'only an input can be set')
    this.values[input] = value
  }
}
