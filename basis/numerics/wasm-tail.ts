/**
 * Elimination of a dense block as generated code, for real and for complex numbers: what the plain loops of dense-tail.ts do, every entry changed by the pivots
 * in the same order, four pivots at a time and two rows at a time.
 */
import { LEAST_PIVOT_LEFT } from './sparse-plan.ts'
import { encodeModule, type Place, WasmBody } from './wasm-encoder.ts'
import { planMemory } from './wasm-memory.ts'

const DOUBLE = 8
const PAIR = 16
/** Pivots that are taken off the rest in one pass, so that it is read and written a quarter as often. */
export const PANEL = 4
/** What `eliminate` answers when a pivot does not serve. */
export const CANCELLED = -1

/** Real numbers have one part, complex ones two. */
export type Parts = 1 | 2

/** Byte addresses. The parts of the matrix lie one behind the other, and so do those of the right side. */
export interface TailLayout {
  readonly matrix: number
  readonly matrixPart: number
  readonly before: number
  readonly right: number
  readonly rightPart: number
  readonly bytes: number
}

export function tailLayout(stride: number, parts: Parts): TailLayout {
  const { take, bytes } = planMemory()
  return {
    matrix: take(parts * stride * stride),
    matrixPart: DOUBLE * stride * stride,
    before: take(stride),
    right: take(parts * stride),
    rightPart: DOUBLE * stride,
    bytes: bytes(),
  }
}

/** The module for blocks of `stride` unknowns, a multiple of PANEL. */
export function encodeTail(stride: number, parts: Parts): Uint8Array {
  const layout = tailLayout(stride, parts)
  return encodeModule(
    [],
    [
      { exported: 'eliminate', parameters: [], results: ['f64'], body: new TailWriter(stride, parts, layout).eliminate() },
      { exported: 'forward', parameters: [], results: [], body: new TailWriter(stride, parts, layout).forward() },
      { exported: 'backward', parameters: [], results: [], body: new TailWriter(stride, parts, layout).backward() },
    ],
    layout.bytes,
  )
}

/** One number, or the numbers of two rows: a local for each part. */
interface Value {
  readonly type: 'f64' | 'pair'
  readonly parts: readonly number[]
}

/** Writes one function. Places are those of first parts. */
class TailWriter {
  private readonly body = new WasmBody()
  private readonly column: number
  private readonly stride: number
  private readonly parts: Parts
  private readonly layout: TailLayout
  constructor(stride: number, parts: Parts, layout: TailLayout) {
    this.stride = stride
    this.column = DOUBLE * stride
    this.parts = parts
    this.layout = layout
  }

