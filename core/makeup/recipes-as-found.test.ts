import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { parseQuantity, type Quantity, type QuantityKind } from '@beakertide/basis/units'
import { type ComparedRecipe, compareRecipes, median, robustDeviations } from './compare.ts'
import { makeUp } from './make-up.ts'
import type { Bottle, SolutionRecipe, Target } from './recipe.ts'
import { scaleRecipe } from './scale.ts'
import { readPrice, totalCost } from './shopping.ts'
import { trueStrengths } from './true-strengths.ts'

const world = { matter: facts.matter(), glassware: facts.glassware() }
const kinds: QuantityKind[] = [
  'mass-fraction',
  'mass-concentration',
  'amount-concentration',
  'oxygen-volumes',
  'mass',
  'volume',
  'fraction',
]
function q(text: string): Quantity {
  const read = parseQuantity(text, kinds)
  if (!read.ok) throw new Error(JSON.stringify(read.problems))
  return read.value
}
const mass = (text: string): Target => ({ state: 'mass', quantity: q(text) })
const volume = (text: string): Target => ({ state: 'volume', quantity: q(text) })
const bottles: readonly Bottle[] = [
  { id: 'iodate', substance: 'KIO3', purity: q('100 %') },
  { id: 'peroxide', substance: 'hydrogen peroxide', strength: q('30 % w/w') },
  { id: 'acid', substance: 'sulfuric acid', strength: q('2.00 mol/L') },
  { id: 'malonic', substance: 'malonic acid', purity: q('100 %') },
]
/** A three-flask recipe with so much iodate and peroxide in a litre each. */
const recipe = (iodate: string, peroxideMl: string, malonic: string | null): readonly SolutionRecipe[] => [
  { id: 'P', volume: q('1 L'), ingredients: [{ bottle: 'peroxide', target: volume(peroxideMl) }] },
  {
    id: 'I',
    volume: q('1 L'),
    ingredients: [
      { bottle: 'iodate', target: mass(iodate) },
      { bottle: 'acid', target: volume('40 mL') },
    ],
  },
  { id: 'M', volume: q('1 L'), ingredients: malonic === null ? [] : [{ bottle: 'malonic', target: mass(malonic) }] },
]
const thirds = ['P', 'I', 'M'].map((solution) => ({ solution, volume: q('50 mL') }))
function strengths(solutions: readonly SolutionRecipe[], pours = thirds) {
  const found = trueStrengths(bottles, solutions, pours, world)
  if (!found.ok) throw new Error(JSON.stringify(found.problems))
  return found.value
}

describe('trueStrengths', () => {
  it('43 g of iodate and 400 mL of 30 % peroxide a litre, equal thirds: 0.067 and 1.3 mol/L in the mix (common practice, no source)', () => {
    const { mix, strengths: each } = strengths(recipe('43 g', '400 mL', '15.6 g'))
    // 43/214.00 = 0.2009; 0.4 x 9.8 = 3.9: a third of each, worked by hand
    expect(mix!.speciesMolPerL['IO3-']).toBeCloseTo(0.2009 / 3, 3)
    expect(mix!.speciesMolPerL['H2O2']).toBeCloseTo(1.31, 1)
    expect(mix!.volumeL).toBeCloseTo(0.15, 12)
    expect(each.find((s) => s.bottle === 'iodate')!.trueMolPerL).toBeCloseTo(0.2009, 4)
    expect(mix!.speciesRelativeUncertainty['H2O2']!).toBeGreaterThan(0.01)
  })

  it('what somebody weighed stands beside what was wanted, in the mix too', () => {
    const solutions = recipe('43 g', '400 mL', '15.6 g').map((s) =>
      s.id === 'I' ? { ...s, ingredients: [{ bottle: 'iodate', target: mass('43 g'), weighed: q('21.5 g') }] } : s,
    )
    const iodate = strengths(solutions).mix!.substances.find((s) => s.family.includes('iodate'))!
    expect(iodate.molPerL / iodate.wantedMolPerL!).toBeCloseTo(0.5, 6)
  })

  it('a recipe is read, not made: pours may take more than was made; what cannot be is still refused', () => {
    expect(strengths(recipe('43 g', '400 mL', '15.6 g'), [{ solution: 'P', volume: q('3 L') }]).mix!.volumeL).toBe(3)
    const bad = trueStrengths(bottles, recipe('43 g', '400 mL', null), [{ solution: 'X', volume: q('0 mL') }], world)
    expect(bad.ok ? [] : bad.problems.map((p) => p.code)).toEqual(
      expect.arrayContaining(['makeup/not-above-zero', 'makeup/pour-of-unknown-solution']),
    )
  })

  it('without pours there is no mix', () => {
    expect(strengths(recipe('43 g', '400 mL', null), []).mix).toBeNull()
  })
})

