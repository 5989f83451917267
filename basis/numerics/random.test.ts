import { describe, expect, it } from 'vitest'
import { quantile } from './quantiles.ts'
import { randomStream } from './random.ts'

const many = (draw: () => number, count = 40_000): number[] => Array.from({ length: count }, draw)
const drawUniform = (seed: number, name: string, count?: number): number[] => {
  const stream = randomStream(seed, name)
  return many(() => stream.uniform(), count)
}
const mean = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0) / v.length
const deviation = (v: readonly number[]): number => Math.sqrt(mean(v.map((x) => (x - mean(v)) ** 2)))

describe('random streams', () => {
  it('repeat for the same seed and name, and differ for another of either', () => {
    const first = (seed: number, name: string): number[] => drawUniform(seed, name, 5)
    expect(first(1, 'assay')).toEqual(first(1, 'assay'))
    expect(first(1, 'assay')).not.toEqual(first(2, 'assay'))
    expect(first(1, 'assay')).not.toEqual(first(1, 'weighing'))
  })

  it('are not alike for neighbouring seeds: 400 first numbers are spread evenly and uncorrelated', () => {
    const firsts = Array.from({ length: 400 }, (_, seed) => randomStream(seed, 'x').uniform())
    // Standard error of the mean 0.0144, of a correlation 0.05.
    expect(Math.abs(mean(firsts) - 0.5)).toBeLessThan(0.05)
    const pairs = firsts.slice(1).map((x, i) => (x - 0.5) * (firsts[i]! - 0.5) * 12)
    expect(Math.abs(mean(pairs))).toBeLessThan(0.2)
  })

  it('have the moments of their distributions (5 standard errors)', () => {
    const u = drawUniform(3, 'u')
    expect(Math.min(...u)).toBeGreaterThanOrEqual(0)
    expect(Math.max(...u)).toBeLessThan(1)
    expect(Math.abs(mean(u) - 0.5)).toBeLessThan(5 * Math.sqrt(1 / 12 / u.length))
    const normal = randomStream(3, 'n')
    const n = many(() => normal.normal(10, 2))
    expect(Math.abs(mean(n) - 10)).toBeLessThan((5 * 2) / Math.sqrt(n.length))
    expect(Math.abs(deviation(n) - 2)).toBeLessThan((5 * 2) / Math.sqrt(2 * n.length))
    const triangle = randomStream(3, 't')
    // Mean (a + b + c)/3 and variance (a² + b² + c² − ab − ac − bc)/18 of the triangular distribution.
    const t = many(() => triangle.triangular(1, 2, 6))
    expect(Math.abs(mean(t) - 3)).toBeLessThan(5 * Math.sqrt(21 / 18 / t.length))
    expect(Math.abs(deviation(t) - Math.sqrt(21 / 18))).toBeLessThan(0.02)
  })

  it('lognormal has its median, and 68.27 % within one factor', () => {
    const stream = randomStream(4)
    const v = many(() => stream.lognormal(5, 1.5))
    expect(Math.abs(quantile(v, 0.5) / 5 - 1)).toBeLessThan(0.015)
    const within = v.filter((x) => x > 5 / 1.5 && x < 5 * 1.5).length / v.length
    expect(Math.abs(within - 0.6827)).toBeLessThan(0.012)
    expect(stream.lognormal(5, 1)).toBe(5)
  })

  it('triangular takes a peak at either end and a width of zero', () => {
    const stream = randomStream(9)
    for (const mode of [0, 1]) for (const x of many(() => stream.triangular(0, mode, 1), 200)) expect(x >= 0 && x <= 1).toBe(true)
    expect(stream.triangular(2, 2, 2)).toBe(2)
  })
})