  private address(): number {
    return this.body.local('i32')
  }
  private value(type: Value['type']): Value {
    return { type, parts: Array.from({ length: this.parts }, () => this.body.local(type)) }
  }
  private do(type: Value['type'], ...operations: readonly ('add' | 'sub' | 'mul')[]): void {
    if (type === 'pair') this.body.doPair(...operations)
    else this.body.do(...operations)
  }
  /** to ← from + bytes */
  private move(to: number, from: number, bytes: number): void {
    this.body.get(from).int(bytes).do('i32.add').set(to)
  }
  private load(value: Value, place: Place, part: number): void {
    for (const [i, local] of value.parts.entries()) {
      const there = { ...place, offset: place.offset + i * part }
      if (value.type === 'pair') this.body.loadPair(there)
      else this.body.load(there)
      this.body.set(local)
    }
  }
  private store(value: Value, place: Place, part: number): void {
    for (const [i, local] of value.parts.entries()) {
      const there = { ...place, offset: place.offset + i * part }
      this.body.at(there).get(local)
      if (value.type === 'pair') this.body.storePair(there)
      else this.body.store(there)
    }
  }
  /** Both rows of `pair` ← `one` */
  private spread(one: Value, pair: Value): void {
    for (const [i, local] of one.parts.entries()) this.body.get(local).doPair('splat').set(pair.parts[i]!)
  }
  /** x ← x − a b */
  private takeOff(x: Value, a: Value, b: Value): void {
    const { body } = this
    const { type } = x
    const [a0, a1] = a.parts
    const [b0, b1] = b.parts
    const product = (i: number, j: number): void => {
      body.get(i).get(j)
      this.do(type, 'mul')
    }
    body.get(x.parts[0]!)
    product(a0!, b0!)
    if (a1 !== undefined && b1 !== undefined) {
      product(a1, b1)
      this.do(type, 'sub')
    }
    this.do(type, 'sub')
    body.set(x.parts[0]!)
    if (a1 === undefined || b1 === undefined) return
    body.get(x.parts[1]!)
    product(a0!, b1)
    product(a1, b0!)
    this.do(type, 'add', 'sub')
    body.set(x.parts[1]!)
  }
  /** out ← a b; `out` is neither of them. */
  private multiply(out: Value, a: Value, b: Value): void {
    const { body } = this
    const { type } = out
    const [a0, a1] = a.parts
    const [b0, b1] = b.parts
    body.get(a0!).get(b0!)
    this.do(type, 'mul')
    if (a1 !== undefined && b1 !== undefined) {
      body.get(a1).get(b1)
      this.do(type, 'mul', 'sub')
    }
    body.set(out.parts[0]!)
    if (a1 === undefined || b1 === undefined) return
    body.get(a0!).get(b1)
    this.do(type, 'mul')
    body.get(a1).get(b0!)
    this.do(type, 'mul', 'add')
    body.set(out.parts[1]!)
  }
  /** `largest` ← the larger of itself and the size of the multiplier: its absolute value, of a complex one the square of that. */
  private note(largest: number, multiplier: Value): void {
    const { body } = this
    const [re, im] = multiplier.parts
    body.get(largest)
    if (im === undefined) {
      body.get(re!)
      if (multiplier.type === 'f64') body.doPair('splat')
      body.doPair('abs')
    } else {
      body.get(re!).get(re!)
      this.do(multiplier.type, 'mul')
      body.get(im).get(im)
      this.do(multiplier.type, 'mul', 'add')
      if (multiplier.type === 'f64') body.doPair('splat')
    }
    body.doPair('largerOf').set(largest)
  }
  /** reciprocal ← 1 / pivot; leaves the function when the pivot is zero, not finite, or has lost its digits. `before` is where its size before stands. */
  private invert(reciprocal: Value, pivot: Value, before: Place): void {
    const { body } = this
    const [re, im] = pivot.parts
    const size = body.local('f64')
    const inverse = body.local('f64')
    if (im === undefined) body.get(re!).do('abs').set(size)
    else body.get(re!).get(re!).do('mul').get(im).get(im).do('mul', 'add').set(size)
    body.double(1)
    body
      .get(im === undefined ? re! : size)
      .do('div')
      .set(inverse)
    // Not (size < least · size before), and 0 < |1 / size| < infinity, which a NaN is not.
    body
      .get(size)
      .double(im === undefined ? LEAST_PIVOT_LEFT : LEAST_PIVOT_LEFT ** 2)
      .load(before)
      .do('mul', 'less', 'i32.eqz')
    body.double(0).get(inverse).do('abs', 'less', 'i32.and')
    body.get(inverse).do('abs').double(Number.POSITIVE_INFINITY).do('less', 'i32.and', 'i32.eqz')
    body.ifSo(() => body.double(CANCELLED).do('return'))
    if (im === undefined) body.get(inverse).set(reciprocal.parts[0]!)
    else {
      body.get(re!).get(inverse).do('mul').set(reciprocal.parts[0]!)
      body.get(im).do('neg').get(inverse).do('mul').set(reciprocal.parts[1]!)
    }
  }

