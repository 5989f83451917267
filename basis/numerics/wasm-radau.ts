/** The arithmetic of Radau IIA steps as one WebAssembly module: what radau-work.ts does with tables, in the same order of operations, two components at a time. */
import type { Emittable } from './emittable.ts'
import { BELOW_FLOOR, NOT_FINITE, type SparsePattern } from './ode.ts'
import type { Collocation } from './radau-collocation.ts'
import { planFactors } from './sparse-plan.ts'
import { emitDecomposePair, emitSolvePair, pairFactorBytes } from './wasm-complex-factors.ts'
import { encodeModule, type Place, WasmBody, type WasmFunction } from './wasm-encoder.ts'
import { emitDecompose, emitSolve } from './wasm-factors.ts'
import { planMemory } from './wasm-memory.ts'
import { MOST_OPERATIONS, overPairs, stepCalls, stepImports, TOTALS_ROOM } from './wasm-step.ts'

const DOUBLE = 8
const PAIR = 16
/** Byte addresses; every row begins at a multiple of 16 and is padded to pairs. */
export interface RadauLayout {
  readonly state: number
  readonly trial: number
  readonly startRates: number
  /** Where the rates put their result. */
  readonly rates: number
  readonly estimate: number
  readonly defect: number
  /** Rows by eigenvector. */
  readonly w: number
  readonly change: number
  /** Rows by node. */
  readonly z: number
  /** And behind those of a method the error estimate. */
  readonly zBefore: number
  readonly stageRates: number
  readonly dense: number
  readonly absolute: number
  readonly floor: number
  /** The relative tolerance, twice. */
  readonly relative: number
  /** Weights of a prediction or of a look ahead, each twice. */
  readonly weights: number
  /** Coefficients, each twice: T, T⁻¹, error weights, dense weights of each method in turn. */
  readonly coefficients: number
  readonly minusJacobian: number
  readonly factors: number
  /** Of (s−1)/2 complex shifts, two by two. */
  readonly pairFactors: number
  readonly pairFactorBytes: number
  readonly data: number
  readonly totals: number
  readonly bytes: number
  readonly row: number
}

/** In the order in which the code finds them. */
export const radauCoefficients = (methods: readonly Collocation[]): readonly number[] =>
  methods.flatMap((m) => [...m.t, ...m.tInverse, ...m.error, ...m.dense])

const coefficientCount = (s: number): number => s * s * 2 + s + s * (s + 1)

function layoutOf(
  size: number,
  entries: number,
  factorEntries: number,
  perPair: number,
  dataLength: number,
  methods: readonly Collocation[],
): RadauLayout {
  const { take, bytes } = planMemory()
  const row = PAIR * Math.ceil(size / 2)
  const most = methods.at(-1)!.stages
  const rows = (): number => take((most * row) / DOUBLE)
  return {
    state: take(size),
    trial: take(size),
    startRates: take(size),
    rates: take(size),
    estimate: take(size),
    defect: take(size),
    w: rows(),
    change: rows(),
    z: rows(),
    zBefore: take(((most + 1) * row) / DOUBLE),
    stageRates: rows(),
    absolute: take(size),
    floor: take(size),
    relative: take(2),
    weights: take(2 * most * (most + 1)),
    coefficients: take(2 * radauCoefficients(methods).length),
    minusJacobian: take(entries),
    factors: take(factorEntries),
    pairFactors: take((((most + 1) >> 2) * perPair) / DOUBLE),
    pairFactorBytes: perPair,
    dense: take(most * size + 1),
    data: take(dataLength),
    totals: take(TOTALS_ROOM),
    row,
    bytes: bytes(),
  }
}

/** Functions of the module in their order, numbered after the imports. */
const numbers = { rates: 4, minusJacobian: 5, decompose: 6, solve: 7, decomposePair: 8, solvePair: 9 } as const

