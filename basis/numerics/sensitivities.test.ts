import { describe, expect, it } from 'vitest'
import { createIntegrator } from './integrator.ts'
import type { OdeSystem } from './ode.ts'
import { runSensitivities, type SensitivityRequest } from './sensitivities.ts'
import { fullPattern } from './sparse-lu.ts'
import { varyByDifferences, type VariedSystem } from './varied-system.ts'

const tight = { relative: 1e-10, absolute: 1e-14 }

/** A -> B -> C with constants p0, p1; third parameter: the start of A. All derivatives by hand. */
function chain(k1: number, k2: number): VariedSystem {
  const pattern = fullPattern(3)
  const dk = [
    [-1, 0, 0, 1, 0, 0, 0, 0, 0],
    [0, 0, 0, 0, -1, 0, 0, 1, 0],
    [0, 0, 0, 0, 0, 0, 0, 0, 0],
  ]
  return {
    size: 3,
    pattern,
    parameterCount: 3,
    rates(_t, y, out) {
      out[0] = -k1 * y[0]!
      out[1] = k1 * y[0]! - k2 * y[1]!
      out[2] = k2 * y[1]!
    },
    jacobian(_t, _y, values) {
      values.set([-k1, 0, 0, k1, -k2, 0, 0, k2, 0])
    },
    ratesAlong(_t, y, k, s, out) {
      out[0] = -k1 * s[0]!
      out[1] = k1 * s[0]! - k2 * s[1]!
      out[2] = k2 * s[1]!
      for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) out[i] = out[i]! + dk[k]![3 * i + j]! * y[j]!
    },
    jacobianAlong(_t, _y, k, _s, values) {
      values.set(dk[k]!)
    },
  }
}

const k1 = 0.7
const k2 = 0.2
const a0 = 1.5
const request: SensitivityRequest = {
  fromS: 0,
  toS: 12,
  y0: [a0, 0, 0],
  tolerances: tight,
  start: [0, 0, 0, 0, 0, 0, 1, 0, 0],
  scales: [k1, k2, a0],
}

/** B of the chain and its derivatives by k1, k2, a0: B = a0 k1 (e^(−k1 t) − e^(−k2 t))/(k2 − k1), differentiated by hand. */
function closedB(t: number): readonly [b: number, byK1: number, byK2: number, byA0: number] {
  const d = k2 - k1
  const e1 = Math.exp(-k1 * t)
  const e2 = Math.exp(-k2 * t)
  const b = (a0 * k1 * (e1 - e2)) / d
  return [b, b / k1 + b / d - (a0 * k1 * t * e1) / d, -b / d + (a0 * k1 * t * e2) / d, b / a0]
}

/** Robertson's problem, k_i as parameters. */
function robertson(k: number[]): OdeSystem {
  return {
    size: 3,
    pattern: fullPattern(3),
    rates(_t, y, out) {
      const [v1, v2, v3] = [k[0]! * y[0]!, k[1]! * y[1]! * y[1]!, k[2]! * y[1]! * y[2]!]
      out[0] = -v1 + v3
      out[1] = v1 - v2 - v3
      out[2] = v2
    },
    jacobian(_t, y, values) {
      const [a, b, c] = [2 * k[1]! * y[1]!, k[2]! * y[2]!, k[2]! * y[1]!]
      values.set([-k[0]!, b, c, k[0]!, -a - b, -c, 0, a, 0])
    },
  }
}
const variedRobertson = (): VariedSystem => {
  const k = [0.04, 3e7, 1e4]
  return varyByDifferences(
    robertson(k),
    k.map((value, i) => ({
      value,
      set(x: number) {
        k[i] = x
      },
    })),
  )
}