  /**
   * Addresses inside: `corner` is that of the panel's first diagonal entry, so that the entry `i` rows below it in the panel's column `u` stands at
   * corner + u · column + 8 i; `ends` is that of the end of its column.
   */
  eliminate(): WasmBody {
    const { body, column, layout, stride } = this
    const part = layout.matrixPart
    const [panel, corner, rows, ends] = [this.address(), this.address(), this.address(), this.address()]
    const [from, to, columns] = [this.address(), this.address(), this.address()]
    const [one, multiplier, factor, pivot, reciprocal] = [1, 2, 3, 4, 5].map(() => this.value('f64')) as [Value, Value, Value, Value, Value]
    const [two, multipliers, factors] = [1, 2, 3].map(() => this.value('pair')) as [Value, Value, Value]
    const tops = Array.from({ length: PANEL }, () => this.value('f64'))
    const topPairs = Array.from({ length: PANEL }, () => this.value('pair'))
    const largest = body.local('pair')
    const inPanel = (u: number, i: number): Place => ({ from: corner, offset: u * column + DOUBLE * i })
    /** Walks the pairs of rows from `first` (even) of the panel on, to the end of the column. */
    const down = (first: number, visit: () => void): void => {
      this.move(from, corner, DOUBLE * first)
      body.whileBelow(from, () => body.get(ends), PAIR, visit)
    }
    /** Row `first` alone where it does not begin a pair, then the pairs. */
    const allFrom = (first: number, single: () => void, paired: () => void): void => {
      if (first % 2 === 1) single()
      down(first + (first % 2), paired)
    }
    /** Column t of the panel less its column u. */
    const cleared = (t: number, u: number): void => {
      this.load(factor, inPanel(t, u), part)
      this.spread(factor, factors)
      allFrom(
        u + 1,
        () => {
          this.load(one, inPanel(t, u + 1), part)
          this.load(multiplier, inPanel(u, u + 1), part)
          this.takeOff(one, multiplier, factor)
          this.store(one, inPanel(t, u + 1), part)
        },
        () => {
          this.load(two, { from, offset: t * column }, part)
          this.load(multipliers, { from, offset: u * column }, part)
          this.takeOff(two, multipliers, factors)
          this.store(two, { from, offset: t * column }, part)
        },
      )
    }
    /** Column t of the panel divided by its pivot. */
    const divided = (t: number): void => {
      this.load(pivot, inPanel(t, t), part)
      this.invert(reciprocal, pivot, { from: panel, offset: layout.before + DOUBLE * t })
      this.store(reciprocal, inPanel(t, t), part)
      this.spread(reciprocal, factors)
      allFrom(
        t + 1,
        () => {
          this.load(one, inPanel(t, t + 1), part)
          this.multiply(multiplier, one, reciprocal)
          this.store(multiplier, inPanel(t, t + 1), part)
          this.note(largest, multiplier)
        },
        () => {
          this.load(two, { from, offset: t * column }, part)
          this.multiply(multipliers, two, factors)
          this.store(multipliers, { from, offset: t * column }, part)
          this.note(largest, multipliers)
        },
      )
    }
    body.int(layout.matrix).set(corner)
    body.int(column).set(rows)
    body.loop(panel, column, DOUBLE * PANEL, () => {
      body.get(corner).get(rows).do('i32.add').set(ends)
      for (let t = 0; t < PANEL; t++) {
        for (let u = 0; u < t; u++) cleared(t, u)
        divided(t)
      }
      // The columns behind the panel: `columns` is the address of the entry in the row of the corner.
      this.move(columns, corner, PANEL * column)
      body.whileBelow(
        columns,
        () => body.int(layout.matrix + stride * column),
        column,
        () => {
          for (const [t, top] of tops.entries()) {
            const there = { from: columns, offset: DOUBLE * t }
            this.load(top, there, part)
            for (let u = 0; u < t; u++) {
              this.load(multiplier, inPanel(u, t), part)
              this.takeOff(top, multiplier, tops[u]!)
            }
            this.store(top, there, part)
            this.spread(top, topPairs[t]!)
          }
          this.move(to, columns, DOUBLE * PANEL)
          down(PANEL, () => {
            this.load(two, { from: to, offset: 0 }, part)
            for (const [u, top] of topPairs.entries()) {
              this.load(multipliers, { from, offset: u * column }, part)
              this.takeOff(two, multipliers, top)
            }
            this.store(two, { from: to, offset: 0 }, part)
            this.move(to, to, PAIR)
          })
        },
      )
      this.move(corner, corner, PANEL * (column + DOUBLE))
      this.move(rows, rows, -DOUBLE * PANEL)
    })
    return body.get(largest).lane(0).get(largest).lane(1).do('max')
  }

