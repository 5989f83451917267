import { describe, expect, it } from 'vitest'
import { type AdjustableSystem, followBranch } from './continuation.ts'
import { followHopfLine } from './hopf-line.ts'
import type { OdeSystem } from './ode.ts'
import { findRoot } from './root.ts'
import { fullPattern } from './sparse-lu.ts'

/** A two-variable system from its rates and the four entries of its Jacobian, with settable numbers. */
function plane(
  numbers: number[],
  rates: (x: number, y: number, p: readonly number[]) => readonly [number, number],
  slopes: (x: number, y: number, p: readonly number[]) => readonly [number, number, number, number],
): AdjustableSystem {
  const system: OdeSystem = {
    size: 2,
    pattern: fullPattern(2),
    rates(_t, y, out) {
      out.set(rates(y[0]!, y[1]!, numbers))
    },
    jacobian(_t, y, values) {
      values.set(slopes(y[0]!, y[1]!, numbers))
    },
  }
  return {
    system,
    set(parameter, value) {
      numbers[parameter] = value
    },
  }
}

/** x′ = A − (B + 1) x + x² y, y′ = B x − x² y (I. Prigogine & R. Lefever 1968): x = A, y = B/A, Hopf at B = 1 + A², ω = A. */
const brusselator = (a: number): AdjustableSystem =>
  plane(
    [a, 1],
    (x, y, [A, B]) => [A! - (B! + 1) * x + x * x * y, B! * x - x * x * y],
    (x, y, [, B]) => [-(B! + 1) + 2 * x * y, x * x, B! - 2 * x * y, -x * x],
  )

/** ε x′ = x (1 − x) − f z (x − q)/(x + q), z′ = x − z (J. J. Tyson & P. C. Fife 1980, J. Chem. Phys. 73, 2224). Numbers: f, ε, q. */
const oregonator = (f: number, epsilon: number, q: number): AdjustableSystem =>
  plane(
    [f, epsilon, q],
    (x, z, [F, E, Q]) => [(x * (1 - x) - (F! * z * (x - Q!)) / (x + Q!)) / E!, x - z],
    (x, z, [F, E, Q]) => [(1 - 2 * x - (F! * z * 2 * Q!) / (x + Q!) ** 2) / E!, (-F! * (x - Q!)) / (x + Q!) / E!, 1, -1],
  )
/** Its steady state x = z = ½ (1 − f − q + sqrt((1 − f − q)² + 4 q (1 + f))), and the trace of the Jacobian there. */
const steadyOregonator = (f: number, q: number): number => {
  const b = 1 - f - q
  const root = Math.sqrt(b * b + 4 * q * (1 + f))
  // the form without cancellation when b is negative
  return b >= 0 ? (b + root) / 2 : (2 * q * (1 + f)) / (root - b)
}
const traceOregonator = (f: number, epsilon: number, q: number): number => {
  const x = steadyOregonator(f, q)
  return (1 - 2 * x - (f * x * 2 * q) / (x + q) ** 2) / epsilon - 1
}

/** u′ = a − u − 4 u v/(1 + u²), v′ = σ b (u − u v/(1 + u²)) (I. Lengyel & I. R. Epstein 1991, Science 251, 650). Numbers: a, b; σ = 8. */
const sigma = 8
const lengyelEpstein = (a: number, b: number): AdjustableSystem =>
  plane(
    [a, b],
    (u, v, [A, B]) => [A! - u - (4 * u * v) / (1 + u * u), sigma * B! * (u - (u * v) / (1 + u * u))],
    (u, v, [, B]) => {
      const d = 1 + u * u
      const byU = (v * (1 - u * u)) / (d * d)
      return [-1 - 4 * byU, (-4 * u) / d, sigma * B! * (1 - byU), (-sigma * B! * u) / d]
    },
  )

/** Cubic autocatalysis A + 2B -> 3B in a stirred flow: α′ = (1 − α)/τ − α β², β′ = (β0 − β)/τ + α β². Numbers: τ, β0 (P. Gray & S. K. Scott 1983). */
const flowCubic = (tau: number, b0: number): AdjustableSystem =>
  plane(
    [tau, b0],
    (a, b, [T, B]) => [(1 - a) / T! - a * b * b, (B! - b) / T! + a * b * b],
    (a, b, [T]) => [-1 / T! - b * b, -2 * a * b, b * b, -1 / T! + 2 * a * b],
  )

