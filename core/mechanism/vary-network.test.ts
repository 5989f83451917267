import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { createIntegrator, randomStream, type VariedEvent } from '@beakertide/basis/numerics'
import { findMechanism } from './catalogue.ts'
import { compileNetwork, TEMPERATURE_STATE } from './compile-network.ts'
import type { Mechanism } from './mechanism.ts'
import type { HeatModel, Network, VesselProcess } from './network.ts'
import { networkTangent, type SlotChange } from './network-tangent.ts'
import { parseMechanism } from './parse-mechanism.ts'
import { randomCase } from './random-network.ts'
import { stepEnthalpies } from './step-enthalpies.ts'
import {
  networkSensitivities,
  passage,
  pourBreak,
  turning,
  type Variation,
  varyConstant,
  varyHeld,
  varyNetwork,
  varyStart,
  varyTemperature,
} from './vary-network.ts'

const catalogue: readonly Mechanism[] = facts.mechanisms().map((file) => {
  const parsed = parseMechanism(file.text, file.file)
  if (!parsed.ok) throw new Error(file.name)
  return parsed.value
})
function get(name: string): Mechanism {
  const found = findMechanism(name, facts.mechanisms(), facts.mechanismDefaults())
  if (!found.ok) throw new Error(JSON.stringify(found.problems))
  return found.value
}
const held = (temperatureK = 298.15): HeatModel => ({ kind: 'held', temperatureK })
const vessel: readonly VesselProcess[] = [
  { kind: 'gas-leaves', species: 'O2', saturationMolPerL: 1e-3, ratePerS: 0.05 },
  { kind: 'solid-forms', species: 'I2', solubilityMolPerL: 1.3e-3, ratePerS: 0.2 },
]

/** Central difference along a change of everything, extrapolated twice (Richardson); f fills its second argument. */
function along(f: (epsilon: number, out: Float64Array) => void, length: number, h: number): Float64Array {
  const d = (step: number): Float64Array => {
    const ahead = new Float64Array(length)
    const behind = new Float64Array(length)
    f(step, ahead)
    f(-step, behind)
    return ahead.map((x, i) => (x - behind[i]!) / (2 * step))
  }
  const [a, b, c] = [d(h), d(h / 2), d(h / 4)]
  return c.map((x, i) => {
    const fine = (4 * x - b[i]!) / 3
    const coarse = (4 * b[i]! - a[i]!) / 3
    return (16 * fine - coarse) / 15
  })
}

