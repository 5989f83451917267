/** Single mistakes that can be made with a recipe, each as a rehearsal of its own and with the check that would show it. */
import { formatNumber } from '@beakertide/basis/units'
import type { Portion } from '../makeup/index.ts'
import type { MatterFacts, Substance } from '../matter/index.ts'
import { noVariation, portionKey, varySolutions, type Variation } from './variation.ts'
import type { RehearseRequest } from './rehearse.ts'

/** How a mistake is looked for directly. */
export interface DirectCheck {
  readonly what: string
  /** About how long it takes, min: our own estimate, no source. */
  readonly minutes: number
}

export interface Mistake {
  /** "persulfate at half its strength" */
  readonly words: string
  readonly kind: 'none' | 'strength' | 'decayed' | 'hydrate' | 'weighed-twice' | 'forgotten' | 'temperature' | 'swapped'
  /** Bottle, portion or solutions it is about; empty for none and temperature. */
  readonly about: readonly string[]
  readonly check: DirectCheck | null
  readonly request: RehearseRequest
  /** Mistakes of equal key have the same rehearsal. */
  readonly key: string
}

/** What is thought of: common practice and cases of failed demonstrations, no source for the factors. */
const STRENGTHS = [
  [0.5, 'at half its strength'],
  [2, 'at twice its strength'],
  [0.1, 'at a tenth of its strength'],
  [10, 'at ten times its strength'],
] as const
const DECAYED = [0.7, 0.5]
const TEMPERATURE_K = 5
/** Of water, to find the mass of a hydrate that the tables do not list, g/mol (CIAAW abridged weights 2021: H 1.008, O 15.999). */
const WATER_G_PER_MOL = 18.015

const TITRATED: Readonly<Record<string, string>> = {
  H2O2: 'titrate it with permanganate in acid',
  'S2O8^2-': 'titrate it: iodide in excess, then thiosulfate',
  'IO3-': 'titrate it: iodide and acid in excess, then thiosulfate',
  'BrO3-': 'titrate it: iodide and acid in excess, then thiosulfate',
  'S2O3^2-': 'titrate it against weighed iodate',
  'HSO3-': 'titrate it with iodine',
  'SO3^2-': 'titrate it with iodine',
  'C2O4^2-': 'titrate it hot with permanganate in acid',
  H2C2O4: 'titrate it hot with permanganate in acid',
  'H+': 'titrate it with alkali',
}

function strengthCheck(bottle: string, substance: Substance | undefined): DirectCheck {
  const titration = substance?.entersWater.map((e) => TITRATED[e.species]).find((t) => t !== undefined)
  return titration
    ? { what: `bottle "${bottle}": ${titration}`, minutes: 15 }
    : { what: `bottle "${bottle}": read its label again and repeat the sum, then make the solution afresh`, minutes: 20 }
}

/** Amounts that rounding left below nothing are nothing. */
function notBelowZero(request: RehearseRequest): RehearseRequest {
  return {
    ...request,
    solutions: request.solutions.map((s) => ({
      ...s,
      amountsMol: Object.fromEntries(Object.entries(s.amountsMol).map(([id, mol]) => [id, Math.max(0, mol)])),
    })),
  }
}

