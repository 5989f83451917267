import { describe, expect, it } from 'vitest'
import { createIntegrator, createIntegratorFor, methodFor } from './integrator.ts'
import type { OdeSystem, StepKernel } from './ode.ts'
import { collocation } from './radau-collocation.ts'
import { createRadauKernel, type RadauStages, radauStages } from './radau-kernel.ts'
import { createRadauWork } from './radau-work.ts'
import { fullPattern } from './sparse-lu.ts'
import { closedForm, exact, massAction, oregonator, robertson } from './test-set.ts'

/** Equal steps over [0, to] with the stages solved to rounding: largest error at the end, and of the dense output inside each step. */
function errorsWithEqualSteps(stages: RadauStages, to: number, count: number): { readonly end: number; readonly inside: number } {
  const method = collocation(stages)
  const work = createRadauWork(closedForm, stages)
  work.relative.fill(1)
  work.absolute.fill(1)
  work.floor.fill(-Infinity)
  work.state.set(exact(0))
  const h = to / count
  let inside = 0
  for (let i = 0; i < count; i++) {
    expect(work.begin(i * h) && work.slopes(i * h) && work.decompose(method, h)).toBe(true)
    work.predict(method, null)
    // Roots of sums of squares: the last changes are rounding.
    let left = Infinity
    for (let iteration = 0; iteration < 80 && left > 1e-14; iteration++) left = Math.sqrt(work.iterate(method, i * h, h))
    expect(left).toBeLessThan(1e-13)
    expect(work.finish(method, h)).toBeGreaterThanOrEqual(0)
    work.interpolate(method)
    for (const theta of [0.1, 0.25, 0.4, 0.55, 0.7, 0.9]) {
      for (let k = 0; k < 2; k++) {
        let bow = 0
        for (let q = stages - 1; q >= 0; q--) bow = bow * theta + work.dense[q * 2 + k]!
        const y = (1 - theta) * work.state[k]! + theta * (work.trial[k]! + (1 - theta) * bow)
        inside = Math.max(inside, Math.abs(y - exact((i + theta) * h)[k]!))
      }
    }
    work.accept(method)
  }
  return { end: Math.max(...exact(to).map((want, k) => Math.abs(work.state[k]! - want))), inside }
}

/** Numbers of steps between which rounding does not show yet. */
const ladders = { 3: [10, 40], 5: [4, 12], 7: [3, 5] } as const
const denseLadders = { 3: [20, 60], 5: [16, 32], 7: [9, 16] } as const

describe.each(radauStages)('%i stages', (stages) => {
  const kernel = (): StepKernel => createRadauKernel(closedForm, { stages: [stages] })
  const [few, many] = ladders[stages]
  const [coarse, fine] = [errorsWithEqualSteps(stages, 2, few), errorsWithEqualSteps(stages, 2, many)]
  const orderOf = (a: number, b: number, factor: number): number => Math.log(a / b) / Math.log(factor)

  it('converge with order 2s − 1 on a nonlinear, time-dependent problem with a closed form', () => {
    expect(orderOf(coarse.end, fine.end, many / few)).toBeGreaterThan(2 * stages - 1.4)
    expect(orderOf(coarse.end, fine.end, many / few)).toBeLessThan(2 * stages + 0.7)
  })

  it('have dense output of local order s + 2: the collocation polynomial, and one degree more from the error estimate', () => {
    const [wide, narrow] = denseLadders[stages]
    const [a, b] = [errorsWithEqualSteps(stages, 2, wide).inside, errorsWithEqualSteps(stages, 2, narrow).inside]
    expect(orderOf(a, b, narrow / wide)).toBeGreaterThan(stages + 1.75)
  })

  it('gain digits in proportion to the tolerance', () => {
    const error = (relative: number): number => {
      const run = createIntegratorFor(kernel()).run({
        fromS: 0,
        toS: 2,
        y0: exact(0),
        tolerances: { relative, absolute: relative },
        keep: 'end',
      })
      return Math.max(...exact(2).map((want, k) => Math.abs(run.end[k]! - want)))
    }
    const decades = Math.log10(error(1e-4) / error(1e-10)) / 6
    expect(decades).toBeGreaterThan(0.7)
    expect(decades).toBeLessThan(1.6)
  })
})

