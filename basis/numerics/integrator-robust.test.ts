import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createIntegrator } from './integrator.ts'
import type { OdeSystem, RunRequest } from './ode.ts'
import { fullPattern } from './sparse-lu.ts'
import { massAction, oregonator, robertson } from './test-set.ts'

const decay = massAction(2, [
  [
    1,
    [0],
    [
      [0, -1],
      [1, 1],
    ],
  ],
])
const base: RunRequest = { fromS: 0, toS: 10, y0: [1, 0], tolerances: { relative: 1e-6, absolute: 1e-10 } }

describe('rejected steps', () => {
  it('150 in a row are survived when the rates are not numbers for longer steps', () => {
    let calls = 0
    const moody: OdeSystem = {
      ...decay,
      rates(t, y, out) {
        decay.rates(t, y, out)
        // One call starts the stretch; then five a trial step. The first 150 trial steps are spoilt.
        if (calls > 0 && calls <= 5 * 150) out[0] = Number.NaN
        calls++
      },
    }
    const run = createIntegrator(moody).run({ ...base, firstStepS: 1 })
    expect(run.statistics.rejected).toBeGreaterThanOrEqual(150)
    expect(run.ending.how).toBe('reached-end')
    expect(run.end[0]!).toBeCloseTo(Math.exp(-10), 6)
  })

  it('120 halvings in a row for a component below zero are survived', () => {
    // y′ = 1 from y = 0, but every stage further than 1e-36 s from the start is thrown far below zero.
    const cliff: OdeSystem = {
      size: 1,
      pattern: fullPattern(1),
      rates: (_t, y, out) => void (out[0] = open || y[0]! < 1e-36 ? 1 : -1e6),
      jacobian: (_t, _y, values) => void (values[0] = 0),
    }
    let open = false
    let polls = 0
    const run = createIntegrator(cliff).run({
      fromS: 0,
      toS: 1,
      y0: [0],
      tolerances: { relative: 1e-3, absolute: 1e-3, floorShare: 1e-30 },
      firstStepS: 1,
      shouldStop: () => {
        polls++
        // Asked every 32 trial steps: opens the cliff after 128.
        open = polls > 4
        return false
      },
    })
    expect(run.statistics.rejectedForSign).toBeGreaterThan(100)
    expect(run.ending.how).toBe('reached-end')
  })

  it('a trial below zero is repeated shorter, never clipped: Robertson stays positive and keeps its total', () => {
    const run = createIntegrator(robertson.system).run({
      ...base,
      toS: 1e5,
      y0: robertson.y0,
      tolerances: { relative: 1e-3, absolute: 1e-9 },
    })
    expect(run.statistics.rejectedForSign).toBeGreaterThan(0)
    const out = new Float64Array(3)
    for (const t of run.stepTimesS) {
      run.at(t, out)
      for (const x of out) expect(x).toBeGreaterThanOrEqual(-1e-9)
      expect(Math.abs(out[0]! + out[1]! + out[2]! - 1)).toBeLessThan(1e-13)
    }
  })

  it('dense output keeps the floor between steps too, and keeps the total while doing so', () => {
    for (const relative of [1e-1, 1e-2]) {
      const run = createIntegrator(robertson.system).run({ ...base, toS: 1e5, y0: robertson.y0, tolerances: { relative, absolute: 1e-12 } })
      const out = new Float64Array(3)
      for (let i = 1; i < run.stepTimesS.length; i++) {
        for (const theta of [0.1, 0.3, 0.5, 0.7, 0.9]) {
          run.at(run.stepTimesS[i - 1]! + theta * (run.stepTimesS[i]! - run.stepTimesS[i - 1]!), out)
          for (const x of out) expect(x).toBeGreaterThanOrEqual(-1e-12 * (1 + 1e-9))
          expect(Math.abs(out[0]! + out[1]! + out[2]! - 1)).toBeLessThan(1e-13)
        }
      }
    }
  })
})

