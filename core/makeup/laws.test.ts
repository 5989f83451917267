/** Laws that hold for every recipe: elements and amounts kept, dilution undone, scaling linear. Seeded. */
import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { facts } from '@beakertide/data'
import type { Quantity } from '@beakertide/basis/units'
import { findSubstance, molarMass, parseFormula } from '../matter/index.ts'
import { makeUp } from './make-up.ts'
import type { Bottle, SolutionRecipe } from './recipe.ts'
import { scaleRecipe } from './scale.ts'
import { trueStrengths } from './true-strengths.ts'

const world = { matter: facts.matter(), glassware: facts.glassware() }
const runs = { seed: 20240, numRuns: 40 }
const of = (kind: Quantity['kind'], value: number): Quantity => ({ kind, value, text: `${value} (${kind})` })
const room = { temperatureK: 293.15 }
const tools = { balanceReadabilityG: 0.01, glassClass: 'A' as const }

/** Solids with and without crystal water, and liquids of every kind. */
const solids = ['KIO3', 'KI', 'malonic acid', 'MnSO4·H2O', 'CuSO4·5H2O', 'Na2S2O3·5H2O', 'sodium metabisulfite', 'KBrO3']
const liquids: readonly (readonly [string, Quantity['kind'], number])[] = [
  ['sulfuric acid', 'mass-fraction', 0.96],
  ['hydrogen peroxide', 'mass-fraction', 0.3],
  ['hydrochloric acid', 'amount-concentration', 6],
  ['ammonia solution', 'mass-fraction', 0.25],
  ['KI', 'amount-concentration', 1],
  ['ethanol', 'volume-fraction', 0.95],
]
const anyBottle: fc.Arbitrary<Omit<Bottle, 'id'>> = fc.oneof(
  fc.record({ substance: fc.constantFrom(...solids), purity: fc.double({ min: 0.8, max: 1, noNaN: true }).map((x) => of('fraction', x)) }),
  fc.constantFrom(...liquids).map(([substance, kind, value]) => ({ substance, strength: of(kind, value) })),
)
const anyShelf = fc.array(fc.tuple(anyBottle, fc.double({ min: 0.001, max: 0.2, noNaN: true })), { minLength: 1, maxLength: 4 })
const anyVolume = fc.double({ min: 0.05, max: 3, noNaN: true })

function recipeOf(shelf: readonly (readonly [Omit<Bottle, 'id'>, number])[], volumeL: number) {
  const bottles = shelf.map(([b], i): Bottle => ({ id: `b${i}`, ...b }))
  const solution: SolutionRecipe = {
    id: 's',
    volume: of('volume', volumeL),
    ingredients: shelf.map(([, c], i) => ({
      bottle: `b${i}`,
      target: { state: 'in-solution' as const, quantity: of('amount-concentration', c) },
    })),
  }
  return { bottles, solution }
}
function made(bottles: readonly Bottle[], solutions: readonly SolutionRecipe[], exact = true) {
  const found = makeUp(bottles, solutions, [], room, tools, world, { exact })
  if (!found.ok) throw new Error(JSON.stringify(found.problems))
  return found.value
}
const weightOf = (formula: string): number => {
  const found = molarMass(formula, world.matter.weights)
  if (!found.ok) throw new Error(formula)
  return found.value.value
}
const add = (sums: Record<string, number>, elements: Readonly<Record<string, number>>, times: number): void => {
  for (const [e, n] of Object.entries(elements)) sums[e] = (sums[e] ?? 0) + n * times
}

