/**
 * The code of a whole step of a stiffly accurate Rosenbrock method, as one WebAssembly module: what rosenbrock-kernel.ts does with tables, in the same order of
 * operations, two components at a time where they do not meet.
 */
import type { Emittable } from './emittable.ts'
import { accumulating } from './rosenbrock-kernel.ts'
import type { RosenbrockTableau } from './rosenbrock-tableau.ts'
import { BELOW_FLOOR, NOT_FINITE, type SparsePattern } from './ode.ts'
import { planFactors } from './sparse-plan.ts'
import { emitDecompose, emitSolve } from './wasm-factors.ts'
import { encodeModule, type Place, WasmBody, type WasmFunction, type WasmImport } from './wasm-encoder.ts'
import { planMemory } from './wasm-memory.ts'

const DOUBLE = 8
const PAIR = 16
/** Loops over so few pairs of components are written out. */
const WRITTEN_OUT_PAIRS = 4

/** Doubles kept for held totals behind everything else. */
export const TOTALS_ROOM = 256

/** `attempt` of the generated code: the fixed pivots do not serve; the step belongs to the table-driven kernel. */
export const NEEDS_PIVOTING = -4

/** Byte addresses of everything in the module's memory; every row begins at a multiple of 16 and is padded to pairs. */
export interface StepLayout {
  readonly state: number
  readonly trial: number
  readonly startRates: number
  readonly stageRates: number
  readonly minusJacobian: number
  readonly factors: number
  /** Stage vectors, one row after the other. */
  readonly stages: number
  readonly dense: number
  readonly absolute: number
  readonly floor: number
  /** The relative tolerance, twice. */
  readonly relative: number
  /** Coefficients of the method, each twice: a, c and dense weights. */
  readonly coefficients: number
  readonly data: number
  /** Room for held totals, TOTALS_ROOM doubles. */
  readonly totals: number
  readonly bytes: number
  /** Bytes of one row of components. */
  readonly row: number
}

export function layoutOf(size: number, entries: number, factorEntries: number, dataLength: number, tableau: RosenbrockTableau): StepLayout {
  const { take, bytes } = planMemory()
  const row = PAIR * Math.ceil(size / 2)
  const stages = tableau.a.length
  return {
    state: take(size),
    trial: take(size),
    startRates: take(size),
    stageRates: take(size),
    stages: take((stages * row) / DOUBLE),
    absolute: take(size),
    floor: take(size),
    relative: take(2),
    coefficients: take(2 * coefficientsOf(tableau).length),
    minusJacobian: take(entries),
    factors: take(factorEntries),
    dense: take(tableau.denseRows * size + 1),
    data: take(dataLength),
    totals: take(TOTALS_ROOM),
    row,
    bytes: bytes(),
  }
}

/** Lower rows of a, lower rows of c, dense weights: the order in which the code finds them. */
export function coefficientsOf(tableau: RosenbrockTableau): readonly number[] {
  return [...tableau.a.flat(), ...tableau.c.flat(), ...tableau.dense.flat()]
}

const lower = (i: number): number => (i * (i - 1)) / 2

export const stepImports: readonly WasmImport[] = [
  { module: 'math', name: 'exp', parameters: ['f64'], results: ['f64'] },
  { module: 'math', name: 'ln', parameters: ['f64'], results: ['f64'] },
  { module: 'math', name: 'log10', parameters: ['f64'], results: ['f64'] },
  { module: 'math', name: 'pow', parameters: ['f64', 'f64'], results: ['f64'] },
]
export const stepCalls = { exp: 0, ln: 1, log10: 2, pow: 3 } as const
/** Functions of the module in their order, numbered after the imports. */
const numbers = { rates: 4, minusJacobian: 5, decompose: 6, solve: 7 } as const

/** Walks rows pair by pair: a loop, or written out when there are few. `visit` gets the place of the pair in a row. */
export function overPairs(body: WasmBody, bytes: number, counter: number, visit: (place: (row: number) => Place) => void): void {
  if (bytes <= WRITTEN_OUT_PAIRS * PAIR) {
    for (let at = 0; at < bytes; at += PAIR) visit((row) => ({ offset: row + at }))
    return
  }
  body.loop(counter, bytes, PAIR, () => visit((row) => ({ offset: row, from: counter })))
}

