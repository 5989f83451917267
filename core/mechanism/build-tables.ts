/** Growing lists from which the typed arrays of a compiled mechanism are made. */
import type { SparsePattern } from '@beakertide/basis/numerics'
import type { NetworkTables } from './network-tables.ts'
import { asMonomials, type Monomial, type SlotNode, writeProgram } from './slot-expression.ts'

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
  build(): { readonly start: Int32Array; readonly output: Int32Array; readonly coefficient: Float64Array } {
    const kept = this.rows.map((row) => row.filter((t) => t.coefficient !== 0))
    const start = new Int32Array(kept.length + 1)
    kept.forEach((row, i) => (start[i + 1] = start[i]! + row.length))
    const all = kept.flat()
    return { start, output: Int32Array.from(all, (t) => t.output), coefficient: Float64Array.from(all, (t) => t.coefficient) }
  }
}

/** Laws and partials as tables. */
export class OutputTables {
  private readonly monomials: (readonly Monomial[])[] = []
  private readonly programs: { readonly output: number; readonly node: SlotNode }[] = []
  /** Adds an output; a sum of products where the law is one. */
  push(node: SlotNode): { readonly output: number; readonly monomials: readonly Monomial[] | null } {
    const monomials = asMonomials(node)
    const output = this.monomials.length
    this.monomials.push(monomials ?? [])
    if (!monomials) this.programs.push({ output, node })
    return { output, monomials }
  }
  pushMonomials(list: readonly Monomial[]): number {
    this.monomials.push(list)
    return this.monomials.length - 1
  }
  build(
    rateCount: number,
    slotOfNumber: (value: number) => number,
  ): Pick<
    NetworkTables,
    | 'monomialStart'
    | 'monomialCoefficient'
    | 'factorStart'
    | 'factors'
    | 'programOutput'
    | 'programStart'
    | 'rateProgramCount'
    | 'code'
    | 'stackDepth'
    | 'outputCount'
  > {
    const flat = this.monomials.flat()
    const monomialStart = new Int32Array(this.monomials.length + 1)
    this.monomials.forEach((list, i) => (monomialStart[i + 1] = monomialStart[i]! + list.length))
    const factorStart = new Int32Array(flat.length + 1)
    flat.forEach((m, i) => (factorStart[i + 1] = factorStart[i]! + m.slots.length))
    const code: number[] = []
    const programStart = [0]
    let stackDepth = 1
    for (const p of this.programs) {
      stackDepth = Math.max(stackDepth, writeProgram(p.node, code, slotOfNumber))
      programStart.push(code.length)
    }
    return {
      outputCount: this.monomials.length,
      monomialStart,
      monomialCoefficient: Float64Array.from(flat, (m) => m.coefficient),
      factorStart,
      factors: Int32Array.from(flat.flatMap((m) => m.slots)),
      programOutput: Int32Array.from(this.programs, (p) => p.output),
      programStart: Int32Array.from(programStart),
      rateProgramCount: this.programs.filter((p) => p.output < rateCount).length,
      code: Int32Array.from(code),
      stackDepth,
    }
  }
}

/** Row-wise pattern from the set of (row, column) that occur, diagonal included. */
export function patternOf(size: number, pairs: Iterable<readonly [number, number]>): SparsePattern {
  const rows = Array.from({ length: size }, (_, i) => new Set([i]))
  for (const [row, column] of pairs) rows[row]!.add(column)
  const sorted = rows.map((row) => [...row].sort((a, b) => a - b))
  const rowStart = new Int32Array(size + 1)
  sorted.forEach((row, i) => (rowStart[i + 1] = rowStart[i]! + row.length))
  return { size, rowStart, columns: Int32Array.from(sorted.flat()) }
}

/** Index of entry (row, column) in the pattern. */
export function entryIn(pattern: SparsePattern, row: number, column: number): number {
  for (let e = pattern.rowStart[row]!; e < pattern.rowStart[row + 1]!; e++) if (pattern.columns[e] === column) return e
  return -1
}
