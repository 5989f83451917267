import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { along, curveThrough } from './curve.ts'

fc.configureGlobal({ seed: 20_260_101 })

const points = fc
  .array(fc.tuple(fc.integer({ min: 1, max: 50 }), fc.double({ min: -100, max: 100, noNaN: true })), { minLength: 2, maxLength: 12 })
  .map((steps) => {
    let x = 0
    return steps.map(([dx, y]): [number, number] => [(x += dx), y])
  })

describe('monotone curve', () => {
  it('goes through its points', () => {
    fc.assert(fc.property(points, (p) => p.every(([x, y]) => Math.abs(along(curveThrough(p), x) - y) < 1e-9)))
  })
  it('never leaves the span of two neighbouring points', () => {
    fc.assert(
      fc.property(points, fc.nat(), fc.double({ min: 0, max: 1, noNaN: true }), (p, pick, share) => {
        const i = pick % (p.length - 1)
        const [x0, y0] = p[i]!
        const [x1, y1] = p[i + 1]!
        const y = along(curveThrough(p), x0 + share * (x1 - x0))
        expect(y).toBeGreaterThanOrEqual(Math.min(y0, y1) - 1e-9)
        expect(y).toBeLessThanOrEqual(Math.max(y0, y1) + 1e-9)
      }),
    )
  })
  it('is exact on a straight line, also beyond its ends', () => {
    const line = curveThrough([0, 1, 3, 7].map((x): [number, number] => [x, 2 * x - 5]))
    for (const x of [-2, 0.5, 2, 6.9, 10]) expect(along(line, x)).toBeCloseTo(2 * x - 5, 12)
  })
  it('nears a smooth rising function with the square of the spacing or better', () => {
    const error = (n: number): number => {
      const curve = curveThrough(Array.from({ length: n + 1 }, (_, i): [number, number] => [i / n, Math.exp(i / n)]))
      return Math.max(...Array.from({ length: 200 }, (_, i) => Math.abs(along(curve, i / 199) - Math.exp(i / 199))))
    }
    expect(error(8) / error(16)).toBeGreaterThan(4)
  })
})
