import { describe, expect, it } from 'vitest'
import { leftNullSpace, reduceLaws } from './conserved-laws.ts'
import { weightedTotal } from './invariants.ts'
import type { OdeSystem } from './ode.ts'
import { randomStream } from './random.ts'
import { fullPattern } from './sparse-lu.ts'
import { describeSpectrum, findSteadyState, stabilityOf } from './steady-state.ts'
import { massAction } from './test-set.ts'

describe('laws of a stoichiometric matrix', () => {
  it('are those of enzyme kinetics: two totals of four species (E + S <=> C -> E + P)', () => {
    // rows E S C P, columns bind, release, turn
    const matrix = [-1, 1, 1, -1, 1, 0, 1, -1, -1, 0, 0, 1]
    const laws = leftNullSpace(matrix, 4, 3)
    expect(laws).toHaveLength(2)
    for (const law of laws) {
      for (let j = 0; j < 3; j++) {
        let sum = 0
        for (let i = 0; i < 4; i++) sum += law[i]! * matrix[3 * i + j]!
        expect(Math.abs(sum)).toBeLessThan(1e-14)
      }
    }
    // the amounts decide which components the totals give; the values do not change
    const y = [1e-6, 0.3, 1e-7, 2]
    const reduced = reduceLaws(
      laws,
      y,
      laws.map((law) => weightedTotal(law, Float64Array.from(y))),
    )
    expect(reduced.free).toHaveLength(2)
    expect([...reduced.dependent].sort((a, b) => a - b)).toEqual([0, 3])
    reduced.dependent.forEach((component, d) => {
      let sum = reduced.totals[d]!
      for (const f of reduced.free) sum -= reduced.rows[4 * d + f]! * y[f]!
      expect(sum).toBeCloseTo(y[component]!, 14)
    })
  })

  it('of random matrices have the rank that is missing, and dependent ones are left out', () => {
    const random = randomStream(3, 'laws')
    for (let round = 0; round < 40; round++) {
      const n = 3 + Math.floor(random.uniform() * 8)
      const columns = 1 + Math.floor(random.uniform() * n)
      // columns that all keep the plain sum
      const matrix = Array.from({ length: n * columns }, () => Math.floor(random.uniform() * 5) - 2)
      for (let j = 0; j < columns; j++) {
        let sum = 0
        for (let i = 1; i < n; i++) sum += matrix[i * columns + j]!
        matrix[j] = -sum
      }
      const laws = leftNullSpace(matrix, n, columns)
      expect(laws.length).toBeGreaterThanOrEqual(Math.max(1, n - columns))
      const twice = reduceLaws([...laws, ...laws], new Float64Array(n).fill(1), new Float64Array(2 * laws.length))
      expect(twice.dependent).toHaveLength(laws.length)
    }
  })
})

