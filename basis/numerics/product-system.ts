/** Systems whose rates are products of powers of the state: mass action, and everything polynomial. */
import { invariant } from '../problems/index.ts'
import type { OdeSystem } from './ode.ts'
import { entryOf, patternOf } from './sparse-lu.ts'
import { emitProducts, emitSum, type ProductTables, storeInPairs, type SumTables } from './wasm-sums.ts'

/** v = constant · Π y_factor (a factor stands as often as its power); dy_i/dt takes change · v. */
export interface ProductRate {
  readonly constant: number
  readonly factors: readonly number[]
  readonly changes: readonly (readonly [component: number, change: number])[]
}

const DOUBLE = 8

/** Constants stand in slots after the state, so that other constants need no other code. */
function tablesFor(size: number, products: readonly { readonly slot: number; readonly factors: readonly number[] }[]): ProductTables {
  const lists = products.map(({ slot, factors }) => [size + slot, ...factors])
  const factorStart = new Int32Array(lists.length + 1)
  for (const [i, list] of lists.entries()) factorStart[i + 1] = factorStart[i]! + list.length
  return {
    monomialStart: Int32Array.from({ length: lists.length + 1 }, (_, i) => i),
    monomialCoefficient: new Float64Array(lists.length).fill(1),
    factorStart,
    factors: Int32Array.from(lists.flat()),
  }
}

function sumsOf(
  count: number,
  terms: readonly { readonly sum: number; readonly which: number; readonly coefficient: number }[],
): SumTables {
  const start = new Int32Array(count + 1)
  for (const { sum } of terms) start[sum + 1] = start[sum + 1]! + 1
  for (let i = 0; i < count; i++) start[i + 1] = start[i + 1]! + start[i]!
  const sorted = [...terms].sort((a, b) => a.sum - b.sum)
  return { start, which: Int32Array.from(sorted, (t) => t.which), coefficient: Float64Array.from(sorted, (t) => t.coefficient) }
}

function fillProducts(t: ProductTables, slots: Float64Array, out: Float64Array): void {
  let f = 0
  for (let i = 0; i < out.length; i++) {
    const last = t.factorStart[i + 1]!
    let v = slots[t.factors[f++]!]!
    while (f < last) v *= slots[t.factors[f++]!]!
    out[i] = v
  }
}

function fillSums(sums: SumTables, values: Float64Array, out: Float64Array): void {
  let k = 0
  for (let i = 0; i + 1 < sums.start.length; i++) {
    const last = sums.start[i + 1]!
    let sum = 0
    for (; k < last; k++) sum += sums.coefficient[k]! * values[sums.which[k]!]!
    out[i] = sum
  }
}

/** A system of `size` components; the Jacobian is exact. Runs from tables, and offers itself as code. */
export function createProductSystem(size: number, list: readonly ProductRate[]): OdeSystem {
  for (const { factors, changes } of list) {
    const used = [...factors, ...changes.map(([i]) => i)]
    invariant(
      used.every((i) => Number.isInteger(i) && i >= 0 && i < size),
      `a rate names component ${used.find((i) => !(i >= 0 && i < size))} of ${size}`,
    )
  }
  const pattern = patternOf(
    size,
    list.flatMap(({ factors, changes }) => changes.flatMap(([i]) => factors.map((j) => [i, j] as const))),
  )
  // A power of two gives two equal slopes, one a factor.
  const partials = list.flatMap(({ factors, changes }, rate) =>
    factors.map((column, a) => ({ rate, column, changes, factors: factors.filter((_, b) => b !== a) })),
  )
  const laws = tablesFor(
    size,
    list.map(({ factors }, slot) => ({ slot, factors })),
  )
  const slopes = tablesFor(
    size,
    partials.map(({ rate, factors }) => ({ slot: rate, factors })),
  )
  const rows = sumsOf(
    size,
    list.flatMap(({ changes }, which) => changes.map(([sum, coefficient]) => ({ sum, which, coefficient }))),
  )
  const entries = sumsOf(
    pattern.columns.length,
    partials.flatMap(({ changes, column }, which) =>
      changes.map(([row, coefficient]) => ({ sum: entryOf(pattern, row, column), which, coefficient })),
    ),
  )
  const slots = new Float64Array(size + list.length)
  for (const [i, { constant }] of list.entries()) slots[size + i] = constant
  const values = new Float64Array(list.length)
  const slopeValues = new Float64Array(partials.length)

  function rates(_timeS: number, y: Float64Array, out: Float64Array): void {
    for (let i = 0; i < size; i++) slots[i] = y[i]!
    fillProducts(laws, slots, values)
    fillSums(rows, values, out)
  }
  function jacobian(_timeS: number, y: Float64Array, out: Float64Array): void {
    for (let i = 0; i < size; i++) slots[i] = y[i]!
    fillProducts(slopes, slots, slopeValues)
    fillSums(entries, slopeValues, out)
  }
  return {
    size,
    pattern,
    rates,
    jacobian,
    emittable: {
      key: `products ${size} ${[laws.factorStart, laws.factors, slopes.factorStart, slopes.factors].join(';')} ${[rows, entries]
        .flatMap((s) => [s.start, s.which, s.coefficient])
        .join(';')}`,
      rates,
      jacobian,
      dataLength: list.length,
      changes: new Int32Array(1),
      writeData: (target) => target.set(slots.subarray(size)),
      operations: laws.factors.length + slopes.factors.length + rows.which.length + entries.which.length,
      emitRates(body, places) {
        const place = (slot: number): number => (slot < size ? places.state + DOUBLE * slot : places.data + DOUBLE * (slot - size))
        const locals = emitProducts(body, laws, 0, list.length, (slot) => body.load({ offset: place(slot) }))
        storeInPairs(body, size, { offset: places.out }, (i) => emitSum(body, rows, i, locals, false, () => null))
      },
      emitMinusJacobian(body, places) {
        const place = (slot: number): number => (slot < size ? places.state + DOUBLE * slot : places.data + DOUBLE * (slot - size))
        const locals = emitProducts(body, slopes, 0, partials.length, (slot) => body.load({ offset: place(slot) }))
        storeInPairs(body, pattern.columns.length, { offset: places.out }, (i) => emitSum(body, entries, i, locals, true, () => null))
      },
    },
  }
}
