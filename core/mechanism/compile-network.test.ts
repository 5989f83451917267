import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { compileNetwork, TEMPERATURE_STATE } from './compile-network.ts'
import { entryOf } from '@beakertide/basis/numerics'
import type { Expression, Mechanism, Step, Term } from './mechanism.ts'
import type { HeatModel, Network, VesselProcess } from './network.ts'
import { parseMechanism } from './parse-mechanism.ts'
import { stepEnthalpies } from './step-enthalpies.ts'

// ---- a second way to the rates, written from the definitions over complex numbers; its imaginary part after a step of
// 1e-30 i is the derivative to machine precision (complex step: Squire & Trapp, SIAM Rev. 40 (1998) 110)
interface Complex {
  readonly re: number
  readonly im: number
}
const real = (re: number): Complex => ({ re, im: 0 })
const plus = (a: Complex, b: Complex): Complex => ({ re: a.re + b.re, im: a.im + b.im })
const times = (a: Complex, b: Complex): Complex => ({ re: a.re * b.re - a.im * b.im, im: a.re * b.im + a.im * b.re })
const over = (a: Complex, b: Complex): Complex => {
  // scaled division; the imaginary parts are tiny, so |b| is |re| to machine precision
  const re = a.re / b.re
  return { re, im: (a.im - re * b.im) / b.re }
}
const map = (a: Complex, f: (x: number) => number, slope: (x: number) => number): Complex => ({ re: f(a.re), im: slope(a.re) * a.im })
const power = (a: Complex, b: Complex): Complex => ({
  re: a.re ** b.re,
  im: b.re * a.re ** (b.re - 1) * a.im + (b.im === 0 ? 0 : a.re ** b.re * Math.log(a.re) * b.im),
})

interface Reading {
  readonly concentration: (species: string) => Complex
  readonly constant: (name: string) => Complex
  readonly kelvin: Complex
}
function valueOf(e: Expression, from: Reading): Complex {
  switch (e.op) {
    case 'number':
      return real(e.value)
    case 'concentration':
      return from.concentration(e.species)
    case 'constant':
      return from.constant(e.name)
    case 'temperature':
      return from.kelvin
    case 'neg':
      return times(real(-1), valueOf(e.a, from))
    case 'add':
      return plus(valueOf(e.a, from), valueOf(e.b, from))
    case 'sub':
      return plus(valueOf(e.a, from), times(real(-1), valueOf(e.b, from)))
    case 'mul':
      return times(valueOf(e.a, from), valueOf(e.b, from))
    case 'div':
      return over(valueOf(e.a, from), valueOf(e.b, from))
    case 'pow':
      return power(valueOf(e.a, from), valueOf(e.b, from))
    case 'min':
    case 'max': {
      const a = valueOf(e.a, from)
      const b = valueOf(e.b, from)
      return (e.op === 'min') === a.re <= b.re ? a : b
    }
    case 'sqrt':
      return map(valueOf(e.a, from), Math.sqrt, (x) => 0.5 / Math.sqrt(x))
    case 'exp':
      return map(valueOf(e.a, from), Math.exp, Math.exp)
    case 'ln':
      return map(valueOf(e.a, from), Math.log, (x) => 1 / x)
    case 'log10':
      return map(valueOf(e.a, from), Math.log10, (x) => 1 / (x * Math.LN10))
  }
}

interface Setting {
  readonly mechanism: Mechanism
  readonly heat: HeatModel
  readonly processes: readonly VesselProcess[]
  readonly enthalpies: Readonly<Record<string, number>>
  readonly held: Readonly<Record<string, number>>
}
const R = 8.314462618e-3 // kJ/(mol K), rounded here so that the two ways share nothing