describe('endings', () => {
  it('a solution that runs away (y′ = y², pole at t = 1) ends named just before the pole, with finite numbers', () => {
    const pole: OdeSystem = {
      size: 1,
      pattern: fullPattern(1),
      rates: (_t, y, out) => void (out[0] = y[0]! ** 2),
      jacobian: (_t, y, v) => void (v[0] = 2 * y[0]!),
    }
    const run = createIntegrator(pole).run({ ...base, y0: [1] })
    expect(run.ending).toMatchObject({ how: 'stopped-short' })
    expect(run.ending.timeS).toBeGreaterThan(0.99)
    expect(run.ending.timeS).toBeLessThan(1.01)
    expect(run.end.every(Number.isFinite)).toBe(true)
  })

  it('a rate that does not vanish with what it uses up ends named, with the component and an advice', () => {
    const zeroOrder: OdeSystem = {
      size: 2,
      pattern: fullPattern(2),
      rates: (_t, _y, out) => out.set([-1, 1]),
      jacobian: (_t, _y, v) => void v.fill(0),
    }
    const run = createIntegrator(zeroOrder).run(base)
    expect(run.ending).toMatchObject({ how: 'stopped-short', why: 'step-too-small', component: 0 })
    if (run.ending.how === 'stopped-short') expect(run.ending.advice).toMatch(/below zero/)
    expect(run.toS).toBeCloseTo(1, 8)
    expect(run.end[0]!).toBeGreaterThanOrEqual(-1e-10)
  })

  it.each([
    ['rates', { rates: (_t: number, _y: Float64Array, out: Float64Array) => void out.fill(Number.NaN) }],
    ['Jacobian', { jacobian: (_t: number, _y: Float64Array, v: Float64Array) => void v.fill(Number.POSITIVE_INFINITY) }],
  ])('%s that are not finite at the start end named and leave the start state', (_what, broken) => {
    const run = createIntegrator({ ...decay, ...broken }).run(base)
    expect(run.ending).toMatchObject({ how: 'stopped-short', why: 'not-finite', timeS: 0 })
    expect([...run.end]).toEqual([1, 0])
  })

  it('rates that stop being numbers later end named where they do', () => {
    const until: OdeSystem = {
      ...decay,
      rates(t, y, out) {
        decay.rates(t, y, out)
        if (t > 2) out[0] = Number.NaN
      },
    }
    const run = createIntegrator(until).run(base)
    expect(run.ending).toMatchObject({ how: 'stopped-short', why: 'not-finite' })
    expect(run.toS).toBeGreaterThan(1.5)
    expect(run.toS).toBeLessThan(2 + 1e-12)
    expect(run.end[0]!).toBeCloseTo(Math.exp(-run.toS), 5)
  })

  it('too many steps, a wish to stop and a full store each end named, and the part before is good', () => {
    const long: RunRequest = { ...base, fromS: 0, toS: 300, y0: oregonator.y0, tolerances: { relative: 1e-6, absolute: 1e-12 } }
    const integrator = createIntegrator(oregonator.system)
    expect(integrator.run({ ...long, mostSteps: 50 }).ending).toMatchObject({ how: 'stopped-short', why: 'too-many-steps' })
    let asked = 0
    expect(integrator.run({ ...long, shouldStop: () => ++asked > 3 }).ending).toMatchObject({ how: 'stopped-short', why: 'cancelled' })
    expect(asked).toBe(4)
    const full = integrator.run({ ...long, mostBytes: 8 * 11 * 100 })
    expect(full.ending).toMatchObject({ how: 'stopped-short', why: 'out-of-room' })
    expect(full.statistics.steps).toBeGreaterThan(90)
    const whole = integrator.run(long)
    const [a, b] = [new Float64Array(3), new Float64Array(3)]
    for (const share of [0.2, 0.9, 1]) {
      full.at(full.toS * share, a)
      whole.at(full.toS * share, b)
      for (const k of [0, 1, 2]) expect(a[k]).toBeCloseTo(b[k]!, 12)
    }
  })

  it('a run of no length returns its start', () => {
    const run = createIntegrator(decay).run({ ...base, toS: 0, sample: [0] })
    expect(run.ending).toEqual({ how: 'reached-end', timeS: 0 })
    expect([...run.end]).toEqual([1, 0])
    expect([...run.sampled]).toEqual([1, 0])
    const out = new Float64Array(2)
    run.at(0, out)
    expect([...out]).toEqual([1, 0])
  })
})

