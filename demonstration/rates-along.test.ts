import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { problemsText } from '@beakertide/basis/problems'
import { findMechanism } from '@beakertide/core/mechanism'
import type { CarpetRow, CoastPoint } from '@beakertide/core/rehearsal'
import { facts } from '@beakertide/data'
import { type DayFacts, type Prepared, prepare } from './day.ts'
import { parseDemonstration } from './parse-demonstration.ts'
import { type RatesAlong, ratesAlong } from './rates-along.ts'
import { reasonsOf } from './reasons-of.ts'
import { coastOfVessel, varyVessel } from './vary-of.ts'

const day: DayFacts = facts.day()
const reactions = [...Object.keys(facts.mechanismDefaults()), ...facts.mechanisms().map((m) => m.name)]

function made(name: string): Prepared {
  const text = readFileSync(new URL(`../examples/right/${name}.yaml`, import.meta.url), 'utf8')
  const read = parseDemonstration(text, 'day.yaml', { matter: day.matter, reactions })
  if (!read.ok) throw new Error(problemsText(read.problems))
  const { reaction } = read.value
  const mechanism = findMechanism('name' in reaction ? reaction.name : '', facts.mechanisms(), facts.mechanismDefaults())
  if (!mechanism.ok) throw new Error('no mechanism')
  const got = prepare(read.value, mechanism.value, day)
  if (!got.ok) throw new Error(problemsText(got.problems))
  return got.value
}
const fuse = made('slow-fuse')
const along = ((): RatesAlong => {
  const got = ratesAlong(fuse, 'flask', day)
  if (!got.ok) throw new Error(problemsText(got.problems))
  return got.value
})()

describe('rates along a rehearsal', () => {
  it('have one row a sample, from the last pour on', () => {
    expect(along.timesS[0]).toBe(along.startS)
    expect(along.netMolPerLS).toHaveLength(along.timesS.length * along.steps.length)
    expect(along.molPerL).toHaveLength(along.timesS.length * along.species.length)
  })
  it('make and use each species as fast as its concentration rises and falls', () => {
    // a law, whatever the mechanism: the trapezoidal sum of the rates is the difference of concentrations. Fast equilibria need
    // the first second to settle, and samples are coarse beside the switch, so it is asked of the stretch before it.
    const s = along.steps.length
    const from = along.timesS.findIndex((t) => t >= along.startS + 1)
    const to = along.timesS.findIndex((t) => t >= along.startS + 40)
    for (const [i, id] of along.species.entries()) {
      let sum = 0
      for (let k = from + 1; k <= to; k++) {
        const dt = along.timesS[k]! - along.timesS[k - 1]!
        along.steps.forEach((step, j) => {
          const nu = step.changes.find((c) => c.species === id)?.coefficient ?? 0
          sum += (nu * dt * (along.netMolPerLS[k * s + j]! + along.netMolPerLS[(k - 1) * s + j]!)) / 2
        })
      }
      const at = (k: number): number => along.molPerL[k * along.species.length + i]!
      expect(Math.abs(sum - (at(to) - at(from))), id).toBeLessThan(0.01 * Math.abs(at(to) - at(from)) + 1e-6)
    }
  })
  it('agree with the reasons at the same time', () => {
    const got = reasonsOf(fuse, { vessel: 'flask', answersTo: 'nothing' }, day)
    if (!got.ok) throw new Error(problemsText(got.problems))
    const k = along.timesS.findIndex((t) => t >= got.value.atS)
    for (const species of got.value.species) {
      for (const share of [...species.making, ...species.using]) {
        const j = along.steps.findIndex((step) => step.id === share.step)
        const nu = along.steps[j]!.changes.find((c) => c.species === species.species)!.coefficient
        const rate = Math.abs(nu * along.netMolPerLS[k * along.steps.length + j]!)
        expect(Math.abs(rate / share.molPerLS - 1)).toBeLessThan(1e-5)
      }
    }
  })
})

describe('pictures that fill in', () => {
  it('are told every row of a carpet with what forbids it', () => {
    const rows: CarpetRow[] = []
    const range = { what: 'thiosulfate', from: '0.0005', to: '1' }
    const got = varyVessel(fuse, { vessel: 'flask', range, rows: 3, onRow: (_n, _of, row) => rows.push(row) }, day)
    expect(got.ok && got.value.rows).toEqual(rows)
    expect(rows).toHaveLength(3)
    expect(rows.some((row) => row.problems.length > 0)).toBe(true)
  })
  it('are told every point of a coast', () => {
    const points: CoastPoint[] = []
    const wish = { vessel: 'flask', x: { what: 'thiosulfate' }, y: { what: 'temperature' }, coarse: 2, halvings: 0, mostRuns: 9 }
    const got = coastOfVessel(fuse, { ...wish, onPoint: (_n, point) => points.push(point) }, day)
    expect(got.ok && got.value.points).toEqual(points)
  })
})