describe('steady states', () => {
  it('of a dimerisation 2A <=> B is the root of a quadratic', () => {
    // k 2e3 forward, 5 back; A + 2B = 0.3: 2·400 A² … K = B/A² = 400, 800 A² + A − 0.3 = 0
    const system = massAction(2, [
      [
        2e3,
        [0, 0],
        [
          [0, -2],
          [1, 1],
        ],
      ],
      [
        5,
        [1],
        [
          [0, 2],
          [1, -1],
        ],
      ],
    ])
    const a = (-1 + Math.sqrt(1 + 4 * 800 * 0.3)) / 1600
    for (const by of ['relax', 'newton', 'either'] as const) {
      const found = findSteadyState(system, { y0: [0.3, 0], laws: [Float64Array.of(1, 2)], by })
      expect(found.how).toBe('found')
      if (found.how !== 'found') continue
      expect(Math.abs(found.y[0]! - a) / a).toBeLessThan(1e-13)
      expect(found.y[0]! + 2 * found.y[1]!).toBeCloseTo(0.3, 14)
      expect(found.imbalance).toBeLessThan(1e-14)
      // one eigenvalue on the plane of the total: −(4 k A + k'): d/dA of −2kA² + 2k'B with B = (0.3 − A)/2
      const stability = stabilityOf(system, found.y, [Float64Array.of(1, 2)])!
      expect(stability.kind).toBe('stable')
      expect(Math.abs(stability.leadingPerS + (4 * 2e3 * a + 5)) / 5).toBeLessThan(1e-10)
    }
  })

  it('of a ring A -> B -> C -> A over thirty decades of constants: shares go as 1/k', () => {
    const k = [1e-12, 1, 1e18]
    const ring = massAction(
      3,
      k.map(
        (rate, i) =>
          [
            rate,
            [i],
            [
              [i, -1],
              [(i + 1) % 3, 1],
            ],
          ] as const,
      ),
    )
    const found = findSteadyState(ring, { y0: [1, 1, 1], laws: [Float64Array.of(1, 1, 1)] })
    expect(found.how).toBe('found')
    const sum = k.reduce((s, rate) => s + 1 / rate, 0)
    k.forEach((rate, i) => {
      expect(Math.abs(found.y[i]! / (3 / rate / sum) - 1), `share ${i}: ${found.y[i]}`).toBeLessThan(1e-12)
    })
  })

  it('of a reaction that runs out is its end: A + B -> C with B short', () => {
    const system = massAction(3, [
      [
        3,
        [0, 1],
        [
          [0, -1],
          [1, -1],
          [2, 1],
        ],
      ],
    ])
    const found = findSteadyState(system, { y0: [1, 0.4, 0], laws: [Float64Array.of(1, 0, 1), Float64Array.of(0, 1, 1)] })
    expect(found.how).toBe('found')
    expect(found.y[0]).toBeCloseTo(0.6, 12)
    expect(Math.abs(found.y[1]!)).toBeLessThan(1e-13)
    expect(found.y[2]).toBeCloseTo(0.4, 12)
  })

  it('is found though unstable, and said to be so (the Brusselator inside its oscillation)', () => {
    const [a, b] = [1, 3]
    const system: OdeSystem = {
      size: 2,
      pattern: fullPattern(2),
      rates(_t, y, out) {
        out.set([a - (b + 1) * y[0]! + y[0]! ** 2 * y[1]!, b * y[0]! - y[0]! ** 2 * y[1]!])
      },
      jacobian(_t, y, values) {
        values.set([-(b + 1) + 2 * y[0]! * y[1]!, y[0]! ** 2, b - 2 * y[0]! * y[1]!, -(y[0]! ** 2)])
      },
    }
    const found = findSteadyState(system, { y0: [0.2, 1] })
    expect(found.how).toBe('found')
    expect(found.y[0]).toBeCloseTo(a, 12)
    expect(found.y[1]).toBeCloseTo(b / a, 12)
    // λ = (B − 1 − A²)/2 ± sqrt(…): trace 1, determinant A² = 1
    const stability = stabilityOf(system, found.y)!
    expect(stability.kind).toBe('unstable-spiral')
    expect(stability.leadingPerS).toBeCloseTo(0.5, 12)
    expect(stability.circlingS).toBeCloseTo((2 * Math.PI) / Math.sqrt(0.75), 10)
  })

  it('ends with a reason where there is none, a line of them, or no number', () => {
    const none = massAction(1, [[1, [], [[0, 1]]]])
    expect(findSteadyState(none, { y0: [1] })).toMatchObject({ how: 'not-found' })
    // without its law the dimer's equations are singular
    const pair = massAction(2, [
      [
        1,
        [0],
        [
          [0, -1],
          [1, 1],
        ],
      ],
      [
        1,
        [1],
        [
          [1, -1],
          [0, 1],
        ],
      ],
    ])
    expect(findSteadyState(pair, { y0: [1, 0], by: 'newton' })).toMatchObject({ how: 'not-found', why: 'singular' })
    const wild: OdeSystem = { ...pair, rates: (_t, _y, out) => void out.fill(Number.NaN) }
    expect(findSteadyState(wild, { y0: [1, 0] })).toMatchObject({ how: 'not-found', why: 'not-finite' })
  })

  it('spectra have words', () => {
    const words = (re: number[], im: number[]): string =>
      describeSpectrum({ re: Float64Array.from(re), im: Float64Array.from(im), uncertainty: 1e-9 }).kind
    expect(words([-1, -2], [0, 0])).toBe('stable')
    expect(words([-1, -1, -5], [2, -2, 0])).toBe('stable-spiral')
    expect(words([1, -2], [0, 0])).toBe('saddle')
    expect(words([3, 2], [0, 0])).toBe('unstable')
    expect(words([1e-12, -2], [0, 0])).toBe('undecided')
    expect(words([], [])).toBe('stable')
  })
})