describe('directional derivatives of every catalogue mechanism', () => {
  for (const mechanism of catalogue) {
    for (const kind of ['held', 'free'] as const) {
      it(`${mechanism.name}, temperature ${kind}`, () => {
        const heat: HeatModel = kind === 'held' ? held(303) : { kind: 'free', roomK: 295, heatCapacityJPerLK: 4100, lossPerS: 1e-3 }
        const enthalpies = stepEnthalpies(mechanism, (id) => (id.length % 2 === 0 ? -100 : -40), vessel).byStep
        const network = compileNetwork(mechanism, heat, vessel, enthalpies)
        const random = randomStream(11, mechanism.name)
        const y = Float64Array.from(network.stateNames, (name) => (name === TEMPERATURE_STATE ? 301 : random.lognormal(3e-3, 4)))
        const heldAmounts = network.heldNames.map(() => random.lognormal(0.05, 3))
        const constantName = network.constantNames[Math.floor(random.uniform() * network.constantNames.length)]!
        // everything moves at once: states, held species, one constant, the temperature or the room
        const s = y.map((v) => v * (random.uniform() - 0.5))
        const variation: Variation = {
          name: 'all',
          held: Object.fromEntries(network.heldNames.map((id, i) => [id, 0.3 * heldAmounts[i]!])),
          constants: { [constantName]: 0.7 },
          ...(kind === 'held' ? { temperatureK: 5 } : { roomK: 3 }),
        }
        const set = (epsilon: number): void => {
          network.heldNames.forEach((id, i) => {
            network.hold(id, heldAmounts[i]! * (1 + 0.3 * epsilon))
          })
          network.scaleConstant(constantName, Math.exp(0.7 * epsilon))
          network.setHeat(heat.kind === 'held' ? held(303 + 5 * epsilon) : { ...heat, roomK: 295 + 3 * epsilon })
        }
        set(0)
        const varied = varyNetwork(network, [variation])
        const [rates, values] = [new Float64Array(network.size), new Float64Array(network.pattern.columns.length)]
        varied.ratesAlong(0, y, 0, s, rates)
        varied.jacobianAlong(0, y, 0, s, values)
        const moved = new Float64Array(network.size)
        const move = (epsilon: number): Float64Array => {
          set(epsilon)
          for (let i = 0; i < y.length; i++) moved[i] = y[i]! + epsilon * s[i]!
          return moved
        }
        const ratesTruth = along((e, out) => network.rates(0, move(e), out), network.size, 1e-2)
        const jacobianTruth = along((e, out) => network.jacobian(0, move(e), out), values.length, 1e-2)
        const scaleOf = (truth: Float64Array): number => truth.reduce((a, x) => Math.max(a, Math.abs(x)), 0)
        // against each own size, with the rounding of the differences of the largest
        ratesTruth.forEach((x, i) => {
          expect(Math.abs(rates[i]! - x), `${network.stateNames[i]}: ${rates[i]} for ${x}`).toBeLessThan(
            1e-7 * Math.abs(x) + 1e-10 * scaleOf(ratesTruth),
          )
        })
        jacobianTruth.forEach((x, p) => {
          expect(Math.abs(values[p]! - x), `entry ${p}: ${values[p]} for ${x}`).toBeLessThan(
            1e-7 * Math.abs(x) + 1e-10 * scaleOf(jacobianTruth),
          )
        })
      })
    }
  }

  it('of a law with every operation, against its derivative by hand', () => {
    const text = `
format: mechanism 1
name: all-operations
title: every operation
grade: placeholder
overall: X -> Y
temperature: 25 degC
valid: 0 degC to 100 degC
species:
  X: { formula: H2 }
  Y: { formula: H2 }
by default: { seen: assumed, sources: [S] }
steps:
  - id: A
    equation: X -> Y
    rate: k*[X]*sqrt([Y]/c)*exp(-[X]/c)*ln(1 + [Y]/c)*log10(10 + [X]/c)*min([X]/c, [Y]/c)*max([X]/c, 0.5)*([X]/c)^1.5*([Y]/c)^n
    constants: { k: 2 s^-1, c: 1 mol L^-1, n: 0.3 }
sources: { S: { cite: test, access: none } }
`
    const parsed = parseMechanism(text, 'all.yaml')
    expect(parsed.ok, JSON.stringify(parsed)).toBe(true)
    if (!parsed.ok) return
    const network = compileNetwork(parsed.value, held())
    const [x, y, k, n] = [0.4, 0.9, 2, 0.3]
    const rate =
      k * x * Math.sqrt(y) * Math.exp(-x) * Math.log(1 + y) * Math.log10(10 + x) * Math.min(x, y) * Math.max(x, 0.5) * x ** 1.5 * y ** n
    // d ln v/dx = 1/x − 1 + 1/((10 + x) ln(10 + x)) + 1/x + 0 + 1.5/x;  d ln v/dy = 0.5/y + 1/((1 + y) ln(1 + y)) + n/y;  d ln v/d ln n = n ln y
    const byX = rate * (3.5 / x - 1 + 1 / ((10 + x) * Math.log(10 + x)))
    const byY = rate * (0.5 / y + 1 / ((1 + y) * Math.log(1 + y)) + n / y)
    const tangent = networkTangent(network)
    const out = new Float64Array(2)
    const slotOf = (name: string): number => network.tables.constantSlot[network.constantNames.indexOf(name)]!
    const change = (name: string): readonly SlotChange[] => [{ slot: slotOf(name), amount: 1, relative: true }]
    const state = Float64Array.of(x, y)
    tangent.rates(0, state, Float64Array.of(1, 0), [], out)
    expect(out[1]! / byX).toBeCloseTo(1, 12)
    tangent.rates(0, state, Float64Array.of(0, 1), [], out)
    expect(out[1]! / byY).toBeCloseTo(1, 12)
    tangent.rates(0, state, new Float64Array(2), change('A.k'), out)
    expect(out[1]! / rate).toBeCloseTo(1, 12)
    tangent.rates(0, state, new Float64Array(2), change('A.n'), out)
    expect(out[1]! / (rate * n * Math.log(y))).toBeCloseTo(1, 12)
  })
})