/** dy/dt from the definitions. */
function reference(s: Setting, names: readonly string[], y: readonly Complex[]): readonly Complex[] {
  const out = names.map(() => real(0))
  const bump = (name: string, by: Complex): void => {
    const i = names.indexOf(name)
    if (i >= 0) out[i] = plus(out[i]!, by)
  }
  const at = names.indexOf(TEMPERATURE_STATE)
  const kelvin = s.heat.kind === 'free' ? y[at]! : real(s.heat.temperatureK)
  const concentration = (id: string): Complex => (names.includes(id) ? y[names.indexOf(id)]! : real(s.held[id]!))
  const solvent = (id: string): boolean => s.mechanism.species.find((x) => x.id === id)?.role === 'solvent'
  const warm = (kJ: number, rate: Complex): void => {
    if (s.heat.kind === 'free') bump(TEMPERATURE_STATE, times(real((-kJ * 1000) / s.heat.heatCapacityJPerLK), rate))
  }
  const run = (step: Step, rate: Complex, sign: number): void => {
    for (const t of step.reactants) bump(t.species, times(real(-sign * t.coefficient), rate))
    for (const t of step.products) bump(t.species, times(real(sign * t.coefficient), rate))
    warm(sign * (s.enthalpies[step.id] ?? 0), rate)
  }
  for (const step of s.mechanism.steps) {
    const constant = (name: string): Complex => {
      const c = step.constants.find((x) => x.name === name)!
      const ea = c.activationKJPerMol ?? 0
      const shift = plus(over(real(1), kelvin), real(-1 / (c.referenceK ?? s.mechanism.referenceK)))
      return times(real(c.value), map(times(real(-ea / R), shift), Math.exp, Math.exp))
    }
    const action = (name: string, terms: readonly Term[]): Complex =>
      terms
        .filter((t) => !solvent(t.species))
        .reduce((v, t) => times(v, power(concentration(t.species), real(t.coefficient))), constant(name))
    if (step.law.kind === 'expression') run(step, valueOf(step.law.expression, { concentration, constant, kelvin }), 1)
    else if (step.reversible) {
      run(step, action('kf', step.reactants), 1)
      run(step, action('kr', step.products), -1)
    } else run(step, action('k', step.reactants), 1)
  }
  for (const p of s.processes) {
    const limit = p.kind === 'gas-leaves' ? p.saturationMolPerL : p.solubilityMolPerL
    const counter = `${p.species}${p.kind === 'gas-leaves' ? '(g)' : '(s)'}`
    const excess = plus(concentration(p.species), real(-limit))
    let rate = times(real(p.ratePerS), excess)
    if (excess.re <= 0) {
      const solid = p.kind === 'gas-leaves' ? real(0) : y[names.indexOf(counter)]!
      rate = times(rate, over(solid, plus(solid, real(1e-6))))
    }
    bump(p.species, times(real(-1), rate))
    bump(counter, rate)
    warm(s.enthalpies[counter] ?? 0, rate)
  }
  if (s.heat.kind === 'free') bump(TEMPERATURE_STATE, times(real(-s.heat.lossPerS), plus(kelvin, real(-s.heat.roomK))))
  return out
}

/** Small repeatable numbers in (0, 1). */
function numbers(seed: number): () => number {
  let x = seed
  return () => {
    x = (x * 16807) % 2147483647
    return x / 2147483647
  }
}

/** A state with concentrations over many powers of ten, as in a running oscillator. */
function someState(network: Network, next: () => number): Float64Array {
  return Float64Array.from(network.stateNames, (name) => (name === TEMPERATURE_STATE ? 288 + 20 * next() : 10 ** (-9 + 8 * next())))
}

function check(s: Setting, seed: number): void {
  const network = compileNetwork(s.mechanism, s.heat, s.processes, s.enthalpies)
  for (const [id, value] of Object.entries(s.held)) network.hold(id, value)
  const y = someState(network, numbers(seed))
  const names = network.stateNames
  const rates = new Float64Array(network.size)
  const values = new Float64Array(network.pattern.columns.length)
  network.rates(0, y, rates)
  network.jacobian(0, y, values)
  const warmth = (v: Float64Array): number => {
    if (s.heat.kind === 'held') return 0
    const largest = Math.max(0, ...Object.values(s.enthalpies).map(Math.abs))
    return ((largest * 1000) / s.heat.heatCapacityJPerLK) * v.reduce((sum, x) => sum + Math.abs(x), 0)
  }
  const turnover = (row: number): number => {
    const v = new Float64Array(network.rateNames.length)
    network.stepRates(0, y, v)
    return (
      network.rateNames.reduce((sum, _, r) => sum + Math.abs(network.stoichiometry(row, r) * v[r]!), 0) +
      (names[row] === TEMPERATURE_STATE ? warmth(v) : 0)
    )
  }
  const ours = reference(s, names, [...y].map(real))
  names.forEach((_, i) =>
    expect(Math.abs(rates[i]! - ours[i]!.re)).toBeLessThanOrEqual(1e-9 * (turnover(i) + Math.abs(rates[i]!)) + 1e-300),
  )
  const H = 1e-30
  for (let column = 0; column < network.size; column++) {
    const shifted = [...y].map((x, i) => ({ re: x, im: i === column ? H : 0 }))
    const exact = reference(s, names, shifted).map((c) => c.im / H)
    const scale = exact.reduce((m, x) => Math.max(m, Math.abs(x)), 0)
    for (let row = 0; row < network.size; row++) {
      const entry = entryOf(network.pattern, row, column)
      const value = entry < 0 ? 0 : values[entry]!
      const place = `${s.mechanism.name}: d ${names[row]} / d ${names[column]}`
      // relative to the largest entry of the column: opposite terms may cancel within one entry
      expect(Math.abs(value - exact[row]!), place).toBeLessThanOrEqual(1e-9 * Math.max(Math.abs(exact[row]!), 1e-3 * scale) + 1e-300)
    }
  }
}

