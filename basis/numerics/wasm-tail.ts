/**
 * Elimination of a dense block as generated code: what createPlainTail does with loops, every entry changed by the pivots in the same order, four pivots at a
 * time and two rows at a time.
 */
import { LEAST_PIVOT_LEFT } from './sparse-plan.ts'
import { encodeModule, type Place, WasmBody } from './wasm-encoder.ts'
import { planMemory } from './wasm-memory.ts'

const DOUBLE = 8
const PAIR = 16
/** Pivots that are taken off the rest in one pass, so that it is read and written a quarter as often. */
export const PANEL = 4
/** What `eliminate` answers when a pivot does not serve; see dense-tail.ts. */
const CANCELLED = -1

/** Byte addresses. */
export interface TailLayout {
  readonly matrix: number
  readonly before: number
  readonly right: number
  readonly bytes: number
}

export function tailLayout(stride: number): TailLayout {
  const { take, bytes } = planMemory()
  return { matrix: take(stride * stride), before: take(stride), right: take(stride), bytes: bytes() }
}

/** The module for blocks of `stride` unknowns, a multiple of PANEL. */
export function encodeTail(stride: number): Uint8Array {
  const layout = tailLayout(stride)
  return encodeModule(
    [],
    [
      { exported: 'eliminate', parameters: [], results: ['f64'], body: eliminateBody(stride, layout) },
      { exported: 'forward', parameters: [], results: [], body: forwardBody(stride, layout) },
      { exported: 'backward', parameters: [], results: [], body: backwardBody(stride, layout) },
    ],
    layout.bytes,
  )
}

/**
 * Addresses inside: `corner` is that of the panel's first diagonal entry, so that the entry `i` rows below it in the panel's column `u` stands at
 * corner + u · column + 8 i; `rows` is the number of bytes from there to the end of the column.
 */
function eliminateBody(stride: number, layout: TailLayout): WasmBody {
  const body = new WasmBody()
  const column = DOUBLE * stride
  const [panel, corner, rows, ends] = [body.local('i32'), body.local('i32'), body.local('i32'), body.local('i32')]
  const [from, to, columns] = [body.local('i32'), body.local('i32'), body.local('i32')]
  const [pivot, reciprocal, top] = [body.local('f64'), body.local('f64'), body.local('f64')]
  const largest = body.local('pair')
  const factor = body.local('pair')
  const value = body.local('pair')
  const inPanel = (u: number, i: number): Place => ({ from: corner, offset: u * column + DOUBLE * i })
  /** Walks the pairs of rows from `first` (even) of the panel on, to the end of the column. */
  const down = (first: number, visit: () => void): void => {
    body
      .get(corner)
      .int(DOUBLE * first)
      .do('i32.add')
      .set(from)
    body.whileBelow(from, () => body.get(ends), PAIR, visit)
  }
  body.int(layout.matrix).set(corner)
  body.int(column).set(rows)
  body.loop(panel, column, DOUBLE * PANEL, () => {
    body.get(corner).get(rows).do('i32.add').set(ends)
    for (let t = 0; t < PANEL; t++) {
      for (let u = 0; u < t; u++) {
        body.load(inPanel(t, u)).tee(top).doPair('splat').set(factor)
        const first = u + 1
        if (first % 2 === 1) {
          body.at(inPanel(t, first)).load(inPanel(t, first)).load(inPanel(u, first)).get(top).do('mul', 'sub')
          body.store(inPanel(t, first))
        }
        down(first + (first % 2), () => {
          const [there, pivots] = [
            { from, offset: t * column },
            { from, offset: u * column },
          ]
          body.at(there).loadPair(there).loadPair(pivots).get(factor).doPair('mul', 'sub').storePair(there)
        })
      }
      body.load(inPanel(t, t)).set(pivot)
      body.double(1).get(pivot).do('div').set(reciprocal)
      // Not (|pivot| < least · |before|), and 0 < |reciprocal| < infinity, which a NaN is not.
      body.get(pivot).do('abs').double(LEAST_PIVOT_LEFT)
      body.load({ from: panel, offset: layout.before + DOUBLE * t }).do('abs', 'mul', 'less', 'i32.eqz')
      body.double(0).get(reciprocal).do('abs', 'less', 'i32.and')
      body.get(reciprocal).do('abs').double(Number.POSITIVE_INFINITY).do('less', 'i32.and', 'i32.eqz')
      body.ifSo(() => body.double(CANCELLED).do('return'))
      body.at(inPanel(t, t)).get(reciprocal).store(inPanel(t, t))
      const first = t + 1
      if (first % 2 === 1) {
        body.at(inPanel(t, first)).load(inPanel(t, first)).get(reciprocal).do('mul').tee(top).store(inPanel(t, first))
        body.get(largest).get(top).doPair('splat', 'abs', 'largerOf').set(largest)
      }
      body.get(reciprocal).doPair('splat').set(factor)
      down(first + (first % 2), () => {
        const there = { from, offset: t * column }
        body.at(there).loadPair(there).get(factor).doPair('mul').tee(value).storePair(there)
        body.get(largest).get(value).doPair('abs', 'largerOf').set(largest)
      })
    }
    const tops = Array.from({ length: PANEL }, () => body.local('f64'))
    const factors = Array.from({ length: PANEL }, () => body.local('pair'))
    // The columns behind the panel: `columns` is the address of the entry in the row of the corner.
    body
      .get(corner)
      .int(PANEL * column)
      .do('i32.add')
      .set(columns)
    body.whileBelow(
      columns,
      () => body.int(layout.matrix + stride * column),
      column,
      () => {
        for (let t = 0; t < PANEL; t++) {
          const there = { from: columns, offset: DOUBLE * t }
          body.load(there)
          for (let u = 0; u < t; u++) body.load(inPanel(u, t)).get(tops[u]!).do('mul', 'sub')
          body.set(tops[t]!)
          body.at(there).get(tops[t]!).store(there)
          body.get(tops[t]!).doPair('splat').set(factors[t]!)
        }
        body
          .get(columns)
          .int(DOUBLE * PANEL)
          .do('i32.add')
          .set(to)
        down(PANEL, () => {
          const there = { from: to, offset: 0 }
          body.at(there).loadPair(there)
          for (let u = 0; u < PANEL; u++) {
            body
              .loadPair({ from, offset: u * column })
              .get(factors[u]!)
              .doPair('mul', 'sub')
          }
          body.storePair(there)
          body.get(to).int(PAIR).do('i32.add').set(to)
        })
      },
    )
    // To the next panel.
    body
      .get(corner)
      .int(PANEL * (column + DOUBLE))
      .do('i32.add')
      .set(corner)
    body
      .get(rows)
      .int(-DOUBLE * PANEL)
      .do('i32.add')
      .set(rows)
  })
  return body.get(largest).lane(0).get(largest).lane(1).do('max')
}

