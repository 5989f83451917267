/** Limits of a place, prices, ways out, scale: what a plan says beside its steps. */
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Inventory } from '../mixture/index.ts'
import type { ClearingPlan } from './clearing-plan.ts'
import { judgePlace, type PlaceLimits } from './place-limits.ts'
import { type ClearingOptions, planClearing } from './plan-clearing.ts'

const world = { clearing: facts.clearing(), hazards: facts.hazards(), equilibria: facts.equilibria(), matter: facts.matter() }
const room = { temperatureK: 293.15, volumeM3: 100 }
const clock = { I2: 0.01, 'I-': 0.02, 'H+': 0.02, 'SO4^2-': 0.02, 'K+': 0.04, starch: 0.001 }

function left(amountsMol: Record<string, number>, volumeL: number, uncertainty: Record<string, number> = {}): Inventory {
  return {
    vessel: 'jar',
    atS: 600,
    volumeL,
    massG: 1000 * volumeL,
    temperatureK: 293.15,
    heatCapacityJPerK: 4180 * volumeL,
    amountsMol,
    solidsMol: {},
    gasesMol: {},
    relativeUncertainty: uncertainty,
  }
}
function plan(amounts: Record<string, number>, volumeL = 1, options: ClearingOptions = {}): ClearingPlan {
  const o = planClearing({ finished: [left(amounts, volumeL)], stoppedEarly: [] }, room, options, world)
  if (!o.ok) throw new Error(JSON.stringify(o.problems))
  return o.value
}
const place = (limits: PlaceLimits['limits'], collectAll = false): PlaceLimits => ({ name: 'here', source: 'a letter', limits, collectAll })
const goes = (p: ClearingPlan): readonly string[] => p.streams.map((s) => s.goes)

describe('the limits of a place', () => {
  it('within them it is still only asked for; what has no limit is named', () => {
    const p = plan(clock, 1, { place: place([{ parameter: 'sulfate', low: null, high: 5000 }]) })
    expect(goes(p)).toEqual(['only if your local authority allows'])
    expect(p.place?.lines[0]?.verdict).toBe('within')
    expect(p.place?.notLimited).toEqual(expect.arrayContaining(['iodide', 'sodium', 'dissolved salts']))
    expect(p.streams[0]?.what).toContain('no permission')
  })
  it('over one of them it is collected, with the parameter', () => {
    const p = plan(clock, 1, { place: place([{ parameter: 'sulfate', low: null, high: 600 }]) })
    // 0.02 mol/L of sulfate is 1921 mg/L
    expect(p.place?.lines[0]?.found?.high).toBeGreaterThan(1800)
    expect(goes(p)).toEqual(['collect as liquid'])
    expect(p.streams[0]?.reasons.join()).toContain('sulfate')
  })
  it('a place that collects everything collects everything', () => {
    expect(goes(plan({ 'Na+': 0.01, 'Cl-': 0.01 }, 1, { place: place([], true) }))).toEqual(['collect as liquid'])
  })
  it('a range across a limit may be over it; what cannot be found in the liquid is not over', () => {
    const answer = judgePlace(
      place([
        { parameter: 'manganese', low: null, high: 4 },
        { parameter: 'copper', low: null, high: 1 },
        { parameter: 'pH', low: 6, high: 9 },
      ]),
      { manganese: { low: 1, high: 10 }, pH: { low: 9.5, high: 10 } },
    )
    expect(answer.lines.map((l) => l.verdict)).toEqual(['may be over', 'not found in it', 'over'])
    expect(answer.over).toEqual(['manganese', 'pH'])
    expect(judgePlace(place([{ parameter: 'pH', low: 6, high: 9 }]), {}).over).toEqual(['pH'])
  })
  it('published limits are examples with their source, none of an open watercourse', () => {
    const p = plan({ ...clock, 'Mn2+': 0.01, 'SO4^2-': 0.03 })
    expect(p.publishedLimits.some((l) => l.parameter === 'manganese' && l.source.source !== '')).toBe(true)
    expect(p.publishedLimits.some((l) => /watercourse/i.test(l.authority))).toBe(false)
  })
})