describe('whatever is made', () => {
  it('holds the elements that were weighed, plus water', () => {
    fc.assert(
      fc.property(anyShelf, anyVolume, fc.boolean(), (shelf, volumeL, exact) => {
        const { bottles, solution } = recipeOf(shelf, volumeL)
        const all = made(bottles, [solution], exact)
        const made1 = all.solutions[0]!
        const inside: Record<string, number> = {}
        for (const [species, mol] of Object.entries(made1.amountsMol)) add(inside, world.matter.species[species]!.composition, mol)
        const brought: Record<string, number> = {}
        let waterG = made1.addedWaterG!
        all.portions.forEach((p, i) => {
          const parsed = parseFormula(p.formula)
          if (!parsed.ok) throw new Error(p.formula)
          add(brought, parsed.value.elements, p.amountMol)
          // what else is in a liquid bottle is water; in a solid it is other matter
          if (bottles[i]!.strength) waterG += p.massShownG - p.amountMol * weightOf(p.formula)
        })
        add(brought, { H: 2, O: 1 }, waterG / weightOf('H2O'))
        for (const e of new Set([...Object.keys(inside), ...Object.keys(brought)]))
          expect(Math.abs((inside[e] ?? 0) / (brought[e] ?? 0) - 1)).toBeLessThan(1e-9)
      }),
      runs,
    )
  })

  it('has the mass of what is in it, and no charge', () => {
    fc.assert(
      fc.property(anyShelf, anyVolume, (shelf, volumeL) => {
        const { bottles, solution } = recipeOf(shelf, volumeL)
        const s = made(bottles, [solution]).solutions[0]!
        let mass = s.inertG!
        let charge = 0
        let ions = 0
        for (const [id, mol] of Object.entries(s.amountsMol)) {
          const species = world.matter.species[id]!
          for (const [e, n] of Object.entries(species.composition)) mass += n * mol * world.matter.weights[e]!.value
          charge += species.charge * mol
          ions += Math.abs(species.charge) * mol
        }
        expect(Math.abs(mass / s.massG - 1)).toBeLessThan(1e-9)
        expect(Math.abs(charge)).toBeLessThan(1e-9 * (ions + 1))
        expect(s.massG).toBeCloseTo(s.densityGPerMl * s.volumeL * 1000, 9)
      }),
      runs,
    )
  })

  it('comes back from its own masses and volumes (the reverse)', () => {
    fc.assert(
      fc.property(anyShelf, anyVolume, (shelf, volumeL) => {
        const { bottles, solution } = recipeOf(shelf, volumeL)
        const there = made(bottles, [solution])
        const asWeighed: SolutionRecipe = {
          ...solution,
          ingredients: there.portions.map((p) => ({
            bottle: p.bottle,
            target:
              p.measure === 'weigh'
                ? { state: 'mass' as const, quantity: of('mass', p.massShownG) }
                : { state: 'volume' as const, quantity: of('volume', p.volumeShownL!) },
          })),
        }
        const back = trueStrengths(bottles, [asWeighed], [{ solution: 's', volume: of('volume', volumeL / 7) }], world)
        if (!back.ok) throw new Error(JSON.stringify(back.problems))
        back.value.strengths.forEach((s, i) => expect(Math.abs(s.trueMolPerL / shelf[i]![1] - 1)).toBeLessThan(1e-9))
      }),
      runs,
    )
  })

  it('scales: twice the volume, twice every mass, the same strengths', () => {
    fc.assert(
      fc.property(anyShelf, anyVolume, fc.double({ min: 0.2, max: 5, noNaN: true }), (shelf, volumeL, factor) => {
        const { bottles, solution } = recipeOf(shelf, volumeL)
        const vessels = [{ id: 'v', count: 1, pours: [{ solution: 's', volumeL }] }]
        const scaled = scaleRecipe([solution], vessels, { vesselVolumeL: volumeL * factor, spareShare: 0 })
        if (!scaled.ok) throw new Error('refused')
        const small = made(bottles, [solution])
        const large = made(bottles, scaled.value.solutions)
        small.portions.forEach((p, i) => expect(large.portions[i]!.massG / p.massG / factor).toBeCloseTo(1, 9))
        expect(large.solutions[0]!.massG / small.solutions[0]!.massG / factor).toBeCloseTo(1, 9)
      }),
      runs,
    )
  })
})