/** The module for one system and the methods it may use; null when its code would be too long. Functions of a method carry its number of stages in their name. */
export function encodeRadau(
  emittable: Emittable,
  pattern: SparsePattern,
  methods: readonly Collocation[],
): { readonly bytes: Uint8Array; readonly layout: RadauLayout } | null {
  if (emittable.operations > MOST_OPERATIONS) return null
  const n = pattern.size
  const entries = pattern.columns.length
  const plan = planFactors(pattern)
  // A complex operation counts as four, beside the real one.
  if (emittable.operations + 5 * (plan.target.length + plan.column.length) > MOST_OPERATIONS) return null
  const layout = layoutOf(n, entries, plan.rowStart[n]!, pairFactorBytes(plan), emittable.dataLength, methods)
  const rates = new WasmBody()
  emittable.emitRates(rates, { state: layout.trial, data: layout.data, out: layout.rates }, stepCalls)
  const minusJacobian = new WasmBody()
  emittable.emitMinusJacobian(minusJacobian, { state: layout.trial, data: layout.data, out: layout.minusJacobian }, stepCalls)
  const functions: WasmFunction[] = [
    { parameters: [], results: [], body: rates },
    { parameters: [], results: [], body: minusJacobian },
    { parameters: ['f64'], results: ['i32'], body: emitDecompose(plan, layout.minusJacobian, layout.factors) },
    { parameters: ['i32'], results: [], body: emitSolve(plan, layout.factors) },
    { parameters: ['f64', 'f64', 'f64', 'f64', 'i32'], results: ['i32'], body: emitDecomposePair(plan, layout.minusJacobian) },
    { parameters: ['i32', 'i32', 'i32'], results: [], body: emitSolvePair(plan, layout.row) },
    { exported: 'begin', parameters: [], results: ['i32'], body: beginBody(layout) },
    { exported: 'slopes', parameters: [], results: ['i32'], body: slopesBody(layout, entries) },
  ]
  let coefficients = layout.coefficients
  for (const method of methods) {
    const code = new MethodCode(layout, n, method, coefficients)
    const s = method.stages
    functions.push(
      { exported: `lookAhead${s}`, parameters: [], results: [], body: code.lookAhead() },
      { exported: `decompose${s}`, parameters: ['f64'], results: ['i32'], body: code.decompose() },
      { exported: `predict${s}`, parameters: [], results: [], body: code.predict() },
      { exported: `iterate${s}`, parameters: ['f64'], results: ['f64'], body: code.iterate() },
      { exported: `finish${s}`, parameters: ['f64'], results: ['f64'], body: code.finish() },
      { exported: `refine${s}`, parameters: [], results: ['f64'], body: code.refine() },
      { exported: `interpolate${s}`, parameters: [], results: [], body: code.interpolate() },
      { exported: `accept${s}`, parameters: [], results: [], body: code.accept() },
    )
    coefficients += PAIR * coefficientCount(s)
  }
  return { bytes: encodeModule(stepImports, functions, layout.bytes), layout }
}

/** x − x is 0 for a number and NaN for anything else. */
function addCheck(body: WasmBody, check: number, value: number, place: Place): void {
  body.get(check).loadPair(place).tee(value).get(value).doPair('sub', 'add').set(check)
}

function pushZeroCheck(body: WasmBody, check: number): WasmBody {
  return body.get(check).lane(0).get(check).lane(1).do('add').double(0).do('equal')
}

function copyRow(body: WasmBody, layout: RadauLayout, from: number, to: number, counter: number): void {
  overPairs(body, layout.row, counter, (place) => body.at(place(to)).loadPair(place(from)).storePair(place(to)))
}

/** () → 1 when the rates at the state are finite. */
function beginBody(layout: RadauLayout): WasmBody {
  const body = new WasmBody()
  const counter = body.local('i32')
  const check = body.local('pair')
  const value = body.local('pair')
  copyRow(body, layout, layout.state, layout.trial, counter)
  body.call(numbers.rates)
  copyRow(body, layout, layout.rates, layout.startRates, counter)
  overPairs(body, layout.row, counter, (place) => addCheck(body, check, value, place(layout.startRates)))
  return pushZeroCheck(body, check)
}

