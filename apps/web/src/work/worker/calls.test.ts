import { readFileSync } from 'node:fs'
import type { Band } from '@beakertide/core/rehearsal'
import { facts } from '@beakertide/data'
import { createJobRunner, inProcessPool } from '@beakertide/demonstration'
import { describe, expect, it } from 'vitest'
import { type DocumentText, noChanges } from '../contract.ts'
import { answering } from './answering.ts'
import { dayCalls } from './day-calls.ts'
import { houseOf } from './house.ts'
import { longCalls } from './long-calls.ts'

const house = houseOf(facts)
const calls = dayCalls(house)
const example = (name: string): DocumentText => ({
  text: readFileSync(new URL(`../../../../../examples/right/${name}.yaml`, import.meta.url), 'utf8'),
  beside: {},
})
const fuse = example('slow-fuse')

describe('the calls of a page', () => {
  it('open a document with everything that can be said before a rehearsal', () => {
    const view = calls.open(fuse, 'slow-fuse.yaml')
    expect(view.problems).toEqual([])
    expect(view.prepared?.poured.length).toBeGreaterThan(0)
    expect(view.demonstration?.title).toBe(view.prepared?.demonstration.title)
  })
  it('open a broken one as problems with their places', () => {
    const view = calls.open({ text: 'beakertide: 1\ntitle: x\n', beside: {} }, 'x.yaml')
    expect(view.demonstration).toBeNull()
    expect(view.problems.every((p) => p.what !== '' && p.todo !== '')).toBe(true)
  })
  it('rehearse and look quickly at the same course', () => {
    const vessel = calls.open(fuse, 'f').demonstration!.vessels[0]!.id
    const whole = calls.rehearse(fuse, vessel)
    const quick = calls.quickLook(fuse, vessel, noChanges)
    if (!whole.ok || !quick.ok) throw new Error('both must work')
    expect(quick.value.turns.map((t) => t.to)).toEqual(whole.value.turns.map((t) => t.to))
    expect(quick.value.inductionS! / whole.value.inductionS!).toBeCloseTo(1, 2)
  })
  it('follow the sliders: warmer goes faster', () => {
    const { demonstration } = calls.open(fuse, 'f')
    const vessel = demonstration!.vessels[0]!.id
    const at = (celsius: number): number => {
      const quick = calls.quickLook(fuse, vessel, { ...noChanges, celsius })
      return quick.ok ? quick.value.inductionS! : Number.NaN
    }
    expect(at(30)).toBeLessThan(at(10))
  })
  it('clear a chosen stop within the band of the vessel', () => {
    const vessel = calls.open(fuse, 'f').demonstration!.vessels[0]!.id
    const value = { low: 30, middle: 50, high: 90, share: 1 }
    const none = { low: null, middle: null, high: null, share: 0 }
    const wish = { vessel, stopAtS: 30, reductant: null, hottestCelsius: null }
    const of = (band: object | null) => {
      const plan = calls.clear(fuse, { ...wish, band: band as Band | null })
      const found = plan.ok ? plan.value.oxidants.find((o) => o.species.startsWith('S')) : undefined
      return found!.amountMol
    }
    const [own, wide] = [of(null), of({ lengthS: none, firstTurnS: value })]
    expect(own.low).toBe(own.high)
    expect(wide.low < own.low && wide.high > own.high).toBe(true)
  })
  it('say that there is no such vessel or paper', () => {
    const noVessel = calls.rehearse(fuse, 'nowhere')
    expect(noVessel.ok ? '' : noVessel.problems[0]?.code).toBe('work/no-such-vessel')
    const noPaper = calls.papers(fuse, ['origami'])
    expect(noPaper.ok ? '' : noPaper.problems[0]?.code).toBe('work/no-such-paper')
  })
  it('fill a carpet row by row', async () => {
    const told: number[] = []
    let clock = 0
    const vessel = calls.open(fuse, 'f').demonstration!.vessels[0]!.id
    const carpet = await longCalls(house, () => (clock += 1000)).carpet(
      fuse,
      { vessel, range: { what: 'temperature' }, rows: 3 },
      (soFar) => told.push(soFar.rows.length),
    )
    expect(carpet.ok && carpet.value.rows.length).toBe(3)
    expect(told).toEqual([1, 2, 3])
  })
  it('give the same over a pool as one after the other', async () => {
    const vessel = calls.open(fuse, 'f').demonstration!.vessels[0]!.id
    const pool = inProcessPool(createJobRunner(house.facts))
    const quiet = (): void => undefined
    const [alone, spread] = [longCalls(house, () => 0), longCalls(house, () => 0, pool)]
    expect(await spread.band(fuse, vessel, 8, 1, quiet)).toEqual(await alone.band(fuse, vessel, 8, 1, quiet))
    const wish = { vessel, range: { what: 'temperature' }, rows: 3 }
    expect(await spread.carpet(fuse, wish, quiet)).toEqual(await alone.carpet(fuse, wish, quiet))
  })
  it('give names for choosing', () => {
    const { mechanisms, substances } = calls.choices()
    expect(mechanisms.length).toBeGreaterThan(10)
    expect(new Set(substances.map((s) => s.id)).size).toBe(substances.length)
  })
  it('answer with a problem when the program itself is wrong', async () => {
    const broken = answering({
      open: (): Promise<unknown> => {
        throw new Error('slip')
      },
      rehearse: (): Promise<unknown> => {
        throw new Error('slip')
      },
    })
    expect(await broken.rehearse()).toMatchObject({ ok: false, problems: [{ code: 'work/fault' }] })
    expect(await broken.open()).toMatchObject({ demonstration: null, problems: [{ code: 'work/fault' }] })
  })
})