const catalogue = facts.mechanisms().map((f) => {
  const parsed = parseMechanism(f.text, f.file)
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems))
  return parsed.value
})
const heldOf = (m: Mechanism): Record<string, number> =>
  Object.fromEntries(m.species.filter((s) => s.role === 'held').map((s, i) => [s.id, 0.03 * (i + 1)]))
const free: HeatModel = { kind: 'free', roomK: 295, heatCapacityJPerLK: 4100, lossPerS: 2e-4 }
const vessel: readonly VesselProcess[] = [
  { kind: 'gas-leaves', species: 'O2', saturationMolPerL: 1e-3, ratePerS: 0.05 },
  { kind: 'solid-forms', species: 'I2', solubilityMolPerL: 1.3e-3, ratePerS: 0.2 },
]
const vesselOf = (m: Mechanism): readonly VesselProcess[] =>
  vessel.filter((p) => m.species.some((s) => s.id === p.species && s.role === 'dynamic'))

describe('rates and Jacobian of every catalogue mechanism agree with the definitions by complex step', () => {
  for (const mechanism of catalogue) {
    it(`${mechanism.name}, temperature held`, () => {
      for (const seed of [11, 222, 3333]) {
        check(
          {
            mechanism,
            heat: { kind: 'held', temperatureK: mechanism.referenceK + 3 },
            processes: [],
            enthalpies: {},
            held: heldOf(mechanism),
          },
          seed,
        )
      }
    })
    it(`${mechanism.name}, temperature free, gas and solid`, () => {
      // any heats do; these are there to be seen in the temperature row
      const enthalpies = Object.fromEntries([...mechanism.steps.map((s, i) => [s.id, -20 - 7 * i] as const), ['O2(g)', 12], ['I2(s)', -22]])
      const processes = vesselOf(mechanism)
      for (const seed of [44, 555]) check({ mechanism, heat: free, processes, enthalpies, held: heldOf(mechanism) }, seed)
    })
  }
})

describe('the pattern', () => {
  for (const mechanism of catalogue) {
    it(`${mechanism.name} has its diagonal, ascending columns and no entry that is always zero`, () => {
      const network = compileNetwork(mechanism, free, vesselOf(mechanism))
      for (const id of network.heldNames) network.hold(id, 0.05)
      const { rowStart, columns, size } = network.pattern
      const met = new Float64Array(columns.length)
      const values = new Float64Array(columns.length)
      const next = numbers(99)
      for (let i = 0; i < 40; i++) {
        network.jacobian(0, someState(network, next), values)
        values.forEach((v, e) => (met[e] = Math.max(met[e]!, Math.abs(v))))
      }
      for (let row = 0; row < size; row++) {
        const inRow = Array.from(columns.slice(rowStart[row]!, rowStart[row + 1]!))
        expect(inRow).toContain(row)
        expect(inRow).toEqual([...inRow].sort((a, b) => a - b))
        for (let e = rowStart[row]!; e < rowStart[row + 1]!; e++) if (columns[e] !== row) expect(met[e]).toBeGreaterThan(0)
      }
    })
  }
})

const TINY = `
format: mechanism 1
name: tiny
title: two X become Y
grade: placeholder
overall: 2 X -> Y
temperature: 25 degC
valid: 0 degC to 100 degC
species:
  X: { formula: H2 }
  Y: { formula: H4 }
  W: { formula: H2, role: held }
by default: { seen: assumed, sources: [S] }
steps:
  - { id: A, equation: 2 X -> Y, constants: { k: { value: 3 L mol^-1 s^-1, activation: 50 kJ/mol } } }
  - { id: B, equation: W + X -> Y, constants: { k: 2 L mol^-1 s^-1 } }
sources:
  S: { cite: test, access: none }
`
function tiny(heat: HeatModel = { kind: 'held', temperatureK: 298.15 }, enthalpies = {}): Network {
  const parsed = parseMechanism(TINY, 'tiny.yaml')
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems))
  return compileNetwork(parsed.value, heat, [], enthalpies)
}