describe('radau', () => {
  /** y′ = λ (y − φ) + φ′, φ = sin(π/4 + ωt): Prothero & Robinson 1974, Math. Comp. 28, 145–162. Its solution is φ. */
  function slaved(lambda: number, omega: number): { readonly system: OdeSystem; readonly phi: (t: number) => number } {
    const phi = (t: number): number => Math.sin(Math.PI / 4 + omega * t)
    const slope = (t: number): number => omega * Math.cos(Math.PI / 4 + omega * t)
    const system: OdeSystem = {
      size: 1,
      pattern: fullPattern(1),
      rates(t, y, out) {
        out[0] = lambda * (y[0]! - phi(t)) + slope(t)
      },
      jacobian(_t, _y, values) {
        values[0] = lambda
      },
      timeDerivative(t, _y, out) {
        out[0] = -lambda * slope(t) - omega * omega * phi(t)
      },
    }
    return { system, phi }
  }
  /** What the estimate is asked for: where h λ is neither small nor large the order falls to that of the stages, and the error may be as large. */
  const asked = (relative: number): number => 0.1 * relative ** (2 / 3)

  it.each([-1e2, -1e6, -1e10])('follows y′ = λ (y − φ) + φ′ at λ = %s to the tolerance (Prothero & Robinson 1974)', (lambda) => {
    const { system, phi } = slaved(lambda, 1)
    for (const relative of [1e-4, 1e-7, 1e-10]) {
      const run = createIntegrator(system, 'radau').run({
        fromS: 0,
        toS: 10,
        y0: [phi(0)],
        tolerances: { relative, absolute: relative, nonNegative: 'none' },
        keep: 'end',
      })
      expect(run.ending).toEqual({ how: 'reached-end', timeS: 10 })
      expect(Math.abs(run.end[0]! - phi(10))).toBeLessThan(Math.max(5 * relative, asked(relative)))
    }
  })

  it('is not led by a filtered estimate into steps that are far too long, at any stiffness and tolerance', () => {
    // filtered at every step, the error came to 8700 times what is asked (λ = −5.6e3, 1e-11)
    const state = new Float64Array(1)
    let worst = 0
    for (let decade = 0.5; decade <= 12; decade += 0.25) {
      const { system, phi } = slaved(-(10 ** decade), 3)
      const integrator = createIntegrator(system, 'radau')
      for (const relative of [1e-4, 1e-7, 1e-9, 1e-11]) {
        const run = integrator.run({
          fromS: 0,
          toS: 10,
          y0: [phi(0)],
          tolerances: { relative, absolute: relative, nonNegative: 'none' },
        })
        for (const t of run.stepTimesS) {
          run.at(t, state)
          worst = Math.max(worst, Math.abs(state[0]! - phi(t)) / (2 * asked(relative)))
        }
      }
    }
    expect(worst).toBeLessThan(30)
  })

  it('finds events on its dense output to 1e-9: A → B → C, where B passes its highest point', () => {
    const [k1, k2] = [3, 0.5]
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
    const run = createIntegrator(system, 'radau').run({
      fromS: 0,
      toS: 10,
      y0: [1, 0, 0],
      tolerances: { relative: 1e-12, absolute: 1e-14 },
      events: [{ name: 'top', direction: 'falling', value: (_t, y) => k1 * y[0]! - k2 * y[1]! }],
    })
    const top = Math.log(k1 / k2) / (k1 - k2)
    expect(run.events).toHaveLength(1)
    expect(Math.abs(run.events[0]!.timeS / top - 1)).toBeLessThan(1e-9)
  })

  it('ends a step exactly at a break, forgets what was before, and holds both states', () => {
    const system = massAction(2, [
      [
        1,
        [0],
        [
          [0, -1],
          [1, 1],
        ],
      ],
    ])
    const run = createIntegrator(system, 'radau').run({
      fromS: 0,
      toS: 2,
      y0: [1, 0],
      tolerances: { relative: 1e-10, absolute: 1e-13 },
      breaks: [
        {
          timeS: 0.7,
          change: (_t, y) => {
            y[0] = y[0]! + 5
          },
        },
      ],
    })
    const out = new Float64Array(2)
    run.at(0.7, out, 'before')
    expect(out[0]).toBeCloseTo(Math.exp(-0.7), 9)
    run.at(0.7, out)
    expect(out[0]).toBeCloseTo(Math.exp(-0.7) + 5, 9)
    run.at(2, out)
    expect(out[0]).toBeCloseTo((Math.exp(-0.7) + 5) * Math.exp(-1.3), 9)
    expect(run.stepTimesS.includes(0.7)).toBe(true)
  })

  it('stays positive by rejecting, between the steps too, and keeps mass to rounding: Robertson to 1e11 s', () => {
    for (const relative of [1e-2, 1e-5, 1e-9]) {
      const run = createIntegrator(robertson.system, 'radau').run({
        fromS: 0,
        toS: 1e11,
        y0: robertson.y0,
        tolerances: { relative, absolute: 1e-3 * relative },
        invariants: [{ name: 'mass', weights: Float64Array.of(1, 1, 1) }],
      })
      expect(run.ending.how).toBe('reached-end')
      expect(run.drift[0]!.maxRelative).toBeLessThan(1e-12)
      const out = new Float64Array(3)
      for (let look = 0; look <= 400; look++) {
        run.at(10 ** (-6 + (17 * look) / 400), out)
        for (const x of out) expect(x).toBeGreaterThanOrEqual(-0.0101 * 1e-3 * relative)
      }
    }
  })

  it('survives more than a hundred rejections in a row, and a hundred steps below zero', () => {
    let calls = 0
    let spoil: 'not a number' | 'below zero' = 'not a number'
    const moody: OdeSystem = {
      size: 1,
      pattern: fullPattern(1),
      rates(_t, y, out) {
        out[0] = -y[0]!
        // One call starts the stretch; then five a trial step, three after two failures. The first hundred and more are spoilt.
        if (calls > 0 && calls <= 3 * 110) out[0] = spoil === 'not a number' ? Number.NaN : -1e250
        calls++
      },
      jacobian(_t, _y, values) {
        values[0] = -1
      },
    }
    for (spoil of ['not a number', 'below zero'] as const) {
      calls = 0
      const run = createIntegrator(moody, 'radau').run({
        fromS: 0,
        toS: 10,
        y0: [1],
        tolerances: { relative: 1e-6, absolute: 1e-10 },
        firstStepS: 1,
      })
      expect(run.statistics.rejected).toBeGreaterThanOrEqual(100)
      expect(run.ending.how).toBe('reached-end')
      expect(run.end[0]!).toBeCloseTo(Math.exp(-10), 6)
    }
  })

  it('ends named at a pole, with finite numbers: y′ = y²', () => {
    const system: OdeSystem = {
      size: 1,
      pattern: fullPattern(1),
      rates(_t, y, out) {
        out[0] = y[0]! ** 2
      },
      jacobian(_t, y, values) {
        values[0] = 2 * y[0]!
      },
    }
    const run = createIntegrator(system, 'radau').run({ fromS: 0, toS: 2, y0: [1], tolerances: { relative: 1e-8, absolute: 1e-10 } })
    expect(run.ending.how).toBe('stopped-short')
    expect(run.ending.timeS).toBeGreaterThan(0.999)
    expect(run.ending.timeS).toBeLessThan(1.001)
    expect(Number.isFinite(run.end[0]!)).toBe(true)
  })

  it('is what methodFor names from seven digits on, rodas5p before it, rodas4 for display', () => {
    expect([1e-2, 1e-4, 9e-5, 1e-7, 9e-8, 1e-12].map(methodFor)).toEqual(['rodas4', 'rodas4', 'rodas5p', 'rodas5p', 'radau', 'radau'])
  })

  it('needs fewer steps than a Rosenbrock method by far at eleven digits', () => {
    const request = {
      fromS: 0,
      toS: 360,
      y0: oregonator.y0,
      tolerances: { relative: 1e-10, absolute: 1e-16 },
      keep: 'end',
    } as const
    const radau = createIntegrator(oregonator.system, 'radau').run(request)
    const rodas = createIntegrator(oregonator.system, 'rodas5p').run(request)
    expect(radau.statistics.steps * 10).toBeLessThan(rodas.statistics.steps)
  })
})
