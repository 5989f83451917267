import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { findMechanism } from './catalogue.ts'
import { compileNetwork } from './compile-network.ts'
import type { Mechanism } from './mechanism.ts'
import type { Network } from './network.ts'
import { missingRoots, reach } from './reach.ts'
import { limitingReagent, reasonsAt, rulersAlong } from './reasons.ts'
import { placeStart, startConcentrations } from './start.ts'
import { stepEnthalpies } from './step-enthalpies.ts'
import { temperatureWarnings } from './temperature-warnings.ts'

function get(name: string): Mechanism {
  const found = findMechanism(name, facts.mechanisms(), facts.mechanismDefaults())
  if (!found.ok) throw new Error(JSON.stringify(found.problems))
  return found.value
}
const lumped = get('iodate-bisulfite')
const network: Network = compileNetwork(lumped, { kind: 'held', temperatureK: 298.15 })
const state = (set: Record<string, number>): Float64Array => Float64Array.from(network.stateNames, (name) => set[name] ?? 0)

describe('reasons at a moment', () => {
  it('early in the Landolt mixture, hydrogensulfite is used by L1; shares add up to one', () => {
    const [r] = reasonsAt(network, state({ 'IO3-': 0.01, 'HSO3-': 0.01, 'H+': 1e-4 }), ['I-'])
    expect(r!.making[0]).toMatchObject({ step: 'L1', share: 1 })
    expect(r!.making[0]!.molPerLS).toBeCloseTo(0.295 * 1e-4, 12)
    expect(r!.using).toEqual([])
  })
  it('ranks by share, a share being the rate times the stoichiometric number', () => {
    // iodate: L1 takes k [IO3-][HSO3-], L2 takes [IO3-][H+]^2 (kd1 [I-] + kd2 [I-]^2)
    const y = { 'IO3-': 0.01, 'HSO3-': 0.001, 'H+': 0.01, 'I-': 1e-3 }
    const l1 = 0.295 * y['IO3-'] * y['HSO3-']
    const l2 = y['IO3-'] * y['H+'] ** 2 * (1200 * y['I-'] + 4.2e8 * y['I-'] ** 2)
    const [r] = reasonsAt(network, state(y), ['IO3-'])
    expect(r!.using.map((s) => s.step)).toEqual(['L2', 'L1'])
    expect(r!.using[0]!.share).toBeCloseTo(l2 / (l1 + l2), 10)
    const [iodide] = reasonsAt(network, state(y), ['I-'])
    expect(iodide!.using[0]).toMatchObject({ step: 'L2' })
    expect(iodide!.using[0]!.molPerLS).toBeCloseTo(5 * l2, 12)
  })
  it('a fast equilibrium counts with what it delivers and is named as balanced', () => {
    // K(I3-) = 5.6e9/7.5e6
    const y = { I2: 1e-3, 'I-': 1e-3, 'I3-': (5.6e9 / 7.5e6) * 1e-6, 'IO3-': 0.01, 'H+': 1e-3 }
    const [r] = reasonsAt(network, state(y), ['I2'])
    expect(r!.inBalance).toContain('L7')
    expect(r!.making[0]!.step).toBe('L2')
  })
  it('asks for every species when none is named', () => {
    expect(reasonsAt(network, state({ 'IO3-': 0.01 })).map((r) => r.species)).toEqual(expect.arrayContaining(['IO3-', 'I2', 'HSO3-']))
  })
})