describe('dilution', () => {
  it('undone: what is taken for it holds what is wanted', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 5, noNaN: true }),
        fc.double({ min: 0.01, max: 0.9, noNaN: true }),
        anyVolume,
        (stock, share, volumeL) => {
          const c = stock * share
          const { bottles, solution } = recipeOf([[{ substance: 'HCl', strength: of('amount-concentration', stock) }, c]], volumeL)
          const p = made(bottles, [solution]).portions[0]!
          expect((p.volumeL! * stock) / volumeL).toBeCloseTo(c, 9)
        },
      ),
      runs,
    )
  })

  it('in one step or two gives the same strength', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.05, max: 0.9, noNaN: true }), fc.double({ min: 0.05, max: 0.9, noNaN: true }), (first, second) => {
        const oneStep = made(
          [{ id: 'b', substance: 'H2O2', strength: of('mass-fraction', 0.3) }],
          [
            {
              id: 's',
              volume: of('volume', 1),
              ingredients: [{ bottle: 'b', target: { state: 'volume', quantity: of('volume', first * second) } }],
            },
          ],
        ).strengths[0]!.trueMolPerL
        const half = made(
          [{ id: 'b', substance: 'H2O2', strength: of('mass-fraction', 0.3) }],
          [
            {
              id: 's',
              volume: of('volume', 1),
              ingredients: [{ bottle: 'b', target: { state: 'volume', quantity: of('volume', first) } }],
            },
          ],
        ).strengths[0]!.trueMolPerL
        const twoSteps = made(
          [{ id: 'b', substance: 'H2O2', strength: of('amount-concentration', half) }],
          [
            {
              id: 's',
              volume: of('volume', 1),
              ingredients: [{ bottle: 'b', target: { state: 'volume', quantity: of('volume', second) } }],
            },
          ],
        ).strengths[0]!.trueMolPerL
        expect(twoSteps / oneStep).toBeCloseTo(1, 9)
      }),
      runs,
    )
  })

  it('in the mix: the wanted strength is what the mix holds', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.001, max: 0.05, noNaN: true }),
        fc.double({ min: 0.02, max: 0.3, noNaN: true }),
        fc.double({ min: 0.02, max: 0.3, noNaN: true }),
        (c, a, b) => {
          const bottles: Bottle[] = [{ id: 'b', substance: 'KI', purity: of('fraction', 0.99) }]
          const solutions: SolutionRecipe[] = [
            {
              id: 's',
              volume: of('volume', 0.5),
              ingredients: [{ bottle: 'b', target: { state: 'in-mix', quantity: of('amount-concentration', c) } }],
            },
            { id: 'water', volume: of('volume', 0.5), ingredients: [] },
          ]
          const back = trueStrengths(
            bottles,
            solutions,
            [
              { solution: 's', volume: of('volume', a) },
              { solution: 'water', volume: of('volume', b) },
            ],
            world,
          )
          if (!back.ok) throw new Error(JSON.stringify(back.problems))
          expect(back.value.mix!.speciesMolPerL['I-']! / c).toBeCloseTo(1, 9)
        },
      ),
      runs,
    )
  })
})

