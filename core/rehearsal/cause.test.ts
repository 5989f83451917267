import { describe, expect, it } from 'vitest'
import type { Ending } from '@beakertide/basis/numerics'
import { facts } from '@beakertide/data'
import { findMechanism, type Mechanism } from '../mechanism/index.ts'
import { causeOfEnd, type CauseInput } from './cause.ts'
import { familiesOf } from './families.ts'
import { featuresOf, isStillGoing } from './features.ts'
import type { Turn } from './rehearsal.ts'

const mechanismOf = (name: string): Mechanism => {
  const found = findMechanism(name, facts.mechanisms(), facts.mechanismDefaults())
  if (!found.ok) throw new Error(name)
  return found.value
}
const turn = (timeS: number): Turn => ({ timeS, from: 'colourless', to: 'blue', deltaE: 50 })
const reachedEnd: Ending = { how: 'reached-end', timeS: 100 }

/** A run from 0 to 100 s, a sample a second; each species as a function of time, mol/L. */
function input(
  mechanism: Mechanism,
  courses: Readonly<Record<string, (t: number) => number>>,
  more: Partial<Omit<CauseInput, 'mechanism' | 'names' | 'value'>> = {},
): CauseInput {
  const names = Object.keys(courses)
  const startS = more.startS ?? 0
  return {
    mechanism,
    names,
    timesS: Array.from({ length: 101 }, (_, k) => startS + k),
    value: (k, i) => courses[names[i]!]!(k),
    turns: [],
    cycles: 0,
    stillGoing: false,
    startS,
    ending: reachedEnd,
    ...more,
  }
}
const falling =
  (start: number, emptyS: number) =>
  (t: number): number =>
    Math.max(0, start * (1 - t / emptyS))
const kept = (c: number) => (): number => c

const clock = mechanismOf('persulfate-iodide-thiosulfate')
const oscillator = mechanismOf('iodate-peroxide-malonate')

