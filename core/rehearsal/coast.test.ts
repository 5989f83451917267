import { describe, expect, it } from 'vitest'
import { celsiusToKelvin } from '@beakertide/basis/units'
import { facts } from '@beakertide/data'
import { findMechanism } from '../mechanism/index.ts'
import { type CoastGrid, coastLines, coastOf } from './coast.ts'
import type { RehearsalFacts } from './rehearse.ts'
import { statedPortion, statedSolution } from './stated-solution.ts'

const features = (firstTurnS: number | null, cycles = 0) => ({ firstTurnS, periodS: null, cycles, lengthS: firstTurnS, stillGoing: false })
const grid: CoastGrid = {
  x: { from: 0, to: 1, steps: 'linear' },
  y: { from: 0, to: 1, steps: 'linear' },
  coarse: 4,
  halvings: 4,
  mostRuns: 1000,
}

describe('the coast of a circle', () => {
  // nothing outside radius 0.7, a turn within, cycles within 0.35
  const got = coastLines(grid, (x, y) => {
    const r = Math.hypot(x, y)
    return features(r > 0.7 ? null : 1, r < 0.35 ? 5 : 0)
  })
  it('finds the border to the finest square', () => {
    const finest = 1 / 64
    for (const piece of got.border) {
      const r = Math.hypot((piece.from[0] + piece.to[0]) / 2, (piece.from[1] + piece.to[1]) / 2)
      const border = piece.between.includes('nothing') ? 0.7 : 0.35
      expect(Math.abs(r - border)).toBeLessThan(1.5 * finest)
    }
    // a quarter of a circle's length, in pieces of one square
    const outer = got.border.filter((p) => p.between.includes('nothing'))
    const length = outer.reduce((sum, p) => sum + Math.hypot(p.to[0] - p.from[0], p.to[1] - p.from[1]), 0)
    expect(length / ((Math.PI / 2) * 0.7)).toBeGreaterThan(0.9)
    expect(length / ((Math.PI / 2) * 0.7)).toBeLessThan(1.2)
  })
  it('gathers its runs there: far fewer than the fine grid has', () => {
    expect(got.stopped).toBe(false)
    expect(got.runs).toBeLessThan(0.15 * 65 * 65)
  })
  it('every point of the plane lies in exactly one cell', () => {
    const area = got.cells.reduce((sum, c) => sum + (c.x[1] - c.x[0]) * (c.y[1] - c.y[0]), 0)
    expect(area).toBeCloseTo(1, 9)
  })
})

describe('a border within one coarse square', () => {
  // a disc between all corners and edges of the coarse grid
  const island = (x0: number, y0: number, r: number) => (x: number, y: number) => features(Math.hypot(x - x0, y - y0) < r ? 1 : null)
  it.each([
    ['about the middle of a square', 0.375, 0.625, 0.09],
    ['off the middle', 0.4, 0.63, 0.1],
    ['at an edge between two squares', 0.5, 0.125, 0.1],
  ])('is found %s', (_, x0, y0, r) => {
    const got = coastLines(grid, island(x0, y0, r))
    const seen = got.cells.filter((c) => c.corners.some((s) => s === 'turns'))
    const area = seen.reduce(
      (sum, c) => sum + ((c.x[1] - c.x[0]) * (c.y[1] - c.y[0]) * c.corners.filter((s) => s === 'turns').length) / 4,
      0,
    )
    expect(Math.abs(area / (Math.PI * r * r) - 1)).toBeLessThan(0.2)
    for (const piece of got.border) {
      const d = Math.hypot((piece.from[0] + piece.to[0]) / 2 - x0, (piece.from[1] + piece.to[1]) / 2 - y0)
      expect(Math.abs(d - r)).toBeLessThan(1.5 / 64)
    }
  })
  it('is never drawn through what was not looked at: nothing refused is rehearsed', () => {
    const asked: number[] = []
    const got = coastLines({ ...grid, coarse: 2, halvings: 2 }, (x) => {
      asked.push(x)
      return x > 0.6 ? { features: null, forbidden: { set: 'refused', why: 'it fumes' } } : features(1)
    })
    for (const p of got.points) expect(p.show).toBe(p.x > 0.6 ? 'refused' : 'turns')
    expect(got.border.every((b) => b.between.includes('refused'))).toBe(true)
    expect(asked).toHaveLength(got.runs)
  })
})