describe('compareRecipes', () => {
  const named = (name: string, ...args: Parameters<typeof recipe>): ComparedRecipe => ({
    name,
    source: 'made up',
    mix: strengths(recipe(...args)).mix!,
  })

  it('marks the one that mistook the unit and the one that lacks an ingredient', () => {
    const list = [
      named('one', '43 g', '400 mL', '15.6 g'),
      named('two', '41 g', '380 mL', '16 g'),
      named('three', '42 g', '410 mL', null),
      named('four', '4.3 g', '400 mL', '15 g'),
    ]
    const found = compareRecipes(list)
    if (!found.ok) throw new Error('refused')
    const row = (s: string) => found.value.rows.find((r) => r.species === s)!
    expect(row('IO3-').cells.map((c) => c.mark)).toEqual(['usual', 'usual', 'usual', 'odd'])
    expect(row('MA').cells.map((c) => c.mark)).toEqual(['usual', 'usual', 'missing', 'usual'])
    expect(found.value.remarks.map((r) => r.code)).toEqual(expect.arrayContaining(['makeup/recipe-odd', 'makeup/recipe-lacks']))
    expect(found.value.remarks.find((r) => r.code === 'makeup/recipe-odd')!.what).toMatch(/IO3- is .*1\/9\.\d of the median/)
    // two recipes have one odd key species each: none stands out
    expect(found.value.oddOneOut).toBeNull()
    expect(compareRecipes(list.filter((r) => r.name !== 'three'))).toMatchObject({ value: { oddOneOut: 'four' } })
    // key species first
    expect(found.value.rows.at(-1)!.isCounterIon).toBe(true)
  })

  it('recipes that agree to a few per cent have no odd one', () => {
    const found = compareRecipes([
      named('one', '43 g', '400 mL', '15 g'),
      named('two', '43 g', '400 mL', '15 g'),
      named('three', '44 g', '400 mL', '15 g'),
    ])
    expect(found).toMatchObject({ ok: true, value: { oddOneOut: null, remarks: [] } })
  })

  it('two can only be set side by side; one, or two of a name, is refused', () => {
    const two = compareRecipes([named('one', '43 g', '400 mL', '15 g'), named('two', '4 g', '400 mL', '15 g')])
    expect(two).toMatchObject({ ok: true, value: { oddOneOut: null } })
    expect(two.ok ? two.warnings[0]!.code : '').toBe('makeup/too-few-to-judge')
    expect(compareRecipes([named('one', '43 g', '400 mL', '15 g')]).ok).toBe(false)
    expect(compareRecipes([named('one', '43 g', '400 mL', '15 g'), named('one', '43 g', '400 mL', '15 g')]).ok).toBe(false)
  })

  it('something only one recipe has is named', () => {
    const found = compareRecipes([
      named('one', '43 g', '400 mL', null),
      named('two', '43 g', '400 mL', null),
      named('three', '43 g', '400 mL', '15 g'),
    ])
    expect(found.ok ? found.value.remarks.map((r) => r.code) : []).toContain('makeup/recipe-has-extra')
  })

  it('the rule on numbers: median, and MAD / 0.6745 of logarithms', () => {
    expect(median([3, 1, 2])).toBe(2)
    expect(median([4, 1, 2, 3])).toBe(2.5)
    // ln: 0, ln 2, ln 4 -> median ln 2, MAD ln 2
    expect(robustDeviations([1, 2, 4])).toEqual([expect.closeTo(-0.6745, 9), 0, expect.closeTo(0.6745, 9)])
  })
})

describe('scaleRecipe', () => {
  const solutions = recipe('43 g', '400 mL', '15.6 g')
  const vessels = [{ id: 'jar', count: 1, pours: ['P', 'I', 'M'].map((solution) => ({ solution, volumeL: 0.05 })) }]

  it('to five vessels of 300 mL with 20 % to spare: 600 mL of each, strengths as before', () => {
    const scaled = scaleRecipe(solutions, vessels, { vesselVolumeL: 0.3, numberOfVessels: 5, spareShare: 0.2 })
    if (!scaled.ok) throw new Error('refused')
    expect(scaled.value.solutions.map((s) => s.volume.value)).toEqual([0.6, 0.6, 0.6].map((x) => expect.closeTo(x, 12)))
    expect(scaled.value.solutions[1]!.ingredients[0]!.target.quantity).toMatchObject({ value: expect.closeTo(25.8, 9), text: '25.8000 g' })
    const before = strengths(solutions).strengths.map((s) => s.trueMolPerL)
    const after = strengths(scaled.value.solutions).strengths.map((s) => s.trueMolPerL)
    after.forEach((c, i) => expect(c).toBeCloseTo(before[i]!, 9))
    const made = makeUp(
      bottles,
      scaled.value.solutions,
      scaled.value.vessels,
      { temperatureK: 293.15 },
      { balanceReadabilityG: 0.01, glassClass: 'A' },
      world,
    )
    expect(made.ok).toBe(true)
  })

  it('refuses vessels that cannot be', () => {
    for (const wish of [{ vesselVolumeL: 0 }, { numberOfVessels: 1.5 }, { spareShare: -1 }, { vesselVolumeL: Number.NaN }])
      expect(scaleRecipe(solutions, vessels, wish).ok).toBe(false)
    expect(scaleRecipe(solutions, [], { numberOfVessels: 2 }).ok).toBe(false)
  })
})

describe('prices', () => {
  it('are read when there is one number', () => {
    expect(readPrice('12.50 EUR')).toEqual({ value: 12.5, currency: 'EUR' })
    expect(readPrice('EUR 7')).toEqual({ value: 7, currency: 'EUR' })
    expect(readPrice('ask')).toBeNull()
    expect(readPrice('2 for 5')).toBeNull()
  })

  it('and added up by currency', () => {
    const line = (cost?: string) => ({ bottle: 'b', substanceName: 's', needG: 1, needMl: null, packs: '', ...(cost ? { cost } : {}) })
    expect(totalCost([line('29.00 EUR (2 x 14.50 EUR)'), line('8.50 EUR (1 x 8.50 EUR)'), line(), line('ask')])).toBe('37.50 EUR')
  })
})
