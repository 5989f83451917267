import { describe, expect, it } from 'vitest'
import { axisMarks, shareAlong, valueAlong } from './coast-axis.ts'

const x = { from: 0.5, to: 2, steps: 'log' } as const
const y = { from: 10, to: 30, steps: 'linear' } as const

describe('an axis of a coast', () => {
  it('has equal ratios and equal steps equally far apart', () => {
    expect(shareAlong(x, 1)).toBeCloseTo(0.5, 12)
    expect(shareAlong(y, 20)).toBe(0.5)
  })
  it('has round marks', () => {
    expect(axisMarks({ from: 0.1, to: 10, steps: 'log' }, 5)).toEqual([0.1, 0.2, 0.5, 1, 2, 5, 10])
    expect(axisMarks(y, 5)).toEqual([10, 15, 20, 25, 30])
    expect(axisMarks({ from: 2, to: 0.5, steps: 'log' }, 5)).toEqual([0.5, 1, 2])
  })
  it('leads from a share back to its value', () => {
    for (const share of [0, 0.3, 1]) for (const axis of [x, y]) expect(shareAlong(axis, valueAlong(axis, share))).toBeCloseTo(share, 12)
    expect(valueAlong(x, 0.5)).toBeCloseTo(1, 12)
  })
})