it('stops at the runs it may make, and says so', () => {
  const got = coastLines({ ...grid, mostRuns: 20 }, () => features(1))
  expect([got.runs, got.stopped]).toEqual([20, true])
  const asked = coastLines(grid, () => features(1), { shouldStop: () => true })
  expect([asked.runs, asked.stopped]).toEqual([0, true])
})

it('logarithmic axes have equal ratios', () => {
  const xs: number[] = []
  coastLines({ ...grid, x: { from: 0.01, to: 100, steps: 'log' }, coarse: 2, halvings: 0 }, (x) => (xs.push(x), features(1)))
  expect([...new Set(xs.map((x) => Number(x.toPrecision(12))))].sort((a, b) => a - b)).toEqual([0.01, 1, 100])
})

describe('thiosulfate against peroxide: the clock is dead from two thiosulfate a peroxide on', () => {
  const tables: RehearsalFacts = facts.day()
  const found = findMechanism('peroxide-iodide-thiosulfate', facts.mechanisms(), facts.mechanismDefaults())
  if (!found.ok) throw new Error('no mechanism')
  const mechanism = found.value
  const P = 0.02
  const S = 0.02
  const acid = 0.4
  const all = statedSolution(
    'all',
    { H2O2: 2 * P, 'I-': 0.4, 'K+': 0.4, 'S2O3^2-': 2 * S, 'Na+': 4 * S, 'H+': 2 * acid, 'SO4^2-': acid, starch: 0.006 },
    1,
    25,
    mechanism,
    tables.matter,
  )
  const water = statedSolution('water', {}, 1, 25, mechanism, tables.matter)
  it('the border is the stoichiometric line', () => {
    const portions = [
      statedPortion('all', 'peroxide', 'hydrogen-peroxide', 2 * P, 0.01),
      statedPortion('all', 'thiosulfate', 'sodium-thiosulfate-pentahydrate', 2 * S, 0.01),
    ]
    const got = coastOf(
      {
        mechanism,
        vessel: {
          id: 'jar',
          capacityL: null,
          depthCm: 6,
          stirred: true,
          count: 1,
          pours: [
            { solution: 'all', volumeL: 0.1, atS: 0 },
            { solution: 'water', volumeL: 0.1, atS: 0 },
          ],
        },
        solutions: [all, water],
        roomK: celsiusToKelvin(25),
        lengthS: 1200,
        relativeTolerance: 1e-4,
        samples: 301,
        view: { illuminant: 'd65', adaptation: 1, depthCm: 6 },
        portions,
        amounts: {
          x: { of: 'ingredient', name: 'peroxide', portions: ['all/peroxide'] },
          y: { of: 'ingredient', name: 'thiosulfate', portions: ['all/thiosulfate'] },
        },
        grid: {
          x: { from: 0.5, to: 1.5, steps: 'linear' },
          y: { from: 0.6, to: 3.4, steps: 'linear' },
          coarse: 2,
          halvings: 3,
          mostRuns: 200,
        },
      },
      tables,
    )
    if (!got.ok) throw new Error('no coast')
    expect(got.value.stopped).toBe(false)
    expect(got.value.border.length).toBeGreaterThan(8)
    for (const piece of got.value.border) {
      const x = (piece.from[0] + piece.to[0]) / 2
      const y = (piece.from[1] + piece.to[1]) / 2
      // S y = 2 P x; a square is 1/16 by 2.8/16
      expect(Math.abs((S * y) / (2 * P * x) - 1)).toBeLessThan((0.5 * (2.8 / 16 + 2 / 16)) / (2 * x) + 0.03)
    }
  })
  it('one amount on both axes is refused', () => {
    const amount = { of: 'ingredient', name: 'peroxide', portions: ['all/peroxide'] } as const
    const got = coastOf(
      { mechanism, vessel: { id: 'jar' }, amounts: { x: amount, y: { ...amount, name: 'all/peroxide' } } } as never,
      tables,
    )
    expect(got.ok ? [] : got.problems.map((p) => p.code)).toEqual(['rehearsal/same-amount-twice'])
  })
})
