import { describe, expect, it } from 'vitest'
import { createIntegrator, createIntegratorFor } from './integrator.ts'
import type { OdeSystem, StepKernel } from './ode.ts'
import { createRosenbrockKernel } from './rosenbrock-kernel.ts'
import { type MethodName, methods } from './rosenbrock-tableau.ts'
import { fullPattern } from './sparse-lu.ts'
import { closedForm, exact } from './test-set.ts'

/** The kernel alone with equal steps over [from, to]: largest error at the end, and of the dense output at θ = 0.4. */
function errorsWithEqualSteps(
  system: OdeSystem,
  kernel: StepKernel,
  solution: (t: number) => readonly number[],
  from: number,
  to: number,
  count: number,
) {
  const n = system.size
  kernel.setTolerances(1e-3, new Float64Array(n).fill(1e-3), new Float64Array(n).fill(-Infinity))
  kernel.state.set(solution(from))
  const h = (to - from) / count
  let inside = 0
  for (let i = 0; i < count; i++) {
    const t = from + i * h
    expect(kernel.begin(t)).toBe(true)
    expect(kernel.attempt(t, h)).toBeGreaterThanOrEqual(0)
    kernel.interpolate()
    const theta = 0.4
    for (let k = 0; k < n; k++) {
      let bow = 0
      for (let q = kernel.method.denseRows - 1; q >= 0; q--) bow = bow * theta + kernel.dense[q * n + k]!
      const y = (1 - theta) * kernel.state[k]! + theta * (kernel.trial[k]! + (1 - theta) * bow)
      inside = Math.max(inside, Math.abs(y - solution(t + theta * h)[k]!))
    }
    kernel.accept()
  }
  const end = Math.max(...solution(to).map((want, k) => Math.abs(kernel.state[k]! - want)))
  return { end, inside }
}

const names = Object.keys(methods) as MethodName[]

describe.each(names)('%s', (name) => {
  const method = methods[name]

  it('converges with its order on a nonlinear, time-dependent problem with a closed form', () => {
    const coarse = errorsWithEqualSteps(closedForm, createRosenbrockKernel(closedForm, method), exact, 0, 2, 20)
    const fine = errorsWithEqualSteps(closedForm, createRosenbrockKernel(closedForm, method), exact, 0, 2, 80)
    const observed = Math.log2(coarse.end / fine.end) / 2
    expect(observed).toBeGreaterThan(method.order - 0.25)
    expect(observed).toBeLessThan(method.order + 0.8)
  })

  it('has dense output of its stated order between the steps', () => {
    const coarse = errorsWithEqualSteps(closedForm, createRosenbrockKernel(closedForm, method), exact, 0, 2, 20)
    const fine = errorsWithEqualSteps(closedForm, createRosenbrockKernel(closedForm, method), exact, 0, 2, 80)
    // Locally one order more than globally.
    expect(Math.log2(coarse.inside / fine.inside) / 2).toBeGreaterThan(method.denseOrder + 0.75)
  })

  /** y′ = λ (y − φ) + φ′, φ = sin(π/4 + t): the solution is φ however stiff (Prothero & Robinson 1974). */
  const protheroRobinson = (lambda: number): OdeSystem => ({
    size: 1,
    pattern: fullPattern(1),
    rates(t, y, out) {
      out[0] = lambda * (y[0]! - Math.sin(Math.PI / 4 + t)) + Math.cos(Math.PI / 4 + t)
    },
    jacobian(_t, _y, values) {
      values[0] = lambda
    },
    timeDerivative(t, _y, out) {
      out[0] = -lambda * Math.cos(Math.PI / 4 + t) - Math.sin(Math.PI / 4 + t)
    },
  })

  it.each([-1e2, -1e6, -1e10])('follows the Prothero–Robinson solution at λ = %s to the tolerance', (lambda) => {
    for (const relative of [1e-4, 1e-7]) {
      const run = createIntegrator(protheroRobinson(lambda), name).run({
        fromS: 0,
        toS: 10,
        y0: [Math.sin(Math.PI / 4)],
        tolerances: { relative, absolute: relative, nonNegative: 'none' },
        keep: 'end',
      })
      expect(run.ending).toEqual({ how: 'reached-end', timeS: 10 })
      expect(Math.abs(run.end[0]! - Math.sin(Math.PI / 4 + 10))).toBeLessThan(5 * relative)
    }
  })

  it('loses at most one order, and keeps every digit, on the stiff Prothero–Robinson problem with equal steps', () => {
    const solution = (t: number): number[] => [Math.sin(Math.PI / 4 + t)]
    const system = protheroRobinson(-1e5)
    const [coarse, fine] = [40, 160].map(
      (count) => errorsWithEqualSteps(system, createRosenbrockKernel(system, method), solution, 0, 4, count).end,
    )
    // Rodas4 falls to order 1 × ε here, Rodas5P keeps 4 (Steinebach 2023, table 1): what is asked is that refining never harms.
    expect(fine!).toBeLessThan(coarse!)
    if (name === 'rodas5p') expect(Math.log2(coarse! / fine!) / 2).toBeGreaterThan(3)
  })

  it('solves a stiff linear chain A → B → C with rates 1e6 apart as its closed form says', () => {
    const [k1, k2] = [1e4, 1e-2]
    const system: OdeSystem = {
      size: 3,
      pattern: fullPattern(3),
      rates(_t, y, out) {
        out.set([-k1 * y[0]!, k1 * y[0]! - k2 * y[1]!, k2 * y[1]!])
      },
      jacobian(_t, _y, values) {
        values.set([-k1, 0, 0, k1, -k2, 0, 0, k2, 0])
      },
    }
    const run = createIntegrator(system, name).run({ fromS: 0, toS: 100, y0: [1, 0, 0], tolerances: { relative: 1e-8, absolute: 1e-12 } })
    const out = new Float64Array(3)
    for (const t of [1e-5, 3e-4, 1e-2, 1, 37, 100]) {
      run.at(t, out)
      const a = Math.exp(-k1 * t)
      const b = (k1 / (k2 - k1)) * (Math.exp(-k1 * t) - Math.exp(-k2 * t))
      expect(Math.abs(out[0]! - a)).toBeLessThan(2e-7)
      expect(Math.abs(out[1]! - b)).toBeLessThan(2e-7)
      expect(Math.abs(out[0]! + out[1]! + out[2]! - 1)).toBeLessThan(1e-13)
    }
  })

  it('has a global error in proportion to the tolerance', () => {
    const error = (relative: number): number => {
      const run = createIntegratorFor(createRosenbrockKernel(closedForm, method)).run({
        fromS: 0,
        toS: 2,
        y0: exact(0),
        tolerances: { relative, absolute: relative },
        keep: 'end',
      })
      return Math.max(...exact(2).map((want, k) => Math.abs(run.end[k]! - want)))
    }
    const decades = Math.log10(error(1e-4) / error(1e-9)) / 5
    expect(decades).toBeGreaterThan(0.75)
    expect(decades).toBeLessThan(1.4)
  })
})
