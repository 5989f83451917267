import { invariant } from '../problems/index.ts'

/** `count` (≥ 2) equally spaced numbers from `low` to `high`, both ends exact. */
export function linearGrid(low: number, high: number, count: number): Float64Array {
  invariant(count >= 2, `a grid of ${count} points has no two ends`)
  const grid = Float64Array.from({ length: count }, (_, i) => low + ((high - low) * i) / (count - 1))
  grid[count - 1] = high
  return grid
}

/** `count` (≥ 2) numbers from `low` to `high` (both > 0) with equal ratios, both ends exact. */
export function logGrid(low: number, high: number, count: number): Float64Array {
  invariant(low > 0 && high > 0, `a logarithmic grid cannot reach from ${low} to ${high}`)
  const grid = linearGrid(Math.log(low), Math.log(high), count).map(Math.exp)
  grid[0] = low
  grid[count - 1] = high
  return grid
}