/** Code longer than this many operations runs from tables: it would take longer to compile than most runs take. About 1000 species. */
export const MOST_OPERATIONS = 100_000

/** The module for one system and method; null when its code would be too long. */
export function encodeStep(
  emittable: Emittable,
  pattern: SparsePattern,
  tableau: RosenbrockTableau,
): { readonly bytes: Uint8Array; readonly layout: StepLayout } | null {
  if (emittable.operations > MOST_OPERATIONS) return null
  const n = pattern.size
  const entries = pattern.columns.length
  const plan = planFactors(pattern)
  // Rates and Jacobian, factorisation, solve. Fill can outgrow everything else.
  if (emittable.operations + plan.target.length + plan.column.length > MOST_OPERATIONS) return null
  const layout = layoutOf(n, entries, plan.rowStart[n]!, emittable.dataLength, tableau)
  const rates = new WasmBody()
  emittable.emitRates(rates, { state: layout.trial, data: layout.data, out: layout.stageRates }, stepCalls)
  const minusJacobian = new WasmBody()
  emittable.emitMinusJacobian(minusJacobian, { state: layout.trial, data: layout.data, out: layout.minusJacobian }, stepCalls)
  const functions: readonly WasmFunction[] = [
    { parameters: [], results: [], body: rates },
    { parameters: [], results: [], body: minusJacobian },
    { parameters: ['f64'], results: ['i32'], body: emitDecompose(plan, layout.minusJacobian, layout.factors) },
    { parameters: ['i32'], results: [], body: emitSolve(plan, layout.factors) },
    { exported: 'begin', parameters: [], results: ['i32'], body: beginBody(layout, entries) },
    { exported: 'attempt', parameters: ['f64'], results: ['f64'], body: attemptBody(layout, n, tableau) },
    { exported: 'interpolate', parameters: [], results: [], body: interpolateBody(layout, n, tableau) },
    { exported: 'accept', parameters: [], results: [], body: acceptBody(layout) },
  ]
  return { bytes: encodeModule(stepImports, functions, layout.bytes), layout }
}

function copyRow(body: WasmBody, layout: StepLayout, from: number, to: number, counter: number): void {
  overPairs(body, layout.row, counter, (place) => body.at(place(to)).loadPair(place(from)).storePair(place(to)))
}

/** () → 1 when rates and Jacobian at the state are finite. */
function beginBody(layout: StepLayout, entries: number): WasmBody {
  const body = new WasmBody()
  const counter = body.local('i32')
  const check = body.local('pair')
  const value = body.local('pair')
  // x − x is 0 for a number and NaN for anything else.
  const addCheck = (place: Place): void => void body.get(check).loadPair(place).tee(value).get(value).doPair('sub', 'add').set(check)
  copyRow(body, layout, layout.state, layout.trial, counter)
  body.call(numbers.rates)
  copyRow(body, layout, layout.stageRates, layout.startRates, counter)
  body.call(numbers.minusJacobian)
  overPairs(body, layout.row, counter, (place) => addCheck(place(layout.startRates)))
  overPairs(body, PAIR * Math.ceil(entries / 2), counter, (place) => addCheck(place(layout.minusJacobian)))
  return body.get(check).lane(0).get(check).lane(1).do('add').double(0).do('equal')
}

