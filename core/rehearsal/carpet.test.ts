import { describe, expect, it } from 'vitest'
import { celsiusToKelvin } from '@beakertide/basis/units'
import { facts } from '@beakertide/data'
import { findMechanism } from '../mechanism/index.ts'
import { carpetOf, carpetValues, foldedStrip } from './carpet.ts'
import { amountText, findAmount, presentValue, withAmount } from './carpet-amount.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'
import { statedPortion, statedSolution } from './stated-solution.ts'

const tables: RehearsalFacts = facts.day()
const found = findMechanism('persulfate-iodide-thiosulfate', facts.mechanisms(), facts.mechanismDefaults())
if (!found.ok) throw new Error('no mechanism')
const mechanism = found.value

// 0.040 persulfate, 0.080 iodide, 0.0020 thiosulfate, mol/L in the mix of 0.2 L of fuse and 0.3 L of ember
const portions = [
  statedPortion('fuse', 'persulfate', 'sodium-peroxodisulfate', 0.1, 0.01),
  statedPortion('ember', 'iodide', 'potassium-iodide', 0.4 / 3, 0.01),
  statedPortion('ember', 'thiosulfate', 'sodium-thiosulfate-pentahydrate', 0.01 / 3, 0.01),
]
const request: RehearseRequest = {
  mechanism,
  vessel: {
    id: 'flask',
    capacityL: null,
    depthCm: 6,
    stirred: true,
    count: 1,
    pours: [
      { solution: 'ember', volumeL: 0.3, atS: 0 },
      { solution: 'fuse', volumeL: 0.2, atS: 5 },
    ],
  },
  solutions: [
    statedSolution('fuse', { 'S2O8^2-': 0.1, 'Na+': 0.2 }, 1, 25, mechanism, tables.matter),
    statedSolution(
      'ember',
      { 'I-': 0.4 / 3, 'K+': 0.4 / 3, 'S2O3^2-': 0.01 / 3, 'Na+': 0.02 / 3, starch: 0.006 },
      1,
      25,
      mechanism,
      tables.matter,
    ),
  ],
  roomK: celsiusToKelvin(25),
  lengthS: 300,
  relativeTolerance: 1e-4,
  samples: 601,
  view: { illuminant: 'd65', adaptation: 1, depthCm: 6 },
}
const amount = (name: string) => {
  const got = findAmount(name, request, portions)
  if (!got.ok) throw new Error(got.problems[0]!.what)
  return got.value
}
const carpet = (name: string, values: readonly number[]) => {
  const got = carpetOf({ ...request, portions, amount: amount(name), values }, tables)
  if (!got.ok) throw new Error('no carpet')
  return got.value
}
const firstTurns = (name: string, values: readonly number[]) => carpet(name, values).rows.map((r) => r.features?.firstTurnS ?? null)

describe('what can be varied', () => {
  it('bottles, portions, pours, temperature, depth and constants by their names', () => {
    expect(amount('iodide')).toEqual({ of: 'ingredient', name: 'iodide', portions: ['ember/iodide'] })
    expect(amount('fuse/persulfate')).toMatchObject({ of: 'ingredient', portions: ['fuse/persulfate'] })
    expect(amount('pour ember')).toEqual({ of: 'poured', name: 'pour ember', solution: 'ember' })
    expect(amount('P1.k0')).toEqual({ of: 'constant', name: 'P1.k0' })
    expect([
      presentValue(amount('temperature'), request),
      presentValue(amount('depth'), request),
      presentValue(amount('iodide'), request),
    ]).toEqual([25, 6, 1])
    expect(amountText(amount('temperature'), 21.5)).toBe('21.5 °C')
    expect(amountText(amount('iodide'), 0.5)).toBe('× 0.500')
  })
  it('a wrong name gets the names there are and the nearest', () => {
    const got = findAmount('persulphate', request, portions)
    expect(got.ok).toBe(false)
    if (got.ok) return
    expect(got.problems[0]!.what).toContain('persulfate, iodide, thiosulfate, temperature, depth')
    expect(got.problems[0]!.todo).toContain('persulfate')
  })
  it('changes only what it is asked to', () => {
    const half = withAmount(request, portions, amount('iodide'), 0.5, tables.matter)
    expect(half.solutions[1]!.amountsMol['I-']).toBeCloseTo(0.2 / 3, 12)
    expect(half.solutions[1]!.amountsMol['S2O3^2-']).toBe(request.solutions[1]!.amountsMol['S2O3^2-'])
    expect(half.solutions[0]).toEqual(request.solutions[0])
    const cold = withAmount(request, portions, amount('temperature'), 20, tables.matter)
    expect(cold.roomK).toBeCloseTo(293.15, 9)
    expect(cold.solutions.map((s) => s.temperatureC)).toEqual([20, 20])
  })
})