describe('any small network', () => {
  const species = 5
  const reaction = fc
    .tuple(
      fc.double({ min: -20, max: 20, noNaN: true }).map((e) => 10 ** e),
      fc.array(fc.tuple(fc.nat(species - 1), fc.nat(species - 1)), { minLength: 1, maxLength: 3 }),
    )
    // As many particles made as used, so that their total is an invariant.
    .map(([k, pairs]) => {
      const change = new Map<number, number>()
      for (const [used, made] of pairs) {
        change.set(used, (change.get(used) ?? 0) - 1)
        change.set(made, (change.get(made) ?? 0) + 1)
      }
      return [k, pairs.map(([used]) => used), [...change]] as const
    })
  const amounts = fc.array(fc.double({ min: 0, max: 2, noNaN: true }), { minLength: species, maxLength: species })

  it.each(['rodas4', 'rodas5p'] as const)(
    'with constants from 1e-20 to 1e20 has a named ending, no NaN, nothing below the floor, its total (%s)',
    (method) => {
      fc.assert(
        fc.property(fc.array(reaction, { minLength: 1, maxLength: 8 }), amounts, (reactions, y0) => {
          const run = createIntegrator(massAction(species, reactions), method).run({
            fromS: 0,
            toS: 100,
            y0,
            tolerances: { relative: 1e-4, absolute: 1e-10 },
            mostSteps: 4000,
            invariants: [{ name: 'particles', weights: new Float64Array(species).fill(1) }],
          })
          expect(['reached-end', 'stopped-short']).toContain(run.ending.how)
          // Floor 1e-12, and the little that holding the total may add to it.
          expect(run.end.every((x) => Number.isFinite(x) && x >= -1.001e-12)).toBe(true)
          expect(run.drift[0]!.maxRelative).toBeLessThan(1e-14)
        }),
        { numRuns: 80, seed: 7 },
      )
    },
  )

  it('with opposed rates that double precision cannot hold is ended with the reason, not answered wrongly', () => {
    // A ⇌ B at 1e30 /s: hk exceeds 1e12 at every step that would get anywhere.
    const system = massAction(3, [
      [
        1e30,
        [0],
        [
          [0, -1],
          [1, 1],
        ],
      ],
      [
        1e30,
        [1],
        [
          [1, -1],
          [0, 1],
        ],
      ],
      [
        1,
        [0],
        [
          [0, -1],
          [2, 1],
        ],
      ],
    ])
    const run = createIntegrator(system).run({
      fromS: 0,
      toS: 10,
      y0: [1, 0, 0],
      tolerances: { relative: 1e-4, absolute: 1e-10 },
      mostSteps: 5000,
    })
    expect(run.ending).toMatchObject({ how: 'stopped-short', why: 'too-many-steps' })
  })
})

describe('budget', () => {
  it('a step allocates no array: the heap grows by less than a kilobyte a step', () => {
    const integrator = createIntegrator(oregonator.system)
    const request: RunRequest = { ...base, toS: 360, y0: oregonator.y0, tolerances: { relative: 1e-5, absolute: 1e-11 }, keep: 'end' }
    for (let i = 0; i < 5; i++) integrator.run(request)
    const growth: number[] = []
    for (let i = 0; i < 25; i++) {
      const before = process.memoryUsage().heapUsed
      const { steps } = integrator.run(request).statistics
      growth.push((process.memoryUsage().heapUsed - before) / steps)
    }
    // Numbers that cross a call are boxed by the engine (about 300 bytes a step); one array more a step would show in every run.
    // A run in which the collector worked shows a decrease and counts for nothing; one in which the engine compiled or another
    // task of this process allocated shows too much, so the lower quarter of the rest is taken.
    const grown = growth.filter((g) => g >= 0).sort((a, b) => a - b)
    expect(grown.length).toBeGreaterThan(5)
    expect(grown[Math.floor(grown.length / 4)]).toBeLessThan(1000)
  })
})
