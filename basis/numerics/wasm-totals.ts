/** Held totals as straight-line code on a kernel's memory: what plainArithmetic in invariants.ts does with tables, in the same order of operations. */
import { crossedWeights, DEPENDENT } from './invariants.ts'
import { encodeModule, WasmBody } from './wasm-encoder.ts'

const DOUBLE = 8

/** Byte addresses of rows of one double a total. */
export interface TotalsPlaces {
  readonly totals: number
  readonly scales: number
  readonly kept: number
  readonly shares: number
  readonly missing: number
}

/** Doubles that so many totals need. */
export const totalsRoom = (count: number): number => 5 * count

export function totalsPlaces(at: number, count: number): TotalsPlaces {
  const row = (i: number): number => at + DOUBLE * count * i
  return { totals: row(0), scales: row(1), kept: row(2), shares: row(3), missing: row(4) }
}

/** A module with `measure(address of y)` → largest share, and `correct(address of y)`, on the imported memory of a kernel. */
export function encodeTotals(weights: readonly Float64Array[], places: TotalsPlaces, memoryBytes: number): Uint8Array {
  return encodeModule(
    [],
    [
      { exported: 'measure', parameters: ['i32'], results: ['f64'], body: measureBody(weights, places) },
      { exported: 'correct', parameters: ['i32'], results: [], body: correctBody(weights, places) },
    ],
    memoryBytes,
    'imported',
  )
}

const Y = 0

/** Pushes Σ factor_k · term(k) over the components where the factor is not zero. */
function pushSum(body: WasmBody, factors: ArrayLike<number>, term: (k: number) => void): void {
  let first = true
  for (let k = 0; k < factors.length; k++) {
    const factor = factors[k]!
    if (factor === 0) continue
    if (factor === 1 || factor === -1) term(k)
    else {
      body.double(factor)
      term(k)
      body.do('mul')
    }
    if (first && factor === -1) body.do('neg')
    else if (!first) body.do(factor === -1 ? 'sub' : 'add')
    first = false
  }
  if (first) body.double(0)
}

function measureBody(weights: readonly Float64Array[], places: TotalsPlaces): WasmBody {
  const body = new WasmBody(['i32'])
  const [missing, scale, share, largest] = [body.local('f64'), body.local('f64'), body.local('f64'), body.local('f64')]
  for (const [i, row] of weights.entries()) {
    const at = DOUBLE * i
    body.load({ offset: places.totals + at })
    pushSum(body, row, (k) => body.load({ from: Y, offset: DOUBLE * k }))
    body.do('sub').set(missing)
    body
      .int(0)
      .get(missing)
      .store({ offset: places.missing + at })
    body
      .load({ offset: places.scales + at })
      .tee(scale)
      .double(0)
      .do('greater', 'i32.eqz')
    body.ifSo(() => {
      body.double(0)
      for (const [k, w] of row.entries()) {
        if (w !== 0)
          body
            .double(w)
            .load({ from: Y, offset: DOUBLE * k })
            .do('mul', 'abs', 'add')
      }
      body.set(scale)
    })
    // Nothing missing is no share, also where there is nothing to divide by.
    body.double(0).get(missing).do('abs').get(scale).do('div').get(missing).double(0).do('equal', 'select').set(share)
    body
      .int(0)
      .get(share)
      .store({ offset: places.shares + at })
    body.get(share).get(largest)
    body
      .load({ offset: places.kept + at })
      .double(1)
      .do('equal')
      .get(share)
      .get(largest)
      .do('greater', 'i32.and', 'select')
      .set(largest)
  }
  return body.get(largest)
}

function correctBody(weights: readonly Float64Array[], places: TotalsPlaces): WasmBody {
  const m = weights.length
  const size = weights[0]!.length
  const body = new WasmBody(['i32'])
  const amounts = Array.from({ length: size }, (_, k) => {
    const local = body.local('f64')
    body
      .load({ from: Y, offset: DOUBLE * k })
      .do('abs')
      .set(local)
    return local
  })
  const crossed = crossedWeights(weights)
  const matrix = crossed.map((row) => {
    const local = body.local('f64')
    pushSum(body, row, (k) => body.get(amounts[k]!))
    body.set(local)
    return local
  })
  const entry = (i: number, j: number): number => matrix[(i * (i + 1)) / 2 + j]!
  const pivots = weights.map(() => body.local('f64'))
  const pivot = body.local('f64')
  for (let j = 0; j < m; j++) {
    body.get(entry(j, j))
    for (let k = 0; k < j; k++) body.get(entry(j, k)).get(entry(j, k)).do('mul').get(pivots[k]!).do('mul', 'sub')
    body.tee(pivot).double(0)
    body
      .load({ offset: places.kept + DOUBLE * j })
      .double(1)
      .do('equal')
    body.get(pivot).double(DEPENDENT).get(entry(j, j)).do('mul', 'greater', 'i32.and', 'select').set(pivots[j]!)
    for (let i = j + 1; i < m; i++) {
      body.get(entry(i, j))
      for (let k = 0; k < j; k++) body.get(entry(i, k)).get(entry(j, k)).do('mul').get(pivots[k]!).do('mul', 'sub')
      body.get(pivots[j]!).do('div').double(0).get(pivots[j]!).double(0).do('greater', 'select').set(entry(i, j))
    }
  }
  const multipliers = weights.map((_, i) => {
    const local = body.local('f64')
    body.load({ offset: places.missing + DOUBLE * i }).set(local)
    return local
  })
  const takeAway = (i: number, k: number, from: number): void =>
    void body.get(multipliers[i]!).get(from).get(multipliers[k]!).do('mul', 'sub').set(multipliers[i]!)
  for (let i = 0; i < m; i++) for (let k = 0; k < i; k++) takeAway(i, k, entry(i, k))
  for (let i = 0; i < m; i++) {
    const multiplier = multipliers[i]!
    body.get(multiplier).get(pivots[i]!).do('div').double(0).get(pivots[i]!).double(0).do('greater', 'select').set(multiplier)
  }
  for (let i = m - 1; i >= 0; i--) for (let k = i + 1; k < m; k++) takeAway(i, k, entry(k, i))
  for (let k = 0; k < size; k++) {
    const column = weights.map((w) => w[k]!)
    if (column.every((w) => w === 0)) continue
    const place = { from: Y, offset: DOUBLE * k }
    body.at(place).load(place).get(amounts[k]!)
    pushSum(body, column, (i) => body.get(multipliers[i]!))
    body.do('mul', 'add').store(place)
  }
  return body
}
