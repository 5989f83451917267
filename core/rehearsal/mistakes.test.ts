import { describe, expect, it } from 'vitest'
import { celsiusToKelvin } from '@beakertide/basis/units'
import { facts } from '@beakertide/data'
import { findMechanism } from '../mechanism/index.ts'
import { featuresFor } from './band.ts'
import { explainBy, type MistakesRequest, type Observation, sameColourWord, TOO_FAR } from './mistakes.ts'
import { possibleMistakes } from './mistakes-list.ts'
import type { RehearsalFacts } from './rehearse.ts'
import { statedPortion, statedSolution } from './stated-solution.ts'

const tables: RehearsalFacts = facts.day()
const found = findMechanism('persulfate-iodide-thiosulfate', facts.mechanisms(), facts.mechanismDefaults())
if (!found.ok) throw new Error('no mechanism')
const mechanism = found.value
const water = { 'SO4^2-': 0.05, 'Na+': 0.1 }
const portions = [
  statedPortion('fuse', 'persulfate', 'sodium-peroxodisulfate', 0.1, 0.01),
  statedPortion('ember', 'iodide', 'potassium-iodide', 0.4 / 3, 0.01),
  statedPortion('ember', 'thiosulfate', 'sodium-thiosulfate-pentahydrate', 0.01 / 3, 0.01),
]
/** 0.040 persulfate (times `a`), 0.080 iodide (times `i`), 0.0020 thiosulfate (times `s`), mol/L, 0.2 L of fuse with 0.3 L of ember. */
function request(seen: Observation, factors: { a?: number; i?: number; s?: number; celsius?: number } = {}): MistakesRequest {
  const { a = 1, i = 1, s = 1, celsius = 25 } = factors
  const fuse = { 'S2O8^2-': 0.1 * a, 'Na+': 0.2 * a + 0.1, 'SO4^2-': 0.05 }
  const ember = {
    'I-': (0.4 / 3) * i,
    'K+': (0.4 / 3) * i,
    'S2O3^2-': (0.01 / 3) * s,
    'SO4^2-': water['SO4^2-'],
    'Na+': (0.02 / 3) * s + water['Na+'],
    starch: 0.006,
  }
  return {
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
      statedSolution('fuse', fuse, 1, celsius, mechanism, tables.matter),
      statedSolution('ember', ember, 1, celsius, mechanism, tables.matter),
    ],
    roomK: celsiusToKelvin(celsius),
    lengthS: 400,
    relativeTolerance: 1e-4,
    samples: 401,
    view: { illuminant: 'd65', adaptation: 1, depthCm: 6 },
    portions,
    seen,
  }
}
const wordsOf = (m: { readonly mistakes: readonly { readonly words: string }[] }): readonly string[] => m.mistakes.map((x) => x.words)

describe('a simulated mistake is found again', () => {
  const seen = { firstTurnS: featuresFor(request({}, { a: 0.5 }), tables)!.firstTurnS!, endColour: 'blue' }
  const got = explainBy(request(seen), tables)
  it('persulfate at half strength stands first, with what cannot be told from it', () => {
    const [first] = got.explanations
    expect(wordsOf(first!)).toContain('persulfate at half its strength')
    expect(first!.distance).toBeLessThan(0.05)
    expect(got.none).toBe(false)
    expect(first!.predicted.firstTurnS).toBeCloseTo(seen.firstTurnS, 1)
  })
  it('as written it would be twice as fast, and that is too far', () => {
    const asWritten = got.explanations[got.asWritten]!
    expect(got.asWritten).toBeGreaterThan(0)
    // t = -ln(1 - s/2a)/(i k): 0.0253 against 0.0513, and less salt makes it slower still
    expect(seen.firstTurnS / asWritten.predicted.firstTurnS!).toBeGreaterThan(2)
    expect(asWritten.distance).toBeGreaterThan(TOO_FAR)
  })
  it('distances rise, and every mistake stands in one group only', () => {
    const d = got.explanations.map((e) => e.distance)
    expect(d).toEqual([...d].sort((x, y) => x - y))
    const all = got.explanations.flatMap(wordsOf)
    expect(new Set(all).size).toBe(all.length)
    expect(all.length + got.notRehearsed.length).toBe(possibleMistakes(request({}), portions, tables.matter).length)
  })
  it('names the tests that separate the first two, quickest first', () => {
    expect(got.tests.length).toBeGreaterThan(0)
    const minutes = got.tests.map((t) => t.minutes)
    expect(minutes).toEqual([...minutes].sort((x, y) => x - y))
    expect(got.tests.some((t) => t.what.includes('titrate') || t.what.includes('weigh'))).toBe(true)
  })
  it('says what the model cannot cover', () => {
    expect(got.notCovered.join(' ')).toMatch(/chloride/)
    expect(got.counted).toContainEqual({ of: 'period', factorUp: 1.25, factorDown: 1.25, from: 'assumed' })
    const stated = mechanism.bands.find((b) => b.feature === 'first-turn')!
    expect(got.counted).toContainEqual({
      of: 'first-turn',
      factorUp: stated.factorUp,
      factorDown: stated.factorDown,
      from: 'stated by the mechanism',
    })
  })
})

