import { describe, expect, it } from 'vitest'
import type { Mechanism } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'
import { findMechanism } from '@beakertide/core/mechanism'
import type { RatesAlong } from '@beakertide/demonstration'
import {
  bandOfReigns,
  largestRate,
  lineWidth,
  networkGraph,
  nodeKey,
  ratesAt,
  rulingSteps,
  THICKEST_PX,
  THINNEST_PX,
} from './network-graph.ts'

const clock = ((): Mechanism => {
  const found = findMechanism('persulfate-iodide-thiosulfate/clock', facts.mechanisms(), facts.mechanismDefaults())
  if (!found.ok) throw new Error('no mechanism')
  return found.value
})()
const along: RatesAlong = {
  vessel: 'flask',
  startS: 5,
  timesS: [5, 15, 25],
  species: ['I2', 'I-'],
  steps: [
    {
      id: 'P1',
      kind: 'step',
      changes: [
        { species: 'I2', coefficient: 1 },
        { species: 'I-', coefficient: -2 },
      ],
    },
    { id: 'P3', kind: 'step', changes: [{ species: 'I2', coefficient: -1 }] },
    { id: 'I2 leaves as gas', kind: 'process', changes: [{ species: 'I2', coefficient: -1 }] },
  ],
  netMolPerLS: Float32Array.from([100, 0, 0, 2, -4, 0, 4, 0, 0]),
  molPerL: new Float32Array(6),
}

describe('the drawn network', () => {
  const graph = networkGraph(clock, along)
  it('joins species and steps only', () => {
    const keys = graph.nodes.map(nodeKey)
    expect(new Set(keys).size).toBe(keys.length)
    for (const line of graph.lines) {
      expect(keys).toContain(`species:${line.species}`)
      expect(keys).toContain(`step:${line.step}`)
    }
  })
  it('has the lines of the equation of each step, and of processes', () => {
    const of = (step: string) => graph.lines.filter((l) => l.step === step).map((l) => `${l.side} ${l.species} ${l.coefficient}`)
    expect(of('P1')).toEqual(expect.arrayContaining(['into S2O8^2- -1', 'into I- -2', 'outOf I2 1', 'outOf SO4^2- 2']))
    expect(of('I2 leaves as gas')).toEqual(['into I2 -1'])
    expect(graph.nodes.find((n) => n.id === 'I2 leaves as gas')).toMatchObject({ process: true })
  })
  it('knows what colours the liquid', () => {
    expect(graph.nodes.filter((n) => n.kind === 'species' && n.coloured).map((n) => n.id)).toContain('I2')
  })
})

describe('flow at a moment', () => {
  it('lies between samples', () => {
    expect(ratesAt(along, 20)).toEqual({ P1: 3, P3: -2, 'I2 leaves as gas': 0 })
    expect(ratesAt(along, 999)['P1']).toBe(4)
  })
  it('is measured by the largest, the first moment left out', () => {
    expect(largestRate(along)).toBe(4)
    expect(lineWidth(-4, 4)).toBe(THICKEST_PX)
    expect(lineWidth(0, 4)).toBe(THINNEST_PX)
    expect(lineWidth(1e-9, 4)).toBe(THINNEST_PX)
    expect(lineWidth(0.4, 4)).toBeLessThan(lineWidth(-4, 4))
  })
})

describe('ruling steps', () => {
  const reigns = [
    { species: 'I2', role: 'uses', step: 'P2', fromS: 5, toS: 60, share: 0.9 },
    { species: 'I2', role: 'makes', step: 'P1', fromS: 5, toS: 100, share: 1 },
    { species: 'I2', role: 'uses', step: null, fromS: 60, toS: 100, share: 0 },
  ] as const
  it('are those of the moment', () => {
    expect([...rulingSteps(reigns, 10).keys()].sort()).toEqual(['P1', 'P2'])
    expect([...rulingSteps(reigns, 70).keys()]).toEqual(['P1'])
    expect(bandOfReigns(reigns, 'I2', 'uses').map((r) => r.step)).toEqual(['P2', null])
  })
})
