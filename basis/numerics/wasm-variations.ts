/** The arithmetic of a step of the variational equations as one WebAssembly module: what variation-work.ts does with tables, in the same order, two parameters at a time. */
import type { Emittable } from './emittable.ts'
import type { EsdirkTableau } from './esdirk-tableau.ts'
import type { SparsePattern } from './ode.ts'
import { planFactors, type SparsePlan } from './sparse-plan.ts'
import { encodeModule, type Place, WasmBody, type WasmFunction } from './wasm-encoder.ts'
import { emitDecompose } from './wasm-factors.ts'
import { planMemory } from './wasm-memory.ts'
import { MOST_OPERATIONS, overPairs, stepCalls, stepImports } from './wasm-step.ts'

const DOUBLE = 8
const PAIR = 16

/** Byte addresses; a block is one row of `width` doubles a component. */
export interface VariationLayout {
  /** The state that Jacobian and factors are asked for, and where its rates go. */
  readonly state: number
  readonly rates: number
  readonly minusJacobian: number
  readonly factors: number
  readonly data: number
  /** Weights of the stages, of the error and of the dense rows, each twice. */
  readonly coefficients: number
  /** The relative tolerance, twice. */
  readonly relative: number
  readonly start: number
  readonly end: number
  readonly sources: number
  readonly slope: number
  readonly known: number
  readonly absolute: number
  readonly squares: number
  /** U_0 … one block after the other. */
  readonly u: number
  readonly dense: number
  readonly block: number
  readonly bytes: number
}

/** In the order in which the code finds them. */
export const variationCoefficients = (t: EsdirkTableau): readonly number[] => [...t.a.flat(), ...t.error, ...t.dense.flat(), 1 / t.gamma]

function layoutOf(
  n: number,
  width: number,
  entries: number,
  factorEntries: number,
  dataLength: number,
  tableau: EsdirkTableau,
): VariationLayout {
  const { take, bytes } = planMemory()
  const block = n * width
  return {
    state: take(n),
    rates: take(n),
    relative: take(2),
    coefficients: take(2 * variationCoefficients(tableau).length),
    minusJacobian: take(entries),
    factors: take(factorEntries),
    data: take(dataLength),
    start: take(block),
    end: take(block),
    sources: take(block),
    slope: take(block),
    known: take(block),
    absolute: take(block),
    squares: take(block),
    u: take(tableau.nodes.length * block),
    dense: take(tableau.dense.length * block),
    block: DOUBLE * block,
    bytes: bytes(),
  }
}

const numbers = { rates: 4, minusJacobian: 5, decompose: 6, solve: 7 } as const

/** The module for one system and so many parameters; null when its code would be too long. */
export function encodeVariations(
  emittable: Emittable,
  pattern: SparsePattern,
  width: number,
  tableau: EsdirkTableau,
): { readonly bytes: Uint8Array; readonly layout: VariationLayout } | null {
  if (emittable.operations > MOST_OPERATIONS) return null
  const plan = planFactors(pattern)
  if (emittable.operations + plan.target.length + plan.column.length > MOST_OPERATIONS) return null
  const layout = layoutOf(pattern.size, width, pattern.columns.length, plan.rowStart[pattern.size]!, emittable.dataLength, tableau)
  const places = { state: layout.state, data: layout.data }
  const rates = new WasmBody()
  emittable.emitRates(rates, { ...places, out: layout.rates }, stepCalls)
  const minusJacobian = new WasmBody()
  emittable.emitMinusJacobian(minusJacobian, { ...places, out: layout.minusJacobian }, stepCalls)
  const factor = new WasmBody(['f64']).call(numbers.rates).call(numbers.minusJacobian).get(0).call(numbers.decompose)
  const { nodes, a, error, dense } = tableau
  const plain = { parameters: [], results: [] } as const
  const functions: readonly WasmFunction[] = [
    { ...plain, body: rates },
    { ...plain, body: minusJacobian },
    { parameters: ['f64'], results: ['i32'], body: emitDecompose(plan, layout.minusJacobian, layout.factors) },
    { parameters: ['i32'], results: [], body: solveBody(plan, layout, DOUBLE * width) },
    { exported: 'factor', parameters: ['f64'], results: ['i32'], body: factor },
    { exported: 'begin', parameters: ['f64'], results: [], body: beginBody(layout) },
    { exported: 'solveAll', ...plain, body: solveAllBody(DOUBLE * width) },
    ...nodes.slice(1).flatMap((_, s): WasmFunction[] => [
      { exported: `before${s + 1}`, parameters: ['f64'], results: [], body: beforeBody(layout, a, s + 1) },
      { exported: `after${s + 1}`, ...plain, body: afterBody(layout, s + 1, variationCoefficients(tableau).length - 1) },
    ]),
    { exported: 'judge', ...plain, body: judgeBody(layout, a.flat().length, error.length) },
    { exported: 'interpolate', ...plain, body: interpolateBody(layout, a.flat().length + error.length, dense) },
    { exported: 'keep', ...plain, body: copyBody(layout, layout.u + (nodes.length - 1) * layout.block, layout.slope) },
  ]
  return { bytes: encodeModule(stepImports, functions, layout.bytes), layout }
}