describe('the persulfate clock', () => {
  const network = compileNetwork(get('persulfate-iodide-thiosulfate'), held(), [])
  const [a, i, s] = [0.05, 0.1, 0.01]
  const y0 = new Float64Array(network.size)
  const put = (name: string, value: number): void => {
    y0[network.indexOf(name)] = value
  }
  put('S2O8^2-', a)
  put('I-', i)
  put('S2O3^2-', s)
  const level = 0.1 * s
  const variations = [varyStart('S2O8^2-'), varyStart('I-'), varyStart('S2O3^2-'), varyConstant('P1.k0'), varyTemperature(network)]
  const run = networkSensitivities(network, {
    fromS: 0,
    toS: 600,
    y0,
    variations,
    tolerances: { relative: 1e-9, absolute: 1e-14 },
    events: [passage(network, 'thiosulfate nearly gone', { 'S2O3^2-': 1 }, level, 'falling')],
  })

  it('answers to every ingredient, its constant and the temperature as t = −ln(1 − (s − level)/(2a))/(i k) says', () => {
    const rates = new Float64Array(network.rateNames.length)
    network.stepRates(0, y0, rates)
    const k = rates[0]! / (a * i)
    const used = (s - level) / 2
    const t = -Math.log(1 - used / a) / (i * k)
    const found = run.events[0]!
    // iodine standing while thiosulfate lasts is k a i/(7.8e9 s), 1e-12 of the amounts; triiodide in the same measure
    expect(Math.abs(found.timeS / t - 1)).toBeLessThan(1e-7)
    // dt/da = −used/(a (a − used))/(i k), dt/di = −t/i, dt/ds = 1/(2 (a − used) i k), dt/d ln k = −t, dt/dT = −t Ea/(R T²)
    const expected = [
      -used / (a * (a - used) * i * k),
      -t / i,
      1 / (2 * (a - used) * i * k),
      -t,
      (-t * 51.8e3) / (8.314462618 * 298.15 ** 2),
    ]
    expected.forEach((x, p) => {
      expect(Math.abs(found.timeByParameter[p]! / x - 1), `${variations[p]!.name}: ${found.timeByParameter[p]} for ${x}`).toBeLessThan(1e-6)
    })
  })

  it('keeps the totals, of the states and of their sensitivities', () => {
    for (const drift of run.solution.drift) expect(drift.maxRelative).toBeLessThan(1e-12)
    for (const { weights, name } of network.conserved) {
      variations.forEach((v, p) => {
        let change = 0
        let gross = 0
        const end = run.endOf(p)
        weights.forEach((w, j) => {
          change += w * (end[j]! - (Object.hasOwn(v.start ?? {}, network.stateNames[j]!) ? 1 : 0))
          gross += Math.abs(w * end[j]!)
        })
        expect(Math.abs(change), `${name} by ${v.name}`).toBeLessThan(1e-13 * Math.max(gross, 1e-12))
      })
    }
  })
})

describe('two schemes that share no step', () => {
  it('agree on random networks: beside the steps of rodas5p and radau, and as the derivative of the steps', () => {
    let compared = 0
    for (let seed = 1; seed <= 12; seed++) {
      const fuzz = randomCase(seed, 'plain')
      const network = compileNetwork(fuzz.mechanism, fuzz.heat, fuzz.processes, fuzz.enthalpies)
      const y0 = Float64Array.from(network.stateNames, (id) => fuzz.start[id] ?? 0)
      const largest = Math.max(...y0)
      const request = {
        fromS: 0,
        toS: fuzz.toS,
        y0,
        variations: network.constantNames.slice(0, 3).map(varyConstant),
        tolerances: { relative: 1e-8, absolute: 1e-12 * largest },
        keep: 'end',
      } as const
      const differentiated = networkSensitivities(network, { ...request, scheme: 'differentiated' })
      for (const method of ['rodas5p', 'radau'] as const) {
        const run = networkSensitivities(network, request, method)
        expect(run.solution.ending.how).toBe('reached-end')
        request.variations.forEach((v, k) => {
          const theirs = differentiated.endOf(k)
          run.endOf(k).forEach((x, i) => {
            compared++
            expect(Math.abs(x - theirs[i]!), `seed ${seed}, ${method}, ${v.name}, ${network.stateNames[i]}`).toBeLessThan(
              1e-6 * Math.abs(theirs[i]!) + 1e-10 * largest,
            )
          })
        })
      }
    }
    expect(compared).toBeGreaterThan(100)
  })
})