describe('ways out side by side', () => {
  it('every reductant, and collecting; with the price where it is known', () => {
    const p = plan(clock, 1, { prices: { C6H8O6: { perG: 0.05, currency: 'EUR' } } })
    expect(p.alternatives.map((a) => a.id)).toEqual(['bisulfite', 'metabisulfite', 'sulfite', 'ascorbic', 'thiosulfate', 'collect'])
    // 0.01 mol ascorbic acid, 176.12 g/mol, at 5 cents a gram
    expect(p.alternatives.find((a) => a.id === 'ascorbic')?.price).toBe('0.09 EUR')
    expect(p.alternatives.find((a) => a.id === 'bisulfite')?.price).toBeNull()
  })
  it('waiting, and not diluting, where that changes something', () => {
    const o = planClearing(
      { finished: [left({ H2O2: 0.3, 'H+': 0.02, 'Cl-': 0.02 }, 1)], stoppedEarly: [left({ H2O2: 0.9, 'H+': 0.02, 'Cl-': 0.02 }, 1)] },
      room,
      {},
      world,
    )
    const all = o.ok ? o.value.alternatives : []
    const of = (id: string) => all.find((a) => a.id === id)!
    expect(of('finish-first').reductantG.high).toBeLessThan(of('bisulfite').reductantG.high)
    expect(of('as-it-stands').riseK.high).toBeGreaterThan(2 * of('bisulfite').riseK.high)
    expect(of('collect').leaves).toEqual(['H2O2'])
  })
  it('what is only collected has no other way', () => {
    const p = plan({ 'SCN-': 0.01, H2O2: 0.1, 'K+': 0.01 })
    expect(p.alternatives.map((a) => [a.id, a.chosen])).toEqual([['collect', true]])
    expect(p.treatment).toEqual([])
  })
  it('thiosulfate leaves iodate, and says so everywhere', () => {
    const p = plan({ 'IO3-': 0.01, 'K+': 0.01, 'H+': 0.05, 'Cl-': 0.05 }, 1, { reductant: 'thiosulfate' })
    expect(p.oxidantLeftMol.high).toBeCloseTo(0.06, 6)
    expect(p.steps.some((s) => s.danger === true && s.why.includes('IO3-'))).toBe(true)
    expect(p.streams.find((s) => s.name === 'liquid to keep')?.reasons.join()).toContain('oxidant is left')
  })
})

describe('what is left', () => {
  it('every role, with the uncertainty of what was weighed', () => {
    const o = planClearing(
      {
        finished: [left({ 'IO3-': 0.01, 'HSO3-': 0.001, 'Mn2+': 0.005, MA: 0.02, IMA: 0.01, 'K+': 0.02 }, 1, { 'IO3-': 0.01 })],
        stoppedEarly: [],
      },
      room,
      {},
      world,
    )
    const lines = o.ok ? o.value.left : []
    const of = (id: string) => lines.find((l) => l.species === id)
    expect(of('IO3-')).toEqual({
      species: 'IO3-',
      roles: ['oxidant'],
      finishedMol: { low: 0.01 * 0.98, high: 0.01 * 1.02 },
      earlyMol: null,
    })
    expect(of('HSO3-')?.roles).toContain('reductant')
    expect(of('Mn2+')?.roles).toEqual(['metal'])
    expect(of('IMA')?.roles).toEqual(['acid', 'organic'])
    expect(of('K+')).toBeUndefined()
  })
})

describe('scale', () => {
  it('from a dish of 10 mL to 20 L: amounts in proportion, temperatures, pH, portions and mg/L the same', () => {
    const amounts = { 'IO3-': 0.02, H2O2: 0.4, MA: 0.01, IMA: 0.04, 'Mn2+': 0.0067, 'H+': 0.0834, 'SO4^2-': 0.0534, 'K+': 0.01 }
    const of = (litres: number): ClearingPlan => plan(Object.fromEntries(Object.entries(amounts).map(([s, n]) => [s, n * litres])), litres)
    const [dish, tub] = [of(0.01), of(20)]
    for (const [i, s] of dish.treatment.entries()) {
      const large = tub.treatment[i]!
      expect(large.name).toBe(s.name)
      expect(large.riseK.high).toBeCloseTo(s.riseK.high, 4)
      expect(large.volumeL.high / s.volumeL.high).toBeCloseTo(2000, 3)
      if (s.pHAfter) expect(large.pHAfter?.high).toBeCloseTo(s.pHAfter.high, 4)
    }
    expect(tub.steps.map((s) => [s.portions, s.waitMinutes])).toEqual(dish.steps.map((s) => [s.portions, s.waitMinutes]))
    for (const [i, c] of dish.composition.entries()) expect(tub.composition[i]?.mgPerL.high ?? 0).toBeCloseTo(c.mgPerL.high, 3)
  })
})