/** The list, the recipe as written first. Only portions of solutions that are poured into this vessel count. */
export function possibleMistakes(request: RehearseRequest, allPortions: readonly Portion[], matter: MatterFacts): readonly Mistake[] {
  const poured = [...new Set(request.vessel.pours.map((p) => p.solution))]
  const portions = allPortions.filter((p) => poured.includes(p.solution))
  const substances = new Map(matter.substances.map((s) => [s.id, s]))
  const list: Mistake[] = [{ words: 'the recipe as written', kind: 'none', about: [], check: null, request, key: 'none' }]
  const scaled = (factors: Readonly<Record<string, number>>, rest: Omit<Mistake, 'request' | 'key'>): void => {
    const variation: Variation = { ...noVariation, portions: factors }
    list.push({
      ...rest,
      request: notBelowZero({ ...request, solutions: varySolutions(request.solutions, allPortions, variation, matter) }),
      key: Object.entries(factors)
        .map(([key, f]) => `${key}*${f.toPrecision(9)}`)
        .sort()
        .join(' '),
    })
  }
  for (const bottle of new Set(portions.map((p) => p.bottle))) {
    const mine = portions.filter((p) => p.bottle === bottle)
    const substance = substances.get(mine[0]!.substanceId)
    const every = (factor: number): Record<string, number> => Object.fromEntries(mine.map((p) => [portionKey(p), factor]))
    const isPeroxide = substance?.entersWater.some((e) => e.species === 'H2O2') ?? false
    const check = strengthCheck(bottle, substance)
    for (const [factor, words] of STRENGTHS)
      scaled(every(factor), { words: `${bottle} ${words}`, kind: 'strength', about: [bottle], check })
    if (isPeroxide) {
      for (const share of DECAYED) {
        scaled(every(share), {
          words: `${bottle} decayed to ${formatNumber(100 * share, 2)} % of its label`,
          kind: 'decayed',
          about: [bottle],
          check,
        })
      }
    }
    for (const [words, grams] of otherHydrates(substance, matter)) {
      scaled(every(mine[0]!.measure === 'weigh' ? substance!.molarMassGPerMol / grams : 1), {
        words: `${bottle} is ${words}, weighed as the ${hydrateOf(substance!)}`,
        kind: 'hydrate',
        about: [bottle],
        check: { what: `bottle "${bottle}": read the formula and the molar mass on its label`, minutes: 2 },
      })
    }
  }
  for (const p of portions) {
    const key = portionKey(p)
    const isStarch = substances.get(p.substanceId)?.entersWater.some((e) => e.species === 'starch') ?? false
    scaled(
      { [key]: 0 },
      {
        words: `${p.bottle} forgotten in ${p.solution}`,
        kind: 'forgotten',
        about: [key],
        check: isStarch
          ? { what: 'stir a little starch into what stands in the vessel', minutes: 1 }
          : { what: `stir the amount of ${p.bottle} into a small trial of the same solutions`, minutes: 5 },
      },
    )
    scaled(
      { [key]: 2 },
      {
        words: `${p.bottle} put into ${p.solution} twice`,
        kind: 'weighed-twice',
        about: [key],
        check: { what: `weigh bottle "${p.bottle}" against what it held before`, minutes: 5 },
      },
    )
  }
  for (const shift of [-TEMPERATURE_K, TEMPERATURE_K]) {
    const solutions = varySolutions(request.solutions, allPortions, { ...noVariation, temperatureShiftK: shift }, matter)
    list.push({
      words: `${TEMPERATURE_K} °C ${shift < 0 ? 'colder' : 'warmer'} than stated`,
      kind: 'temperature',
      about: [],
      check: { what: 'put a thermometer into the solutions', minutes: 1 },
      request: { ...request, roomK: request.roomK + shift, solutions },
      key: `temperature ${shift}`,
    })
  }
  poured.forEach((a, i) => {
    for (const b of poured.slice(i + 1)) {
      const swap = (id: string): string => (id === a ? b : id === b ? a : id)
      const pours = request.vessel.pours.map((p) => ({ ...p, solution: swap(p.solution) }))
      list.push({
        words: `${a} and ${b} poured in each other's place`,
        kind: 'swapped',
        about: [a, b],
        check: { what: `measure what is left of ${a} and of ${b}`, minutes: 2 },
        request: { ...request, vessel: { ...request.vessel, pours } },
        key: `swapped ${a}|${b}`,
      })
    }
  })
  return list
}

const hydrateOf = (s: Substance): string => (s.waters === 0 ? 'anhydrous salt' : s.name)

/** Names and molar masses, g/mol, of the other hydrates of a solid's family, the anhydrous one included; none for a liquid. */
function otherHydrates(substance: Substance | undefined, matter: MatterFacts): readonly (readonly [string, number])[] {
  if (!substance) return []
  const family = matter.substances.filter((s) => s.family === substance.family && s.id !== substance.id && s.waters !== substance.waters)
  const listed = family.map((s) => [s.waters === 0 ? 'the anhydrous salt' : s.name, s.molarMassGPerMol] as const)
  if (substance.waters === 0 || family.some((s) => s.waters === 0)) return listed
  return [...listed, ['the anhydrous salt', substance.molarMassGPerMol - substance.waters * WATER_G_PER_MOL] as const]
}