describe('rulers along time', () => {
  const times = Array.from({ length: 101 }, (_, i) => i)
  /** L1 makes iodide until hydrogensulfite is gone at 60 s; a flicker at 30 s. */
  const states = times.map((t) =>
    state(t >= 60 || t === 30 ? { 'IO3-': 0.01, 'I-': 1e-3, 'H+': 0.01, I2: 1e-3 } : { 'IO3-': 0.01, 'HSO3-': 0.01, 'H+': 1e-5 }),
  )
  it('finds the switch and merges chatter', () => {
    const reigns = rulersAlong(network, times, states, ['IO3-'], { shortestS: 5 }).filter((r) => r.role === 'uses')
    expect(reigns.map((r) => r.step)).toEqual(['L1', 'L2'])
    expect(reigns[0]).toMatchObject({ fromS: 0, toS: 60 })
    expect(reigns[1]).toMatchObject({ fromS: 60, toS: 100 })
    expect(reigns[0]!.share).toBeGreaterThan(0.9)
  })
  it('without merging the flicker shows', () => {
    const reigns = rulersAlong(network, times, states, ['IO3-'], { shortestS: 0 }).filter((r) => r.role === 'uses')
    expect(reigns.map((r) => r.step)).toEqual(['L1', 'L2', 'L1', 'L2'])
  })
  it('stretches cover the whole time without gaps', () => {
    const reigns = rulersAlong(network, times, states, ['I-', 'I2']).filter((r) => r.species === 'I2' && r.role === 'makes')
    expect(reigns[0]!.fromS).toBe(0)
    expect(reigns.at(-1)!.toS).toBe(100)
    reigns.slice(1).forEach((r, i) => expect(r.fromS).toBe(reigns[i]!.toS))
  })
  it('one sample, no samples', () => {
    expect(rulersAlong(network, [], [], ['I2'])).toEqual([])
    expect(rulersAlong(network, [0], [states[0]!], ['I2']).length).toBe(2)
  })
})

describe('limiting reagent', () => {
  const whole = get('iodate-peroxide-malonate').netReactions.find((r) => r.id === 'whole')!
  it('names what runs out, what is left and by how much the others exceed', () => {
    const r = limitingReagent(whole, { 'IO3-': 0.067, H2O2: 1.2, MA: 0.05, 'H+': 0.03 }, ['H2O', 'H+'])
    expect(r.species).toBe('MA')
    expect(r.extent).toBeCloseTo(0.05, 12)
    expect(r.reagents.find((x) => x.species === 'IO3-')!.ratio).toBeCloseTo(1.34, 10)
    expect(r.reagents.find((x) => x.species === 'H2O2')!.left).toBeCloseTo(1.1, 12)
  })
  it('an absent reagent limits to nothing', () => {
    expect(limitingReagent(whole, { 'IO3-': 0.067, MA: 0.05 })).toMatchObject({ extent: 0 })
  })
})

describe('reach', () => {
  const batch = get('iodate-peroxide-malonate')
  it('without manganese the steps of the radical phase are idle, and manganese is the root', () => {
    const present = ['H+', 'I-', 'IO3-', 'H2O2', 'MA']
    const found = reach(batch, present)
    expect(found.idleSteps).toEqual(expect.arrayContaining(['M1', 'M2', 'X2']))
    expect(found.reachable.has('HO2.')).toBe(false)
    const roots = missingRoots(batch, [...present, 'SO4^2-'])
    expect(roots[0]!.species).toBe('Mn2+')
  })
  it('a rate that vanishes without a species which is no reactant does not run', () => {
    const k1 = get('permanganate-oxalate')
    expect(reach(k1, ['MnO4-', 'H2C2O4', 'H+']).idleSteps).toEqual([])
    expect(reach(k1, ['MnO4-', 'H+']).idleSteps).toEqual(['K1'])
  })
  it('with everything there nothing is idle', () => {
    for (const f of facts.mechanisms()) {
      const m = get(f.name)
      expect(
        reach(
          m,
          m.species.map((s) => s.id),
        ).idleSteps,
        f.name,
      ).toEqual([])
    }
  })
})

describe('start', () => {
  const skeleton = get('iodate-peroxide-malonate/skeleton-a-1982')
  it('adds up the forms a species starts from and raises traces, saying why', () => {
    const start = startConcentrations(skeleton, { MA: 0.045, 'HMA-': 0.004, 'MA^2-': 0.001, 'IO3-': 0.06, 'K+': 1, H2O2: -1 })
    expect(start.dynamic['MA']).toBeCloseTo(0.05, 12)
    expect(start.dynamic['H2O2']).toBe(0)
    expect(start.dynamic['I-']).toBe(1e-6)
    expect(start.raised.map((r) => r.species)).toEqual(['I-'])
    expect(start.raised[0]!.why).toMatch(/iodide/)
    expect('K+' in start.dynamic).toBe(false)
  })
  it('fills a network: states, held species, temperature', () => {
    const m = get('iodate-peroxide')
    const free = compileNetwork(m, { kind: 'free', roomK: 333, heatCapacityJPerLK: 4100, lossPerS: 1e-4 })
    const y = new Float64Array(free.size).fill(7)
    placeStart(free, startConcentrations(m, { 'H+': 0.1, 'IO3-': 0.05, H2O2: 0.1 }), y, 333.15)
    expect(y[free.indexOf('IO3-')]).toBe(0.05)
    expect(y[free.indexOf('I2')]).toBe(0)
    expect(y[free.indexOf('temperature')]).toBe(333.15)
    const out = new Float64Array(free.size)
    free.rates(0, y, out)
    expect([...out].every(Number.isFinite)).toBe(true)
    expect(() => placeStart(free, startConcentrations(m, {}), y)).toThrow(/start temperature/)
  })
})

