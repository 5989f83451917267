/** What each reductant needs for what is left, what it makes, and how warm it gets. */
import { invariant } from '@beakertide/basis/problems'
import type { Source } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import type { ReductantId } from './clearing-plan.ts'
import type { ReductantFamily } from './reduction-ways.ts'
import { CAUTIOUS_KJ_PER_ELECTRON, type EnthalpyOf, reactionHeat } from './heat.ts'
import { type Equation, type HalfReaction, combine, speciesOf, stoichiometricNumber } from './half-reactions.ts'

export type Amounts = Readonly<Record<SpeciesId, number>>

export interface Reductant {
  readonly id: ReductantId
  readonly name: string
  /** As weighed. */
  readonly formula: string
  /** Half-reactions it can take, most needed first. */
  readonly routes: readonly string[]
  /** Moles of the reacting species a mole of substance. */
  readonly perMol: number
  /** What comes into the liquid beside it, a mole of substance. */
  readonly brings: Amounts
  /** Everything that comes into the liquid, a mole of substance. */
  readonly enters: Amounts
  readonly family: ReductantFamily
  readonly note: string
}

/** Strong and weak points: cleanup notes, section 1 (data/hazards/cleanup_reactions.csv for the numbers). */
export const REDUCTANTS: readonly Reductant[] = [
  {
    id: 'bisulfite',
    name: 'sodium hydrogensulfite',
    formula: 'NaHSO3',
    routes: ['bisulfite'],
    perMol: 1,
    brings: { 'Na+': 1 },
    enters: { 'Na+': 1, 'HSO3-': 1 },
    family: 'sulfite',
    note: 'instant, works on iodate and bromate; makes heat and acid, frees SO2 below pH 4; not for people with asthma',
  },
  {
    id: 'metabisulfite',
    name: 'sodium metabisulfite (counts twice)',
    formula: 'Na2S2O5',
    routes: ['bisulfite'],
    perMol: 2,
    brings: { 'Na+': 2 },
    enters: { 'Na+': 2, 'HSO3-': 2 },
    family: 'sulfite',
    note: 'as hydrogensulfite; makes heat and acid, frees SO2 below pH 4; not for people with asthma',
  },
  {
    id: 'sulfite',
    name: 'sodium sulfite',
    formula: 'Na2SO3',
    routes: ['sulfite'],
    perMol: 1,
    brings: { 'Na+': 2 },
    enters: { 'Na+': 2, 'SO3^2-': 1 },
    family: 'sulfite',
    note: 'makes no acid with peroxide and at pH 7 to 9 no SO2, so little gas; slow on neutral iodate; its solution is alkaline: drop by drop where manganese and peroxide are together',
  },
  {
    id: 'ascorbic',
    name: 'ascorbic acid',
    formula: 'C6H8O6',
    routes: ['ascorbic'],
    perMol: 1,
    brings: {},
    enters: { H2Asc: 1 },
    family: 'ascorbic',
    note: 'no gas, works in acid; dear, slow on peroxide (minutes to hours), adds organic load; its heat is a cautious figure',
  },
  {
    id: 'thiosulfate',
    name: 'sodium thiosulfate pentahydrate',
    formula: 'Na2S2O3·5H2O',
    routes: ['tetrathionate', 'sulfate'],
    perMol: 1,
    brings: { 'Na+': 2 },
    enters: { 'Na+': 2, 'S2O3^2-': 1 },
    family: 'thiosulfate',
    note: 'clears iodine at once; iodate only in acid, peroxide slowly; the need depends on pH (low end: peroxide to sulfate, a quarter mole each; half a mole near neutral; high end: tetrathionate, two each): add until the end point holds; below pH 4 it splits into sulfur and SO2',
  },
]

/** One equation of a treatment with how often it runs. */
export interface Used {
  readonly oxidant: HalfReaction
  readonly equation: Equation
  readonly extentMol: number
}

export interface Treatment {
  /** Of the substance as weighed. */
  readonly needMol: number
  /** Positive: comes out. Enthalpies that are not known are taken cautiously high. */
  readonly heatKJ: number
  readonly acidMadeMol: number
  readonly after: Amounts
  readonly used: readonly Used[]
  /** Oxidants whose heat is the cautious figure. */
  readonly heatUnknown: readonly SpeciesId[]
  readonly sources: readonly Source[]
}

/** Oxidants of the table that are there, with amounts (dissolved and solid). */
export function oxidantsIn(amounts: Amounts, facts: ClearingFacts): readonly { readonly half: HalfReaction; readonly amountMol: number }[] {
  return facts.oxidants.flatMap((half) => {
    const amountMol = amounts[half.species] ?? 0
    return amountMol > 0 ? [{ half, amountMol }] : []
  })
}

/** Electrons that all oxidants would take, mol. */
export function oxidantEquivalents(amounts: Amounts, facts: ClearingFacts): number {
  return oxidantsIn(amounts, facts).reduce((sum, o) => sum + o.amountMol * o.half.electrons, 0)
}

/**
 * Runs the reduction of every oxidant to its end with the stoichiometric amount of one reductant. `route` chooses the
 * half-reaction of those it can take; oxidants that take thiosulfate to tetrathionate only do so on every route.
 */
export function reduce(
  amounts: Amounts,
  reductant: Reductant,
  route: string,
  facts: ClearingFacts,
  enthalpyOf: EnthalpyOf | null,
): Treatment {
  const after: Record<SpeciesId, number> = { ...amounts }
  const used: Used[] = []
  const heatUnknown: SpeciesId[] = []
  const sources: Source[] = []
  let reacting = 0
  let heatKJ = 0
  for (const { half, amountMol } of oxidantsIn(amounts, facts)) {
    const name = half.thiosulfateRoute === 'tetrathionate' && reductant.id === 'thiosulfate' ? 'tetrathionate' : route
    const reducing = facts.reductantHalves[name]
    invariant(reducing !== undefined, `no half-reaction "${name}"`)
    const equation = combine(half, reducing)
    const extentMol = amountMol / (equation.reactants[half.species] ?? Number.NaN)
    for (const s of speciesOf(equation)) after[s] = (after[s] ?? 0) + extentMol * stoichiometricNumber(equation, s)
    after[half.species] = 0
    const taken = extentMol * (equation.reactants[reducing.species] ?? 0)
    reacting += taken
    after[reducing.species] = (after[reducing.species] ?? 0) + taken
    const heat = reactionHeat(equation, facts, enthalpyOf)
    sources.push(half.source, reducing.source, ...heat.sources)
    if (heat.kJ === null) {
      heatUnknown.push(half.species)
      heatKJ -= CAUTIOUS_KJ_PER_ELECTRON * half.electrons * amountMol
    } else heatKJ -= heat.kJ * extentMol
    used.push({ oxidant: half, equation, extentMol })
  }
  const needMol = reacting / reductant.perMol
  for (const [s, n] of Object.entries(reductant.brings)) after[s] = (after[s] ?? 0) + n * needMol
  const acidMadeMol = used.reduce((sum, u) => sum + u.extentMol * stoichiometricNumber(u.equation, 'H+'), 0)
  return { needMol, heatKJ, acidMadeMol, after, used, heatUnknown, sources }
}
