/** Redox reactions run to their end in a liquid: which way a reductant takes follows from the pH (data/hazards/reduction_ways.csv). */
import { invariant } from '@beakertide/basis/problems'
import type { Source } from '@beakertide/basis/sources'
import { type EquilibriumFacts, overMasters } from '../mixture/index.ts'
import type { SpeciesId } from '../matter/index.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import { CAUTIOUS_KJ_PER_ELECTRON, type EnthalpyOf, reactionHeat } from './heat.ts'
import { combine, type Equation, type HalfReaction, speciesOf, stoichiometricNumber } from './half-reactions.ts'
import { addSpecies, type Masters } from './liquid.ts'
import { PACES, REDUCTANT_FAMILIES, type Pace, type ReductantFamily, type Way } from './reduction-ways.ts'

/** The way a reductant takes with an oxidant at a pH; null: they do not react. */
export function wayOf(oxidant: SpeciesId, reductant: ReductantFamily, pH: number, facts: ClearingFacts): Way | null {
  const at = facts.ways.filter((w) => w.reductant === reductant && pH >= w.pH[0] && pH < w.pH[1])
  return at.find((w) => w.oxidants.includes(oxidant)) ?? at.find((w) => w.oxidants.length === 0) ?? null
}

/** Of two bounds of a mixed product, the usual one or the other. */
export type Bound = 'usual' | 'other'

/** Below this pH sulfite is written as hydrogensulfite, above as sulfite (pKa of hydrogensulfite about 7). */
const SULFITE_PH = 7

function halfOf(way: Way, bound: Bound, pH: number, facts: ClearingFacts): HalfReaction {
  const named = bound === 'usual' ? way.halves[0] : way.halves.at(-1)
  const id = named === 'sulfite' && pH < SULFITE_PH ? 'bisulfite' : named
  const half = id === undefined ? undefined : facts.reductantHalves[id]
  invariant(half !== undefined, `reduction_ways names a half-reaction "${id ?? ''}" that half_reactions does not hold`)
  return half
}

/** One equation with how often it ran. */
export interface Reaction {
  readonly oxidant: HalfReaction
  readonly reductant: HalfReaction
  readonly equation: Equation
  readonly extentMol: number
  readonly pace: Pace
  readonly note: string
}

export interface Reacted {
  readonly masters: Masters
  readonly reactions: readonly Reaction[]
  /** Of the reductant, mol of the family. */
  readonly takenMol: number
  /** Oxidants that the reductant does not meet at this pH, mol. */
  readonly unmet: Masters
  /** Heat of the equations as written against their independent species: add the change of the settled liquids. Negative warms, kJ. */
  readonly kJ: number
  readonly heatUnknown: readonly SpeciesId[]
  readonly sources: readonly Source[]
}

/** Independent species behind one of another protonation state: "HSO3-" -> "SO3^2-". */
export function familyMaster(species: SpeciesId, equilibria: EquilibriumFacts): SpeciesId {
  const found = overMasters(species, equilibria).masters.find(([id]) => id !== 'H+')
  invariant(found !== undefined, `${species} is more than protons`)
  return found[0]
}

export interface ReactingWorld {
  readonly clearing: ClearingFacts
  /** With halomalonates. */
  readonly equilibria: EquilibriumFacts
  readonly enthalpyOf: EnthalpyOf | null
}

/** Enthalpy of an equation less that of forming its species from the independent ones, kJ; cautiously high where unknown. */
function heatBeyondMasters(
  equation: Equation,
  half: HalfReaction,
  world: ReactingWorld,
): { kJ: number; known: boolean; sources: readonly Source[] } {
  const heat = reactionHeat(equation, world.clearing, world.enthalpyOf)
  const electrons = half.electrons * (equation.reactants[half.species] ?? 0)
  const written = heat.kJ ?? CAUTIOUS_KJ_PER_ELECTRON * electrons
  const forming = speciesOf(equation).reduce(
    (sum, id) => sum + stoichiometricNumber(equation, id) * (overMasters(id, world.equilibria).kJ ?? 0),
    0,
  )
  return { kJ: written - forming, known: heat.kJ !== null, sources: heat.sources }
}