/** Event times of a plain run at very tight tolerance. */
function timesOf(network: Network, y0: Float64Array, toS: number, events: readonly VariedEvent[]): readonly number[] {
  const run = createIntegrator(network, 'rodas5p').run({
    fromS: 0,
    toS,
    y0,
    events,
    tolerances: { relative: 1e-12, absolute: 1e-18 },
    invariants: network.conserved,
  })
  expect(run.ending.how).toBe('reached-end')
  return run.events.map((e) => e.timeS)
}

/**
 * The run's event derivatives beside extrapolated central differences of tight runs. Returns the largest difference relative to the sum of the
 * time and of the derivative's own size.
 */
function compare(
  network: Network,
  y0: Float64Array,
  toS: number,
  variations: readonly Variation[],
  events: readonly VariedEvent[],
  apply: (p: number, epsilon: number) => Float64Array,
  width: number,
  tolerance = 1e-9,
): number {
  apply(0, 0)
  const run = networkSensitivities(network, {
    fromS: 0,
    toS,
    y0,
    variations,
    events,
    tolerances: { relative: tolerance, absolute: tolerance * 1e-6 },
  })
  expect(run.solution.ending.how).toBe('reached-end')
  let worst = 0
  variations.forEach((v, p) => {
    const truth = along(
      (e, out) => {
        out.set(timesOf(network, apply(p, e), toS, events))
      },
      run.events.length,
      width,
    )
    apply(p, 0)
    run.events.forEach((event, j) => {
      const off = Math.abs(event.timeByParameter[p]! * sizeOf(v, y0, network) - truth[j]!)
      worst = Math.max(worst, off / Math.max(event.timeS, Math.abs(truth[j]!)))
    })
  })
  return worst
}
/** The amount of p that the differences call one. */
function sizeOf(v: Variation, y0: Float64Array, network: Network): number {
  const start = Object.keys(v.start ?? {})[0]
  if (start !== undefined && start !== TEMPERATURE_STATE) return y0[network.indexOf(start)]!
  return v.temperatureK !== undefined || start === TEMPERATURE_STATE ? 10 : 1
}

describe('event times against extrapolated differences of tight runs', () => {
  it('the iodate–bisulfite clock, by iodate, hydrogensulfite, acid, each constant, temperature', () => {
    const network = compileNetwork(get('iodate-bisulfite/elementary'), held(), [])
    const start: Record<string, number> = { 'IO3-': 0.01, 'HSO3-': 0.01, 'H+': 5e-3, 'I-': 1e-6 }
    const y0 = Float64Array.from(network.stateNames, (name) => start[name] ?? 0)
    const names = ['IO3-', 'HSO3-', 'H+']
    const variations = [...names.map(varyStart), ...['1.k', '4.k'].map(varyConstant), varyTemperature(network)]
    const events = [passage(network, 'iodine', { I2: 1 }, 1e-5, 'rising')]
    const worst = compare(
      network,
      y0,
      120,
      variations,
      events,
      (p, e) => {
        for (const name of ['1.k', '4.k']) network.scaleConstant(name, 1)
        network.setHeat(held())
        const y = y0.slice()
        const v = variations[p]!
        if (v.start) y[network.indexOf(v.name)] = y0[network.indexOf(v.name)]! * (1 + e)
        else if (v.constants) network.scaleConstant(v.name, Math.exp(e))
        else network.setHeat(held(298.15 + 10 * e))
        return y
      },
      4e-3,
    )
    expect(worst).toBeLessThan(2e-7)
  })

  it('maxima and minima of a skeleton oscillator, by constants and held species', () => {
    const network = compileNetwork(get('bromate-malonate-cerium/skeleton-1985'), held(293.15), [])
    const heldAmounts: Record<string, number> = Object.fromEntries(network.heldNames.map((id) => [id, id === 'H+' ? 0.8 : 0.06]))
    for (const [id, value] of Object.entries(heldAmounts)) network.hold(id, value)
    const y0 = Float64Array.from(network.stateNames, (name) => (name.startsWith('Ce') ? 1e-4 : 1e-7))
    const species = network.stateNames.includes('HBrO2') ? 'HBrO2' : network.stateNames[0]!
    const constants = network.constantNames.slice(0, 3)
    const variations = [...constants.map(varyConstant), varyHeld(network.heldNames[0]!)]
    const events = [turning(network, `${species} turns`, species, variations, 'falling')]
    const heldName = network.heldNames[0]!
    const worst = compare(
      network,
      y0,
      400,
      variations.map((v) => (v.held ? { ...v, held: { [heldName]: heldAmounts[heldName]! } } : v)),
      events.map(() =>
        turning(
          network,
          `${species} turns`,
          species,
          variations.map((v) => (v.held ? { ...v, held: { [heldName]: heldAmounts[heldName]! } } : v)),
          'falling',
        ),
      ),
      (p, e) => {
        for (const name of constants) network.scaleConstant(name, 1)
        network.hold(heldName, heldAmounts[heldName]!)
        const v = variations[p]!
        if (v.constants) network.scaleConstant(v.name, Math.exp(e))
        else network.hold(heldName, heldAmounts[heldName]! * (1 + e))
        return y0
      },
      2e-3,
    )
    expect(worst).toBeLessThan(1e-5)
  })
})

