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
  it('of a step in balance follow from the books: triiodide is made by nothing else', () => {
    const j = along.steps.findIndex((step) => step.id === 'P3')
    const i = along.species.indexOf('I3-')
    const n = along.steps.length
    const m = along.species.length
    const from = along.timesS.findIndex((t) => t >= along.startS + 70)
    for (let k = from; k < along.timesS.length - 1; k++) {
      const slope = (along.molPerL[(k + 1) * m + i]! - along.molPerL[(k - 1) * m + i]!) / (along.timesS[k + 1]! - along.timesS[k - 1]!)
      expect(Math.abs(along.netMolPerLS[k * n + j]! - slope)).toBeLessThan(0.05 * Math.abs(slope) + 1e-9)
    }
  })
  it('give reasons without the noise of a balance: persulfate makes the iodine, thiosulfate takes it, then triiodide does', () => {
    const got = reasonsOf(fuse, { vessel: 'flask', answersTo: 'nothing' }, day)
    if (!got.ok) throw new Error(problemsText(got.problems))
    const rulers = (role: string) => got.value.reigns.filter((r) => r.species === 'I2' && r.role === role).map((r) => r.step)
    expect(rulers('makes')).toEqual(['P1'])
    expect(rulers('uses')).toEqual(['P2', 'P3'])
    const iodine = got.value.species.find((s) => s.species === 'I2')!
    expect(iodine.inBalance).toEqual(['P3'])
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
