/** The reverse: masses and volumes somebody took, or a recipe as found -> strengths in every solution and in the final mix. */
import { done, inReadingOrder, type Outcome, type Problem } from '@beakertide/basis/problems'
import type { Source } from '@beakertide/basis/sources'
import { celsiusToKelvin, type Quantity } from '@beakertide/basis/units'
import { findSubstance, type MatterFacts, type SpeciesId } from '../matter/index.ts'
import { makeUp, type MakeUpFacts } from './make-up.ts'
import type { MadeSolution, MakeUp, Strength } from './make-up-result.ts'
import type { MixShare } from './mix-share.ts'
import type { BalanceAndGlass, Bottle, SolutionRecipe } from './recipe.ts'

/** A pour of a found recipe. */
export interface FoundPour {
  readonly solution: string
  readonly volume: Quantity
}

/** One substance in the final mix, counted before anything reacts. */
export interface FinalSubstance {
  readonly substanceId: string
  /** Shared by all hydrates. */
  readonly family: string
  readonly molPerL: number
  readonly wantedMolPerL: number | null
  readonly uncertaintyMolPerL: number
}

/** The final mix before anything reacts; volumes added up (approximation, below 1 % for dilute solutions). */
export interface Mix {
  readonly volumeL: number
  readonly speciesMolPerL: Readonly<Record<SpeciesId, number>>
  readonly speciesRelativeUncertainty: Readonly<Record<SpeciesId, number>>
  readonly substances: readonly FinalSubstance[]
}

export interface TrueStrengths {
  readonly strengths: readonly Strength[]
  readonly solutions: readonly MadeSolution[]
  /** Null when nothing is poured together. */
  readonly mix: Mix | null
  readonly remarks: readonly Problem[]
  readonly sources: readonly Source[]
}

export interface TrueStrengthOptions {
  /** Temperature at which the recipe was made; default 20 degC, that of volumetric ware. */
  readonly celsius?: number
  /** Tools it was made with; default a 0.01 g balance and class B ware (assumed). */
  readonly tools?: BalanceAndGlass
}

const FOUND_CELSIUS = 20
const FOUND_TOOLS: BalanceAndGlass = { balanceReadabilityG: 0.01, glassClass: 'B' }
/** Relative standard uncertainty of a pour: class B cylinder (ISO 4788, about 1 % of the reading; memory). */
const POUR_UNCERTAINTY = 0.005
/** Remarks about how to make it do not belong to a recipe that is only read. */
const ABOUT_MAKING = new Set([
  'makeup/little-to-spare',
  'makeup/more-poured-than-made',
  'makeup/bottle-without-use',
  'makeup/weighed-differs',
])

function pourFaults(pours: readonly FoundPour[]): readonly Problem[] {
  return pours.flatMap((p) => {
    if (p.volume.kind === 'volume' && Number.isFinite(p.volume.value) && p.volume.value > 0) return []
    return [
      {
        code: 'makeup/not-above-zero',
        where: `pour of "${p.solution}"`,
        what: `"${p.volume.text}" is not a volume above 0`,
        todo: 'write it as in "50 mL"',
      },
    ]
  })
}

/** Pours of one solution are one: its error is the same in all of them. */
function together(pours: readonly FoundPour[]): readonly { readonly solution: string; readonly volumeL: number }[] {
  const sums = new Map<string, number>()
  for (const p of pours) sums.set(p.solution, (sums.get(p.solution) ?? 0) + p.volume.value)
  return [...sums].map(([solution, volumeL]) => ({ solution, volumeL }))
}

