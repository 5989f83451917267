import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { createIntegrator } from '@beakertide/basis/numerics'
import { findMechanism } from './catalogue.ts'
import { compileNetwork } from './compile-network.ts'
import type { Mechanism } from './mechanism.ts'
import type { Network } from './network.ts'
import { parseMechanism } from './parse-mechanism.ts'
import { borderOfOscillation, conservationLaws, mapOfOscillation, networkStability, steadyNetwork } from './steady-network.ts'

function parsed(text: string): Mechanism {
  const found = parseMechanism(text, 'test.yaml')
  if (!found.ok) throw new Error(JSON.stringify(found.problems))
  return found.value
}
const held = { kind: 'held', temperatureK: 298.15 } as const
function get(name: string): Mechanism {
  const found = findMechanism(name, facts.mechanisms(), facts.mechanismDefaults())
  if (!found.ok) throw new Error(JSON.stringify(found.problems))
  return found.value
}

/** The Brusselator as a mechanism file, sources and sinks held (I. Prigogine & R. Lefever 1968, J. Chem. Phys. 48, 1695). */
const BRUSSELATOR = `
format: mechanism 1
name: four-steps
title: four steps with one autocatalysis
grade: skeleton
overall: A + B -> D + E
temperature: 25 degC
valid: 0 degC to 100 degC
species:
  A: { formula: H2, role: held }
  B: { formula: H2, role: held }
  D: { formula: H2, role: held }
  E: { formula: H2, role: held }
  X: { formula: H2 }
  Y: { formula: H2 }
by default: { seen: assumed, sources: [S] }
steps:
  - { id: s1, equation: A -> X, constants: { k: 1 s^-1 } }
  - { id: s2, equation: B + X -> Y + D, constants: { k: 1 L mol^-1 s^-1 } }
  - { id: s3, equation: 2 X + Y -> 3 X, constants: { k: 1 L^2 mol^-2 s^-1 } }
  - { id: s4, equation: X -> E, constants: { k: 1 s^-1 } }
sources: { S: { cite: test, access: none } }
`
function brusselator(a: number, b: number): Network {
  const network = compileNetwork(parsed(BRUSSELATOR), held)
  for (const [id, value] of Object.entries({ A: a, B: b, D: 0, E: 0 })) network.hold(id, value)
  return network
}

describe('laws of networks', () => {
  it('of every catalogue mechanism hold its elements and charge, and no rate changes any of them', () => {
    for (const file of facts.mechanisms()) {
      const mechanism = parsed(file.text)
      for (const heat of [held, { kind: 'free', roomK: 295, heatCapacityJPerLK: 4000, lossPerS: 1e-3 } as const]) {
        const network = compileNetwork(mechanism, heat)
        const laws = conservationLaws(network)
        for (const law of laws) {
          for (let r = 0; r < network.rateNames.length; r++) {
            let sum = 0
            for (let i = 0; i < network.size; i++) sum += law[i]! * network.stoichiometry(i, r)
            expect(Math.abs(sum), `${file.name} ${network.rateNames[r]}`).toBeLessThan(1e-10)
          }
          if (heat.kind === 'free') expect(law[network.indexOf('temperature')]).toBe(0)
        }
        expect(laws.length).toBeGreaterThanOrEqual(rankOf(network.conserved.map((c) => c.weights)))
      }
    }
  })
})

function rankOf(rows: readonly Float64Array[]): number {
  const left = rows.map((r) => r.slice())
  let rank = 0
  for (let j = 0; j < (left[0]?.length ?? 0); j++) {
    const at = left.findIndex((row, i) => i >= rank && Math.abs(row[j]!) > 1e-9)
    if (at < 0) continue
    ;[left[rank], left[at]] = [left[at]!, left[rank]!]
    for (let i = rank + 1; i < left.length; i++) {
      const factor = left[i]![j]! / left[rank]![j]!
      for (let c = 0; c < left[i]!.length; c++) left[i]![c] = left[i]![c]! - factor * left[rank]![c]!
    }
    rank++
  }
  return rank
}