/** () → 1 when the Jacobian at the state is finite. */
function slopesBody(layout: RadauLayout, entries: number): WasmBody {
  const body = new WasmBody()
  const counter = body.local('i32')
  const check = body.local('pair')
  const value = body.local('pair')
  copyRow(body, layout, layout.state, layout.trial, counter)
  body.call(numbers.rates).call(numbers.minusJacobian)
  overPairs(body, PAIR * Math.ceil(entries / 2), counter, (place) => addCheck(body, check, value, place(layout.minusJacobian)))
  return pushZeroCheck(body, check)
}

/** The functions of one method. */
class MethodCode {
  private readonly layout: RadauLayout
  private readonly n: number
  private readonly method: Collocation
  private readonly t: number
  private readonly tInverse: number
  private readonly error: number
  private readonly dense: number
  constructor(layout: RadauLayout, n: number, method: Collocation, coefficients: number) {
    const s = method.stages
    this.layout = layout
    this.n = n
    this.method = method
    this.t = coefficients
    this.tInverse = this.t + PAIR * s * s
    this.error = this.tInverse + PAIR * s * s
    this.dense = this.error + PAIR * s
  }

  private rowOf(rows: number, i: number): number {
    return rows + i * this.layout.row
  }

  /** Pushes Σ_j weights_ij rows_j of one pair, the rows being in locals. */
  private sum(body: WasmBody, weights: number, i: number, rows: readonly number[]): void {
    for (const [j, row] of rows.entries()) {
      body.loadPair({ offset: weights + PAIR * (i * rows.length + j) })
      body.get(row).doPair('mul')
      if (j > 0) body.doPair('add')
    }
  }

  /** One pass over the components with the pairs of `count` rows in locals. */
  private withRows(
    body: WasmBody,
    rows: number,
    count: number,
    counter: number,
    visit: (locals: readonly number[], place: (row: number) => Place) => void,
  ): void {
    const locals = Array.from({ length: count }, () => body.local('pair'))
    overPairs(body, this.layout.row, counter, (place) => {
      for (const [i, local] of locals.entries()) body.loadPair(place(this.rowOf(rows, i))).set(local)
      visit(locals, place)
    })
  }

  private mix(body: WasmBody, weights: number, from: number, count: number, to: number, counter: number): void {
    this.withRows(body, from, count, counter, (locals, place) => {
      for (let i = 0; i < this.method.stages; i++) {
        const target = place(this.rowOf(to, i))
        body.at(target)
        this.sum(body, weights, i, locals)
        body.storePair(target)
      }
    })
  }

  lookAhead(): WasmBody {
    const { layout } = this
    const body = new WasmBody()
    this.withRows(body, layout.zBefore, this.method.stages + 1, body.local('i32'), (locals, place) => {
      const target = place(layout.trial)
      body.at(target).loadPair(place(layout.state))
      this.sum(body, layout.weights, 0, locals)
      body.doPair('add').storePair(target)
    })
    return body.call(numbers.rates).call(numbers.minusJacobian)
  }

  /** (hS) → 1 when the fixed pivots serve. */
  decompose(): WasmBody {
    const { layout } = this
    const { gamma, alpha, beta } = this.method
    const body = new WasmBody(['f64'])
    const over = (x: number): WasmBody => body.double(x).get(0).do('div')
    over(gamma).call(numbers.decompose)
    for (let m = 0; m < alpha.length; m += 2) {
      for (const each of [m, Math.min(m + 1, alpha.length - 1)]) {
        over(alpha[each]!)
        over(beta[each]!)
      }
      body
        .int(layout.pairFactors + (m >> 1) * layout.pairFactorBytes)
        .call(numbers.decomposePair)
        .do('i32.and')
    }
    return body
  }

