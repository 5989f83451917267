import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createIntegrator } from './integrator.ts'
import type { OdeSystem } from './ode.ts'
import { massAction } from './test-set.ts'
import { fullPattern } from './sparse-lu.ts'

const decay = (k: number): OdeSystem =>
  massAction(2, [
    [
      k,
      [0],
      [
        [0, -1],
        [1, 1],
      ],
    ],
  ])
const tolerances = { relative: 1e-8, absolute: 1e-12 }

describe('breaks', () => {
  const times = [1 / 3, 1, 2.5]
  const pour = (_t: number, y: Float64Array): void => {
    y[0] = y[0]! + 1
  }
  const exact = (t: number, met: readonly number[]): number => Math.exp(-t) + met.reduce((sum, at) => sum + Math.exp(-(t - at)), 0)

  it('are met exactly, and both states at that instant can be asked for', () => {
    const run = createIntegrator(decay(1)).run({
      fromS: 0,
      toS: 4,
      y0: [1, 0],
      tolerances,
      breaks: times.map((timeS) => ({ timeS, change: pour })),
    })
    expect(run.breaksS).toEqual(times)
    for (const at of times) expect([...run.stepTimesS].filter((t) => t === at)).toHaveLength(2)
    const [before, after] = [new Float64Array(2), new Float64Array(2)]
    for (const [i, at] of times.entries()) {
      run.at(at, before, 'before')
      run.at(at, after)
      expect(before[0]!).toBeCloseTo(exact(at, times.slice(0, i)), 7)
      expect(after[0]! - before[0]!).toBeCloseTo(1, 14)
      expect(after[1]).toBe(before[1])
    }
    expect(run.end[0]!).toBeCloseTo(exact(4, times), 7)
  })

  it('leave nothing of the step before them in the dense output on either side', () => {
    const run = createIntegrator(decay(1)).run({
      fromS: 0,
      toS: 4,
      y0: [1, 0],
      tolerances,
      breaks: times.map((timeS) => ({ timeS, change: pour })),
    })
    const out = new Float64Array(2)
    for (let i = 0; i <= 400; i++) {
      const t = i / 100
      run.at(t, out)
      expect(
        Math.abs(
          out[0]! -
            exact(
              t,
              times.filter((at) => at <= t),
            ),
        ),
      ).toBeLessThan(1e-6)
    }
  })

  it('act at the start, not at the end, so that chained runs pour once', () => {
    const breaks = [
      { timeS: 0, change: pour },
      { timeS: 2, change: pour },
    ]
    const integrator = createIntegrator(decay(1))
    const first = integrator.run({ fromS: 0, toS: 2, y0: [1, 0], tolerances, breaks })
    const second = integrator.run({ fromS: 2, toS: 4, y0: first.end, tolerances, breaks })
    expect(first.breaksS).toEqual([0])
    expect(second.breaksS).toEqual([2])
    expect(second.end[0]!).toBeCloseTo(2 * Math.exp(-4) + Math.exp(-2), 7)
    // The earlier solution owns its arrays: the second run has not touched it.
    const out = new Float64Array(2)
    first.at(1, out)
    expect(out[0]!).toBeCloseTo(2 * Math.exp(-1), 7)
  })

  it('at one time act in the order given', () => {
    const times2 = (_t: number, y: Float64Array): void => void (y[0] = y[0]! * 2)
    const end = (breaks: ((t: number, y: Float64Array) => void)[]): number =>
      createIntegrator(decay(0)).run({ fromS: 0, toS: 2, y0: [3, 0], tolerances, breaks: breaks.map((change) => ({ timeS: 1, change })) })
        .end[0]!
    expect(end([pour, times2])).toBe(8)
    expect(end([times2, pour])).toBe(7)
  })

  it('sampled at their very time give the state after the change', () => {
    const run = createIntegrator(decay(1)).run({
      fromS: 0,
      toS: 4,
      y0: [1, 0],
      tolerances,
      breaks: [{ timeS: 1, change: pour }],
      sample: [0, 1, 4],
      keep: 'samples',
    })
    expect(run.sampledCount).toBe(3)
    expect(run.sampled[0]).toBe(1)
    expect(run.sampled[2]!).toBeCloseTo(1 + Math.exp(-1), 7)
    expect(run.sampled[4]).toBe(run.end[0])
  })

  it('with a jump in the rates are crossed at full accuracy without many rejections', () => {
    let rate = 1
    const system: OdeSystem = {
      size: 1,
      pattern: fullPattern(1),
      rates: (_t, y, out) => void (out[0] = -rate * y[0]!),
      jacobian: (_t, _y, values) => void (values[0] = -rate),
    }
    const run = createIntegrator(system).run({
      fromS: 0,
      toS: 2,
      y0: [1],
      tolerances,
      breaks: [{ timeS: 1, change: () => void (rate = 5) }],
    })
    expect(Math.abs(run.end[0]! / Math.exp(-6) - 1)).toBeLessThan(1e-6)
    expect(run.statistics.rejected).toBeLessThan(5)
  })
})

describe('linear chains against their closed form', () => {
  it('A → B → C with any rates, amounts, spans and pours of A: values and total agree', () => {
    const exponent = (low: number, high: number): fc.Arbitrary<number> =>
      fc.double({ min: low, max: high, noNaN: true }).map((e) => 10 ** e)
    fc.assert(
      fc.property(
        exponent(-4, 5),
        exponent(-4, 5),
        exponent(-1, 3),
        exponent(-3, 1),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        (k1, k2, span, amount, share) => {
          fc.pre(Math.abs(k1 / k2 - 1) > 0.05)
          const system = massAction(3, [
            [
              k1,
              [0],
              [
                [0, -1],
                [1, 1],
              ],
            ],
            [
              k2,
              [1],
              [
                [1, -1],
                [2, 1],
              ],
            ],
          ])
          const at = share * span
          const weights = Float64Array.of(1, 1, 1)
          const run = createIntegrator(system, 'rodas5p').run({
            fromS: 0,
            toS: span,
            y0: [amount, 0, 0],
            tolerances: { relative: 1e-7, absolute: 1e-11 },
            breaks: [{ timeS: at, change: (_t, y) => void (y[0] = y[0]! + 1) }],
            invariants: [{ name: 'total', weights }],
          })
          expect(run.ending.how).toBe('reached-end')
          const a = (t: number): number => Math.exp(-k1 * t)
          const b = (t: number): number => (k1 / (k2 - k1)) * (Math.exp(-k1 * t) - Math.exp(-k2 * t))
          expect(Math.abs(run.end[0]! - amount * a(span) - a(span - at))).toBeLessThan(2e-6 * (amount + 1))
          expect(Math.abs(run.end[1]! - amount * b(span) - b(span - at))).toBeLessThan(2e-6 * (amount + 1))
          expect(run.drift[0]!.maxRelative).toBeLessThan(1e-12)
        },
      ),
      { numRuns: 60, seed: 31 },
    )
  })
})
