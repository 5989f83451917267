import { describe, expect, it } from 'vitest'
import { inverseNormal } from './inverse-normal.ts'

const density = (x: number): number => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)

/** Share between 0 and x by Simpson's rule on the density itself; its error at this step is below 1e-14 for x ≤ 3. */
function shareFromMiddle(x: number): number {
  const parts = 4000
  const h = x / parts
  let sum = density(0) + density(x)
  for (let i = 1; i < parts; i++) sum += (i % 2 === 1 ? 4 : 2) * density(i * h)
  return (sum * h) / 3
}

/** Share above x ≥ 2 by Laplace's continued fraction (Abramowitz & Stegun 26.2.14), from the inside out. */
function shareAbove(x: number): number {
  let inner = x
  for (let k = 400; k >= 1; k--) inner = x + k / inner
  return density(x) / inner
}

describe('inverse of the cumulative normal distribution', () => {
  it.each([
    // Worked values of the published routine (Wichura 1988), nearest doubles; memory, and confirmed by the integrals below.
    [0.25, -0.6744897501960817],
    [0.001, -3.090232306167814],
    [1e-20, -9.262340089798409],
    // Two-sided 95 % point, and the 90 % point, as in every table of the normal distribution; memory.
    [0.975, 1.959963984540054],
    [0.9, 1.2815515655446004],
  ])('p = %d', (p, z) => {
    expect(Math.abs(inverseNormal(p) / z - 1)).toBeLessThan(2e-15)
  })

  it('undoes the integral of the density, middle and shoulder', () => {
    for (let x = 0.05; x <= 3; x += 0.05) {
      const share = shareFromMiddle(x)
      // An error of one unit in the share's last place is this much of x.
      const slack = 4e-15 / density(x) + 4e-15 * x
      expect(Math.abs(inverseNormal(0.5 + share) - x)).toBeLessThan(slack)
      expect(Math.abs(inverseNormal(0.5 - share) + x)).toBeLessThan(slack)
    }
  })

  it('undoes the tail, down to the smallest shares', () => {
    for (let x = 3; x <= 37; x += 0.5) expect(Math.abs(inverseNormal(shareAbove(x)) / -x - 1)).toBeLessThan(4e-15)
  })

  it('is odd about one half, nothing at one half, and names its ends', () => {
    expect(inverseNormal(0.5)).toBe(0)
    for (const p of [0.0625, 0.25, 0.375]) expect(inverseNormal(p)).toBe(-inverseNormal(1 - p))
    expect([inverseNormal(0), inverseNormal(1), inverseNormal(Number.NaN)]).toEqual([
      Number.NEGATIVE_INFINITY,
      Number.POSITIVE_INFINITY,
      Number.NaN,
    ])
  })
})