  predict(): WasmBody {
    const body = new WasmBody()
    this.mix(body, this.layout.weights, this.layout.zBefore, this.method.stages + 1, this.layout.w, body.local('i32'))
    return body
  }

  /** (hS) → sum of the squares of the weighted changes. */
  iterate(): WasmBody {
    const { layout } = this
    const { stages: s, gamma, alpha, beta } = this.method
    const body = new WasmBody(['f64'])
    const counter = body.local('i32')
    const over = (x: number): number => {
      const local = body.local('pair')
      body.double(x).get(0).do('div').doPair('splat').set(local)
      return local
    }
    const g = over(gamma)
    const a = Array.from(alpha, over)
    const b = Array.from(beta, over)
    this.mix(body, this.t, layout.w, s, layout.z, counter)
    for (let i = 0; i < s; i++) {
      overPairs(body, layout.row, counter, (place) => {
        const target = place(layout.trial)
        body.at(target).loadPair(place(layout.state))
        body
          .loadPair(place(this.rowOf(layout.z, i)))
          .doPair('add')
          .storePair(target)
      })
      body.call(numbers.rates)
      copyRow(body, layout, layout.rates, this.rowOf(layout.stageRates, i), counter)
    }
    this.withRows(body, layout.stageRates, s, counter, (locals, place) => {
      const w = (j: number): WasmBody => body.loadPair(place(this.rowOf(layout.w, j)))
      for (let j = 0; j < s; j++) {
        const target = place(this.rowOf(layout.change, j))
        body.at(target)
        this.sum(body, this.tInverse, j, locals)
        if (j === 0) {
          body.get(g)
          w(0).doPair('mul', 'sub')
        } else {
          const m = (j - 1) >> 1
          const isReal = j % 2 === 1
          body.get(a[m]!)
          w(j).doPair('mul').get(b[m]!)
          w(isReal ? j + 1 : j - 1).doPair('mul', isReal ? 'sub' : 'add', 'sub')
        }
        body.storePair(target)
      }
    })
    body.int(this.rowOf(layout.change, 0)).call(numbers.solve)
    for (let m = 0; m < alpha.length; m += 2) {
      body.int(layout.pairFactors + (m >> 1) * layout.pairFactorBytes)
      for (const each of [m, Math.min(m + 1, alpha.length - 1)]) body.int(this.rowOf(layout.change, 2 * each + 1))
      body.call(numbers.solvePair)
    }
    const total = body.local('pair')
    const step = body.local('pair')
    const weight = body.local('pair')
    const squares = body.local('pair')
    overPairs(body, layout.row, counter, (place) => {
      for (let j = 0; j < s; j++) {
        const target = place(this.rowOf(layout.w, j))
        body.at(target).loadPair(target)
        body
          .loadPair(place(this.rowOf(layout.change, j)))
          .tee(step)
          .doPair('add')
          .storePair(target)
        if (j > 0) body.get(squares)
        body.get(step).get(step).doPair('mul')
        if (j > 0) body.doPair('add')
        body.set(squares)
      }
      body.get(total).get(squares)
      body.loadPair(place(layout.absolute)).loadPair({ offset: layout.relative })
      body.loadPair(place(layout.state)).doPair('abs', 'mul', 'add').tee(weight).get(weight).doPair('mul', 'div', 'add').set(total)
    })
    return body.get(total).lane(0).get(total).lane(1).do('add')
  }

  /** (hS) → norm of the estimate, or a code. */
  finish(): WasmBody {
    const { layout } = this
    const s = this.method.stages
    const body = new WasmBody(['f64'])
    const counter = body.local('i32')
    const perH = body.local('pair')
    const raw = body.local('pair')
    body.double(1).get(0).do('div').doPair('splat').set(perH)
    this.mix(body, this.t, layout.w, s, layout.z, counter)
    this.withRows(body, layout.z, s, counter, (locals, place) => {
      body.at(place(layout.defect))
      this.sum(body, this.error, 0, locals)
      body.get(perH).doPair('mul').tee(raw).storePair(place(layout.defect))
      body.at(place(layout.estimate)).loadPair(place(layout.startRates)).get(raw).doPair('add').storePair(place(layout.estimate))
      body.at(place(layout.trial)).loadPair(place(layout.state))
      body
        .get(locals[s - 1]!)
        .doPair('add')
        .storePair(place(layout.trial))
    })
    body.int(layout.estimate).call(numbers.solve)
    return this.judge(body, counter)
  }

