import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { tailOf } from './dense-tail.ts'
import { createGeneratedKernel } from './generated-kernel.ts'
import { createIntegrator, createIntegratorFor } from './integrator.ts'
import { plainArithmetic } from './invariants.ts'
import { BELOW_FLOOR, NOT_FINITE, type OdeSystem, type RunRequest, SINGULAR, type StepKernel } from './ode.ts'
import { createProductSystem, type ProductRate } from './product-system.ts'
import { randomStream } from './random.ts'
import { createRosenbrockKernel } from './rosenbrock-kernel.ts'
import { type MethodName, methods } from './rosenbrock-tableau.ts'
import { planFactors } from './sparse-plan.ts'
import { e5, massAction, robertson, stiffTestSet } from './test-set.ts'

const names = Object.keys(methods) as MethodName[]

function both(system: OdeSystem, method: MethodName): { readonly tables: StepKernel; readonly code: StepKernel } {
  const code = createGeneratedKernel(system, methods[method])
  if (code === null) throw new Error('no code was generated')
  return { tables: createRosenbrockKernel(system, methods[method]), code }
}

/** Equal numbers, where 0 and −0 are equal and NaN is NaN. */
function same(a: ArrayLike<number>, b: ArrayLike<number>): void {
  expect(Array.from(a, (x) => x + 0)).toEqual(Array.from(b, (x) => x + 0))
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

describe.each(names)('%s in generated code is the table-driven kernel to the last bit', (method) => {
  it('single steps of random networks: rates, first step, imbalance, error norm, result, dense rows, counts', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), fc.integer({ min: 1, max: 19 }), (seed, size) => {
        const random = randomStream(seed, 'state')
        const { tables, code } = both(createProductSystem(size, randomNetwork(seed, size, 8)), method)
        const absolute = Float64Array.from({ length: size }, () => 1e-9 * random.uniform() + 1e-12)
        const floor = Float64Array.from({ length: size }, (_, i) => (i % 2 === 0 ? -1e-3 : -Infinity))
        const start = Float64Array.from({ length: size }, () => random.uniform())
        for (const kernel of [tables, code]) {
          kernel.setTolerances(1e-4, absolute, floor)
          kernel.state.set(start)
        }
        const weights = Float64Array.from({ length: size }, () => random.uniform() - 0.5)
        for (let step = 0; step < 6; step++) {
          expect(code.begin(0)).toBe(tables.begin(0))
          expect(code.firstStep(0, 10)).toBe(tables.firstStep(0, 10))
          expect(code.imbalance(weights)).toBe(tables.imbalance(weights))
          const h = 10 ** (3 * random.uniform() - 5)
          const error = tables.attempt(0, h)
          expect(code.attempt(0, h)).toBe(error)
          if (error === SINGULAR) break
          if (error >= 0 || error === BELOW_FLOOR) expect(code.offender).toBe(tables.offender)
          same(code.trial, tables.trial)
          tables.interpolate()
          code.interpolate()
          same(code.dense, tables.dense)
          tables.accept()
          code.accept()
          same(code.state, tables.state)
        }
        same(code.counts, tables.counts)
      }),
      { numRuns: 150, seed: 20 },
    )
  })

  it('whole runs of random networks with constants over 24 decades: endings, statistics, states, dense output', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), fc.integer({ min: 1, max: 12 }), (seed, size) => {
        const random = randomStream(seed, 'state')
        const { tables, code } = both(createProductSystem(size, randomNetwork(seed, size, 24)), method)
        const request: RunRequest = {
          fromS: 0,
          toS: 10 ** (4 * random.uniform() - 2),
          y0: Array.from({ length: size }, () => (random.uniform() < 0.3 ? 0 : random.uniform())),
          tolerances: { relative: 1e-4, absolute: 1e-10 },
          mostSteps: 400,
        }
        const [a, b] = [createIntegratorFor(tables).run(request), createIntegratorFor(code).run(request)]
        expect(b.ending).toEqual(a.ending)
        expect(b.statistics).toEqual(a.statistics)
        same(b.end, a.end)
        same(b.stepTimesS, a.stepTimesS)
        same(b.sample([0.3 * a.toS, 0.9 * a.toS]), a.sample([0.3 * a.toS, 0.9 * a.toS]))
      }),
      { numRuns: 120, seed: 21 },
    )
  })

  it('a network so large that its tables end in a dense block, and its code does not', () => {
    const size = 90
    const system = createProductSystem(size, randomNetwork(7, size, 8))
    expect(tailOf(planFactors(system.pattern))).toBeGreaterThan(24)
    const { tables, code } = both(system, method)
    const random = randomStream(7, 'state')
    const request: RunRequest = {
      fromS: 0,
      toS: 0.5,
      y0: Array.from({ length: size }, () => random.uniform()),
      tolerances: { relative: 1e-5, absolute: 1e-10, nonNegative: 'none' },
      mostSteps: 300,
    }
    const [a, b] = [createIntegratorFor(tables).run(request), createIntegratorFor(code).run(request)]
    expect(a.statistics.steps).toBeGreaterThan(10)
    expect(b.ending).toEqual(a.ending)
    expect(b.statistics).toEqual(a.statistics)
    same(b.end, a.end)
  })

  it('the published stiff set, its totals held', () => {
    let compared = 0
    for (const problem of stiffTestSet) {
      if (problem.system.emittable === undefined) continue
      compared++
      const { tables, code } = both(problem.system, method)
      const request: RunRequest = {
        fromS: 0,
        toS: problem.values.at(-1)!.timeS,
        y0: problem.y0,
        tolerances: { relative: 1e-6, absolute: problem.absolute(1e-6), nonNegative: problem.nonNegative },
        keep: 'end',
        invariants: problem === robertson ? [{ name: 'mass', weights: Float64Array.of(1, 1, 1) }] : [],
      }
      const [a, b] = [createIntegratorFor(tables).run(request), createIntegratorFor(code).run(request)]
      expect(b.ending).toEqual(a.ending)
      expect(b.statistics).toEqual(a.statistics)
      expect(b.drift).toEqual(a.drift)
      same(b.end, a.end)
    }
    expect(compared).toBeGreaterThanOrEqual(3)
  })

  it('a step whose fixed pivots fail is taken with partial pivoting', () => {
    // y1′ = y2, y2′ = y1: with a step of 1e10 the diagonal is 4e-10 beside ones.
    const swap = createProductSystem(2, [
      { constant: 1, factors: [1], changes: [[0, 1]] },
      { constant: 1, factors: [0], changes: [[1, 1]] },
    ])
    const { tables, code } = both(swap, method)
    for (const kernel of [tables, code]) {
      kernel.setTolerances(1e-3, new Float64Array(2).fill(1e-3), new Float64Array(2).fill(-Infinity))
      kernel.state.set([1, 0.5])
      kernel.begin(0)
    }
    const error = tables.attempt(0, 1e10)
    expect(tables.counts[4]).toBe(1)
    expect(code.attempt(0, 1e10)).toBe(error)
    same(code.counts, tables.counts)
    same(code.trial, tables.trial)
    tables.interpolate()
    code.interpolate()
    same(code.dense, tables.dense)
    expect(code.offender).toBe(tables.offender)
    // and back to code
    expect(code.attempt(0, 1e-2)).toBe(tables.attempt(0, 1e-2))
    tables.interpolate()
    code.interpolate()
    same(code.dense, tables.dense)
    same(code.counts, tables.counts)
  })

  it('singular, not finite and below the floor have their codes', () => {
    // y′ = k y with k = 1/(hγ): the matrix is exactly zero
    const h = 4
    const constant = 1 / (h * methods[method].gamma)
    const growth = both(createProductSystem(1, [{ constant, factors: [0], changes: [[0, 1]] }]), method)
    for (const kernel of [growth.tables, growth.code]) {
      kernel.state[0] = 1
      kernel.begin(0)
    }
    expect(growth.tables.attempt(0, h)).toBe(SINGULAR)
    expect(growth.code.attempt(0, h)).toBe(SINGULAR)
    same(growth.code.counts, growth.tables.counts)
    // (1e200)² overflows
    const square = both(createProductSystem(1, [{ constant: 1, factors: [0, 0], changes: [[0, -1]] }]), method)
    for (const kernel of [square.tables, square.code]) {
      kernel.state[0] = 1e200
      expect(kernel.begin(0)).toBe(false)
      kernel.state[0] = 1e140
      expect(kernel.begin(0)).toBe(true)
    }
    expect(square.code.attempt(0, 1e160)).toBe(square.tables.attempt(0, 1e160))
    // rates that are no numbers beside a Jacobian that is one
    const fade = both(createProductSystem(3, [{ constant: 1, factors: [0], changes: [[0, -1]] }]), method)
    for (const kernel of [fade.tables, fade.code]) {
      kernel.state.set([Number.NaN, 0, 0])
      expect(kernel.begin(0)).toBe(false)
      expect(kernel.attempt(0, 1)).toBe(NOT_FINITE)
      kernel.state.set([Infinity, 0, 0])
      expect(kernel.begin(0)).toBe(false)
      expect(kernel.attempt(0, 1)).toBe(NOT_FINITE)
    }
    // a constant sink beyond what is there
    const sink = both(createProductSystem(3, [{ constant: 1, factors: [], changes: [[1, -1]] }]), method)
    for (const kernel of [sink.tables, sink.code]) {
      kernel.setTolerances(1e-3, new Float64Array(3).fill(1e-3), new Float64Array(3).fill(-1e-5))
      kernel.state.set([1, 0.1, 1])
      kernel.begin(0)
      expect(kernel.attempt(0, 1)).toBe(BELOW_FLOOR)
      expect(kernel.offender).toBe(1)
    }
  })
})

