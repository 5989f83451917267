import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createStepControl } from './step-control.ts'

describe('lengths of steps', () => {
  // Hairer & Wanner II, eq. IV.8.21: h ← 0.9 h err^(−1/(order + 1)), bounded by 0.1 … 6 here.
  it.each([3, 4, 5, 6, 7])('after an error the plain rule of embedded order %i, at any size of the error', (order) => {
    const control = createStepControl(order)
    fc.assert(
      fc.property(fc.double({ min: 0, max: 300, noNaN: true }), (decades) => {
        const wanted = 2 * Math.max(0.1, 0.9 * 10 ** (-decades / (order + 1)))
        expect(control.afterError(2, 10 ** decades) / wanted).toBeCloseTo(1, 4)
      }),
      { seed: 6 },
    )
  })
  it.each([3, 4, 5, 7])('after an accepted step the shorter of the plain and the extrapolating rule, embedded order %i', (order) => {
    const e = 1 / (order + 1)
    const control = createStepControl(order)
    expect(control.afterAccepted(1, 0.5)).toBeCloseTo(0.9 * 0.5 ** -e, 4)
    // The error grew tenfold while the step doubled: extrapolation asks for less than the plain rule.
    const plain = 2 * 0.9 * 0.9 ** -e
    const trend = 2 * 0.9 * (2 / 1) * (0.5 / 0.9 ** 2) ** e
    expect(control.afterAccepted(2, 0.9)).toBeCloseTo(Math.min(plain, trend), 4)
    control.restart()
    expect(control.afterAccepted(2, 0.9)).toBeCloseTo(plain, 4)
    // No error at all: six times, not more; straight after a rejection: not longer.
    control.restart()
    expect(control.afterAccepted(1, 0)).toBe(6)
    control.afterError(1, 2)
    expect(control.afterAccepted(1, 0)).toBe(1)
  })
})