describe('pours and free temperature', () => {
  it('the start and the amount poured of a decay, through a pour that dilutes', () => {
    // iodine by thiosulfate is too fast to show; peroxide by iodide with everything held but peroxide is one exponential
    const parsed = parseMechanism(
      `
format: mechanism 1
name: decay
title: decay
grade: placeholder
overall: X -> Y
temperature: 25 degC
valid: 0 degC to 100 degC
species:
  X: { formula: H2 }
  Y: { formula: H2 }
by default: { seen: assumed, sources: [S] }
steps:
  - { id: A, equation: X -> Y, constants: { k: { value: 0.1 s^-1, activation: 60 kJ/mol } } }
sources: { S: { cite: test, access: none } }
`,
      'decay.yaml',
    )
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems))
    const network = compileNetwork(parsed.value, held())
    const [x0, keep, added] = [0.3, 0.8, 0.05]
    const run = networkSensitivities(network, {
      fromS: 0,
      toS: 20,
      y0: [x0, 0],
      variations: [varyStart('X'), { name: 'poured', scale: 0.05 }, { name: 'volume', scale: 1 }, varyTemperature(network)],
      tolerances: { relative: 1e-10, absolute: 1e-14 },
      breaks: [
        pourBreak({
          timeS: 8,
          keep,
          added: Float64Array.of(added, 0),
          addedBy: [new Float64Array(2), Float64Array.of(1, 0)],
          keepBy: [0, 0, 1, 0],
        }),
      ],
    })
    const [e8, e12] = [Math.exp(-0.8), Math.exp(-1.2)]
    const end = (x0 * e8 * keep + added) * e12
    const byLnK = -0.8 * x0 * e8 * keep * e12 - 1.2 * end
    expect(run.end[0]!).toBeCloseTo(end, 12)
    ;[e8 * keep * e12, e12, x0 * e8 * e12, (byLnK * 60e3) / (8.314462618 * 298.15 ** 2)].forEach((x, p) => {
      expect(Math.abs(run.endOf(p)[0]! - x), `parameter ${p}`).toBeLessThan(1e-9)
    })
    // with free temperature: what the start temperature does, against differences
    const warm = compileNetwork(parsed.value, { kind: 'free', roomK: 293, heatCapacityJPerLK: 4000, lossPerS: 0.02 }, [], { A: -300 })
    const variations = [varyTemperature(warm), { name: 'room', roomK: 1 }]
    const both = networkSensitivities(warm, {
      fromS: 0,
      toS: 20,
      y0: [x0, 0, 298],
      variations,
      tolerances: { relative: 1e-10, absolute: 1e-12 },
    })
    const truth = [0, 1].map((p) =>
      along(
        (e, out) => {
          warm.setHeat({ kind: 'free', roomK: 293 + (p === 1 ? e : 0), heatCapacityJPerLK: 4000, lossPerS: 0.02 })
          out.set(
            createIntegrator(warm, 'rodas5p').run({
              fromS: 0,
              toS: 20,
              y0: [x0, 0, 298 + (p === 0 ? e : 0)],
              tolerances: { relative: 1e-12, absolute: 1e-15 },
              keep: 'end',
            }).end,
          )
        },
        3,
        0.5,
      ),
    )
    truth.forEach((t, p) => {
      t.forEach((x, j) =>
        expect(Math.abs(both.endOf(p)[j]! - x), `parameter ${p}, state ${j}`).toBeLessThan(1e-8 * Math.max(1, Math.abs(x))),
      )
    })
  })
})