describe('when code is generated', () => {
  const decay: ProductRate = { constant: 1, factors: [0], changes: [[0, -1]] }
  it('a system that has replaced its rates, or depends on time, is run as it is', () => {
    const system = createProductSystem(1, [decay])
    expect(createGeneratedKernel(system, methods.rodas4)).not.toBe(null)
    const other = { ...system, rates: (_t: number, _y: Float64Array, out: Float64Array) => void (out[0] = 1) }
    expect(createGeneratedKernel(other, methods.rodas4)).toBe(null)
    const moving = { ...system, timeDerivative: (_t: number, _y: Float64Array, out: Float64Array) => void (out[0] = 0) }
    expect(createGeneratedKernel(moving, methods.rodas4)).toBe(null)
    expect(createGeneratedKernel(e5.system, methods.rodas4) === null).toBe(e5.system.emittable === undefined)
    const run = createIntegrator(other).run({ fromS: 0, toS: 1, y0: [0], tolerances: { relative: 1e-3, absolute: 1e-3 } })
    // y′ = 1 beside the Jacobian of y′ = −y
    expect(run.end[0]).toBeCloseTo(1, 2)
  })
  it('a network too large for straight-line code runs from tables', () => {
    const size = 20_000
    const chain = Array.from({ length: size - 1 }, (_, i): ProductRate => ({ constant: 1, factors: [i], changes: [[i, -1], [i + 1, 1]] })) // biome-ignore format: one line
    expect(createGeneratedKernel(createProductSystem(size, chain), methods.rodas4)).toBe(null)
  })
  it('nor is it made for one whose factors fill up, however few its rates', () => {
    // 130 × 130 entries: some 34,000 operations for rates and Jacobian, 130³/3 = 730,000 for the factors.
    const size = 130
    const all = Array.from({ length: size }, (_, j) => [j, 1] as const)
    const rates = (count: number): ProductRate[] => Array.from({ length: count }, (_, i) => ({ constant: 1, factors: [i], changes: all }))
    const full = createProductSystem(size, rates(size))
    expect(full.emittable!.operations).toBeLessThan(50_000)
    expect(createGeneratedKernel(full, methods.rodas4)).toBe(null)
    expect(createGeneratedKernel(createProductSystem(size, rates(3)), methods.rodas4)).not.toBe(null)
  })
  it('kernels of equal structure and other constants share code and nothing else', () => {
    const make = (constant: number): StepKernel => {
      const kernel = createGeneratedKernel(createProductSystem(1, [{ ...decay, constant }]), methods.rodas5p)!
      kernel.setTolerances(1e-3, Float64Array.of(1e-3), Float64Array.of(-1))
      kernel.state[0] = 1
      kernel.begin(0)
      return kernel
    }
    const [slow, fast] = [make(0.5), make(3)]
    slow.attempt(0, 0.01)
    fast.attempt(0, 0.01)
    expect(slow.trial[0]).toBeCloseTo(Math.exp(-0.005), 9)
    expect(fast.trial[0]).toBeCloseTo(Math.exp(-0.03), 8)
  })
  it('without WebAssembly the integrator runs from tables, with the same result', () => {
    const system = (): OdeSystem => massAction(2, [[0.731, [0], [[0, -1], [1, 1]]]]) // biome-ignore format: one line
    const request: RunRequest = { fromS: 0, toS: 3, y0: [1, 0], tolerances: { relative: 1e-5, absolute: 1e-9 } }
    const host = globalThis as { WebAssembly?: unknown }
    const kept = host.WebAssembly
    const withCode = createIntegrator(system()).run(request)
    let without = withCode
    try {
      delete host.WebAssembly
      without = createIntegrator(system()).run(request)
    } finally {
      host.WebAssembly = kept
    }
    same(without.end, withCode.end)
    expect(without.end[0]).toBeCloseTo(Math.exp(-0.731 * 3), 4)
  })
})