/** Mixes the made solutions as poured. */
function mixOf(made: MakeUp, pours: readonly FoundPour[], families: ReadonlyMap<string, string>): Mix | null {
  const volumeL = pours.reduce((sum, p) => sum + p.volume.value, 0)
  if (!(volumeL > 0)) return null
  const amounts: Record<SpeciesId, number> = {}
  const squares: Record<SpeciesId, number> = {}
  const substances = new Map<string, { substanceId: string; amount: number; wanted: number | null; square: number }>()
  for (const pour of together(pours)) {
    const solution = made.solutions.find((s) => s.id === pour.solution)
    if (!solution) continue
    const share = pour.volumeL / solution.volumeL
    for (const [species, amount] of Object.entries(solution.amountsMol)) {
      const poured = amount * share
      amounts[species] = (amounts[species] ?? 0) + poured
      const u = Math.hypot(solution.relativeUncertainty[species] ?? 0, POUR_UNCERTAINTY)
      squares[species] = (squares[species] ?? 0) + (poured * u) ** 2
    }
    for (const s of made.strengths.filter((x) => x.solution === solution.id)) {
      const family = families.get(s.substanceId) ?? s.substanceId
      const before = substances.get(family) ?? { substanceId: s.substanceId, amount: 0, wanted: 0, square: 0 }
      substances.set(family, {
        substanceId: before.substanceId,
        amount: before.amount + s.trueMolPerL * pour.volumeL,
        wanted: before.wanted === null || s.wantedMolPerL === null ? null : before.wanted + s.wantedMolPerL * pour.volumeL,
        square: before.square + (pour.volumeL * Math.hypot(s.uncertaintyMolPerL, s.trueMolPerL * POUR_UNCERTAINTY)) ** 2,
      })
    }
  }
  const perLitre = Object.fromEntries(Object.entries(amounts).map(([s, n]) => [s, n / volumeL]))
  const relative = Object.fromEntries(Object.entries(amounts).map(([s, n]) => [s, n === 0 ? 0 : Math.sqrt(squares[s] ?? 0) / Math.abs(n)]))
  return {
    volumeL,
    speciesMolPerL: perLitre,
    speciesRelativeUncertainty: relative,
    substances: [...substances].map(([family, s]) => ({
      substanceId: s.substanceId,
      family,
      molPerL: s.amount / volumeL,
      wantedMolPerL: s.wanted === null ? null : s.wanted / volumeL,
      uncertaintyMolPerL: Math.sqrt(s.square) / volumeL,
    })),
  }
}

function familiesOf(bottles: readonly Bottle[], matter: MatterFacts): ReadonlyMap<string, string> {
  return new Map(
    bottles.flatMap((b): readonly (readonly [string, string])[] => {
      const found = findSubstance(b.substance, b.hydrate, matter)
      return found.ok ? [[found.value.id, found.value.family]] : []
    }),
  )
}

/**
 * True strengths of a recipe: from what was really taken ("weighed") where it is given, else from what the recipe says,
 * beside the wanted ones. Pours may take more than was made (a recipe is read, not made). Refuses what makeUp refuses.
 */
export function trueStrengths(
  bottles: readonly Bottle[],
  solutions: readonly SolutionRecipe[],
  pours: readonly FoundPour[],
  facts: MakeUpFacts,
  options: TrueStrengthOptions = {},
): Outcome<TrueStrengths> {
  const faults = pourFaults(pours)
  const vessel: MixShare = { id: 'the final mix', count: 1, pours: pours.map((p) => ({ solution: p.solution, volumeL: p.volume.value })) }
  const room = { temperatureK: celsiusToKelvin(options.celsius ?? FOUND_CELSIUS) }
  const made = makeUp(bottles, solutions, pours.length > 0 ? [vessel] : [], room, options.tools ?? FOUND_TOOLS, facts, {
    exact: true,
    spareShare: 0,
  })
  if (!made.ok || faults.length > 0) {
    return { ok: false, problems: inReadingOrder([...faults, ...(made.ok ? [] : made.problems)]) }
  }
  const mix = mixOf(made.value, pours, familiesOf(bottles, facts.matter))
  return done({
    strengths: made.value.strengths,
    solutions: made.value.solutions,
    mix,
    remarks: made.value.remarks.filter((r) => !ABOUT_MAKING.has(r.code)),
    sources: made.value.sources,
  })
}