describe('forward sensitivities', () => {
  it('of a linear chain are the closed forms, by constants and by the start', () => {
    const run = runSensitivities(chain(k1, k2), request)
    const s = new Float64Array(3)
    for (const t of [0.01, 0.5, 2, 5, 12]) {
      const closed = closedB(t)
      for (let k = 0; k < 3; k++) {
        run.sensitivityAt(t, k, s)
        expect(Math.abs(s[1]! - closed[k + 1]!), `t ${t}, parameter ${k}`).toBeLessThan(2e-9)
      }
      run.stateAt(t, s)
      expect(Math.abs(s[1]! - closed[0])).toBeLessThan(2e-9)
    }
    // the end of the run carries no interpolation
    for (let k = 0; k < 3; k++) expect(Math.abs(run.endOf(k)[1]! - closedB(12)[k + 1]!)).toBeLessThan(1e-10)
  })

  it('keep the totals of y: the start of A adds one to A + B + C, constants nothing', () => {
    const run = runSensitivities(chain(k1, k2), { ...request, invariants: [{ name: 'all', weights: Float64Array.of(1, 1, 1) }] })
    const sum = (k: number): number => run.endOf(k).reduce((a, b) => a + b, 0)
    expect(Math.abs(sum(0))).toBeLessThan(1e-14)
    expect(Math.abs(sum(1))).toBeLessThan(1e-14)
    expect(Math.abs(sum(2) - 1)).toBeLessThan(1e-14)
    expect(run.solution.drift[0]!.maxRelative).toBeLessThan(1e-14)
  })

  it('by differences instead of exact derivatives are the same to ten digits', () => {
    const p = [k1, k2]
    const moving: OdeSystem = {
      size: 3,
      pattern: fullPattern(3),
      rates: (t, y, out) => {
        chain(p[0]!, p[1]!).rates(t, y, out)
      },
      jacobian: (t, y, values) => {
        chain(p[0]!, p[1]!).jacobian(t, y, values)
      },
    }
    const settable = [0, 1].map((i) => ({
      value: p[i]!,
      set(x: number) {
        p[i] = x
      },
    }))
    const run = runSensitivities(varyByDifferences(moving, [...settable, null]), request)
    for (let k = 0; k < 3; k++) expect(Math.abs(run.endOf(k)[1]! - closedB(12)[k + 1]!)).toBeLessThan(1e-9)
  })

  it('differentiated, are the exact derivative of the numerical solution at fixed steps, however coarse', () => {
    // ten coarse steps behind the first transient of the stiff problem; errors of y are large, and s must follow them
    const past = [0.98, 3e-5, 0.02]
    const end = (shift: number, method: 'rodas4' | 'rodas5p'): Float64Array =>
      createIntegrator(robertson([0.04 * (1 + shift), 3e7, 1e4]), method).run({
        fromS: 0,
        toS: 1,
        y0: past,
        tolerances: { relative: 0.9, absolute: 1e6, nonNegative: 'none' },
        firstStepS: 0.1,
        longestStepS: 0.1,
      }).end
    for (const method of ['rodas4', 'rodas5p'] as const) {
      const run = runSensitivities(
        variedRobertson(),
        {
          fromS: 0,
          toS: 1,
          y0: past,
          tolerances: { relative: 0.9, absolute: 1e6, nonNegative: 'none' },
          firstStepS: 0.1,
          longestStepS: 0.1,
          start: new Float64Array(9),
          scales: [1, 1, 1],
          controlled: false,
          scheme: 'differentiated',
        },
        method,
      )
      expect(run.solution.statistics.steps).toBe(10)
      const h = 1e-4
      const difference = (d: number): Float64Array => end(d, method).map((x, i) => (x - end(-d, method)[i]!) / (2 * d))
      // Richardson: (4 D(h/2) − D(h))/3
      const fine = difference(h / 2).map((x, i) => (4 * x - difference(h)[i]!) / 3)
      for (let i = 0; i < 3; i++) {
        const ours = run.endOf(0)[i]! * 0.04
        expect(Math.abs(ours - fine[i]!) / Math.abs(fine[i]!), `${method} ${i}: ${ours} for ${fine[i]}`).toBeLessThan(2e-8)
      }
    }
  })

  it('converge at order five beside rodas5p, four beside rodas4, whose dense output they read', () => {
    const error = (h: number, method: 'rodas4' | 'rodas5p'): number => {
      const run = runSensitivities(
        chain(k1, k2),
        { ...request, toS: 4, tolerances: { relative: 0.9, absolute: 1e6 }, firstStepS: h, longestStepS: h },
        method,
      )
      return Math.abs(run.endOf(0)[1]! - closedB(4)[1])
    }
    expect(Math.log2(error(0.5, 'rodas4') / error(0.25, 'rodas4'))).toBeGreaterThan(3.7)
    expect(Math.log2(error(0.5, 'rodas5p') / error(0.25, 'rodas5p'))).toBeGreaterThan(4.7)
  })

  it("of Robertson's problem agree with extrapolated central differences of tight runs", () => {
    const nominal = [0.04, 3e7, 1e4]
    const end = (k: readonly number[]): Float64Array =>
      createIntegrator(robertson([...k]), 'rodas5p').run({
        fromS: 0,
        toS: 40,
        y0: [1, 0, 0],
        tolerances: { relative: 1e-12, absolute: 1e-18 },
        keep: 'end',
      }).end
    const run = runSensitivities(variedRobertson(), {
      fromS: 0,
      toS: 40,
      y0: [1, 0, 0],
      tolerances: { relative: 1e-9, absolute: 1e-14 },
      start: new Float64Array(9),
      scales: nominal,
    })
    nominal.forEach((value, k) => {
      const difference = (h: number): Float64Array => {
        const ahead = end(nominal.map((x, j) => (j === k ? x * (1 + h) : x)))
        const behind = end(nominal.map((x, j) => (j === k ? x * (1 - h) : x)))
        return ahead.map((x, i) => (x - behind[i]!) / (2 * h))
      }
      const wide = difference(4e-3)
      const fine = difference(2e-3).map((x, i) => (4 * x - wide[i]!) / 3)
      for (let i = 0; i < 3; i++) {
        const ours = run.endOf(k)[i]! * value
        expect(Math.abs(ours - fine[i]!) / Math.abs(fine[i]!), `k${k + 1}, y${i + 1}: ${ours} for ${fine[i]}`).toBeLessThan(1e-7)
      }
    })
  })

  it('stand beside steps of every method, radau included, and looser ones are near', () => {
    for (const method of ['rodas4', 'rodas5p', 'radau'] as const) {
      const wanted = { ...request, tolerances: { relative: 1e-9, absolute: 1e-13 } }
      const run = runSensitivities(chain(k1, k2), wanted, method)
      for (let k = 0; k < 3; k++) expect(Math.abs(run.endOf(k)[1]! - closedB(12)[k + 1]!), `${method} ${k}`).toBeLessThan(1e-8)
      const loose = runSensitivities(chain(k1, k2), { ...wanted, looseness: 1e4 }, method)
      expect(loose.solution.statistics.steps).toBeLessThanOrEqual(run.solution.statistics.steps)
      for (let k = 0; k < 3; k++) expect(Math.abs(loose.endOf(k)[1]! - closedB(12)[k + 1]!), `${method} ${k}`).toBeLessThan(1e-5)
    }
    expect(() => runSensitivities(chain(k1, k2), { ...request, scheme: 'differentiated' }, 'radau')).toThrow(/Rosenbrock/)
  })

  it('without dense storage end in the same numbers, and refuse events', () => {
    const kept = runSensitivities(chain(k1, k2), request)
    const thin = runSensitivities(chain(k1, k2), { ...request, keep: 'end' })
    for (let k = 0; k < 3; k++) expect(thin.endOf(k)).toEqual(kept.endOf(k))
    const event = { name: 'x', direction: 'both', value: () => 1 } as const
    expect(() => runSensitivities(chain(k1, k2), { ...request, keep: 'end', events: [event] })).toThrow(/dense/)
  })

  it('come sooner without error control, and still near', () => {
    const run = runSensitivities(chain(k1, k2), { ...request, controlled: false })
    for (let k = 0; k < 3; k++) expect(Math.abs(run.endOf(k)[1]! - closedB(12)[k + 1]!)).toBeLessThan(1e-7)
  })
})

