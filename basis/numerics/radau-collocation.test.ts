import { describe, expect, it } from 'vitest'
import { collocation, extrapolation, multiply } from './radau-collocation.ts'
import { solveDense } from './dense-lu.ts'

const root6 = Math.sqrt(6)

describe('three stages, in closed form (Hairer & Wanner II, tables IV.5.6 and eq. IV.8.8 ff.)', () => {
  const three = collocation(3)
  it('nodes', () => {
    expect(three.nodes[0]).toBeCloseTo((4 - root6) / 10, 15)
    expect(three.nodes[1]).toBeCloseTo((4 + root6) / 10, 15)
    expect(three.nodes[2]).toBe(1)
  })
  it('eigenvalues: the zeros of 60 − 36 x + 9 x² − x³', () => {
    const cube = 3 ** (1 / 3)
    const gamma = 3 + cube * cube - cube
    expect(three.gamma).toBeCloseTo(gamma, 13)
    expect(three.alpha[0]).toBeCloseTo((9 - gamma) / 2, 13)
    expect(three.alpha[0]! ** 2 + three.beta[0]! ** 2).toBeCloseTo(60 / gamma, 12)
  })
  it('weights of the error estimate: (−13 − 7√6, −13 + 7√6, −1)/3', () => {
    expect(three.error[0]).toBeCloseTo((-13 - 7 * root6) / 3, 13)
    expect(three.error[1]).toBeCloseTo((-13 + 7 * root6) / 3, 13)
    expect(three.error[2]).toBeCloseTo(-1 / 3, 14)
  })
})

describe.each([3, 5, 7])('%i stages', (s) => {
  const method = collocation(s)
  /** Λ, real and block by block. */
  const lambda = new Float64Array(s * s)
  lambda[0] = method.gamma
  method.alpha.forEach((a, m) => {
    const i = 2 * m + 1
    lambda[i * s + i] = a
    lambda[(i + 1) * s + i + 1] = a
    lambda[i * s + i + 1] = -method.beta[m]!
    lambda[(i + 1) * s + i] = method.beta[m]!
  })
  const d = multiply(multiply(method.t, lambda, s, s, s), method.tInverse, s, s, s)
  const powers = (k: number): Float64Array => method.nodes.map((c) => c ** k)

  it('T Λ T⁻¹ differentiates: D c^k = k c^(k−1) for k = 1 … s, which makes them stages of order s', () => {
    for (let k = 1; k <= s; k++) {
      multiply(d, powers(k), s, s, 1).forEach((x, i) => expect(Math.abs(x - k * method.nodes[i]! ** (k - 1))).toBeLessThan(2e-11))
    }
  })

  it('the last node integrates every power up to 2s − 2 exactly, and not the next: order 2s − 1 (Butcher 1964)', () => {
    // b is the last row of D⁻¹: b D = (0, …, 0, 1).
    const transposed = d.map((_, at) => d[(at % s) * s + Math.floor(at / s)]!)
    const unit = new Float64Array(s)
    unit[s - 1] = 1
    const b = solveDense(transposed, unit)!
    const defect = (k: number): number => b.reduce((sum, weight, i) => sum + weight * method.nodes[i]! ** (k - 1), 0) - 1 / k
    for (let k = 1; k <= 2 * s - 1; k++) expect(Math.abs(defect(k))).toBeLessThan(1e-13)
    expect(Math.abs(defect(2 * s))).toBeGreaterThan(1e-9)
  })

  it('the error estimate vanishes for polynomials of degree s and not for degree s + 1', () => {
    // f(y) + Σ d_i z_i / h for y = t^k: f at the start is 1 for k = 1, else 0.
    for (let k = 1; k <= s; k++) {
      const sum = method.error.reduce((total, weight, i) => total + weight * method.nodes[i]! ** k, k === 1 ? 1 : 0)
      expect(Math.abs(sum)).toBeLessThan(1e-11)
    }
    const beyond = method.error.reduce((total, weight, i) => total + weight * method.nodes[i]! ** (s + 1), 0)
    expect(Math.abs(beyond)).toBeGreaterThan(1e-6)
  })

  it('with the error estimate they give back the polynomial of degree s + 1 whose slope at the start is right', () => {
    // y′ = (s+1) t^s, y = t^(s+1), h = 1, J = 0: the stages are D⁻¹ times the slopes at the nodes, the estimate is (0 + Σ d_i z_i)/γ.
    const z = solveDense(
      d,
      powers(s).map((x) => (s + 1) * x),
    )!
    const estimate = method.error.reduce((sum, weight, i) => sum + weight * z[i]!, 0) / method.gamma
    const known = Float64Array.of(...z, estimate)
    const rows = multiply(method.dense, known, s, s + 1, 1)
    for (const theta of [0.1, 0.37, 0.5, 0.93]) {
      const bow = rows.reduceRight((sum, row) => sum * theta + row, 0)
      expect(theta * (1 + (1 - theta) * bow)).toBeCloseTo(theta ** (s + 1), 10)
    }
    const weights = new Float64Array(s + 1)
    extrapolation(method, Float64Array.of(0.6), 1.5, weights)
    expect((multiply(weights, known, 1, s + 1, 1)[0]! + 1) / 1.9 ** (s + 1)).toBeCloseTo(1, 9)
  })

  it('dense rows give back any polynomial of degree s', () => {
    for (let k = 1; k <= s; k++) {
      const z = powers(k)
      const rows = multiply(method.dense, Float64Array.of(...z, 0), s, s + 1, 1)
      for (const theta of [0.1, 0.37, 0.5, 0.93]) {
        const bow = rows.reduceRight((sum, row) => sum * theta + row, 0)
        expect(theta * (1 + (1 - theta) * bow)).toBeCloseTo(theta ** k, 10)
      }
    }
  })

  it('extrapolation carries a polynomial of degree s into the next step, counted from where that starts', () => {
    const ratio = 1.7
    const weights = new Float64Array(s * (s + 1))
    extrapolation(method, method.nodes, ratio, weights)
    for (let k = 1; k <= s; k++) {
      multiply(weights, Float64Array.of(...powers(k), 0), s, s + 1, 1).forEach((x, i) => {
        const wanted = (1 + ratio * method.nodes[i]!) ** k - 1
        expect(Math.abs(x / wanted - 1)).toBeLessThan(1e-9)
      })
    }
  })
})
