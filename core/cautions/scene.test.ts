import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Substance } from '../matter/index.ts'
import { findSubstance } from '../matter/index.ts'
import { type Bottle, type SolutionRecipe, makeUp } from '../makeup/index.ts'
import { type Quantity, type QuantityKind, parseQuantity } from '@beakertide/basis/units'
import { cautionsFor, isInForce, sceneOf } from './index.ts'

const q = (text: string, kind: QuantityKind): Quantity => {
  const parsed = parseQuantity(text, [kind])
  if (!parsed.ok) throw new Error(parsed.problems[0]?.what)
  return parsed.value
}
const bottles: readonly Bottle[] = [
  { id: 'peroxide', substance: 'hydrogen peroxide', strength: q('30 % w/w', 'mass-fraction') },
  { id: 'acid', substance: 'sulfuric acid', strength: q('96 % w/w', 'mass-fraction') },
  { id: 'iodide', substance: 'potassium iodide', purity: q('99 %', 'fraction') },
]
const solutions: readonly SolutionRecipe[] = [
  {
    id: 'A',
    volume: q('500 mL', 'volume'),
    ingredients: [{ bottle: 'peroxide', target: { state: 'in-solution', quantity: q('1 mol/L', 'amount-concentration') } }],
  },
  {
    id: 'B',
    volume: q('500 mL', 'volume'),
    ingredients: [
      { bottle: 'iodide', target: { state: 'in-solution', quantity: q('0.1 mol/L', 'amount-concentration') } },
      { bottle: 'acid', target: { state: 'in-solution', quantity: q('0.1 mol/L', 'amount-concentration') } },
    ],
  },
]
const vessels = [
  {
    id: 'jar',
    capacityL: 2,
    depthCm: 8,
    stirred: true,
    count: 1,
    pours: [
      { solution: 'A', volumeL: 0.2, atS: 0 },
      { solution: 'B', volumeL: 0.2, atS: 5 },
    ],
  },
]

function substanceOf(name: string): Substance {
  const found = findSubstance(name, undefined, facts.matter())
  if (!found.ok) throw new Error(found.problems[0]?.what)
  return found.value
}
const made = makeUp(
  bottles,
  solutions,
  vessels,
  { temperatureK: 294.15 },
  { balanceReadabilityG: 0.01, glassClass: 'A' },
  { matter: facts.matter(), glassware: facts.glassware() },
)
const room = { temperatureK: 294.15, volumeM3: 150 }
const named = Object.fromEntries(bottles.map((b) => [b.id, substanceOf(b.substance)]))
if (!made.ok) throw new Error(JSON.stringify(made.problems))
const makeUpMade = made.value

describe('the scene of a make-up', () => {
  it('finds the strength of every bottle from what is taken of it', () => {
    const scene = sceneOf(makeUpMade, named, vessels, room, {})
    expect(scene.ok).toBe(true)
    if (!scene.ok) return
    const by = Object.fromEntries(scene.value.bottles.map((b) => [b.id, b]))
    expect(by['peroxide']?.massFraction).toBeCloseTo(0.3, 3)
    expect(by['acid']?.massFraction).toBeCloseTo(0.96, 3)
    // 30 % w/w peroxide is 9.8 mol/L at 20 degC, ghs_solution_bands.csv (READ R-H2O2)
    expect(by['peroxide']?.molPerL).toBeCloseTo(9.8, 1)
    expect(by['iodide']).toMatchObject({ solid: true, molPerL: null })
    expect(cautionsFor(scene.value, facts.hazards()).ok).toBe(true)
  })
  it('an unused solid stands on the shelf and is judged', () => {
    const scene = sceneOf(makeUpMade, { ...named, old: substanceOf('potassium dichromate') }, vessels, room, {})
    const cautions = scene.ok ? cautionsFor(scene.value, facts.hazards()) : null
    expect(cautions?.ok && cautions.value.list.filter(isInForce).map((c) => c.code)).toEqual(['cautions/chromium-vi'])
  })
  it('a bottle without its substance refuses the scene: unknown is not harmless', () => {
    const scene = sceneOf(makeUpMade, {}, vessels, room, {})
    expect(!scene.ok && scene.problems.map((p) => [p.code, p.danger])).toEqual(
      Array.from({ length: 3 }, () => ['cautions/unknown-substance', true]),
    )
  })
})