it('thiosulfate put in twice and at twice its strength are one explanation: nothing can tell them apart', () => {
  const t = featuresFor(request({}, { s: 2 }), tables)!.firstTurnS!
  const [first] = explainBy(request({ firstTurnS: t }), tables).explanations
  expect(wordsOf(first!)).toEqual(expect.arrayContaining(['thiosulfate at twice its strength', 'thiosulfate put into ember twice']))
})

it('nothing seen: iodide or persulfate forgotten, or thiosulfate in great excess, but not the recipe as written', () => {
  const got = explainBy(request({ nothingUntilS: 300 }), tables)
  const zero = got.explanations.filter((e) => e.distance === 0).flatMap(wordsOf)
  expect(zero).toContain('persulfate forgotten in fuse')
  expect(zero).toContain('iodide forgotten in ember')
  expect(zero).not.toContain('the recipe as written')
  expect(zero).not.toContain('thiosulfate forgotten in ember')
})

it('what nothing explains is said to be unexplained', () => {
  const got = explainBy(request({ firstTurnS: 60, periodS: 12, cycles: 20 }), tables)
  expect(got.none).toBe(true)
})

it('seen as predicted: the recipe as written stands first', () => {
  const t = featuresFor(request({}), tables)!.firstTurnS!
  const got = explainBy(request({ firstTurnS: t }), tables)
  expect(got.asWritten).toBe(0)
  expect(got.none).toBe(false)
})

it('stops when asked', () => {
  const got = explainBy({ ...request({ firstTurnS: 60 }), shouldStop: () => true }, tables)
  expect([got.stopped, got.none, got.explanations.length]).toEqual([true, true, 0])
})

describe('the list', () => {
  const list = possibleMistakes(request({}), portions, tables.matter)
  it('the anhydrous salt weighed as pentahydrate is stronger by the ratio of molar masses, 248.18 / 158.10', () => {
    const mistake = list.find((m) => m.kind === 'hydrate' && m.words.includes('anhydrous'))!
    const before = list[0]!.request.solutions[1]!.amountsMol['S2O3^2-']!
    // molar masses: CIAAW abridged weights 2021
    expect(mistake.request.solutions[1]!.amountsMol['S2O3^2-']! / before).toBeCloseTo(248.18 / 158.1, 3)
  })
  it('swapped pours exchange the liquids, not the volumes and times', () => {
    const pours = list.find((m) => m.kind === 'swapped')!.request.vessel.pours
    expect(pours).toEqual([
      { solution: 'fuse', volumeL: 0.3, atS: 0 },
      { solution: 'ember', volumeL: 0.2, atS: 5 },
    ])
  })
  it('temperatures move the room and the solutions', () => {
    const cold = list.find((m) => m.words.includes('colder'))!.request
    expect(cold.roomK).toBeCloseTo(293.15, 6)
    expect(cold.solutions.map((s) => s.temperatureC)).toEqual([20, 20])
  })
  it('a forgotten portion leaves nothing of it, and nothing below zero', () => {
    for (const m of list)
      for (const s of m.request.solutions) for (const mol of Object.values(s.amountsMol)) expect(mol).toBeGreaterThanOrEqual(0)
    expect(list.find((m) => m.words === 'iodide forgotten in ember')!.request.solutions[1]!.amountsMol['I-']).toBeCloseTo(0, 15)
  })
})

it('colour words share a hue or do not', () => {
  expect(sameColourWord('blue', 'blue-black')).toBe(true)
  expect(sameColourWord('dark blue', 'pale blue')).toBe(true)
  expect(sameColourWord('pale yellow', 'pale violet')).toBe(false)
  expect(sameColourWord('colourless', 'blue')).toBe(false)
  expect(sameColourWord('black', 'blue')).toBe(true)
  expect(sameColourWord('black', 'pale blue')).toBe(false)
})
