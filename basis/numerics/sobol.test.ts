import { describe, expect, it } from 'vitest'
import { inverseNormal } from './inverse-normal.ts'
import { quantile } from './quantiles.ts'
import { randomStream } from './random.ts'
import { evenDimensions, evenPoints, plainSobol } from './sobol.ts'

const names = (count: number): string[] => Array.from({ length: count }, (_, d) => `q${d}`)
type Cloud = readonly (readonly number[])[]
const evenCloud = (seed: number, count: number, dimensions: number): Cloud => {
  const places = names(dimensions)
  const points = evenPoints(seed, places)
  return Array.from({ length: count }, (_, i) => places.map((name) => points.at(i, name)))
}
const chanceCloud = (seed: number, count: number, dimensions: number): Cloud => {
  const stream = randomStream(seed, 'cloud')
  return Array.from({ length: count }, () => Array.from({ length: dimensions }, () => stream.uniform()))
}
const meanOf = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0) / v.length
const seeds = Array.from({ length: 40 }, (_, s) => s)
/** Root mean square, over the seeds, of what a figure of a cloud misses its true value by. */
const misses = (cloud: (seed: number) => Cloud, figure: (c: Cloud) => number, truth: number): number =>
  Math.sqrt(meanOf(seeds.map((s) => (figure(cloud(s)) - truth) ** 2)))

/** Star discrepancy in the plane, exactly: the supremum is taken at corners made of the points' own coordinates and 1. */
function starDiscrepancy(cloud: Cloud): number {
  const xs = [...cloud.map((p) => p[0]!), 1]
  const ys = [...cloud.map((p) => p[1]!), 1]
  let worst = 0
  for (const x of xs) {
    for (const y of ys) {
      const open = cloud.filter((p) => p[0]! < x && p[1]! < y).length / cloud.length
      const closed = cloud.filter((p) => p[0]! <= x && p[1]! <= y).length / cloud.length
      worst = Math.max(worst, x * y - open, closed - x * y)
    }
  }
  return worst
}

describe('the plain sequence', () => {
  it('is the published one (points of SciPy 1.17.1, qmc.Sobol without scrambling, in 1024ths)', () => {
    const dimensions = [0, 1, 2, 9, 20, 30, 39]
    const published: Readonly<Record<number, readonly number[]>> = {
      0: [0, 0, 0, 0, 0, 0, 0],
      1: [512, 512, 512, 512, 512, 512, 512],
      2: [768, 256, 256, 768, 256, 256, 256],
      3: [256, 768, 768, 256, 768, 768, 768],
      21: [992, 608, 352, 32, 96, 544, 544],
      63: [16, 816, 368, 592, 240, 16, 176],
      1000: [225, 99, 531, 71, 535, 151, 491],
    }
    for (const [i, row] of Object.entries(published)) expect(dimensions.map((d) => plainSobol(Number(i), d) * 1024)).toEqual(row)
  })
})

describe('scrambled points', () => {
  it('repeat for a seed, differ for another, and lie inside the cube', () => {
    expect(evenCloud(5, 20, 45)).toEqual(evenCloud(5, 20, 45))
    expect(evenCloud(5, 20, 3)).not.toEqual(evenCloud(6, 20, 3))
    for (const point of evenCloud(5, 300, 45)) for (const x of point) expect(x > 0 && x < 1).toBe(true)
    expect(() => evenPoints(1, ['a']).at(0, 'b')).toThrow(/place "b"/)
  })

  it('every dimension puts one of 2ᵏ points into each of 2ᵏ equal parts, at every aligned stretch of the sequence', () => {
    const k = 64
    const cloud = evenCloud(11, 4 * k, evenDimensions)
    for (let d = 0; d < evenDimensions; d++) {
      for (let start = 0; start < cloud.length; start += k) {
        const parts = new Set(cloud.slice(start, start + k).map((p) => Math.floor(p[d]! * k)))
        expect(parts.size).toBe(k)
      }
    }
  })

  it('the first two dimensions put one of 64 points into every box of area 1/64, whatever its shape', () => {
    const cloud = evenCloud(3, 64, 2)
    for (let across = 0; across <= 6; across++) {
      const [m, n] = [2 ** across, 2 ** (6 - across)]
      expect(new Set(cloud.map((p) => Math.floor(p[0]! * m) * n + Math.floor(p[1]! * n))).size).toBe(64)
    }
  })

  it('a single point is uniform over the seeds (5 standard errors), and dimensions are not correlated', () => {
    const many = Array.from({ length: 4000 }, (_, s) => evenCloud(s, 1, 2)[0]!)
    for (const d of [0, 1]) expect(Math.abs(meanOf(many.map((p) => p[d]!)) - 0.5)).toBeLessThan(5 * Math.sqrt(1 / 12 / 4000))
    expect(Math.abs(meanOf(many.map((p) => 12 * (p[0]! - 0.5) * (p[1]! - 0.5))))).toBeLessThan(5 / Math.sqrt(4000))
  })

  it('a name beyond the limit draws independently, and a name added behind changes nothing before it', () => {
    const list = names(evenDimensions + 2)
    const [short, long] = [evenPoints(1, list.slice(0, 10)), evenPoints(1, list)]
    expect(list.slice(0, 10).map((n) => long.at(9, n))).toEqual(list.slice(0, 10).map((n) => short.at(9, n)))
    const [a, b] = list.slice(evenDimensions)
    const pairs = Array.from({ length: 4000 }, (_, i) => 12 * (long.at(i, a!) - 0.5) * (long.at(i, b!) - 0.5))
    expect(Math.abs(meanOf(pairs))).toBeLessThan(5 / Math.sqrt(4000))
  })
})

describe('against chance', () => {
  it('star discrepancy of 64 points in the plane is less than half', () => {
    const few = seeds.slice(0, 8)
    const even = meanOf(few.map((s) => starDiscrepancy(evenCloud(s, 64, 2))))
    const chance = meanOf(few.map((s) => starDiscrepancy(chanceCloud(s, 64, 2))))
    expect(even).toBeLessThan(chance / 2)
  })

  it('integral of a product over 6 and 24 dimensions (closed form 1)', () => {
    for (const [dimensions, gain] of [
      [6, 8],
      [24, 4],
    ] as const) {
      const product = (c: Cloud): number => meanOf(c.map((p) => p.reduce((f, x, d) => f * (1 + (x - 0.5) / (d + 1)), 1)))
      const even = misses((s) => evenCloud(s, 256, dimensions), product, 1)
      const chance = misses((s) => chanceCloud(s, 256, dimensions), product, 1)
      expect(even).toBeLessThan(chance / gain)
    }
  })

  it('the ninety-in-a-hundred limit of a sum of 15 normal errors from 32 points (closed form 1.2816 σ)', () => {
    const weights = Array.from({ length: 15 }, (_, d) => 1 / (d + 1))
    const sigma = Math.sqrt(weights.reduce((sum, w) => sum + w * w, 0))
    const high = (c: Cloud): number =>
      quantile(
        c.map((p) => p.reduce((sum, x, d) => sum + weights[d]! * inverseNormal(x), 0)),
        0.9,
      ) / sigma
    const even = misses((s) => evenCloud(s, 32, 15), high, 1.2815515655446004)
    const chance = misses((s) => chanceCloud(s, 32, 15), high, 1.2815515655446004)
    expect(even).toBeLessThan(chance / 1.5)
  })
})