describe('conventions', () => {
  it('counts events: 2 X -> Y runs at k [X]^2 and takes two X', () => {
    const network = tiny()
    network.hold('W', 0)
    const out = new Float64Array(2)
    network.rates(0, Float64Array.of(0.1, 0), out)
    expect(out[0]).toBeCloseTo(-2 * 3 * 0.01, 14)
    expect(out[1]).toBeCloseTo(3 * 0.01, 14)
  })
  it('gives nothing a number to forgotten held species', () => {
    const out = new Float64Array(2)
    tiny().rates(0, Float64Array.of(0.1, 0), out)
    expect(out[0]).toBeNaN()
  })
  it('follows Arrhenius: 50 kJ/mol from 25 to 35 degC is a factor exp(50000/8.314 (1/298.15 - 1/308.15))', () => {
    const network = tiny()
    network.hold('W', 0)
    network.setHeat({ kind: 'held', temperatureK: 308.15 })
    const out = new Float64Array(2)
    network.stepRates(0, Float64Array.of(1, 0), out)
    expect(out[0]! / 3).toBeCloseTo(Math.exp((50000 / 8.31446) * (1 / 298.15 - 1 / 308.15)), 6)
  })
  it('scales and replaces constants, and puts them back', () => {
    const network = tiny()
    network.hold('W', 0.5)
    const out = new Float64Array(2)
    const y = Float64Array.of(0.2, 0)
    network.scaleConstant('B.k', 3)
    network.stepRates(0, y, out)
    expect(out[1]).toBeCloseTo(3 * 2 * 0.5 * 0.2, 14)
    network.scaleConstant('B.k', 1)
    network.setConstant('B.k', 5)
    network.stepRates(0, y, out)
    expect(out[1]).toBeCloseTo(5 * 0.5 * 0.2, 14)
    expect(() => network.scaleConstant('C.k', 2)).toThrow(/no constant/)
  })
  it('warms the vessel by -enthalpy * rate / heat capacity, also after the capacity was changed', () => {
    const network = tiny({ kind: 'free', roomK: 298.15, heatCapacityJPerLK: 4000, lossPerS: 0 }, { A: -80, B: 10 })
    network.hold('W', 0.5)
    const out = new Float64Array(3)
    const y = Float64Array.of(0.1, 0, 298.15)
    const watt = 80e3 * 3 * 0.01 - 10e3 * 2 * 0.5 * 0.1
    network.rates(0, y, out)
    expect(out[2]).toBeCloseTo(watt / 4000, 10)
    network.setHeat({ kind: 'free', roomK: 290, heatCapacityJPerLK: 2000, lossPerS: 0.01 })
    network.rates(0, y, out)
    expect(out[2]).toBeCloseTo(watt / 2000 - 0.01 * 8.15, 10)
    expect(network.heatlessSteps).toEqual([])
    expect(tiny({ kind: 'free', roomK: 298.15, heatCapacityJPerLK: 4000, lossPerS: 0 }).heatlessSteps).toEqual(['A', 'B'])
  })
  it('two networks of one mechanism do not share state', () => {
    const [a, b] = [tiny(), tiny()]
    a.hold('W', 1)
    b.hold('W', 2)
    const out = new Float64Array(2)
    a.stepRates(0, Float64Array.of(1, 0), out)
    expect(out[1]).toBe(2)
  })
})