/** Walks blocks pair by pair. */
function overBlock(body: WasmBody, layout: VariationLayout, visit: (place: (block: number) => Place) => void): void {
  overPairs(body, layout.block, body.local('i32'), visit)
}

const coefficient = (layout: VariationLayout, at: number): Place => ({ offset: layout.coefficients + PAIR * at })

/** Pushes Σ coefficient_j U_j, added to what stands on the stack if `onto`. */
function pushSum(
  body: WasmBody,
  layout: VariationLayout,
  from: number,
  count: number,
  place: (block: number) => Place,
  onto: boolean,
): void {
  for (let j = 0; j < count; j++) {
    body
      .loadPair(coefficient(layout, from + j))
      .loadPair(place(layout.u + j * layout.block))
      .doPair('mul')
    if (j > 0 || onto) body.doPair('add')
  }
}

/** (scale) → (): U_0 = scale · slope. */
function beginBody(layout: VariationLayout): WasmBody {
  const body = new WasmBody(['f64'])
  const scale = body.local('pair')
  body.get(0).doPair('splat').set(scale)
  overBlock(body, layout, (place) => {
    const target = place(layout.u)
    body.at(target).get(scale).loadPair(place(layout.slope)).doPair('mul').storePair(target)
  })
  return body
}

/** (shift) → (): known = start + Σ a_ij U_j, end = shift · known + sources. */
function beforeBody(layout: VariationLayout, a: EsdirkTableau['a'], stage: number): WasmBody {
  const body = new WasmBody(['f64'])
  const shift = body.local('pair')
  const known = body.local('pair')
  const from = a.slice(0, stage).flat().length
  body.get(0).doPair('splat').set(shift)
  overBlock(body, layout, (place) => {
    const first = place(layout.known)
    body.at(first).loadPair(place(layout.start))
    pushSum(body, layout, from, a[stage]!.length, place, true)
    body.tee(known).storePair(first)
    const second = place(layout.end)
    body.at(second).get(shift).get(known).doPair('mul').loadPair(place(layout.sources)).doPair('add').storePair(second)
  })
  return body
}

/** U_i = (end − known)/γ. */
function afterBody(layout: VariationLayout, stage: number, perGamma: number): WasmBody {
  const body = new WasmBody()
  overBlock(body, layout, (place) => {
    const target = place(layout.u + stage * layout.block)
    body.at(target).loadPair(coefficient(layout, perGamma)).loadPair(place(layout.end)).loadPair(place(layout.known))
    body.doPair('sub', 'mul').storePair(target)
  })
  return body
}

/** (address within a row) → (): the two columns there of `end` become the solution. */
function solveBody(plan: SparsePlan, layout: VariationLayout, rowBytes: number): WasmBody {
  const { order, rowStart, diagonal, place } = plan
  const n = order.length
  const body = new WasmBody(['i32'])
  const at = (p: number): Place => ({ offset: layout.end + rowBytes * order[p]!, from: 0 })
  /** By place in the order of elimination. */
  const unknown = Array.from(order, () => body.local('pair'))
  const factor = (e: number): void => void body.load({ offset: layout.factors + DOUBLE * e }).doPair('splat')
  const subtract = (e: number): void => {
    factor(e)
    body.get(unknown[place[e]!]!).doPair('mul', 'sub')
  }
  for (let p = 0; p < n; p++) {
    body.loadPair(at(p))
    for (let e = rowStart[p]!; e < diagonal[p]!; e++) subtract(e)
    body.set(unknown[p]!)
  }
  for (let p = n - 1; p >= 0; p--) {
    const target = at(p)
    body.at(target).get(unknown[p]!)
    for (let e = rowStart[p + 1]! - 1; e > diagonal[p]!; e--) subtract(e)
    factor(diagonal[p]!)
    body.doPair('mul').tee(unknown[p]!).storePair(target)
  }
  return body
}

function solveAllBody(rowBytes: number): WasmBody {
  const body = new WasmBody()
  const counter = body.local('i32')
  return body.loop(counter, rowBytes, PAIR, () => body.get(counter).call(numbers.solve))
}

function judgeBody(layout: VariationLayout, from: number, count: number): WasmBody {
  const body = new WasmBody()
  const scaled = body.local('pair')
  overBlock(body, layout, (place) => {
    const target = place(layout.squares)
    body.at(target)
    pushSum(body, layout, from, count, place, false)
    body.loadPair(place(layout.absolute)).loadPair({ offset: layout.relative })
    body.loadPair(place(layout.start)).doPair('abs').loadPair(place(layout.end)).doPair('abs', 'largerOf', 'mul', 'add', 'div')
    body.tee(scaled).get(scaled).doPair('mul').storePair(target)
  })
  return body
}

function interpolateBody(layout: VariationLayout, from: number, dense: EsdirkTableau['dense']): WasmBody {
  const body = new WasmBody()
  overBlock(body, layout, (place) => {
    let at = from
    for (const [r, weights] of dense.entries()) {
      const target = place(layout.dense + r * layout.block)
      body.at(target)
      pushSum(body, layout, at, weights.length, place, false)
      body.storePair(target)
      at += weights.length
    }
  })
  return body
}

function copyBody(layout: VariationLayout, from: number, to: number): WasmBody {
  const body = new WasmBody()
  overBlock(body, layout, (place) => body.at(place(to)).loadPair(place(from)).storePair(place(to)))
  return body
}