describe('the carpet of a clock', () => {
  it('more iodide, persulfate or warmth: sooner, row by row; more thiosulfate: later', () => {
    const values = carpetValues(0.5, 2, 4, 'log')
    for (const name of ['iodide', 'persulfate']) {
      const t = firstTurns(name, values) as number[]
      for (let i = 1; i < t.length; i++) expect(t[i]!).toBeLessThan(t[i - 1]!)
    }
    const later = firstTurns('thiosulfate', values) as number[]
    for (let i = 1; i < later.length; i++) expect(later[i]!).toBeGreaterThan(later[i - 1]!)
    // t = -ln(1 - s/2a)/(i k): four times the thiosulfate, a little over four times the time; salt adds 0.3 % to the ionic strength
    const x = (s: number): number => -Math.log(1 - s / 2 / 0.04)
    expect(later[3]! / later[0]! / (x(0.004) / x(0.001))).toBeCloseTo(1, 1)
  })
  it('ten kelvin: by the activation energy of 51.8 kJ/mol', () => {
    const [cold, warm] = firstTurns('temperature', [20, 30]) as [number, number]
    const arrhenius = Math.exp((51_800 / 8.314462618) * (1 / 293.15 - 1 / 303.15))
    // the reaction warms the liquid by less than a tenth of a kelvin before the turn
    expect(Math.abs(cold / warm / arrhenius - 1)).toBeLessThan(0.02)
  })
  it('a constant twice as large halves the time; the depth leaves it', () => {
    const [one, two] = firstTurns('P1.k0', [1, 2]) as [number, number]
    expect(Math.abs(one / two / 2 - 1)).toBeLessThan(0.03)
    const [thin, deep] = firstTurns('depth', [3, 12]) as [number, number]
    expect(Math.abs(thin / deep - 1)).toBeLessThan(0.05)
  })
  it('carries strips that can be drawn: one time axis, colours only where they change', () => {
    const got = carpet('iodide', [0.5, 1])
    expect(got).toMatchObject({ varied: 'iodide', unit: 'times', present: 1, fromS: 0, toS: 305, stopped: false })
    for (const row of got.rows) {
      expect(row.strip[0]!.timeS).toBe(0)
      expect(row.strip.at(-1)!.timeS).toBeCloseTo(305, 6)
      expect(row.strip.length).toBeLessThan(400)
      expect(row.endColour).toMatch(/black/)
    }
    expect(JSON.parse(JSON.stringify(got))).toEqual(got)
  })
  it('stops when asked, with the rows it has', () => {
    let polls = 0
    const got = carpetOf({ ...request, portions, amount: amount('iodide'), values: [1, 2, 3], shouldStop: () => ++polls > 1e9 }, tables)
    expect(got.ok && got.value.stopped).toBe(false)
    const none = carpetOf({ ...request, portions, amount: amount('iodide'), values: [1, 2], shouldStop: () => true }, tables)
    expect(none.ok && [none.value.stopped, none.value.rows.length]).toEqual([true, 0])
  })
})

it('values in equal steps and in equal ratios', () => {
  expect(carpetValues(1, 3, 3, 'linear')).toEqual([1, 2, 3])
  expect(carpetValues(0.5, 2, 3, 'log')[1]).toBeCloseTo(1, 12)
  expect(carpetValues(7, 9, 1, 'linear')).toEqual([7])
})

it('a folded strip keeps every change and both ends', () => {
  const s = (timeS: number, hex: string) => ({ timeS, hex, name: hex, lab: [0, 0, 0] as const })
  expect(foldedStrip([s(0, 'a'), s(1, 'a'), s(2, 'b'), s(3, 'b'), s(4, 'b')]).map((x) => x.timeS)).toEqual([0, 2, 4])
})