describe('sensitivities of event times', () => {
  it('of a first passage: t = ln(a0/level)/k1', () => {
    const level = 0.3
    const run = runSensitivities(chain(k1, k2), {
      ...request,
      events: [{ name: 'A is low', direction: 'falling', value: (_t, y) => y[0]! - level }],
    })
    const found = run.events[0]!
    const t = Math.log(a0 / level) / k1
    expect(Math.abs(found.timeS - t)).toBeLessThan(1e-8)
    expect(Math.abs(found.timeByParameter[0]! + t / k1)).toBeLessThan(1e-7)
    expect(Math.abs(found.timeByParameter[1]!)).toBeLessThan(1e-9)
    expect(Math.abs(found.timeByParameter[2]! - 1 / (k1 * a0))).toBeLessThan(1e-8)
    // moving with the event A does not change at all
    for (let k = 0; k < 3; k++) expect(Math.abs(found.stateByParameter[3 * k]!)).toBeLessThan(1e-9)
  })

  it('of a first passage whose level is the parameter, and of a stopping event', () => {
    const run = runSensitivities(chain(k1, k2), {
      ...request,
      events: [
        {
          name: 'half',
          direction: 'falling',
          stops: true,
          value: (_t, y) => y[0]! - a0 / 2,
          // the level is half of the start, and follows it
          byParameter: (_t, _y, k) => (k === 2 ? -0.5 : 0),
        },
      ],
    })
    expect(run.solution.ending).toMatchObject({ how: 'event', event: 'half' })
    // the half-life does not depend on the start
    expect(Math.abs(run.events[0]!.timeByParameter[2]!)).toBeLessThan(1e-8)
    expect(Math.abs(run.events[0]!.timeByParameter[0]! + Math.LN2 / k1 ** 2)).toBeLessThan(1e-7)
    // where the run was cut short, `end` is that of the event
    expect(Math.abs(run.end[0]! - a0 / 2)).toBeLessThan(1e-9)
  })

  it('of a turn: B is highest at ln(k2/k1)/(k2 − k1)', () => {
    const system = chain(k1, k2)
    const d = k2 - k1
    const t = Math.log(k2 / k1) / d
    const run = runSensitivities(system, {
      ...request,
      events: [
        {
          name: 'B turns',
          direction: 'falling',
          value: (_t, y) => k1 * y[0]! - k2 * y[1]!,
          slope(_t, _y, out) {
            out.set([k1, -k2, 0])
          },
          byParameter: (_t, y, k) => (k === 0 ? y[0]! : k === 1 ? -y[1]! : 0),
        },
      ],
    })
    const found = run.events[0]!
    expect(Math.abs(found.timeS - t)).toBeLessThan(1e-8)
    expect(Math.abs(found.timeByParameter[0]! - (-1 / k1 + t) / d)).toBeLessThan(1e-7)
    expect(Math.abs(found.timeByParameter[1]! - (1 / k2 - t) / d)).toBeLessThan(1e-7)
    expect(Math.abs(found.timeByParameter[2]!)).toBeLessThan(1e-8)
  })

  it('pass through a pour: y ← a y + b, b the parameter', () => {
    // dilute to half at 3 s and add b of A: A(t) = (a0 e^(−3 k1)/2 + b) e^(−k1 (t − 3))
    const b = 0.4
    const run = runSensitivities(chain(k1, k2), {
      ...request,
      toS: 6,
      breaks: [
        {
          timeS: 3,
          change(_t, y) {
            for (let i = 0; i < 3; i++) y[i] = y[i]! / 2
            y[0] = y[0]! + b
          },
          vary(_t, _before, k, s) {
            for (let i = 0; i < 3; i++) s[i] = s[i]! / 2
            // the third parameter is counted both as start and as amount poured
            if (k === 2) s[0] = s[0]! + 1
          },
        },
      ],
      events: [{ name: 'jump', direction: 'both', value: (_t, y) => y[0]! - 0.3 }],
    })
    const before = a0 * Math.exp(-3 * k1)
    const late = Math.exp(-3 * k1)
    const end = (before / 2 + b) * late
    expect(Math.abs(run.end[0]! - end)).toBeLessThan(1e-10)
    expect(Math.abs(run.endOf(0)[0]! - ((-3 * before * late) / 2 - 3 * end))).toBeLessThan(1e-9)
    expect(Math.abs(run.endOf(2)[0]! - (Math.exp(-3 * k1) / 2 + 1) * late)).toBeLessThan(1e-9)
    const jump = run.events.find((e) => e.byBreak === true)
    expect(jump?.timeS).toBe(3)
    expect(Array.from(jump?.timeByParameter ?? [])).toEqual([0, 0, 0])
  })

  it('a pour that does not say what it does to the sensitivities is a mistake of ours', () => {
    expect(() => runSensitivities(chain(k1, k2), { ...request, breaks: [{ timeS: 1, change: () => undefined }] })).toThrow(/sensitivities/)
  })
})