/** Panel by panel down: what is known is taken off all that follows. */
function forwardBody(stride: number, layout: TailLayout): WasmBody {
  const body = new WasmBody()
  const column = DOUBLE * stride
  const [panel, corner, from, to] = [body.local('i32'), body.local('i32'), body.local('i32'), body.local('i32')]
  const known = Array.from({ length: PANEL }, () => body.local('f64'))
  const factors = Array.from({ length: PANEL }, () => body.local('pair'))
  body.int(layout.matrix).set(corner)
  body.loop(panel, column, DOUBLE * PANEL, () => {
    for (let t = 0; t < PANEL; t++) {
      const there = { from: panel, offset: layout.right + DOUBLE * t }
      body.load(there)
      for (let u = 0; u < t; u++) {
        body
          .load({ from: corner, offset: u * column + DOUBLE * t })
          .get(known[u]!)
          .do('mul', 'sub')
      }
      body.set(known[t]!)
      body.at(there).get(known[t]!).store(there)
      body.get(known[t]!).doPair('splat').set(factors[t]!)
    }
    body
      .get(corner)
      .int(DOUBLE * PANEL)
      .do('i32.add')
      .set(from)
    body
      .get(panel)
      .int(layout.right + DOUBLE * PANEL)
      .do('i32.add')
      .set(to)
    body.whileBelow(
      to,
      () => body.int(layout.right + column),
      PAIR,
      () => {
        const there = { from: to, offset: 0 }
        body.at(there).loadPair(there)
        for (let u = 0; u < PANEL; u++) {
          body
            .loadPair({ from, offset: u * column })
            .get(factors[u]!)
            .doPair('mul', 'sub')
        }
        body.storePair(there)
        body.get(from).int(PAIR).do('i32.add').set(from)
      },
    )
    body
      .get(corner)
      .int(PANEL * (column + DOUBLE))
      .do('i32.add')
      .set(corner)
  })
  return body
}

/** Panel by panel up; within a panel and above it the unknown found last comes last, as in the plain loops. */
function backwardBody(stride: number, layout: TailLayout): WasmBody {
  const body = new WasmBody()
  const column = DOUBLE * stride
  const [panel, above, top, from, to] = [body.local('i32'), body.local('i32'), body.local('i32'), body.local('i32'), body.local('i32')]
  const known = Array.from({ length: PANEL }, () => body.local('f64'))
  const factors = Array.from({ length: PANEL }, () => body.local('pair'))
  const panels = stride / PANEL
  // `above`: bytes of the rows over the panel; `top`: address of the panel's first column.
  body.int(column).set(above)
  body.int(layout.matrix + stride * column).set(top)
  body.loop(panel, panels, 1, () => {
    body
      .get(above)
      .int(-DOUBLE * PANEL)
      .do('i32.add')
      .set(above)
    body
      .get(top)
      .int(-PANEL * column)
      .do('i32.add')
      .set(top)
    body.get(top).get(above).do('i32.add').set(from)
    for (let t = PANEL - 1; t >= 0; t--) {
      const there = { from: above, offset: layout.right + DOUBLE * t }
      body.load(there)
      for (let u = PANEL - 1; u > t; u--) {
        body
          .load({ from, offset: u * column + DOUBLE * t })
          .get(known[u]!)
          .do('mul', 'sub')
      }
      body.load({ from, offset: t * column + DOUBLE * t }).do('mul')
      body.set(known[t]!)
      body.at(there).get(known[t]!).store(there)
      body.get(known[t]!).doPair('splat').set(factors[t]!)
    }
    body.get(top).set(from)
    body.int(layout.right).set(to)
    body.whileBelow(
      to,
      () => body.get(above).int(layout.right).do('i32.add'),
      PAIR,
      () => {
        const there = { from: to, offset: 0 }
        body.at(there).loadPair(there)
        for (let u = PANEL - 1; u >= 0; u--) {
          body
            .loadPair({ from, offset: u * column })
            .get(factors[u]!)
            .doPair('mul', 'sub')
        }
        body.storePair(there)
        body.get(from).int(PAIR).do('i32.add').set(from)
      },
    )
  })
  return body
}
