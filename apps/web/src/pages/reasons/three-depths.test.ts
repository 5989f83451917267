import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { problemsText } from '@beakertide/basis/problems'
import { findMechanism } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'
import { parseDemonstration, prepare, ratesAlong, reasonsOf, rehearseVessel } from '@beakertide/demonstration'
import { chargesOf } from '../../parts/chemical-words.ts'
import { courseOfRehearsal } from '../rehearsal/course.ts'
import { changeInPercent } from './change-in-percent.ts'
import { rateLaw } from './rate-laws.ts'
import { colourFlows, mainSpecies, molPerLAt, oneSentence, paragraph, stepsThatMatter, type Told } from './three-depths.ts'

const day = facts.day()
const reactions = [...Object.keys(facts.mechanismDefaults()), ...facts.mechanisms().map((m) => m.name)]

function told(name: string, vessel: string, reaction: string): Told {
  const text = readFileSync(new URL(`../../../../../examples/right/${name}.yaml`, import.meta.url), 'utf8')
  const read = parseDemonstration(text, 'day.yaml', { matter: day.matter, reactions })
  if (!read.ok) throw new Error(problemsText(read.problems))
  const mechanism = findMechanism(reaction, facts.mechanisms(), facts.mechanismDefaults())
  if (!mechanism.ok) throw new Error('no mechanism')
  const prepared = prepare(read.value, mechanism.value, day)
  if (!prepared.ok) throw new Error(problemsText(prepared.problems))
  const [rehearsal, along, reasons] = [
    rehearseVessel(prepared.value, vessel, day),
    ratesAlong(prepared.value, vessel, day),
    reasonsOf(prepared.value, { vessel, answersTo: 'nothing' }, day),
  ]
  if (!rehearsal.ok || !along.ok || !reasons.ok) throw new Error('no run')
  return {
    mechanism: mechanism.value,
    course: courseOfRehearsal(rehearsal.value),
    along: along.value,
    reasons: reasons.value,
    charges: chargesOf(mechanism.value),
  }
}

describe('reasons of a clock', () => {
  const clock = told('slow-fuse', 'flask', 'persulfate-iodide-thiosulfate/clock')
  it('know that thiosulfate hides the iodine until it is used up', () => {
    expect(mainSpecies(clock)).toBe('I2')
    const first = clock.course.turns[0]!.timeS
    expect(molPerLAt(clock.along, 'S2O3^2-', first)!).toBeLessThan(0.02 * molPerLAt(clock.along, 'S2O3^2-', clock.along.startS)!)
    expect(oneSentence(clock)).toMatch(/iodine.*thiosulfate/)
  })
  it('take what colours the liquid together, so that the exchange with triiodide is no reason', () => {
    const { made, used } = colourFlows(clock.along, ['I2', 'I3-'], clock.along.startS, clock.course.turns[0]!.timeS - 2)
    // the chemistry of the mechanism file: persulfate makes iodine, thiosulfate takes all of it before the switch
    expect(made.map((x) => x.step)).toEqual(['P1'])
    expect(used[0]).toMatchObject({ step: 'P2' })
    expect(used[0]!.share).toBeGreaterThan(0.99)
  })
  it('make whole sentences', () => {
    const said = [oneSentence(clock), ...paragraph(clock)]
    for (const sentence of said) {
      expect(sentence).toMatch(/^[A-ZÄÖÜ].*\.$/)
      expect(sentence).not.toMatch(/\{\w+\}|\.\.|undefined|NaN/)
    }
  })
})

describe('reasons of an oscillation', () => {
  const jar = told('tide-in-a-jar', 'jar', 'iodate-peroxide-malonate')
  it('name two sides, and keep steps that hardly run out of the way', () => {
    expect(oneSentence(jar)).toContain('iodine')
    expect(paragraph(jar).join(' ')).not.toContain('E1 (')
    const matter = stepsThatMatter(jar.along)
    expect(matter.size).toBeGreaterThan(3)
    expect(matter.size).toBeLessThan(jar.along.steps.length)
  })
})

describe('rate laws', () => {
  const clock = findMechanism('persulfate-iodide-thiosulfate/clock', facts.mechanisms(), facts.mechanismDefaults())
  it('are mass action or the file’s own expression', () => {
    if (!clock.ok) throw new Error('no mechanism')
    const step = clock.value.steps.find((s) => s.id === 'P3')!
    expect(rateLaw(step, chargesOf(clock.value))).toBe('kf [I₂] [I⁻] − kr [I₃⁻]')
    const written = {
      ...step,
      law: { kind: 'expression', text: 'k*[IO3-]*[I-]^2/(1 + [I2])', expression: { op: 'number', value: 1 } },
    } as const
    expect(rateLaw(written, { 'IO3-': -1 })).toBe('k [IO₃⁻] [I⁻]²/(1 + [I₂])')
  })
})

describe('a sensitivity as per cent', () => {
  it('is what ten per cent more does, or a kelvin', () => {
    const row = { of: 'a', kind: 'ingredient', firstTurn: -1, period: null, length: 2, cyclesForTenPercent: 0 } as const
    expect(changeInPercent(row, 'firstTurn')).toBeCloseTo(100 * (1 / 1.1 - 1), 12)
    expect(changeInPercent(row, 'length')).toBeCloseTo(21, 9)
    expect(changeInPercent(row, 'period')).toBeNull()
    expect(changeInPercent({ ...row, kind: 'temperature', firstTurn: -0.07 }, 'firstTurn')).toBeCloseTo(100 * Math.expm1(-0.07), 12)
  })
})