describe('continuation of steady states', () => {
  it('finds the Hopf point of the Brusselator at B = 1 + A², with ω = A', () => {
    for (const a of [0.3, 1, 2.7]) {
      const branch = followBranch(brusselator(a), { axis: { parameter: 1, from: 0.5, to: 12 }, y0: [a, 0.5 / a] })
      expect(branch.ending.how).toBe('reached-end')
      expect(branch.special.map((s) => s.kind)).toEqual(['hopf'])
      const hopf = branch.special[0]!
      expect(Math.abs(hopf.value - (1 + a * a)) / (1 + a * a)).toBeLessThan(1e-10)
      expect(Math.abs(hopf.omegaPerS! - a) / a).toBeLessThan(1e-9)
      expect(hopf.unstableChange).toBe(2)
      for (const p of branch.points) {
        expect(Math.abs(p.y[0]! - a) / a).toBeLessThan(1e-10)
        expect(Math.abs(p.y[1]! - p.value / a) / (p.value / a)).toBeLessThan(1e-9)
        // stable before, unstable behind; the pair is real beyond (1 + A)²
        const margin = p.value - (1 + a * a)
        if (Math.abs(margin) > 1e-6) expect(p.stability.unstable).toBe(margin < 0 ? 0 : 2)
      }
    }
  })

  it('the two-variable Oregonator oscillates where its trace is positive, in the limit for ½ < f < 1 + √2', () => {
    for (const [epsilon, q] of [
      [0.04, 8e-4],
      [0.01, 1e-4],
      [1e-4, 1e-7],
    ] as const) {
      const adjustable = oregonator(0.2, epsilon, q)
      const x = steadyOregonator(0.2, q)
      const branch = followBranch(adjustable, { axis: { parameter: 0, from: 0.2, to: 4 }, y0: [x, x] })
      expect(branch.ending.how).toBe('reached-end')
      const hopf = branch.special.filter((s) => s.kind === 'hopf')
      expect(hopf).toHaveLength(2)
      const lower = findRoot((f) => traceOregonator(f, epsilon, q), 0.3, 1, 1e-14)!
      const upper = findRoot((f) => traceOregonator(f, epsilon, q), 1.5, 3, 1e-14)!
      expect(Math.abs(hopf[0]!.value - lower), `lower ${hopf[0]!.value} for ${lower}`).toBeLessThan(1e-9)
      expect(Math.abs(hopf[1]!.value - upper), `upper ${hopf[1]!.value} for ${upper}`).toBeLessThan(1e-9)
      if (epsilon === 1e-4) {
        expect(hopf[0]!.value).toBeCloseTo(0.5, 3)
        expect(hopf[1]!.value).toBeCloseTo(1 + Math.SQRT2, 2)
      }
    }
  })

  it('the chlorine dioxide–iodine–malonic acid model loses stability at b = (3a/5 − 25/a)/σ', () => {
    for (const a of [8, 10, 30]) {
      const border = ((3 * a) / 5 - 25 / a) / sigma
      const branch = followBranch(lengyelEpstein(a, 4 * border), {
        axis: { parameter: 1, from: 4 * border, to: border / 4, logarithmic: true },
        y0: [a / 5, 1 + (a * a) / 25],
      })
      const hopf = branch.special.filter((s) => s.kind === 'hopf')
      expect(hopf).toHaveLength(1)
      expect(Math.abs(hopf[0]!.value - border) / border).toBeLessThan(1e-10)
    }
  })

  it('turns round both folds of cubic autocatalysis in a stirred flow: α = (3 ± sqrt(1 − 8 β0))/4', () => {
    const b0 = 1 / 15
    const branch = followBranch(flowCubic(1, b0), { axis: { parameter: 0, from: 1, to: 200, logarithmic: true }, y0: [1, b0] })
    expect(branch.ending.how).toBe('reached-end')
    const folds = branch.special.filter((s) => s.kind === 'fold')
    expect(folds).toHaveLength(2)
    // 1 − α = τ α (1 + β0 − α)²; dτ/dα = 0 gives 2 α² − 3 α + 1 + β0 = 0
    ;[1, -1].forEach((sign, i) => {
      const alpha = (3 + sign * Math.sqrt(1 - 8 * b0)) / 4
      const tau = (1 - alpha) / (alpha * (1 + b0 - alpha) ** 2)
      expect(Math.abs(folds[i]!.value - tau) / tau, `τ ${folds[i]!.value} for ${tau}`).toBeLessThan(1e-9)
      expect(Math.abs(folds[i]!.y[0]! - alpha)).toBeLessThan(1e-5)
    })
    // between the folds the middle branch is a saddle
    const turn = branch.points.filter((p) => p.stability.unstable === 1)
    expect(turn.length).toBeGreaterThan(3)
    expect(branch.points.at(-1)!.stability.unstable).toBe(0)
  })

  it('says when there is nothing to begin from', () => {
    // x′ = 1 + x², no real zero
    const none: AdjustableSystem = {
      system: {
        size: 1,
        pattern: fullPattern(1),
        rates(_t, y, out) {
          out[0] = 1 + y[0]! ** 2
        },
        jacobian(_t, y, values) {
          values[0] = 2 * y[0]!
        },
      },
      set: () => undefined,
    }
    expect(followBranch(none, { axis: { parameter: 0, from: 0, to: 1 }, y0: [1], signed: true }).ending.how).toBe('no-start')
  })
})

