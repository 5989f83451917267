import { describe, expect, it } from 'vitest'
import { createIntegrator } from './integrator.ts'
import type { EventFunction, OdeSystem } from './ode.ts'
import { massAction } from './test-set.ts'
import { fullPattern } from './sparse-lu.ts'

/** y = (cos t, −sin t). */
const circle: OdeSystem = {
  size: 2,
  pattern: fullPattern(2),
  rates: (_t, y, out) => out.set([y[1]!, -y[0]!]),
  jacobian: (_t, _y, values) => values.set([0, 1, -1, 0]),
}
const crossing = (direction: EventFunction['direction'], level = 0): EventFunction => ({
  name: `x ${direction}`,
  direction,
  value: (_t, y) => y[0]! - level,
})
const fine = { relative: 1e-12, absolute: 1e-14, nonNegative: 'none' } as const

function turn(events: EventFunction[], toS = 20, options = {}) {
  return createIntegrator(circle, 'rodas5p').run({ fromS: 0, toS, y0: [1, 0], tolerances: fine, events, ...options })
}

describe('events', () => {
  it('of cos t are found at the odd multiples of π/2 to 1e-9, with their direction', () => {
    const { events } = turn([crossing('both')])
    expect(events.map((e) => e.rising)).toEqual([false, true, false, true, false, true])
    for (const [i, e] of events.entries()) expect(Math.abs(e.timeS / ((i + 0.5) * Math.PI) - 1)).toBeLessThan(1e-9)
  })

  it('are found only in the direction asked for', () => {
    expect(turn([crossing('rising')]).events.map((e) => Math.round(e.timeS / (Math.PI / 2)))).toEqual([3, 7, 11])
    expect(turn([crossing('falling')]).events.map((e) => Math.round(e.timeS / (Math.PI / 2)))).toEqual([1, 5, 9])
  })

  it('are located as well as the interpolant is known: the clock time of a first-order decay, ln 2 / k', () => {
    const system = massAction(2, [
      [
        0.7,
        [0],
        [
          [0, -1],
          [1, 1],
        ],
      ],
    ])
    const run = createIntegrator(system, 'rodas5p').run({
      fromS: 0,
      toS: 10,
      y0: [1, 0],
      tolerances: { relative: 1e-11, absolute: 1e-15 },
      events: [{ name: 'half', direction: 'falling', value: (_t, y) => y[0]! - 0.5 }],
    })
    expect(Math.abs(run.events[0]!.timeS / (Math.log(2) / 0.7) - 1)).toBeLessThan(1e-9)
  })

  it('several in one step are all found, in order of time', () => {
    // y = t exactly; every step is as long as allowed, and sin(7 t) has many zeros inside each.
    const clock: OdeSystem = {
      size: 1,
      pattern: fullPattern(1),
      rates: (_t, _y, out) => void (out[0] = 1),
      jacobian: (_t, _y, v) => void (v[0] = 0),
    }
    const run = createIntegrator(clock).run({
      fromS: 0,
      toS: 4,
      y0: [0],
      tolerances: { relative: 1e-4, absolute: 1e-4 },
      longestStepS: 1,
      events: [
        { name: 'sine', direction: 'both', value: (_t, y) => Math.sin(7 * y[0]!) },
        { name: 'two', direction: 'rising', value: (t) => t - 2.01 },
      ],
    })
    expect(run.statistics.steps).toBeLessThan(8)
    const zeros = Array.from({ length: 8 }, (_, i) => ((i + 1) * Math.PI) / 7)
    expect(run.events.filter((e) => e.name === 'sine').map((e) => e.timeS.toFixed(9))).toEqual(zeros.map((z) => z.toFixed(9)))
    expect(run.events.find((e) => e.name === 'two')?.timeS).toBeCloseTo(2.01, 10)
    expect([...run.events].sort((a, b) => a.timeS - b.timeS)).toEqual(run.events)
  })

  it('that only dip through zero between two looks are found by the parabola through three of them', () => {
    const clock: OdeSystem = {
      size: 1,
      pattern: fullPattern(1),
      rates: (_t, _y, out) => void (out[0] = 1),
      jacobian: (_t, _y, v) => void (v[0] = 0),
    }
    const run = createIntegrator(clock).run({
      fromS: 0,
      toS: 1,
      y0: [0],
      tolerances: { relative: 1e-4, absolute: 1e-4 },
      firstStepS: 1,
      events: [{ name: 'dip', direction: 'both', value: (_t, y) => (y[0]! - 0.5) ** 2 - 1e-6 }],
    })
    expect(run.statistics.steps).toBe(1)
    expect(run.events.map((e) => [e.timeS.toFixed(9), e.rising])).toEqual([
      ['0.499000000', false],
      ['0.501000000', true],
    ])
  })

  it('that stop end the run there, with that state, and nothing later is reported', () => {
    const run = turn([
      crossing('both', -2),
      { ...crossing('rising'), stops: true, name: 'back' },
      { ...crossing('rising', 0.5), name: 'later' },
    ])
    expect(run.ending).toEqual({ how: 'event', event: 'back', timeS: run.toS })
    expect(Math.abs(run.toS / (1.5 * Math.PI) - 1)).toBeLessThan(1e-9)
    expect(run.events.map((e) => e.name)).toEqual(['back'])
    expect(Math.abs(run.end[0]!)).toBeLessThan(1e-9)
    const out = new Float64Array(2)
    run.at(run.toS, out)
    expect(out[0]).toBeCloseTo(run.end[0]!, 12)
    run.at(100, out)
    expect(out[1]).toBeCloseTo(1, 9)
    expect(run.stepTimesS.at(-1)).toBe(run.toS)
  })

  it('at the very start are no events until g has left zero and come back', () => {
    const run = turn([crossing('falling', 1), crossing('rising', 1)], 5)
    expect(run.events).toEqual([])
  })

  it('carried through zero by a pour belong to that instant and say so', () => {
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
    const run = createIntegrator(system).run({
      fromS: 0,
      toS: 3,
      y0: [1, 0],
      tolerances: { relative: 1e-8, absolute: 1e-12 },
      breaks: [{ timeS: 1.25, change: (_t, y) => void (y[0] = 3) }],
      events: [{ name: 'above two', direction: 'rising', value: (_t, y) => y[0]! - 2, stops: true }],
    })
    expect(run.events).toEqual([{ name: 'above two', timeS: 1.25, rising: true, byBreak: true }])
    expect(run.ending).toEqual({ how: 'event', event: 'above two', timeS: 1.25 })
    expect(run.end[0]).toBe(3)
    const out = new Float64Array(2)
    run.at(1.25, out)
    expect(out[0]).toBe(3)
    run.at(1.25, out, 'before')
    expect(out[0]!).toBeCloseTo(Math.exp(-1.25), 7)
  })
})
