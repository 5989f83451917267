import { describe, expect, it } from 'vitest'
import { evenPoints, inverseNormal, randomStream } from '@beakertide/basis/numerics'
import { bandValue, isStable, leastSamples, nextLook } from './band-limits.ts'
import type { Features } from './features.ts'

const features = (firstTurnS: number | null, cycles = 0): Features => ({
  firstTurnS,
  periodS: null,
  cycles,
  lengthS: firstTurnS,
  stillGoing: false,
})
const runs = (count: number, turnOf: (i: number) => number | null): Features[] =>
  Array.from({ length: count }, (_, i) => features(turnOf(i)))

describe('limits of a band', () => {
  it('are the tenth and ninetieth percentile of what was seen, the rest counts in the share', () => {
    // 0 … 100 in steps of one: percentiles of a ruler are its marks.
    const ruler = Array.from({ length: 101 }, (_, i) => i)
    expect(bandValue(ruler)).toEqual({ low: 10, middle: 50, high: 90, share: 1 })
    expect(bandValue([...ruler, ...Array<null>(101).fill(null)])).toEqual({ low: 10, middle: 50, high: 90, share: 0.5 })
    expect(bandValue([null])).toEqual({ low: null, middle: null, high: null, share: 0 })
    expect(bandValue([1.2, 1.2], Math.round).middle).toBe(1)
  })
})

describe('when more runs no longer move the limits', () => {
  it('is asked first at the least number of runs, then batch by batch', () => {
    expect([0, 1, 31, 32, 40, 48, 63].map(nextLook)).toEqual([32, 32, 32, 48, 48, 64, 64])
  })
  it('never below the least number, always for runs that are all alike, and when nothing is ever seen', () => {
    expect(isStable(runs(leastSamples - 1, () => 60))).toBe(false)
    expect(isStable(runs(leastSamples, () => 60))).toBe(true)
    expect(isStable(runs(leastSamples, () => null))).toBe(true)
    expect(isStable(Array<null>(leastSamples).fill(null))).toBe(true)
  })
  it('not while the second half moves a limit by more than a twentieth of the width', () => {
    // A ruler of 0 … 100 in both halves; the second shifted. Half the shift, about, moves the limits of both together.
    const shifted = (by: number) => runs(202, (i) => (i % 101) + (i < 101 ? 0 : by))
    expect(isStable(shifted(0))).toBe(true)
    expect(isStable(shifted(4))).toBe(true)
    expect(isStable(shifted(16))).toBe(false)
    expect(isStable(shifted(-16))).toBe(false)
  })
  it('not while one feature moves, be the others at rest', () => {
    const list = runs(64, () => 60).map((f, i) => ({ ...f, cycles: i < 32 ? 10 + (i % 3) : 20 + (i % 3) }))
    expect(isStable(list)).toBe(false)
  })
  it('not while the share moves in which a feature exists, nor when it exists in the second half only', () => {
    expect(isStable(runs(64, (i) => (i < 32 || i % 4 === 0 ? 60 : null)))).toBe(false)
    expect(isStable(runs(64, (i) => (i === 63 ? 60 : null)))).toBe(false)
    expect(isStable(runs(64, (i) => (i % 2 === 0 ? 60 : null)))).toBe(true)
  })
  it('failed runs do not count', () => {
    const good = runs(32, (i) => 60 + (i % 16))
    const list = good.flatMap((f) => [f, null])
    expect(isStable(list)).toBe(isStable(good))
  })
  it('comes sooner from even points than from chance, and stands near the closed form when it comes', () => {
    // exp(σ z), σ = 0.2: its limits are exp(±1.2816 σ).
    const [sigma, z] = [0.2, 1.2815515655446004]
    const width = Math.exp(sigma * z) - Math.exp(-sigma * z)
    const seeds = Array.from({ length: 30 }, (_, s) => s)
    const endOf = (deviate: (i: number) => number): { count: number; miss: number } => {
      const list: Features[] = []
      for (let look = nextLook(0); look <= 512; look = nextLook(look)) {
        while (list.length < look) list.push(features(Math.exp(sigma * deviate(list.length))))
        if (isStable(list)) break
      }
      const band = bandValue(list.map((f) => f.firstTurnS))
      return { count: list.length, miss: Math.abs(band.high! - Math.exp(sigma * z)) / width }
    }
    const mean = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0) / v.length
    const even = seeds.map((s) => {
      const points = evenPoints(s, ['z'])
      return endOf((i) => inverseNormal(points.at(i, 'z')))
    })
    const chance = seeds.map((s) => {
      const stream = randomStream(s, 'z')
      return endOf(() => stream.normal(0, 1))
    })
    expect(mean(even.map((e) => e.count))).toBeLessThan(mean(chance.map((e) => e.count)))
    expect(mean(even.map((e) => e.miss))).toBeLessThan(mean(chance.map((e) => e.miss)) / 2)
    expect(Math.max(...even.map((e) => e.miss))).toBeLessThan(0.1)
  })
})
