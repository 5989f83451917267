import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { problemsText } from '@beakertide/basis/problems'
import { findMechanism } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'
import { type Prepared, parseDemonstration, prepare } from '@beakertide/demonstration'
import { noChanges } from '../../work/contract.ts'
import {
  amountKnobs,
  asFactor,
  canBeWritten,
  documentNumber,
  editsOf,
  inUnit,
  isUnchanged,
  scaledText,
  unitsOf,
  withAmount,
  withConstant,
} from './amounts.ts'

const day = facts.day()
const reactions = [...Object.keys(facts.mechanismDefaults()), ...facts.mechanisms().map((m) => m.name)]
const jar = ((): Prepared => {
  const text = readFileSync(new URL('../../../../../examples/right/tide-in-a-jar.yaml', import.meta.url), 'utf8')
  const read = parseDemonstration(text, 'day.yaml', { matter: day.matter, reactions })
  if (!read.ok) throw new Error(problemsText(read.problems))
  const mechanism = findMechanism('iodate-peroxide-malonate', facts.mechanisms(), facts.mechanismDefaults())
  if (!mechanism.ok) throw new Error('no mechanism')
  const got = prepare(read.value, mechanism.value, day)
  if (!got.ok) throw new Error(problemsText(got.problems))
  return got.value
})()

describe('what can be turned', () => {
  const knobs = amountKnobs(jar, 'jar')
  it('is every ingredient that reaches the vessel', () => {
    expect(knobs.map((k) => k.key)).toEqual(['A/iodate', 'A/acid', 'B/malonic', 'B/manganese', 'B/starch', 'C/peroxide'])
  })
  it('reads in the units of the bench and of the mix', () => {
    const malonic = knobs.find((k) => k.bottle === 'malonic')!
    // the document asks for 50 mmol/L in the mix; the balance shows 1 mg
    expect(malonic.mixMmolPerL).toBeCloseTo(50, 1)
    expect(unitsOf(malonic)).toEqual(['g', 'mmol/L', 'times'])
    expect(asFactor(malonic, 25, 'mmol/L')).toBeCloseTo(0.5, 3)
    expect(inUnit(malonic, asFactor(malonic, 3, 'g'), 'g')).toBeCloseTo(3, 9)
    expect(unitsOf(knobs.find((k) => k.bottle === 'peroxide')!)[0]).toBe('mL')
  })
})

describe('held changes', () => {
  it('let go at the recipe', () => {
    const held = withAmount(noChanges, 'A/acid', 2)
    expect([isUnchanged(held), canBeWritten(held)]).toEqual([false, true])
    expect(isUnchanged(withAmount(held, 'A/acid', 1))).toBe(true)
    const constant = withConstant(noChanges, 'I1.k', 2)
    expect([isUnchanged(constant), canBeWritten(constant)]).toEqual([false, false])
  })
  it('are written in the way the document states each', () => {
    const changes = { ...noChanges, amounts: { 'A/acid': 2, 'B/malonic': 0.5, 'B/starch': 1.1 }, celsius: 24, depthCm: 7.5 }
    expect(editsOf(changes, jar, 'jar')).toEqual([
      { path: ['solutions', 'A', 'with', 'acid'], value: '0.15 mol/L' },
      { path: ['solutions', 'B', 'with', 'malonic'], value: { 'in the mix': '25 mmol/L' } },
      { path: ['solutions', 'B', 'with', 'starch'], value: '0.396 g' },
      { path: ['room', 'temperature'], value: '24 degC' },
      { path: ['vessels', 'jar', 'depth'], value: '7.5 cm' },
    ])
  })
  it('keep units, lose uncertainties, and never write an exponent for an ordinary amount', () => {
    expect(scaledText('12.0 +/- 0.3 %', 0.5, 0.12, 'g')).toBe('6 %')
    expect(scaledText('.5 g', 3, 0.5, 'g')).toBe('1.5 g')
    expect(scaledText('half a spoon', 2, 0.001, 'g')).toBe('0.002 g')
    expect([0.000012345, 123456, 1e-9].map(documentNumber)).toEqual(['0.00001234', '123500', '1e-9'])
  })
})
