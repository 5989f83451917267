/** Straight-line code for tables of sums of products, in the order in which a loop over the same tables would go: the results are equal to the last bit. */
import type { Place, WasmBody } from './wasm-encoder.ts'

/** Output o is Σ monomialCoefficient_m Π slots over monomials monomialStart[o] … monomialStart[o+1]. */
export interface ProductTables {
  readonly monomialStart: Int32Array
  readonly monomialCoefficient: Float64Array
  readonly factorStart: Int32Array
  readonly factors: Int32Array
}

/** Sum i is Σ coefficient_k · output[which_k] over start[i] … start[i+1]. */
export interface SumTables {
  readonly start: Int32Array
  readonly which: Int32Array
  readonly coefficient: Float64Array
  /** 1 where a term and the next are added to each other before they are added to the sum; absent: nowhere. */
  readonly opposed?: Uint8Array
}

/** Evaluates outputs [from, to) into locals and returns their numbers, by output. */
export function emitProducts(
  body: WasmBody,
  t: ProductTables,
  from: number,
  to: number,
  pushSlot: (slot: number) => void,
): ReadonlyMap<number, number> {
  const locals = new Map<number, number>()
  for (let output = from; output < to; output++) {
    const first = t.monomialStart[output]!
    const last = t.monomialStart[output + 1]!
    if (first === last) body.double(0)
    for (let m = first; m < last; m++) {
      emitMonomial(body, t, m, pushSlot)
      if (m > first) body.do('add')
    }
    const local = body.local('f64')
    body.set(local)
    locals.set(output, local)
  }
  return locals
}

function emitMonomial(body: WasmBody, t: ProductTables, m: number, pushSlot: (slot: number) => void): void {
  const coefficient = t.monomialCoefficient[m]!
  const first = t.factorStart[m]!
  const last = t.factorStart[m + 1]!
  const signOnly = (coefficient === 1 || coefficient === -1) && first < last
  if (!signOnly) body.double(coefficient)
  for (let f = first; f < last; f++) {
    pushSlot(t.factors[f]!)
    if (f > first || !signOnly) body.do('mul')
    else if (coefficient === -1) body.do('neg')
  }
}

/**
 * Pushes sum i, or its opposite. `placeOf(k)` says where the coefficient k stands when it is data (there with its sign already turned, if `opposite`), or
 * null when it is part of the code.
 */
export function emitSum(
  body: WasmBody,
  sums: SumTables,
  i: number,
  locals: ReadonlyMap<number, number>,
  opposite: boolean,
  placeOf: (k: number) => Place | null,
): void {
  const first = sums.start[i]!
  const last = sums.start[i + 1]!
  if (first === last) body.double(0)
  for (let k = first; k < last; k++) {
    const place = placeOf(k)
    const coefficient = opposite ? -sums.coefficient[k]! : sums.coefficient[k]!
    const output = locals.get(sums.which[k]!)!
    const [opens, closes] = [sums.opposed?.[k] === 1, k > first && sums.opposed?.[k - 1] === 1]
    /** Whether this term has something to be added to at once. */
    const joins = closes || (k > first && !opens)
    if (place === null && (coefficient === 1 || coefficient === -1)) {
      body.get(output)
      if (coefficient === -1 && !joins) body.do('neg')
    } else {
      if (place === null) body.double(coefficient)
      else body.load(place)
      body.get(output).do('mul')
    }
    if (joins) body.do(place === null && coefficient === -1 ? 'sub' : 'add')
    // A pair that is complete joins what stood before it.
    if (closes && k - 1 > first) body.do('add')
  }
}

/**
 * Stores `count` doubles from `out` on, the i-th pushed by `push(i)`, two at a time: loops that read them as pairs right afterwards then need not wait until
 * they have reached the memory. With an odd count the double after the last becomes zero.
 */
export function storeInPairs(body: WasmBody, count: number, out: Place, push: (i: number) => void): void {
  for (let i = 0; i < count; i += 2) {
    const place: Place = { ...out, offset: out.offset + 8 * i }
    body.at(place).pair(
      () => push(i),
      () => (i + 1 < count ? push(i + 1) : body.double(0)),
    )
    body.storePair(place)
  }
}