describe('reaction heats', () => {
  // dissolved peroxide: 2 H2O2 -> 2 H2O + O2(g), -94.7 kJ/mol from -191.17 and -285.83 (NBS tables, memory)
  const table: Record<string, number> = {
    H2O2: -191.17,
    H2O: -285.83,
    O2: -11.7,
    'O2(g)': 0,
    'I-': -55.2,
    'H+': 0,
    HOI: -138.1,
    I2: 22.6,
    'I3-': -51.5,
    'IO3-': -221.3,
    MA: -872,
    'Mn2+': -220.8,
  }
  const of = (id: string): number | null => table[id] ?? null
  it('the decomposition by iodide sums to that of peroxide, whatever the path', () => {
    const h = stepEnthalpies(get('peroxide-iodide'), of, [{ kind: 'gas-leaves', species: 'O2', saturationMolPerL: 1e-3, ratePerS: 1 }])
    expect(h.unknown).toEqual([])
    // D1 + D2 + gas: 2 H2O2 -> 2 H2O + O2(g)
    expect((h.byStep['D1']! + h.byStep['D2']! + h.byStep['O2(g)']!) / 2).toBeCloseTo(-94.66, 6)
  })
  it('estimates of the file stand in where no table has the species, and cancel over a cycle', () => {
    const batch = get('iodate-peroxide-malonate')
    const h = stepEnthalpies(batch, of)
    expect(h.estimated).toEqual(expect.arrayContaining(['HIO2', 'IO2.', 'HO2.', 'IMA']))
    // C1 + C2 + I1 back + D2, doubled … in sum: IO3- + 2 H2O2 + MA + H+ -> IMA + 2 O2 + 3 H2O, -165 kJ with gaseous oxygen (20)
    const formation = (id: string): number => of(id) ?? batch.species.find((s) => s.id === id)!.formationKJPerMol!
    const whole = batch.netReactions.find((r) => r.id === 'whole')!
    const sum =
      whole.products.reduce((s, t) => s + t.coefficient * (t.species === 'O2' ? 0 : formation(t.species)), 0) -
      whole.reactants.reduce((s, t) => s + t.coefficient * formation(t.species), 0)
    expect(Math.abs(sum + 165)).toBeLessThan(20)
    expect(h.byStep['X2']! + h.byStep['X3']!).toBeCloseTo(formation('I-') * 2 + table['O2']! - table['I2']! - table['H2O2']! + 0, 6)
  })
  it('lumped steps and unknown species are said', () => {
    expect(stepEnthalpies(get('bromate-malonate-cerium'), of).unknown).toEqual(expect.arrayContaining([{ step: '9', lacking: ['lumped'] }]))
    expect(stepEnthalpies(get('blue-bottle'), () => null).unknown[0]!.lacking).toContain('GLC')
  })
})

describe('temperature', () => {
  it('warns outside the span and where constants have no activation energy', () => {
    const codes = (name: string, low: number, high: number): readonly string[] =>
      temperatureWarnings(get(name), low, high).map((w) => w.code)
    expect(codes('iodate-peroxide-malonate', 298.15, 298.15)).toEqual([])
    expect(codes('iodate-peroxide-malonate', 293.15, 303.15)).toEqual([])
    expect(codes('iodate-peroxide-malonate', 293.15, 318.15)).toEqual(['mechanism/temperature-outside'])
    expect(codes('iodate-bisulfite', 290, 290)).toEqual(['mechanism/temperature-outside', 'mechanism/temperature-unknown'])
    expect(codes('iodate-bisulfite', 297, 299)).toEqual([])
  })
})