  /** Takes what is known of a panel off the right side from `to` up to what `until` pushes; `order` says which column comes first. */
  private carry(from: number, to: number, until: () => void, known: readonly Value[], order: readonly number[]): void {
    const { body, column, layout } = this
    const [right, factors] = [this.value('pair'), this.value('pair')]
    body.whileBelow(to, until, PAIR, () => {
      this.load(right, { from: to, offset: 0 }, layout.rightPart)
      for (const u of order) {
        this.load(factors, { from, offset: u * column }, layout.matrixPart)
        this.takeOff(right, factors, known[u]!)
      }
      this.store(right, { from: to, offset: 0 }, layout.rightPart)
      this.move(from, from, PAIR)
    })
  }

  /** Panel by panel down: what is known is taken off all that follows. */
  forward(): WasmBody {
    const { body, column, layout } = this
    const [panel, corner, from, to] = [this.address(), this.address(), this.address(), this.address()]
    const known = Array.from({ length: PANEL }, () => this.value('f64'))
    const pairs = known.map(() => this.value('pair'))
    const factor = this.value('f64')
    body.int(layout.matrix).set(corner)
    body.loop(panel, column, DOUBLE * PANEL, () => {
      for (const [t, value] of known.entries()) {
        const there = { from: panel, offset: layout.right + DOUBLE * t }
        this.load(value, there, layout.rightPart)
        for (let u = 0; u < t; u++) {
          this.load(factor, { from: corner, offset: u * column + DOUBLE * t }, layout.matrixPart)
          this.takeOff(value, factor, known[u]!)
        }
        this.store(value, there, layout.rightPart)
        this.spread(value, pairs[t]!)
      }
      this.move(from, corner, DOUBLE * PANEL)
      this.move(to, panel, layout.right + DOUBLE * PANEL)
      this.carry(from, to, () => body.int(layout.right + column), pairs, [0, 1, 2, 3])
      this.move(corner, corner, PANEL * (column + DOUBLE))
    })
    return body
  }

  /** Panel by panel up; within a panel and above it the unknown found last comes last, as in the plain loops. */
  backward(): WasmBody {
    const { body, column, layout, stride } = this
    const [panel, above, top, from, to] = [this.address(), this.address(), this.address(), this.address(), this.address()]
    const known = Array.from({ length: PANEL }, () => this.value('f64'))
    const pairs = known.map(() => this.value('pair'))
    const [factor, sum] = [this.value('f64'), this.value('f64')]
    // `above`: bytes of the rows over the panel; `top`: address of the panel's first column.
    body.int(column).set(above)
    body.int(layout.matrix + stride * column).set(top)
    body.loop(panel, stride / PANEL, 1, () => {
      this.move(above, above, -DOUBLE * PANEL)
      this.move(top, top, -PANEL * column)
      body.get(top).get(above).do('i32.add').set(from)
      for (let t = PANEL - 1; t >= 0; t--) {
        const there = { from: above, offset: layout.right + DOUBLE * t }
        this.load(sum, there, layout.rightPart)
        for (let u = PANEL - 1; u > t; u--) {
          this.load(factor, { from, offset: u * column + DOUBLE * t }, layout.matrixPart)
          this.takeOff(sum, factor, known[u]!)
        }
        this.load(factor, { from, offset: t * column + DOUBLE * t }, layout.matrixPart)
        this.multiply(known[t]!, sum, factor)
        this.store(known[t]!, there, layout.rightPart)
        this.spread(known[t]!, pairs[t]!)
      }
      body.get(top).set(from)
      body.int(layout.right).set(to)
      this.carry(from, to, () => body.get(above).int(layout.right).do('i32.add'), pairs, [3, 2, 1, 0])
    })
    return body
  }
}
