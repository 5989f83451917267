import { describe, expect, it } from 'vitest'
import { nearestPoint, pointTowards } from './coast-plan.ts'

const x = { from: 0.5, to: 2, steps: 'log' } as const
const y = { from: 10, to: 30, steps: 'linear' } as const
const points = [0.5, 1, 2].flatMap((px) =>
  [10, 20, 30].map((py) => ({ x: px, y: py, show: 'cycles' as const, features: null, forbidden: null })),
)
const at = (px: number, py: number) => points.find((p) => p.x === px && p.y === py)!

describe('a coast', () => {
  it('finds the point under the hand and the next one for an arrow', () => {
    expect(nearestPoint(points, x, y, { x: 0.45, y: 0.9 })).toBe(at(1, 30))
    expect(nearestPoint([], x, y, { x: 0, y: 0 })).toBeNull()
    expect(pointTowards(points, x, y, at(1, 20), 'right')).toBe(at(2, 20))
    expect(pointTowards(points, x, y, at(1, 20), 'down')).toBe(at(1, 10))
    expect(pointTowards(points, x, y, at(0.5, 20), 'left')).toBe(at(0.5, 20))
  })
})
