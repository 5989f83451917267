/**
 * A small encoder of WebAssembly modules: straight from statements to bytes, no text format, no tree. Source: WebAssembly Core
 * Specification, release 2.0 (W3C 2022), chapter 5 (binary format) and section 5.4 (opcodes, the vector ones included).
 *
 * Code is a stack machine: operands first, then the operation. Only what a kernel of doubles needs is here.
 */
import { invariant } from '../problems/index.ts'

/** Types of locals, parameters and results. */
export type WasmType = 'i32' | 'f64' | 'pair'

const typeCode: Readonly<Record<WasmType, number>> = { i32: 0x7f, f64: 0x7c, pair: 0x7b }
const EMPTY_BLOCK = 0x40
const VECTOR_PREFIX = 0xfd
const PAGE_BYTES = 65536
/** Alignment exponents of a double and of a pair of doubles. */
const ALIGN_DOUBLE = 3
const ALIGN_PAIR = 4

/** Operations without operands of their own. */
const plain = {
  drop: 0x1a,
  select: 0x1b,
  return: 0x0f,
  'i32.eqz': 0x45,
  'i32.ltUnsigned': 0x49,
  'i32.add': 0x6a,
  'i32.and': 0x71,
  'i32.or': 0x72,
  equal: 0x61,
  notEqual: 0x62,
  less: 0x63,
  greater: 0x64,
  atMost: 0x65,
  atLeast: 0x66,
  abs: 0x99,
  neg: 0x9a,
  sqrt: 0x9f,
  add: 0xa0,
  sub: 0xa1,
  mul: 0xa2,
  div: 0xa3,
  min: 0xa4,
  max: 0xa5,
} as const

/**
 * Operations on two doubles at once. `largerOf(a, b)` is a < b ? b : a, so that a NaN in b is passed over; `smallerOf(a, b)` is b < a ? b : a. The two on bits
 * take each double as a whole number of 64 bits: shifted left by a number of bits on the stack, added without regard to what overflows.
 */
const paired = {
  splat: 0x14,
  less: 0x49,
  or: 0x50,
  any: 0x53,
  abs: 0xec,
  neg: 0xed,
  sqrt: 0xef,
  add: 0xf0,
  sub: 0xf1,
  mul: 0xf2,
  div: 0xf3,
  smallerOf: 0xf6,
  largerOf: 0xf7,
  shiftBits: 0xcb,
  addBits: 0xce,
} as const

const LOAD_DOUBLE = 0x2b
const STORE_DOUBLE = 0x39
const LOAD_PAIR = 0x00
const STORE_PAIR = 0x0b
const LANE = 0x21
const REPLACE_LANE = 0x22

/** Bytes that grow. */
class Bytes {
  private held = new Uint8Array(256)
  private used = 0
  get length(): number {
    return this.used
  }
  private room(more: number): void {
    if (this.used + more <= this.held.length) return
    const larger = new Uint8Array(Math.max(2 * this.held.length, this.used + more))
    larger.set(this.held)
    this.held = larger
  }
  byte(value: number): void {
    this.room(1)
    this.held[this.used++] = value
  }
  /** LEB128, unsigned. */
  whole(value: number): void {
    let rest = value
    while (rest >= 0x80) {
      this.byte((rest & 0x7f) | 0x80)
      rest >>>= 7
    }
    this.byte(rest)
  }
  /** LEB128, signed, 32 bits. */
  signed(value: number): void {
    let rest = value | 0
    for (;;) {
      const low = rest & 0x7f
      rest >>= 7
      if ((rest === 0 && (low & 0x40) === 0) || (rest === -1 && (low & 0x40) !== 0)) {
        this.byte(low)
        return
      }
      this.byte(low | 0x80)
    }
  }
  double(value: number): void {
    this.room(8)
    new DataView(this.held.buffer).setFloat64(this.used, value, true)
    this.used += 8
  }
  text(value: string): void {
    this.whole(value.length)
    for (let i = 0; i < value.length; i++) this.byte(value.charCodeAt(i))
  }
  append(other: Bytes): void {
    this.room(other.used)
    this.held.set(other.held.subarray(0, other.used), this.used)
    this.used += other.used
  }
  done(): Uint8Array {
    return this.held.slice(0, this.used)
  }
}

/** A place in memory: a fixed byte address, or an offset from an address in a local. */
export interface Place {
  readonly offset: number
  readonly from?: number
}

