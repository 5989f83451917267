import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { tailOf } from './dense-tail.ts'
import { createIntegratorFor } from './integrator.ts'
import type { OdeSystem, RunRequest } from './ode.ts'
import { createProductSystem, type ProductRate } from './product-system.ts'
import { createGeneratedRadauKernel } from './radau-generated.ts'
import { createRadauKernel, type RadauStages } from './radau-kernel.ts'
import { randomStream } from './random.ts'
import { planFactors } from './sparse-plan.ts'
import { robertson, stiffTestSet } from './test-set.ts'

/** Equal numbers, where 0 and −0 are equal and NaN is NaN. */
function same(a: ArrayLike<number>, b: ArrayLike<number>): void {
  expect(Array.from(a, (x) => x + 0)).toEqual(Array.from(b, (x) => x + 0))
}

/** Runs both engines; everything they report must be equal. Returns how many decompositions needed pivoting. */
function compare(system: OdeSystem, request: RunRequest, stages?: readonly RadauStages[]): number {
  const choice = stages === undefined ? {} : { stages }
  const code = createGeneratedRadauKernel(system, choice)
  expect(code).not.toBe(null)
  const a = createIntegratorFor(createRadauKernel(system, choice)).run(request)
  const b = createIntegratorFor(code!).run(request)
  expect(b.ending).toEqual(a.ending)
  expect(b.statistics).toEqual(a.statistics)
  expect(b.drift).toEqual(a.drift)
  same(b.end, a.end)
  same(b.stepTimesS, a.stepTimesS)
  if ((request.keep ?? 'dense') === 'dense') same(b.sample([0.3 * a.toS, 0.9 * a.toS]), a.sample([0.3 * a.toS, 0.9 * a.toS]))
  return a.statistics.pivoted
}

/** A random network of up to third order, with sinks, sources and autocatalysis; constants over `decades`. */
function randomNetwork(seed: number, size: number, decades: number): ProductRate[] {
  const random = randomStream(seed, 'network')
  const pick = (n: number): number => Math.floor(random.uniform() * n)
  return Array.from({ length: 2 * size + 1 }, () => ({
    constant: 10 ** (decades * (random.uniform() - 0.5)),
    factors: Array.from({ length: pick(4) }, () => pick(size)),
    changes: Array.from({ length: 1 + pick(3) }, () => [pick(size), [-2, -1, 1, 0.5, 3][pick(5)]!] as const),
  }))
}

describe('radau in generated code is the table-driven kernel to the last bit', () => {
  it('on a network so large that its tables end in dense blocks, and its code does not', () => {
    const size = 90
    const system = createProductSystem(size, randomNetwork(7, size, 8))
    expect(tailOf(planFactors(system.pattern))).toBeGreaterThan(24)
    const random = randomStream(7, 'state')
    compare(system, {
      fromS: 0,
      toS: 0.5,
      y0: Array.from({ length: size }, () => random.uniform()),
      tolerances: { relative: 1e-6, absolute: 1e-10, nonNegative: 'none' },
      mostSteps: 300,
    })
  })

  it.each([[[3]], [[5]], [[7]], [[3, 5, 7]]] as const)(
    'on random networks, with %s stages: endings, statistics, states, dense output',
    (stages) => {
      fc.assert(
        fc.property(fc.integer({ min: 0, max: 1e6 }), fc.integer({ min: 1, max: 12 }), (seed, size) => {
          const random = randomStream(seed, 'state')
          compare(
            createProductSystem(size, randomNetwork(seed, size, seed % 2 === 0 ? 8 : 24)),
            {
              fromS: 0,
              toS: 10 ** (4 * random.uniform() - 2),
              y0: Array.from({ length: size }, () => (random.uniform() < 0.3 ? 0 : random.uniform())),
              tolerances: { relative: 10 ** (-3 - 6 * random.uniform()), absolute: 1e-10 },
              mostSteps: 300,
            },
            stages,
          )
        }),
        { numRuns: 60, seed: 31 },
      )
    },
  )

  it('on the published stiff set, its totals held', () => {
    let compared = 0
    for (const problem of stiffTestSet) {
      if (problem.system.emittable === undefined) continue
      compared++
      for (const relative of [1e-4, 1e-8]) {
        compare(problem.system, {
          fromS: 0,
          toS: problem.values.at(-1)!.timeS,
          y0: problem.y0,
          tolerances: { relative, absolute: problem.absolute(relative), nonNegative: problem.nonNegative },
          keep: 'end',
          invariants: problem === robertson ? [{ name: 'mass', weights: Float64Array.of(1, 1, 1) }] : [],
        })
      }
    }
    expect(compared).toBeGreaterThanOrEqual(3)
  })

  it('steps whose fixed pivots fail are handed to the tables and back', () => {
    // y1 and y2 turn round each other at 1e10 per second while y3, which drives them, falls by 1 per second: off the diagonal stand multipliers beyond 1e8.
    const system = createProductSystem(3, [
      {
        constant: 1,
        factors: [2],
        changes: [
          [0, 1],
          [2, -1],
        ],
      },
      { constant: 1e10, factors: [1], changes: [[0, -1]] },
      { constant: 1e10, factors: [0], changes: [[1, 1]] },
    ])
    const pivoted = compare(system, {
      fromS: 0,
      toS: 5,
      y0: [0, 0, 1],
      tolerances: { relative: 1e-6, absolute: 1e-9, nonNegative: 'none' },
    })
    expect(pivoted).toBeGreaterThan(5)
  })

  it('breaks, events and changed constants: a kernel used again starts afresh', () => {
    const system = createProductSystem(2, [
      {
        constant: 2,
        factors: [0],
        changes: [
          [0, -1],
          [1, 1],
        ],
      },
    ])
    const request: RunRequest = {
      fromS: 0,
      toS: 3,
      y0: [1, 0],
      tolerances: { relative: 1e-9, absolute: 1e-12 },
      breaks: [{ timeS: 1, change: (_t, y) => void (y[0] = y[0]! + 1) }],
      events: [{ name: 'half', direction: 'both', value: (_t, y) => y[1]! - 0.5 }],
    }
    compare(system, request)
    const integrator = createIntegratorFor(createGeneratedRadauKernel(system)!)
    const [first, again] = [integrator.run(request), integrator.run(request)]
    expect(again.events).toEqual(first.events)
    same(again.end, first.end)
    expect(first.events[0]!.timeS).toBeCloseTo(Math.LN2 / 2, 7)
  })
})
