import { describe, expect, it } from 'vitest'
import { aimSeveral, type AimSeveralRequest } from './aim-several.ts'

const amount = { bounds: [0.1, 10], present: 1, steps: 'log' } as const
const usual: AimSeveralRequest = { amounts: [amount, amount], wanted: [4, 4], tolerance: 1e-4, isSmooth: true }

describe('the least change by several amounts', () => {
  it('of a product: equal factors, √4 each, for their sum of squared logarithms is least there', () => {
    const got = aimSeveral(usual, ([a, b]) => a! * b!)
    expect(got.answer).toBe('found')
    for (const v of got.nearest!.values) expect(v).toBeCloseTo(2, 2)
    expect(got.samples.length).toBeLessThan(20)
  })
  it('of a power law a b³: logarithms in the ratio 1 to 3 (least squares on a line), ln a = ln 4 / 10', () => {
    const got = aimSeveral(usual, ([a, b]) => a! * b! ** 3)
    expect(got.answer).toBe('found')
    expect(Math.log(got.nearest!.values[0]!)).toBeCloseTo(Math.log(4) / 10, 1)
    expect(Math.log(got.nearest!.values[1]!)).toBeCloseTo((3 * Math.log(4)) / 10, 1)
  })
  it('an amount that answers stops at its bound and the other goes on', () => {
    const narrow = { bounds: [0.9, 1.2], present: 1, steps: 'log' } as const
    const got = aimSeveral({ ...usual, amounts: [narrow, amount] }, ([a, b]) => a! * b!)
    expect(got.answer).toBe('found')
    expect(got.nearest!.values[0]! * got.nearest!.values[1]!).toBeCloseTo(4, 2)
    expect(got.nearest!.values[0]!).toBeLessThanOrEqual(1.2)
  })
  it('what is already so, what is nowhere, what is out of reach', () => {
    expect(aimSeveral({ ...usual, wanted: [1, 1] }, ([a, b]) => a! * b!).answer).toBe('already')
    expect(aimSeveral(usual, () => null).answer).toBe('feature-absent')
    const far = aimSeveral({ ...usual, wanted: [1e6, 1e6] }, ([a, b]) => a! * b!)
    expect(far.answer).toBe('out-of-reach')
    expect(far.nearest!.result!).toBeGreaterThan(10)
  })
  it('a state that is there or not: found, and drawn to its edge', () => {
    // there from a b = 5 on; the nearest point of that line is √5 each
    const isThere = ([a, b]: readonly number[]): number => (a! * b! >= 5 ? 1 : 0)
    const got = aimSeveral({ ...usual, wanted: [1, 1], isSmooth: false }, isThere)
    expect(got.answer).toBe('found')
    const [a, b] = got.nearest!.values as [number, number]
    expect(a * b).toBeGreaterThanOrEqual(5)
    expect(a * b).toBeLessThan(5.4)
  })
  it('one amount is enough; a temperature counts in equal steps', () => {
    const warm = { bounds: [10, 30], present: 20, steps: 'linear' } as const
    const got = aimSeveral({ ...usual, amounts: [warm], wanted: [50, 50] }, ([t]) => 2 * t!)
    expect(got.nearest!.values[0]!).toBeCloseTo(25, 2)
  })
})