it('every substance that can stand in a bottle goes through make-up', () => {
  for (const substance of world.matter.substances) {
    const found = findSubstance(substance.id, undefined, world.matter)
    if (!found.ok) continue
    for (const b of [{ purity: of('fraction', 0.99) }, { strength: of('mass-fraction', 0.05) }]) {
      const outcome = makeUp(
        [{ id: 'b', substance: substance.id, ...b }],
        [
          {
            id: 's',
            volume: of('volume', 0.25),
            ingredients: [{ bottle: 'b', target: { state: 'in-solution', quantity: of('mass-concentration', 1) } }],
          },
        ],
        [],
        room,
        tools,
        world,
      )
      if (outcome.ok) {
        expect(outcome.value.strengths[0]!.trueMolPerL).toBeGreaterThan(0)
        expect(Object.values(outcome.value.solutions[0]!.amountsMol).every(Number.isFinite)).toBe(true)
      } else expect(outcome.problems[0]!.code).toMatch(/^makeup\//)
    }
  }
})

it('one wild number in a sound recipe: computed or refused, never thrown at, never NaN', () => {
  const kinds: readonly Quantity['kind'][] = [
    'amount-concentration',
    'mass-concentration',
    'mass-fraction',
    'volume-fraction',
    'oxygen-volumes',
    'mass',
    'volume',
    'temperature',
    'density',
    'molality',
    'fraction',
    'pressure',
  ]
  const wild = fc.oneof(
    fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, -1, 0, 1e308, 1e-300, 1e-9, 0.3, 1, 10, 300),
    fc.double({ min: 0, max: 2, noNaN: true }),
  )
  const anyQuantity = fc.tuple(fc.constantFrom(...kinds), wild).map(([kind, value]) => of(kind, value))
  const sound = {
    strength: of('mass-fraction', 0.06),
    density: of('density', 1.02),
    take: of('volume', 0.01),
    dilutedTo: of('volume', 0.25),
    aliquot: of('volume', 0.025),
    titrant: of('amount-concentration', 0.02),
    used: of('volume', 0.0356),
    gas: of('volume', 0.2),
    gasTemperature: of('temperature', 295),
    pressure: of('pressure', 101_325),
    volume: of('volume', 0.5),
    target: of('amount-concentration', 0.1),
    weighed: of('volume', 0.03),
    stored: of('temperature', 280),
    pack: of('volume', 0.1),
  }
  const fields = Object.keys(sound) as (keyof typeof sound)[]
  let computed = 0
  let refused = 0
  fc.assert(
    fc.property(
      fc.constantFrom(...fields),
      anyQuantity,
      fc.constantFrom('permanganate' as const, 'iodometric' as const, 'gas' as const),
      fc.constantFrom('in-solution' as const, 'in-mix' as const),
      (field, quantity, by, state) => {
        const n = { ...sound, [field]: quantity }
        const assay =
          by === 'gas'
            ? {
                by: 'oxygen-volume' as const,
                take: n.take,
                gas: n.gas,
                temperature: n.gasTemperature,
                pressure: n.pressure,
                overWater: true,
              }
            : { by, take: n.take, dilutedTo: n.dilutedTo, aliquot: n.aliquot, titrant: n.titrant, used: n.used }
        const found = makeUp(
          [{ id: 'b', substance: 'H2O2', strength: n.strength, density: n.density, assay, packSize: n.pack }],
          [
            {
              id: 's',
              volume: n.volume,
              storedAt: n.stored,
              ingredients: [{ bottle: 'b', target: { state, quantity: n.target }, weighed: n.weighed }],
            },
          ],
          [{ id: 'v', count: 1, pours: [{ solution: 's', volumeL: 0.05 }] }],
          room,
          tools,
          world,
        )
        if (found.ok) {
          computed++
          const { trueMolPerL, uncertaintyMolPerL } = found.value.strengths[0]!
          expect(trueMolPerL).toBeGreaterThan(0)
          expect(Number.isFinite(trueMolPerL) && Number.isFinite(uncertaintyMolPerL)).toBe(true)
          expect(Object.values(found.value.solutions[0]!.amountsMol).every(Number.isFinite)).toBe(true)
        } else {
          refused++
          for (const p of found.problems) expect(p.what + p.todo + p.where).not.toMatch(/undefined|\[object/)
        }
      },
    ),
    { seed: 99, numRuns: 1500 },
  )
  expect(computed).toBeGreaterThan(100)
  expect(refused).toBeGreaterThan(100)
})