describe('gas and solid', () => {
  const batch = catalogue.find((m) => m.name === 'iodate-peroxide-malonate/batch')!
  const network = compileNetwork(batch, { kind: 'held', temperatureK: 298.15 }, vessel)
  const at = (name: string): number => network.indexOf(name)
  const rate = (name: string, set: Record<string, number>): number => {
    const y = new Float64Array(network.size)
    for (const [id, value] of Object.entries(set)) y[at(id)] = value
    const out = new Float64Array(network.rateNames.length)
    network.stepRates(0, y, out)
    return out[network.rateNames.indexOf(name)]!
  }
  it('gas leaves only above saturation', () => {
    expect(rate('O2 leaves as gas', { O2: 3e-3 })).toBeCloseTo(0.05 * 2e-3, 12)
    expect(rate('O2 leaves as gas', { O2: 0.5e-3, 'O2(g)': 1 })).toBe(0)
  })
  it('solid forms above the solubility, dissolves below while there is some, and never below zero', () => {
    expect(rate('I2 forms solid', { I2: 2.3e-3 })).toBeCloseTo(0.2 * 1e-3, 12)
    expect(rate('I2 forms solid', { I2: 0.3e-3, 'I2(s)': 0.01 })).toBeCloseTo(-0.2 * 1e-3, 7)
    expect(Math.abs(rate('I2 forms solid', { I2: 0.3e-3, 'I2(s)': 0 }))).toBe(0)
    expect(Math.abs(rate('I2 forms solid', { I2: 0.3e-3, 'I2(s)': -1e-9 }))).toBe(0)
  })
  it('takes new limits without compiling again', () => {
    const own = compileNetwork(batch, { kind: 'held', temperatureK: 298.15 }, vessel)
    own.setProcess(0, 2e-3, 1)
    const out = new Float64Array(own.rateNames.length)
    const y = new Float64Array(own.size)
    y[own.indexOf('O2')] = 3e-3
    own.stepRates(0, y, out)
    expect(out[own.rateNames.indexOf('O2 leaves as gas')]).toBeCloseTo(1e-3, 12)
  })
})

describe('conserved totals', () => {
  for (const mechanism of catalogue) {
    it(`${mechanism.name}: no rate changes them`, () => {
      const network = compileNetwork(mechanism, free, vesselOf(mechanism))
      for (const id of network.heldNames) network.hold(id, 0.05)
      const y = someState(network, numbers(7))
      const v = new Float64Array(network.rateNames.length)
      network.stepRates(0, y, v)
      for (const { name, weights } of network.conserved) {
        network.rateNames.forEach((rate, r) => {
          let change = 0
          for (let i = 0; i < network.size; i++) change += weights[i]! * network.stoichiometry(i, r)
          expect(Math.abs(change), `${name} in ${rate}`).toBeLessThan(1e-9)
        })
      }
    })
  }
  const totals = (name: string): readonly string[] =>
    compileNetwork(catalogue.find((m) => m.name === name)!, { kind: 'held', temperatureK: 298.15 }).conserved.map((c) => c.name)
  it('are elements, charge and what water leaves alone', () => {
    expect(totals('iodate-peroxide-malonate/batch')).toEqual(expect.arrayContaining(['C', 'I', 'Mn', 'S', 'charge']))
    expect(totals('iodate-peroxide-malonate/batch').some((n) => /H/.test(n) && /O/.test(n))).toBe(true)
  })
  it('a held hydrogen ion leaves a combination of charge, hydrogen and oxygen', () => {
    expect(totals('chlorite-iodide/elementary')).toEqual(expect.arrayContaining(['Cl', 'I']))
    expect(totals('chlorite-iodide/elementary').some((n) => n.includes('charge') && n.includes('O'))).toBe(true)
    expect(totals('chlorite-iodide/elementary')).not.toContain('charge')
  })
  it('lumped steps keep what they do not break: bromine and cerium in the batch of 2008', () => {
    expect(totals('bromate-malonate-cerium/batch')).toEqual(expect.arrayContaining(['Br', 'Ce']))
    expect(totals('bromate-malonate-cerium/batch')).not.toContain('C')
    expect(totals('bromate-malonate-cerium/skeleton-1974')).toEqual([])
  })
})

describe('running', () => {
  it('allocates nothing: 100 000 calls leave the heap where it was', () => {
    const batch = catalogue.find((m) => m.name === 'iodate-peroxide-malonate/batch')!
    const network = compileNetwork(batch, free, vessel, stepEnthalpies(batch, () => -100).byStep)
    const y = someState(network, numbers(5))
    const out = new Float64Array(network.size)
    const values = new Float64Array(network.pattern.columns.length)
    const run = (n: number): void => {
      for (let i = 0; i < n; i++) {
        y[y.length - 1] = 298 + (i % 7)
        network.rates(0, y, out)
        network.jacobian(0, y, values)
      }
    }
    run(20_000)
    // the least of three rounds: whatever else runs in this process may allocate, the network must not
    const growths = [0, 1, 2].map(() => {
      const before = process.memoryUsage().heapUsed
      run(100_000)
      return process.memoryUsage().heapUsed - before
    })
    // one number boxed a call would be 16 bytes * 100 000 * 2 = 3.2 MB
    expect(Math.min(...growths)).toBeLessThan(1.2e6)
  })
})
