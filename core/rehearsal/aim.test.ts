import { describe, expect, it } from 'vitest'
import { aimAt, type AimRequest, featureValue } from './aim.ts'

const usual: AimRequest = { wanted: [2, 2], bounds: [0.1, 10], present: 1, steps: 'log', samples: 7, tolerance: 1e-4 }

describe('aim on curves whose inverse is known', () => {
  it('x^-2 = 2 at 1/√2', () => {
    const got = aimAt(usual, (x) => x ** -2)
    expect(got.answer.how).toBe('found')
    expect(Math.abs(got.nearest!.value * Math.SQRT2 - 1)).toBeLessThan(1e-4)
    expect(got.samples.length).toBeLessThan(20)
  })
  it('takes the crossing nearest to the present value when a curve crosses twice', () => {
    // (ln x)^2 = 2 at exp(±√2) = 0.2431 and 4.113
    const curve = (x: number): number => Math.log(x) ** 2
    const below = aimAt({ ...usual, present: 0.5 }, curve)
    const above = aimAt({ ...usual, present: 3 }, curve)
    expect(below.nearest!.value).toBeCloseTo(Math.exp(-Math.SQRT2), 3)
    expect(above.nearest!.value).toBeCloseTo(Math.exp(Math.SQRT2), 3)
  })
  it('says when the present value already gives it, in one run', () => {
    const got = aimAt({ ...usual, wanted: [1, 1] }, (x) => x)
    expect(got.answer).toEqual({ how: 'already' })
    expect(got.samples).toHaveLength(1)
  })
  it('a range is met anywhere within it', () => {
    const got = aimAt({ ...usual, wanted: [4, 5] }, (x) => x)
    expect(got.answer.how).toBe('found')
    expect(got.nearest!.value).toBeGreaterThanOrEqual(4 - 1e-3)
    expect(got.nearest!.value).toBeLessThanOrEqual(5 + 1e-3)
  })
  it('names the bound that stops it, and the nearest result', () => {
    const got = aimAt({ ...usual, wanted: [50, 50] }, (x) => x)
    expect(got.answer).toEqual({ how: 'out-of-reach', side: 'high' })
    expect(got.nearest).toEqual({ value: 10, result: 10 })
    expect(aimAt({ ...usual, wanted: [50, 50] }, (x) => 1 / x).answer).toEqual({ how: 'out-of-reach', side: 'low' })
  })
  it('a curve that turns back within the bounds has no side', () => {
    const got = aimAt({ ...usual, present: 2, wanted: [5, 5], samples: 9 }, (x) => 3 - Math.log(x) ** 2)
    expect(got.answer).toEqual({ how: 'out-of-reach', side: null })
    expect(got.nearest!.value).toBeCloseTo(1, 6)
  })
  it('follows a feature to the edge at which it ends: -ln(1 - x/3) = 4 at 3 (1 - exp(-4)) = 2.945, nothing from 3 on', () => {
    const got = aimAt({ ...usual, wanted: [4, 4] }, (x) => (x < 3 ? -Math.log(1 - x / 3) : null))
    expect(got.answer.how).toBe('found')
    expect(got.nearest!.value).toBeCloseTo(3 * (1 - Math.exp(-4)), 3)
  })
  it('a step that jumps over the target is told with both its sides', () => {
    const got = aimAt({ ...usual, wanted: [5, 5] }, (x) => (x < 2.5 ? 3 : 8))
    expect(got.answer.how).toBe('jumps')
    if (got.answer.how !== 'jumps') return
    expect(got.answer.below.result).toBe(3)
    expect(got.answer.above.result).toBe(8)
    expect(got.answer.above.value - got.answer.below.value).toBeLessThan(1e-4)
  })
  it('nothing anywhere, and a stop', () => {
    expect(aimAt(usual, () => null).answer).toEqual({ how: 'feature-absent' })
    let runs = 0
    const got = aimAt({ ...usual, shouldStop: () => runs >= 3 }, (x) => {
      runs++
      return x
    })
    expect(got.answer).toEqual({ how: 'stopped' })
    expect(runs).toBe(3)
  })
})

it('a length that is only a lower limit is no length', () => {
  const f = { firstTurnS: 1, periodS: 2, cycles: 3, lengthS: 4, stillGoing: true }
  expect(featureValue('length', f)).toBeNull()
  expect(featureValue('cycles', f)).toBeNull()
  expect(featureValue('period', f)).toBe(2)
  expect(featureValue('length', { ...f, stillGoing: false })).toBe(4)
  expect(featureValue('first-turn', null)).toBeNull()
})