describe('why it ends', () => {
  it('a stopped integration is no chemistry', () => {
    const ending: Ending = { how: 'stopped-short', timeS: 40, why: 'too-many-steps', advice: '' }
    const said = causeOfEnd(input(clock, { 'S2O8^2-': kept(0.04), 'S2O3^2-': falling(0.002, 10) }, { ending, turns: [turn(10)] }))
    expect(said).toContain('stopped at 40 s')
    expect(said).toContain('too many steps')
    expect(said).not.toMatch(/thiosulfate|persulfate|peroxodisulfate|steady|rest\b|used up/)
  })
  it('a clock: what is used up at the change, and what is left', () => {
    const said = causeOfEnd(input(clock, { 'S2O8^2-': falling(0.04, 1000), 'S2O3^2-': falling(0.002, 50) }, { turns: [turn(51)] }))
    expect(said).toBe('the change comes as the thiosulfate is used up, at 50 s; 95 % of the peroxodisulfate is left then.')
  })
  it('says from when the time counts when the clock was started before the pour', () => {
    const said = causeOfEnd(input(clock, { 'S2O8^2-': kept(0.04), 'S2O3^2-': falling(0.002, 50) }, { turns: [turn(56)], startS: 5 }))
    expect(said).toContain('at 55 s (50 s after the pour that starts it)')
  })
  it('nothing is seen: what ran out all the same', () => {
    expect(causeOfEnd(input(clock, { 'S2O8^2-': falling(0.001, 60), 'S2O3^2-': kept(0.004) }))).toBe(
      'no colour change comes; the peroxodisulfate is used up at 1 min.',
    )
  })
  it('nothing is seen and nothing runs out', () => {
    const said = causeOfEnd(input(clock, { 'S2O8^2-': kept(0.001), 'S2O3^2-': falling(0.004, 400) }))
    expect(said).toBe('no colour change comes in the rehearsed time, and no reactant runs out.')
  })
  it('an oscillation that goes on has not ended', () => {
    const said = causeOfEnd(
      input(
        oscillator,
        { MA: falling(0.05, 120), 'IO3-': falling(0.067, 300), H2O2: kept(1) },
        { turns: [turn(20), turn(95)], cycles: 6, stillGoing: true },
      ),
    )
    expect(said).toMatch(
      /^it has not ended: it still changes colour when the rehearsal stops at 1 min 40 s, with 17 % of the malonic acid left\.$/,
    )
  })
  it('an oscillation that stops with the malonic acid scarce', () => {
    const said = causeOfEnd(
      input(oscillator, { MA: falling(0.05, 120), 'IO3-': falling(0.067, 300), H2O2: kept(1) }, { turns: [turn(20), turn(90)], cycles: 6 }),
    )
    expect(said).toContain('the malonic acid runs short: 25 % is left at')
    expect(said).toContain('of the iodate')
  })
  it('an acid, its anion and its enol are one reactant', () => {
    const said = causeOfEnd(
      input(
        oscillator,
        { MA: falling(0.05, 40), 'HMA-': kept(0.05), 'IO3-': kept(0.067), H2O2: kept(1) },
        { turns: [turn(20), turn(60)], cycles: 3 },
      ),
    )
    expect(said).not.toContain('malonic acid is used up')
    expect(said).not.toContain('runs short')
  })
  it('a mixture that rests is said to rest only when it does', () => {
    const courses = { MA: kept(0.05), 'IO3-': kept(0.067), H2O2: kept(1) }
    const resting = causeOfEnd(input(oscillator, courses, { turns: [turn(20), turn(40)], cycles: 1 }))
    expect(resting).toContain('comes to rest')
    const using = causeOfEnd(input(oscillator, { ...courses, H2O2: falling(1, 150) }, { turns: [turn(20), turn(40)], cycles: 1 }))
    expect(using).toContain('the hydrogen peroxide goes on being used (73 % left then, 33 % when the rehearsal stops)')
    expect(using).not.toContain('rest,')
  })
  it('a reactant that grows is not called left', () => {
    const said = causeOfEnd(input(clock, { 'S2O8^2-': (t) => 0.04 + t * 1e-4, 'S2O3^2-': falling(0.002, 50) }, { turns: [turn(51)] }))
    expect(said).toBe('the change comes as the thiosulfate is used up, at 50 s.')
  })
  it('a trace is not a reactant that runs out', () => {
    const said = causeOfEnd(input(clock, { 'S2O8^2-': kept(0.04), 'S2O3^2-': falling(1e-7, 50) }, { turns: [turn(51)] }))
    expect(said).not.toContain('thiosulfate')
  })
  it('a catalyst that comes back is not used up', () => {
    const cerium = mechanismOf('bromate-malonate-cerium')
    const said = causeOfEnd(
      input(cerium, { 'Ce3+': falling(0.0025, 55), 'BrO3-': kept(0.06), MA: kept(0.03) }, { turns: [turn(20), turn(55)], cycles: 2 }),
    )
    expect(said).not.toContain('cerium')
  })
  it('a model that holds its reactants constant does not know the end', () => {
    const ferroin = mechanismOf('bromate-malonate-ferroin')
    const said = causeOfEnd(
      input(
        ferroin,
        { ferroin: kept(1e-3), ferriin: kept(1e-4), HBrO2: kept(1e-6) },
        { turns: [turn(20), turn(90)], cycles: 5, stillGoing: true },
      ),
    )
    expect(said).toMatch(/^not known: it still changes colour/)
    expect(said).toContain('bromate and bromomalonic acid constant')
  })
  describe('a gas is the story of a gas demonstration', () => {
    const foam = mechanismOf('peroxide-iodide')
    const gas = (all: number, overS: number) => (t: number) => Math.min(all, (all * t) / overS)
    it('used up', () => {
      const said = causeOfEnd(
        input(foam, { H2O2: falling(0.8, 50), 'I-': kept(0.1), O2: kept(1e-3), 'O2(g)': gas(0.4, 60) }, { turns: [turn(4)] }),
      )
      expect(said).toBe('the hydrogen peroxide is used up at 50 s; half of the oxygen that leaves is out at 30 s, 90 % at 54 s.')
    })
    it('not yet', () => {
      const said = causeOfEnd(input(foam, { H2O2: falling(0.8, 200), 'I-': kept(0.1), O2: kept(1e-3), 'O2(g)': gas(0.2, 100) }))
      expect(said).toMatch(/^it has not ended: 50 % of the hydrogen peroxide is left when the rehearsal stops at 1 min 40 s; half/)
    })
    it('none', () => {
      const said = causeOfEnd(input(foam, { H2O2: kept(0.8), 'I-': kept(0), O2: kept(1e-3), 'O2(g)': kept(0) }))
      expect(said).toContain('no oxygen to speak of')
    })
  })
})

describe('families', () => {
  it('go by what is left without protons', () => {
    const families = familiesOf(oscillator)
    expect([...families.get('MA')!].sort()).toEqual(['HMA-', 'MA', 'MAenol'])
    expect(families.get('I2')).toEqual(['I2'])
    // the radical and iodous acid differ by a hydrogen atom, not by a proton
    expect(families.get('IO2.')).toEqual(['IO2.'])
    const sulfite = familiesOf(mechanismOf('iodate-bisulfite'))
    expect([...sulfite.get('HSO3-')!].sort()).toEqual(['H2SO3', 'HSO3-', 'SO3^2-'])
    expect(sulfite.get('H+')).toEqual(['H+'])
  })
})

describe('features', () => {
  it('count from the pour; without turns there is none', () => {
    expect(featuresOf(5, 100, [], [], 0)).toEqual({ firstTurnS: null, periodS: null, cycles: 0, lengthS: null, stillGoing: false })
    expect(featuresOf(5, 100, [turn(12), turn(40)], [], 0)).toMatchObject({ firstTurnS: 7, lengthS: 35, periodS: null, stillGoing: false })
  })
  it('one missed turn does not move the period', () => {
    expect(featuresOf(0, 100, [turn(1)], [30, 15, 16, 99], 4).periodS).toBe(16)
    expect(featuresOf(0, 100, [turn(1)], [30, 16], 2).periodS).toBe(23)
  })
  it('still going: the last period has room for another turn after the end', () => {
    expect(isStillGoing([turn(10), turn(90)], [20, 20], 100)).toBe(true)
    expect(isStillGoing([turn(10), turn(60)], [20, 20], 100)).toBe(false)
    expect(isStillGoing([turn(99)], [], 100)).toBe(false)
  })
})
