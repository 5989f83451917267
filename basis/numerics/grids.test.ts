import { expect, it } from 'vitest'
import { linearGrid, logGrid } from './grids.ts'

it('a linear grid has equal differences and exact ends', () => {
  expect([...linearGrid(0, 1, 5)]).toEqual([0, 0.25, 0.5, 0.75, 1])
  expect(linearGrid(0.1, 0.7, 7).at(-1)).toBe(0.7)
  expect([...linearGrid(3, 1, 3)]).toEqual([3, 2, 1])
})

it('a logarithmic grid has equal ratios and exact ends', () => {
  const grid = logGrid(1e-3, 10, 5)
  for (const [i, x] of [1e-3, 1e-2, 1e-1, 1, 10].entries()) expect(Math.abs(grid[i]! / x - 1)).toBeLessThan(1e-14)
  expect([grid[0], grid[4]]).toEqual([1e-3, 10])
})

it('refuses what has no meaning', () => {
  expect(() => linearGrid(0, 1, 1)).toThrow(/no two ends/)
  expect(() => logGrid(0, 1, 3)).toThrow(/cannot reach/)
})