/** The code of one function. Every method appends; locals are numbered after the parameters. */
export class WasmBody {
  private readonly bytes = new Bytes()
  private readonly locals: WasmType[] = []
  private readonly parameters: readonly WasmType[]
  constructor(parameters: readonly WasmType[] = []) {
    this.parameters = parameters
  }
  /** A new local; zero at first. */
  local(type: WasmType): number {
    return this.parameters.length + this.locals.push(type) - 1
  }
  get(local: number): this {
    this.bytes.byte(0x20)
    this.bytes.whole(local)
    return this
  }
  set(local: number): this {
    this.bytes.byte(0x21)
    this.bytes.whole(local)
    return this
  }
  /** Sets and keeps the value on the stack. */
  tee(local: number): this {
    this.bytes.byte(0x22)
    this.bytes.whole(local)
    return this
  }
  double(value: number): this {
    this.bytes.byte(0x44)
    this.bytes.double(value)
    return this
  }
  int(value: number): this {
    this.bytes.byte(0x41)
    this.bytes.signed(value)
    return this
  }
  do(...operations: readonly (keyof typeof plain)[]): this {
    for (const operation of operations) this.bytes.byte(plain[operation])
    return this
  }
  doPair(...operations: readonly (keyof typeof paired)[]): this {
    for (const operation of operations) this.vector(paired[operation])
    return this
  }
  /** One double of a pair: 0 or 1. */
  lane(which: 0 | 1): this {
    this.vector(LANE)
    this.bytes.byte(which)
    return this
  }
  /** Makes a pair of two doubles, each pushed by its function. */
  pair(first: () => void, second: () => void): this {
    first()
    this.doPair('splat')
    second()
    this.vector(REPLACE_LANE)
    this.bytes.byte(1)
    return this
  }
  /** Pushes the address that a store needs below its value; a load does this by itself. */
  at(place: Place): this {
    return place.from === undefined ? this.int(0) : this.get(place.from)
  }
  load(place: Place): this {
    this.at(place)
    this.bytes.byte(LOAD_DOUBLE)
    return this.reach(ALIGN_DOUBLE, place)
  }
  store(place: Place): this {
    this.bytes.byte(STORE_DOUBLE)
    return this.reach(ALIGN_DOUBLE, place)
  }
  loadPair(place: Place): this {
    this.at(place)
    this.vector(LOAD_PAIR)
    return this.reach(ALIGN_PAIR, place)
  }
  storePair(place: Place): this {
    this.vector(STORE_PAIR)
    return this.reach(ALIGN_PAIR, place)
  }
  call(functionIndex: number): this {
    this.bytes.byte(0x10)
    this.bytes.whole(functionIndex)
    return this
  }
  /** Runs `inside` when the integer on the stack is not zero. */
  ifSo(inside: () => void): this {
    this.bytes.byte(0x04)
    this.bytes.byte(EMPTY_BLOCK)
    inside()
    this.bytes.byte(0x0b)
    return this
  }
  /** Runs `inside` with `counter` going from 0 up to, not reaching, `end` by `step`; at least once. */
  loop(counter: number, end: number, step: number, inside: () => void): this {
    this.int(0).set(counter)
    this.bytes.byte(0x03)
    this.bytes.byte(EMPTY_BLOCK)
    inside()
    this.get(counter).int(step).do('i32.add').tee(counter).int(end).do('i32.ltUnsigned')
    this.bytes.byte(0x0d)
    this.bytes.whole(0)
    this.bytes.byte(0x0b)
    return this
  }
  /** Runs `inside` while `counter` is below what `until` pushes, and adds `step` to it each time; perhaps never. */
  whileBelow(counter: number, until: () => void, step: number, inside: () => void): this {
    const isBelow = (): void => {
      this.get(counter)
      until()
      this.do('i32.ltUnsigned')
    }
    isBelow()
    return this.ifSo(() => {
      this.bytes.byte(0x03)
      this.bytes.byte(EMPTY_BLOCK)
      inside()
      this.get(counter).int(step).do('i32.add').set(counter)
      isBelow()
      this.bytes.byte(0x0d)
      this.bytes.whole(0)
      this.bytes.byte(0x0b)
    })
  }