describe('Hopf lines', () => {
  it('of the Brusselator is the parabola B = 1 + A²', () => {
    const line = followHopfLine(brusselator(1), {
      axes: [
        { parameter: 0, from: 0.2, to: 3 },
        { parameter: 1, from: 0.5, to: 12 },
      ],
      values: [1, 2],
      y: Float64Array.of(1, 2),
      omegaPerS: 1,
    })
    expect(line.started).toBe(true)
    expect(line.ends).toEqual(['left-span', 'left-span'])
    expect(line.points.length).toBeGreaterThan(20)
    for (const { values, omegaPerS } of line.points) {
      expect(Math.abs(values[1] - (1 + values[0] ** 2)) / values[1]).toBeLessThan(1e-8)
      expect(Math.abs(omegaPerS - values[0]) / values[0]).toBeLessThan(1e-6)
    }
    const ends = [line.points[0]!, line.points.at(-1)!].map((p) => p.values[0]).sort((a, b) => a - b)
    expect(ends[0]).toBeCloseTo(0.2, 9)
    expect(ends[1]).toBeCloseTo(3, 9)
  })

  it('of the two-variable Oregonator over f and ε is where the trace vanishes, round the tip', () => {
    const q = 8e-4
    const epsilon = 0.04
    const lower = findRoot((f) => traceOregonator(f, epsilon, q), 0.3, 1, 1e-14)!
    const x = steadyOregonator(lower, q)
    const line = followHopfLine(oregonator(lower, epsilon, q), {
      axes: [
        { parameter: 0, from: 0.3, to: 3 },
        { parameter: 1, from: 0.01, to: 5, logarithmic: true },
      ],
      values: [lower, epsilon],
      y: Float64Array.of(x, x),
      omegaPerS: 1,
    })
    expect(line.started).toBe(true)
    for (const { values } of line.points) {
      // the trace, times ε, is the difference of two numbers of order one
      expect(Math.abs(traceOregonator(values[0], values[1], q) * values[1])).toBeLessThan(1e-8)
    }
    // the tip, where a larger ε allows no oscillation: dε/df = 0 on ε(f) = 1 − 2x − 2 f x q/(x+q)²
    const allowed = (f: number): number => {
      const s = steadyOregonator(f, q)
      return 1 - 2 * s - (2 * f * s * q) / (s + q) ** 2
    }
    let tip = 0
    for (let f = 0.3; f < 3; f += 1e-4) tip = Math.max(tip, allowed(f))
    const highest = Math.max(...line.points.map((p) => p.values[1]))
    expect(highest).toBeGreaterThan(0.95 * tip)
    expect(highest).toBeLessThan(tip * (1 + 1e-6))
    // both ends on the lower edge of ε: 0.01
    expect(line.ends).toEqual(['left-span', 'left-span'])
    expect(line.points[0]!.values[1]).toBeCloseTo(0.01, 8)
    expect(line.points.at(-1)!.values[1]).toBeCloseTo(0.01, 8)
  })

  it('says when the pair becomes real: the line ends where Hopf meets fold', () => {
    // x′ = y, y′ = p + q y + x² + x y with x = u − 3: folds at p = 0, Hopf on p = −q² (x = −q), ω² = 2q; they meet in (0, 0)
    const meeting = plane(
      [-1, 1],
      (u, y, [P, Q]) => [y, P! + Q! * y + (u - 3) ** 2 + (u - 3) * y],
      (u, y, [, Q]) => [0, 1, 2 * (u - 3) + y, Q! + u - 3],
    )
    const line = followHopfLine(meeting, {
      axes: [
        { parameter: 0, from: -2, to: 1 },
        { parameter: 1, from: -1, to: 2 },
      ],
      values: [-1, 1],
      y: Float64Array.of(2, 0),
      absolute: 1e-3,
      omegaPerS: Math.SQRT2,
      signed: true,
    })
    expect(line.started).toBe(true)
    for (const { values, omegaPerS } of line.points) {
      expect(Math.abs(values[0] + values[1] ** 2)).toBeLessThan(1e-7)
      expect(Math.abs(omegaPerS - Math.sqrt(2 * Math.max(0, values[1])))).toBeLessThan(1e-4)
    }
    // the meeting point itself
    expect(Math.min(...line.points.map((p) => Math.hypot(...p.values)))).toBeLessThan(1e-6)
    expect([...line.ends].sort()).toEqual(['left-span', 'pair-became-real'])
  })
})
