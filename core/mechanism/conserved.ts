/** Which totals of a state cannot change by any rate: elements, charge, and combinations that water and held species leave alone. */
import type { Mechanism, MechanismSpecies } from './mechanism.ts'

export interface ConservedTotal {
  /** "I", "charge", "H - 2 O" */
  readonly name: string
  readonly weights: Float64Array
}

const CHARGE = 'charge'
const ROUND_OFF = 1e-9

function countOf(species: MechanismSpecies, key: string): number {
  return key === CHARGE ? species.charge : (species.composition?.[key] ?? 0)
}

/**
 * Combinations of elements and charge that are zero in every exchanged species: an exact basis by elimination.
 * Water alone (2 H, 1 O) leaves "H - 2 O"; a held hydrogen ion as well leaves "charge - H + 2 O".
 */
function combinations(keys: readonly string[], exchanged: readonly MechanismSpecies[]): readonly (readonly number[])[] {
  const rows = exchanged.map((s) => keys.map((key) => countOf(s, key)))
  const pivots: number[] = []
  let rank = 0
  // free columns are looked for first among H and charge, so that totals read "H - 2 O" rather than "O - 0.5 H"
  const order = keys
    .map((_, i) => i)
    .sort((a, b) => Number(keys[a] === 'H' || keys[a] === CHARGE) - Number(keys[b] === 'H' || keys[b] === CHARGE))
  for (const column of order) {
    const pivot = rows.findIndex((row, i) => i >= rank && Math.abs(row[column]!) > ROUND_OFF)
    if (pivot < 0) continue
    ;[rows[rank], rows[pivot]] = [rows[pivot]!, rows[rank]!]
    const lead = rows[rank]!
    const scale = lead[column]!
    for (let c = 0; c < lead.length; c++) lead[c] = lead[c]! / scale
    rows.forEach((row, i) => {
      const factor = row[column]!
      if (i !== rank && factor !== 0) for (let c = 0; c < row.length; c++) row[c] = row[c]! - factor * lead[c]!
    })
    pivots.push(column)
    rank++
  }
  const free = keys.map((_, i) => i).filter((i) => !pivots.includes(i))
  return free.map((column) => {
    const vector = keys.map(() => 0)
    vector[column] = 1
    pivots.forEach((p, r) => (vector[p] = -rows[r]![column]!))
    return vector
  })
}

function nameOf(keys: readonly string[], vector: readonly number[]): string {
  const parts = keys.map((key, i) => ({ key, n: Math.round(vector[i]! * 1e6) / 1e6 })).filter((p) => p.n !== 0)
  const first = parts.findIndex((p) => p.n > 0)
  const sorted = first > 0 ? [parts[first]!, ...parts.filter((_, i) => i !== first)] : parts
  return sorted
    .map((p, i) => `${i === 0 ? (p.n < 0 ? '-' : '') : p.n < 0 ? ' - ' : ' + '}${Math.abs(p.n) === 1 ? '' : `${Math.abs(p.n)} `}${p.key}`)
    .join('')
}

/**
 * Totals that every rate keeps. `stateSpecies` names the species counted by each state (counters of gas and solid count theirs;
 * null for temperature). Candidates are tested against `stoichiometry`, so an unbalanced (lumped) step removes only what it breaks.
 */
export function conservedTotals(
  mechanism: Mechanism,
  stateSpecies: readonly (MechanismSpecies | null)[],
  rateCount: number,
  stoichiometry: (state: number, rate: number) => number,
): readonly ConservedTotal[] {
  const inSteps = new Set(mechanism.steps.flatMap((s) => [...s.reactants, ...s.products].map((t) => t.species)))
  const exchanged = mechanism.species.filter((s) => s.role !== 'dynamic' && inSteps.has(s.id))
  const found = new Set<string>()
  for (const s of stateSpecies) for (const element of Object.keys(s?.composition ?? {})) found.add(element)
  const keys = [...found].sort()
  if (stateSpecies.some((s) => s !== null && s.charge !== 0)) keys.push(CHARGE)
  return combinations(keys, exchanged).flatMap((vector) => {
    // What thirds and ninths leave of a zero must be zero: on a species in great excess it would pass for a share of the total.
    const exact = (w: number): number => (Math.abs(w) < ROUND_OFF ? 0 : w)
    const weights = Float64Array.from(stateSpecies, (s) =>
      s ? exact(keys.reduce((sum, key, i) => sum + vector[i]! * countOf(s, key), 0)) : 0,
    )
    if (weights.every((w) => w === 0)) return []
    for (let rate = 0; rate < rateCount; rate++) {
      let change = 0
      for (let state = 0; state < weights.length; state++) change += weights[state]! * stoichiometry(state, rate)
      if (Math.abs(change) > 1e-6) return []
    }
    return [{ name: nameOf(keys, vector), weights }]
  })
}