/** (hS) → error norm, or a negative code. */
function attemptBody(layout: StepLayout, n: number, tableau: RosenbrockTableau): WasmBody {
  const body = new WasmBody(['f64'])
  const h = 0
  const counter = body.local('i32')
  const perH = body.local('pair')
  const stages = tableau.a.length
  const accumulates = accumulating(tableau.a)
  const stage = (j: number): number => layout.stages + j * layout.row
  const ofA = (i: number, j: number): Place => ({ offset: layout.coefficients + PAIR * (lower(i) + j) })
  const ofC = (i: number, j: number): Place => ({ offset: layout.coefficients + PAIR * (lower(stages) + lower(i) + j) })
  /** Pushes Σ_{j<i} coefficient_j u_j of one pair. */
  const sum = (i: number, coefficient: (i: number, j: number) => Place, place: (row: number) => Place): void => {
    for (let j = 0; j < i; j++) {
      body
        .loadPair(coefficient(i, j))
        .loadPair(place(stage(j)))
        .doPair('mul')
      if (j > 0) body.doPair('add')
    }
  }
  body.double(1).get(h).double(tableau.gamma).do('mul', 'div').call(numbers.decompose).do('i32.eqz')
  body.ifSo(() => body.double(NEEDS_PIVOTING).do('return'))
  body.double(1).get(h).do('div').doPair('splat').set(perH)
  copyRow(body, layout, layout.startRates, stage(0), counter)
  body.int(stage(0)).call(numbers.solve)
  for (let i = 1; i < stages; i++) {
    overPairs(body, layout.row, counter, (place) => {
      const target = place(layout.trial)
      body.at(target)
      if (accumulates[i] === 1) body.loadPair(target).loadPair(place(stage(i - 1)))
      else {
        body.loadPair(place(layout.state))
        sum(i, ofA, place)
      }
      body.doPair('add').storePair(target)
    })
    body.call(numbers.rates)
    overPairs(body, layout.row, counter, (place) => {
      const target = place(stage(i))
      body.at(target).loadPair(place(layout.stageRates))
      sum(i, ofC, place)
      body.get(perH).doPair('mul', 'add').storePair(target)
    })
    body.int(stage(i)).call(numbers.solve)
  }
  judge(body, layout, n, stage(stages - 1), counter)
  return body
}

/** Adds the last stage, which is also the error estimate, and leaves the weighted root mean square of it, or a code. */
function judge(body: WasmBody, layout: StepLayout, n: number, last: number, counter: number): void {
  const error = body.local('pair')
  const after = body.local('pair')
  const check = body.local('pair')
  const below = body.local('pair')
  const square = body.local('pair')
  const sum = body.local('f64')
  overPairs(body, layout.row, counter, (place) => {
    const target = place(layout.trial)
    body.at(target).loadPair(target).loadPair(place(last)).tee(error).doPair('add').tee(after).storePair(target)
    body.get(check).get(after).get(after).doPair('sub', 'add').set(check)
    body.get(below).get(after).loadPair(place(layout.floor)).doPair('less', 'or').set(below)
    body.get(error).loadPair(place(layout.absolute)).loadPair({ offset: layout.relative })
    body.loadPair(place(layout.state)).doPair('abs').get(after).doPair('abs', 'largerOf', 'mul', 'add', 'div').tee(square)
    body.get(square).doPair('mul').set(square)
    // In the order of the components, so that the sum rounds as in a plain loop. A padded place adds 0.
    body.get(sum).get(square).lane(0).do('add').get(square).lane(1).do('add').set(sum)
  })
  body.get(sum).get(check).lane(0).do('add').get(check).lane(1).do('add').double(Number.POSITIVE_INFINITY).do('less', 'i32.eqz')
  body.ifSo(() => body.double(NOT_FINITE).do('return'))
  body.get(below).doPair('any')
  body.ifSo(() => body.double(BELOW_FLOOR).do('return'))
  body.get(sum).double(n).do('div', 'sqrt')
}

/** () → (): dense rows of the last attempt. */
function interpolateBody(layout: StepLayout, n: number, tableau: RosenbrockTableau): WasmBody {
  const body = new WasmBody()
  const counter = body.local('i32')
  const stages = tableau.a.length
  const weights = layout.coefficients + PAIR * 2 * lower(stages)
  for (let q = 0; q < tableau.denseRows; q++) {
    // Rows lie close together: with an odd n the padding of one is overwritten by the next.
    overPairs(body, layout.row, counter, (place) => {
      const target = place(layout.dense + DOUBLE * q * n)
      body.at(target)
      for (let j = 0; j < stages; j++) {
        body
          .loadPair({ offset: weights + PAIR * (q * stages + j) })
          .loadPair(place(layout.stages + j * layout.row))
          .doPair('mul')
        if (j > 0) body.doPair('add')
      }
      body.storePair(target)
    })
  }
  return body
}

function acceptBody(layout: StepLayout): WasmBody {
  const body = new WasmBody()
  copyRow(body, layout, layout.trial, layout.state, body.local('i32'))
  return body
}
