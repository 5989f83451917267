import { expect, it } from 'vitest'
import { quantile, quantiles } from './quantiles.ts'

it('quantiles of 1…4 follow definition 7: h = (n − 1) p + 1', () => {
  // h = 1.75, 2.5, 3.25 for p = 0.25, 0.5, 0.75: values 1.75, 2.5, 3.25.
  expect(quantiles([4, 2, 1, 3], [0, 0.25, 0.5, 0.75, 1])).toEqual([1, 1.75, 2.5, 3.25, 4])
})

it('a single value is all its quantiles, nothing has none, and the sample is not touched', () => {
  expect(quantile([7], 0.1)).toBe(7)
  expect(quantile([], 0.5)).toBeNaN()
  const sample = [3, 1, 2]
  quantile(sample, 0.5)
  expect(sample).toEqual([3, 1, 2])
})