describe('held totals in generated code', () => {
  const chain = (size: number): OdeSystem =>
    createProductSystem(
      size,
      Array.from({ length: size }, (_, i) => ({
        constant: 1 + i,
        factors: [i],
        changes: [[i, -1] as const, [(i + 1) % size, 1] as const],
      })),
    )
  it('measure and correct as the plain arithmetic does, to the last bit: dependent and empty totals, some not held', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1e6 }),
        fc.integer({ min: 2, max: 17 }),
        fc.integer({ min: 1, max: 8 }),
        (seed, size, count) => {
          const random = randomStream(seed, 'totals')
          const whole = (): number => Math.floor(7 * random.uniform()) - 3
          const weights = Array.from({ length: count }, () =>
            Float64Array.from({ length: size }, () => (random.uniform() < 0.4 ? 0 : whole())),
          )
          if (count > 2) weights[2] = weights[0]!.map((w, k) => w + 2 * weights[1]![k]!)
          const kernel = createGeneratedKernel(chain(size), methods.rodas4)!
          const code = kernel.totalsArithmetic!(weights)!
          const plain = plainArithmetic(weights, size)
          const y = Float64Array.from({ length: size }, () => (random.uniform() < 0.1 ? 0 : random.uniform() - 0.05))
          for (const arithmetic of [code, plain]) {
            const numbers = randomStream(seed, 'wanted')
            for (let i = 0; i < count; i++) {
              arithmetic.totals[i] =
                numbers.uniform() < 0.1 ? 0 : weights[i]!.reduce((sum, w, k) => sum + w * y[k]! * (1 + 1e-9 * numbers.uniform()), 0)
              arithmetic.scales[i] = numbers.uniform() < 0.2 ? 0 : numbers.uniform()
              arithmetic.kept[i] = numbers.uniform() < 0.8 ? 1 : 0
            }
          }
          kernel.state.set(y)
          kernel.trial.set(y)
          expect(code.measure(kernel.trial)).toBe(plain.measure(y))
          expect(code.measure(kernel.state)).toBe(plain.measure(y))
          same(code.shares, plain.shares)
          code.correct(kernel.state)
          plain.correct(y)
          same(kernel.state, y)
          expect(code.measure(kernel.state)).toBe(plain.measure(y))
        },
      ),
      { numRuns: 150, seed: 22 },
    )
  })
  it('are left to the plain arithmetic when there are very many, and the run is the same', () => {
    const size = 60
    const weights = Array.from({ length: 60 }, () => new Float64Array(size).fill(1))
    expect(createGeneratedKernel(chain(size), methods.rodas4)!.totalsArithmetic!(weights)).toBe(null)
    const request: RunRequest = {
      fromS: 0,
      toS: 1,
      y0: Array.from({ length: size }, (_, i) => 1 / (1 + i)),
      tolerances: { relative: 1e-4, absolute: 1e-9 },
      keep: 'end',
      invariants: weights.map((w, i) => ({ name: `total ${i}`, weights: w })),
    }
    const { tables, code } = both(chain(size), 'rodas4')
    const [a, b] = [createIntegratorFor(tables).run(request), createIntegratorFor(code).run(request)]
    same(b.end, a.end)
    expect(b.drift).toEqual(a.drift)
  })
})
