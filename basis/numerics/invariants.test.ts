import { describe, expect, it } from 'vitest'
import { createIntegrator } from './integrator.ts'
import { createInvariantHold, holdLeastFirst } from './invariants.ts'
import type { Invariant } from './ode.ts'
import { massAction } from './test-set.ts'

/** A + B ⇌ C with rates of 1e10, C → D slowly: the fast pair costs about ε h k ≈ 1e-7 of the totals in a few hundred steps. */
const fastPair = massAction(4, [
  [
    1e10,
    [0, 1],
    [
      [0, -1],
      [1, -1],
      [2, 1],
    ],
  ],
  [
    1e7,
    [2],
    [
      [2, -1],
      [0, 1],
      [1, 1],
    ],
  ],
  [
    0.01,
    [2],
    [
      [2, -1],
      [3, 1],
    ],
  ],
])
const of = (name: string, ...weights: number[]): Invariant => ({ name, weights: Float64Array.from(weights) })
const carbon = of('carbon', 1, 0, 1, 1)
const bound = of('hydrogen', 0, 1, 1, 1)
const request = { fromS: 0, toS: 2000, y0: [0.05, 0.02, 0, 0], tolerances: { relative: 1e-5, absolute: 1e-14 }, keep: 'end' } as const

describe('linear invariants', () => {
  const run = createIntegrator(fastPair).run({ ...request, invariants: [carbon, bound] })

  it('are held to rounding where the solves alone would lose digits, and the correction is reported', () => {
    expect(run.ending.how).toBe('reached-end')
    for (const d of run.drift) expect(d.maxRelative).toBeLessThan(5e-15)
    expect(Math.max(...run.drift.map((d) => d.corrected))).toBeGreaterThan(1e-13)
    expect(Math.abs(run.end[0]! + run.end[2]! + run.end[3]! - 0.05)).toBeLessThan(1e-16)
  })

  it('are held by changes of rounding size only: the solution is the same to the tolerance', () => {
    const free = createIntegrator(fastPair).run(request)
    for (const [k, y] of free.end.entries()) expect(Math.abs(run.end[k]! / y - 1)).toBeLessThan(1e-4)
  })

  it('are put right to the last bit alike whether the state was measured before or not', () => {
    const start = Float64Array.of(0.05, 0.02, 0.001, 0)
    const moved = Float64Array.of(0.05 * (1 - 1e-13), 0.02, 0.001, 1e-15)
    const ended = [false, true].map((asTried) => {
      const hold = createInvariantHold([carbon, bound], 4)
      hold.start(start, { imbalance: () => 0 })
      const y = moved.slice()
      expect(hold.spoilt(y)).toBe(false)
      hold.hold(1, y, asTried)
      return [...y, ...hold.result().flatMap((d) => [d.maxRelative, d.corrected])]
    })
    expect(ended[1]).toEqual(ended[0])
    expect(ended[0]).not.toEqual([...moved, 0, 0, 0, 0])
    // After a correction on trial, which is taken back, the state is measured anew.
    const hold = createInvariantHold([carbon, bound], 4)
    hold.start(start, { imbalance: () => 0 })
    const y = Float64Array.of(0.05 * (1 - 1e-9), 0.02, 0.001, 0)
    expect(hold.spoilt(y)).toBe(false)
    hold.hold(1, y, true)
    expect(Math.abs(y[0]! + y[2]! + y[3]! - 0.051)).toBeLessThan(1e-16)
  })

  it('may depend on one another, may be zero, and may concern nothing that is there', () => {
    const both = of('sum', 1, 1, 2, 2)
    const charge = of('difference', 1, -1, 0, 0)
    const nothing = of('nothing', 0, 0, 0, 0)
    const { drift } = createIntegrator(fastPair).run({
      ...request,
      y0: [0.02, 0.02, 0, 0],
      invariants: [carbon, bound, both, charge, nothing],
    })
    for (const d of drift) expect(d.maxRelative, d.name).toBeLessThan(5e-15)
  })

  it('that are none are left alone and shown, also where they change slowly', () => {
    const slow = massAction(2, [
      [
        1e-9,
        [0],
        [
          [0, -1],
          [1, 2],
        ],
      ],
    ])
    const lazy = createIntegrator(slow).run({ ...request, y0: [1, 0], invariants: [of('not kept', 1, 1)], longestStepS: 1 })
    expect(lazy.drift[0]!.maxRelative).toBeCloseTo(2e-6, 9)
    expect(lazy.drift[0]!.corrected).toBe(0)
    const { drift, end } = createIntegrator(fastPair).run({ ...request, invariants: [of('not kept', 1, 0, 0, 0)] })
    expect(drift[0]!.maxRelative).toBeGreaterThan(0.1)
    expect(end[0]!).toBeLessThan(0.04)
  })

  it('start afresh after a pour', () => {
    const { drift } = createIntegrator(fastPair).run({
      ...request,
      invariants: [carbon],
      breaks: [{ timeS: 10, change: (_t, y) => void (y[0] = y[0]! + 0.03) }],
    })
    expect(drift[0]!.maxRelative).toBeLessThan(5e-15)
  })

  it('are told in the order given, in whatever order they are held', () => {
    const large = of('large', 0, 0, 1, 1)
    const small = of('small', 1, 0, 0, 0)
    const none = { measure: () => 0, correct: () => undefined }
    const held: (readonly Float64Array[])[] = []
    const hold = holdLeastFirst([large, small], [1e-9, 0, 3, 4], (weights) => {
      held.push(weights)
      const row = () => new Float64Array(2)
      return { ...none, totals: row(), scales: row(), kept: row(), shares: row() }
    })
    expect(held).toEqual([[small.weights, large.weights]])
    expect(hold.result().map((d) => d.name)).toEqual(['large', 'small'])
  })
})