describe('steady states of networks', () => {
  it('the persulfate clock ends with all thiosulfate gone and iodine in balance with triiodide', () => {
    const network = compileNetwork(get('persulfate-iodide-thiosulfate'), held)
    const [a, i, s] = [0.05, 0.2, 0.02]
    const y0 = new Float64Array(network.size)
    y0[network.indexOf('S2O8^2-')] = a
    y0[network.indexOf('I-')] = i
    y0[network.indexOf('S2O3^2-')] = s
    const found = steadyNetwork(network, { y0 })
    expect(found.how).toBe('found')
    const of = (name: string): number => found.y[network.indexOf(name)]!
    // all peroxodisulfate used: a of iodine made, s/2 of it reduced; iodine in all: a − s/2 = [I2] + [I3-]; iodide: i − 2a + s − [I3-]
    const iodine = a - s / 2
    const iodide = i - 2 * iodine
    const k = 5.6e9 / 7.76e6
    const b = 1 + k * (iodine + iodide)
    const triiodide = (2 * k * k * iodine * iodide) / (k * (b + Math.sqrt(b * b - 4 * k * k * iodine * iodide)))
    expect(of('S2O8^2-')).toBeLessThan(1e-12)
    expect(of('S2O3^2-')).toBeLessThan(1e-12)
    expect(of('S4O6^2-')).toBeCloseTo(s / 2, 12)
    expect(of('I3-')).toBeCloseTo(triiodide, 11)
    expect(of('I2')).toBeCloseTo(iodine - triiodide, 11)
    expect(networkStability(network, found.y)!.unstable).toBe(0)
  })

  it('a skeleton that oscillates has an unstable steady state; run from beside it, it leaves', () => {
    const network = compileNetwork(get('bromate-malonate-cerium/skeleton-1985'), { kind: 'held', temperatureK: 293.15 })
    for (const id of network.heldNames) network.hold(id, id === 'H+' ? 0.8 : 0.06)
    const y0 = Float64Array.from(network.stateNames, (name) => (name.startsWith('Ce') ? 1e-4 : 1e-7))
    const found = steadyNetwork(network, { y0, sinksAside: true })
    expect(found.how, JSON.stringify(found)).toBe('found')
    // by hand, A = [BrO3-]: bromide Y = k3 A X/(k1 A + k2 X), Z = 2 k3 A X/k5, and 0 = k1 A Y − k2 X Y + k3 A X − 2 k4 X²
    const [k1, k2, k3, k4, k5, a] = [1.28, 2.4e6, 33.6, 2400, 0.02, 0.06]
    const x = found.y[network.indexOf('HBrO2')]!
    const y = (k3 * a * x) / (k1 * a + k2 * x)
    expect(found.y[network.indexOf('Br-')]! / y).toBeCloseTo(1, 11)
    expect(found.y[network.indexOf('Z')]! / ((2 * k3 * a * x) / k5)).toBeCloseTo(1, 11)
    expect(Math.abs(k1 * a * y - k2 * x * y + k3 * a * x - 2 * k4 * x * x)).toBeLessThan(1e-12 * k3 * a * x)
    const stability = networkStability(network, found.y, true)!
    expect(stability.unstable).toBeGreaterThan(0)
    const beside = found.y.map((v) => v * 1.01)
    const run = createIntegrator(network).run({ fromS: 0, toS: 600, y0: beside, tolerances: { relative: 1e-6, absolute: 1e-14 } })
    let farthest = 0
    const state = new Float64Array(network.size)
    for (const t of run.stepTimesS) {
      run.at(t, state)
      state.forEach((v, j) => (farthest = Math.max(farthest, v / found.y[j]!)))
    }
    expect(farthest).toBeGreaterThan(3)
  })
})

describe('borders of oscillation', () => {
  it('of four steps with one autocatalysis: [B] = 1 + [A]², whichever knob is turned; the network is left as it was', () => {
    for (const a of [0.5, 1, 2]) {
      const network = brusselator(a, 0.4)
      const branch = borderOfOscillation(network, { knob: { kind: 'held', species: 'B' }, from: 0.4, to: 8 }, { y0: [a, 0.4 / a] })
      const hopf = branch.special.filter((s) => s.kind === 'hopf')
      expect(hopf).toHaveLength(1)
      expect(Math.abs(hopf[0]!.value / (1 + a * a) - 1)).toBeLessThan(1e-9)
      expect(Math.abs(hopf[0]!.omegaPerS! / a - 1)).toBeLessThan(1e-8)
      const rates = new Float64Array(network.rateNames.length)
      network.stepRates(0, Float64Array.of(1, 1), rates)
      expect(rates[network.rateNames.indexOf('s2')]).toBe(0.4)
    }
    // by a constant: x = A/k4, y = B k4/A; the trace B − k4 − (A/k4)² vanishes at A² = (B − k4) k4²
    const network = brusselator(1, 3)
    const branch = borderOfOscillation(
      network,
      { knob: { kind: 'constant', name: 's4.k' }, from: 0.4, to: 4, logarithmic: true },
      { y0: [2.5, 1] },
    )
    const hopf = branch.special.filter((s) => s.kind === 'hopf').map((s) => s.value)
    for (const k4 of hopf) expect(Math.abs((3 - k4) * k4 * k4 - 1)).toBeLessThan(1e-8)
    // x³ − 3x² + 1 = 0 with x = 1 + 2 cos φ gives cos 3φ = 1/2: φ = π/9, 5π/9 between 0.4 and 4
    expect(hopf).toHaveLength(2)
    expect(hopf[0]).toBeCloseTo(1 + 2 * Math.cos((5 * Math.PI) / 9), 8)
    expect(hopf[1]).toBeCloseTo(1 + 2 * Math.cos(Math.PI / 9), 8)
  })

  it('over two knobs is the parabola, found once', () => {
    const network = brusselator(1, 1)
    const map = mapOfOscillation(
      network,
      [
        { knob: { kind: 'held', species: 'B' }, from: 0.3, to: 6 },
        { knob: { kind: 'held', species: 'A' }, from: 0.3, to: 2 },
      ],
      { y0: [1, 1] },
    )
    expect(map.lines).toHaveLength(1)
    for (const { values } of map.lines[0]!.points) expect(Math.abs(values[0] / (1 + values[1] ** 2) - 1)).toBeLessThan(1e-8)
    const rates = new Float64Array(network.rateNames.length)
    network.stepRates(0, Float64Array.of(1, 1), rates)
    expect([rates[0], rates[1]]).toEqual([1, 1])
  })
})