  private vector(operation: number): void {
    this.bytes.byte(VECTOR_PREFIX)
    this.bytes.whole(operation)
  }
  private reach(align: number, place: Place): this {
    this.bytes.byte(align)
    this.bytes.whole(place.offset)
    return this
  }
  /** Locals in runs of equal type, then the code. */
  encodeInto(out: Bytes): void {
    const runs: { readonly type: WasmType; count: number }[] = []
    for (const type of this.locals) {
      const last = runs.at(-1)
      if (last?.type === type) last.count++
      else runs.push({ type, count: 1 })
    }
    const whole = new Bytes()
    whole.whole(runs.length)
    for (const run of runs) {
      whole.whole(run.count)
      whole.byte(typeCode[run.type])
    }
    whole.append(this.bytes)
    whole.byte(0x0b)
    out.whole(whole.length)
    out.append(whole)
  }
}

export interface WasmImport {
  readonly module: string
  readonly name: string
  readonly parameters: readonly WasmType[]
  readonly results: readonly WasmType[]
}

export interface WasmFunction {
  /** Seen from outside under this name; absent: inner. */
  readonly exported?: string
  readonly parameters: readonly WasmType[]
  readonly results: readonly WasmType[]
  readonly body: WasmBody
}

/**
 * Bytes of a module. Functions are numbered imports first, then `functions` in their order. It has one memory of `memoryBytes`, rounded up to pages and never
 * growing: its own, exported as "memory", or that of another module, imported from "host" as "memory".
 */
export function encodeModule(
  imports: readonly WasmImport[],
  functions: readonly WasmFunction[],
  memoryBytes: number,
  memory: 'own' | 'imported' = 'own',
): Uint8Array {
  const out = new Bytes()
  for (const byte of [0x00, 0x61, 0x73, 0x6d, 0x01, 0x00, 0x00, 0x00]) out.byte(byte)
  const section = (id: number, count: number, fill: (bytes: Bytes) => void): void => {
    const inner = new Bytes()
    inner.whole(count)
    fill(inner)
    out.byte(id)
    out.whole(inner.length)
    out.append(inner)
  }
  const typeTexts: string[] = []
  const typeOf = (f: { readonly parameters: readonly WasmType[]; readonly results: readonly WasmType[] }): number => {
    const text = `${f.parameters.join(' ')}>${f.results.join(' ')}`
    const known = typeTexts.indexOf(text)
    return known >= 0 ? known : typeTexts.push(text) - 1
  }
  const importTypes = imports.map(typeOf)
  const functionTypes = functions.map(typeOf)
  const words = (text: string): readonly WasmType[] => (text === '' ? [] : (text.split(' ') as WasmType[]))

  section(1, typeTexts.length, (bytes) => {
    for (const text of typeTexts) {
      bytes.byte(0x60)
      for (const side of text.split('>')) {
        const types = words(side)
        bytes.whole(types.length)
        for (const type of types) bytes.byte(typeCode[type])
      }
    }
  })
  const pages = Math.ceil(memoryBytes / PAGE_BYTES)
  invariant(pages >= 1 && pages <= 65536, `a module cannot have ${pages} pages of memory`)
  /** At least and at most so many pages. */
  const limits = (bytes: Bytes): void => {
    bytes.byte(0x01)
    bytes.whole(pages)
    bytes.whole(pages)
  }
  section(2, imports.length + (memory === 'own' ? 0 : 1), (bytes) => {
    for (const [i, { module, name }] of imports.entries()) {
      bytes.text(module)
      bytes.text(name)
      bytes.byte(0x00)
      bytes.whole(importTypes[i]!)
    }
    if (memory === 'own') return
    bytes.text('host')
    bytes.text('memory')
    bytes.byte(0x02)
    limits(bytes)
  })
  section(3, functions.length, (bytes) => {
    for (const type of functionTypes) bytes.whole(type)
  })
  if (memory === 'own') section(5, 1, limits)
  const exported = functions.flatMap((f, i) => (f.exported === undefined ? [] : [{ name: f.exported, index: imports.length + i }]))
  section(7, exported.length + (memory === 'own' ? 1 : 0), (bytes) => {
    for (const { name, index } of exported) {
      bytes.text(name)
      bytes.byte(0x00)
      bytes.whole(index)
    }
    if (memory !== 'own') return
    bytes.text('memory')
    bytes.byte(0x02)
    bytes.whole(0)
  })
  section(10, functions.length, (bytes) => {
    for (const f of functions) f.body.encodeInto(bytes)
  })
  return out.done()
}
