/** Growing lists from which the typed arrays of a compiled mechanism are made. */
import type { NetworkTables } from './network-tables.ts'
import type { Auxiliaries } from './auxiliaries.ts'
import { asMonomials, merged, type Monomial, type SlotNode, writeProgram } from './slot-expression.ts'

/** Rows of linear sums of outputs. */
export class SparseSums {
  private readonly rows: { output: number; coefficient: number }[][] = []
  constructor(count: number) {
    for (let i = 0; i < count; i++) this.rows.push([])
  }
  /** Adds coefficient * output to the sum of row i; equal outputs are merged. */
  add(i: number, output: number, coefficient: number): void {
    const row = this.rows[i]!
    const before = row.find((t) => t.output === output)
    if (before) before.coefficient += coefficient
    else row.push({ output, coefficient })
  }
  /** `opposed` flags terms whose next term in the same row is the other direction of the same step; `backOf` gives that direction's output, or -1. */
  build(backOf: (output: number) => number = () => -1): {
    readonly start: Int32Array
    readonly output: Int32Array
    readonly coefficient: Float64Array
    readonly opposed: Uint8Array
  } {
    const kept = this.rows.map((row) => row.filter((t) => t.coefficient !== 0))
    const start = new Int32Array(kept.length + 1)
    kept.forEach((row, i) => (start[i + 1] = start[i]! + row.length))
    const all = kept.flat()
    const opposed = Uint8Array.from(
      kept.flatMap((row) => row.map((t, k) => (k + 1 < row.length && row[k + 1]!.output === backOf(t.output) ? 1 : 0))),
    )
    return { opposed, start, output: Int32Array.from(all, (t) => t.output), coefficient: Float64Array.from(all, (t) => t.coefficient) }
  }
}

/** Laws and partials as sums of products of slots, and the programs of the auxiliary slots they read. */
export class OutputTables {
  private readonly outputs: (readonly Monomial[])[] = []
  private readonly auxiliaries: Auxiliaries
  constructor(auxiliaries: Auxiliaries) {
    this.auxiliaries = auxiliaries
  }
  /** Adds a flat law and returns its number; -1 (and nothing added) when it is always zero. */
  push(law: SlotNode): number {
    const monomials = asMonomials(law) ?? [{ coefficient: 1, slots: [this.auxiliaries.slotFor(law)] }]
    const kept = merged(monomials)
    return kept.length === 0 ? -1 : this.outputs.push(kept) - 1
  }
  /** Adds a law that keeps its place even when it is always zero. */
  pushAlways(law: SlotNode): number {
    const output = this.push(law)
    return output >= 0 ? output : this.outputs.push([]) - 1
  }
  build(
    rateAuxiliaryCount: number,
    slotOfNumber: (value: number) => number,
  ): Pick<
    NetworkTables,
    | 'monomialStart'
    | 'monomialCoefficient'
    | 'factorStart'
    | 'factors'
    | 'auxiliarySlot'
    | 'programStart'
    | 'rateAuxiliaryCount'
    | 'code'
    | 'stackDepth'
    | 'outputCount'
  > {
    const flat = this.outputs.flat()
    const monomialStart = new Int32Array(this.outputs.length + 1)
    this.outputs.forEach((list, i) => (monomialStart[i + 1] = monomialStart[i]! + list.length))
    const factorStart = new Int32Array(flat.length + 1)
    flat.forEach((m, i) => (factorStart[i + 1] = factorStart[i]! + m.slots.length))
    const code: number[] = []
    const programStart = [0]
    let stackDepth = 1
    for (const { node } of this.auxiliaries.list) {
      stackDepth = Math.max(stackDepth, writeProgram(node, code, slotOfNumber))
      programStart.push(code.length)
    }
    return {
      outputCount: this.outputs.length,
      monomialStart,
      monomialCoefficient: Float64Array.from(flat, (m) => m.coefficient),
      factorStart,
      factors: Int32Array.from(flat.flatMap((m) => m.slots)),
      auxiliarySlot: Int32Array.from(this.auxiliaries.list, (x) => x.slot),
      programStart: Int32Array.from(programStart),
      rateAuxiliaryCount,
      code: Int32Array.from(code),
      stackDepth,
    }
  }
}