  refine(): WasmBody {
    const { layout } = this
    const body = new WasmBody()
    const counter = body.local('i32')
    const sumInto = (target: number, a: number, b: number): void =>
      overPairs(body, layout.row, counter, (place) =>
        body.at(place(target)).loadPair(place(a)).loadPair(place(b)).doPair('add').storePair(place(target)),
      )
    sumInto(layout.trial, layout.state, layout.estimate)
    body.call(numbers.rates)
    sumInto(layout.estimate, layout.rates, layout.defect)
    sumInto(layout.trial, layout.state, this.rowOf(layout.z, this.method.stages - 1))
    body.int(layout.estimate).call(numbers.solve)
    return this.judge(body, counter)
  }

  private judge(body: WasmBody, counter: number): WasmBody {
    const { layout } = this
    const after = body.local('pair')
    const check = body.local('pair')
    const below = body.local('pair')
    const scaled = body.local('pair')
    const sum = body.local('pair')
    overPairs(body, layout.row, counter, (place) => {
      body.get(check).loadPair(place(layout.trial)).tee(after).get(after).doPair('sub', 'add').set(check)
      body.get(below).get(after).loadPair(place(layout.floor)).doPair('less', 'or').set(below)
      body.get(sum).loadPair(place(layout.estimate)).loadPair(place(layout.absolute)).loadPair({ offset: layout.relative })
      body.loadPair(place(layout.state)).doPair('abs').get(after).doPair('abs', 'largerOf', 'mul', 'add', 'div').tee(scaled)
      body.get(scaled).doPair('mul', 'add').set(sum)
    })
    body.get(sum).lane(0).get(sum).lane(1).do('add')
    body.get(check).lane(0).do('add').get(check).lane(1).do('add').double(Number.POSITIVE_INFINITY).do('less', 'i32.eqz')
    body.ifSo(() => body.double(NOT_FINITE).do('return'))
    body.get(below).doPair('any')
    body.ifSo(() => body.double(BELOW_FLOOR).do('return'))
    return body.get(sum).lane(0).get(sum).lane(1).do('add').double(this.n).do('div', 'sqrt')
  }

  interpolate(): WasmBody {
    const { layout, n } = this
    const s = this.method.stages
    const body = new WasmBody()
    const counter = body.local('i32')
    const sources = [...Array.from({ length: s }, (_, i) => this.rowOf(layout.z, i)), layout.estimate]
    const locals = sources.map(() => body.local('pair'))
    for (let q = 0; q < s; q++) {
      // Rows lie close together: with an odd n the padding of one is overwritten by the next.
      overPairs(body, layout.row, counter, (place) => {
        const target = place(layout.dense + DOUBLE * q * n)
        for (const [i, local] of locals.entries()) body.loadPair(place(sources[i]!)).set(local)
        body.at(target)
        this.sum(body, this.dense, q, locals)
        body.storePair(target)
      })
    }
    return body
  }

  accept(): WasmBody {
    const { layout } = this
    const body = new WasmBody()
    const counter = body.local('i32')
    copyRow(body, layout, layout.trial, layout.state, counter)
    for (let i = 0; i < this.method.stages; i++) copyRow(body, layout, this.rowOf(layout.z, i), this.rowOf(layout.zBefore, i), counter)
    copyRow(body, layout, layout.estimate, this.rowOf(layout.zBefore, this.method.stages), counter)
    return body
  }
}