/**
 * Every oxidant in order of pace, as far as the reductant reaches: `supply` "what is there" stops when the family is used
 * up, "as needed" takes what it needs (its total is then negative: that much has to be added). Protons count as water does:
 * the pH follows when the liquid is settled.
 */
export function react(
  masters: Masters,
  family: ReductantFamily,
  pH: number,
  bound: Bound,
  supply: 'what is there' | 'as needed',
  world: ReactingWorld,
): Reacted {
  const { clearing, equilibria } = world
  const after: Record<SpeciesId, number> = { ...masters }
  const reactions: Reaction[] = []
  const unmet: Record<SpeciesId, number> = {}
  const heatUnknown: SpeciesId[] = []
  const sources: Source[] = []
  let takenMol = 0
  let kJ = 0
  const met = clearing.oxidants
    .filter((o) => (masters[o.species] ?? 0) > 0)
    .map((o) => ({ oxidant: o, way: wayOf(o.species, family, pH, clearing) }))
  for (const { oxidant, way } of met) if (!way || way.pace === 'none') unmet[oxidant.species] = masters[oxidant.species] ?? 0
  const able = met.flatMap(({ oxidant, way }) => (way && way.pace !== 'none' ? [{ oxidant, way }] : []))
  for (const { oxidant, way } of able.sort((a, b) => PACES.indexOf(a.way.pace) - PACES.indexOf(b.way.pace))) {
    const reductant = halfOf(way, bound, pH, clearing)
    const equation = combine(oxidant, reductant)
    const perOxidant = equation.reactants[oxidant.species] ?? Number.NaN
    const perReductant = equation.reactants[reductant.species] ?? Number.NaN
    const there = after[familyMaster(reductant.species, equilibria)] ?? 0
    const reach = supply === 'as needed' ? Number.POSITIVE_INFINITY : Math.max(0, there) / perReductant
    const extentMol = Math.min((after[oxidant.species] ?? 0) / perOxidant, reach)
    if (!(extentMol > 0)) continue
    const left = extentMol < reach ? 0 : (after[oxidant.species] ?? 0) - extentMol * perOxidant
    for (const id of speciesOf(equation)) addSpecies(after, id, extentMol * stoichiometricNumber(equation, id), equilibria)
    // What is used up is gone, to the last digit.
    if (Math.abs(after[oxidant.species] ?? 0) < 1e-12 * extentMol * perOxidant) after[oxidant.species] = Math.max(0, left)
    const heat = heatBeyondMasters(equation, oxidant, world)
    kJ += heat.kJ * extentMol
    if (!heat.known) heatUnknown.push(oxidant.species)
    takenMol += extentMol * perReductant
    sources.push(way.source, oxidant.source, reductant.source, ...heat.sources)
    reactions.push({ oxidant, reductant, equation, extentMol, pace: way.pace, note: way.note })
  }
  return { masters: after, reactions, takenMol, unmet, kJ, heatUnknown, sources }
}

/**
 * What is left reacts with itself: sulfite, thiosulfate, ascorbic acid and oxalic acid that are there take their oxidants
 * first, so that they are not counted again in the dose.
 */
export function reactByItself(masters: Masters, pH: number, world: ReactingWorld): Reacted {
  let now: Reacted = { masters, reactions: [], takenMol: 0, unmet: {}, kJ: 0, heatUnknown: [], sources: [] }
  for (const family of REDUCTANT_FAMILIES) {
    const next = react(now.masters, family, pH, 'usual', 'what is there', world)
    now = {
      masters: next.masters,
      reactions: [...now.reactions, ...next.reactions],
      takenMol: now.takenMol + next.takenMol,
      unmet: {},
      kJ: now.kJ + next.kJ,
      heatUnknown: [...now.heatUnknown, ...next.heatUnknown],
      sources: [...now.sources, ...next.sources],
    }
  }
  return now
}
