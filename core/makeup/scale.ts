/** One recipe at any size: volume of a vessel, number of vessels, and what to spare. */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { formatQuantity, type Quantity, type QuantityKind } from '@beakertide/basis/units'
import { type MixShare, pouredVolumeL } from './mix-share.ts'
import type { SolutionRecipe } from './recipe.ts'

export interface ScaleWish {
  /** Liquid in one vessel after all pours, L; absent: as it is. */
  readonly vesselVolumeL?: number
  /** How many of each vessel; absent: as it is. */
  readonly numberOfVessels?: number
  /** To spare beyond the pours, as a share; default 0.1. */
  readonly spareShare?: number
}

export interface Scaled<V extends MixShare> {
  readonly solutions: readonly SolutionRecipe[]
  readonly vessels: readonly V[]
  /** Volume of each solution against the volume before. */
  readonly factors: Readonly<Record<string, number>>
}

const DEFAULT_SPARE = 0.1
/** Digits of a scaled amount's text; the value keeps them all. */
const DIGITS = 6

function times(q: Quantity, kind: QuantityKind, factor: number): Quantity {
  const value = q.value * factor
  return {
    kind: q.kind,
    value,
    text: formatQuantity(value, kind, DIGITS),
    ...(q.uncertainty === undefined ? {} : { uncertainty: q.uncertainty * factor }),
  }
}

function wishFaults(wish: ScaleWish, vessels: readonly MixShare[]): readonly Problem[] {
  const found: Problem[] = []
  const say = (what: string, todo: string): void => void found.push({ code: 'makeup/scale', where: 'scale', what, todo })
  const volume = wish.vesselVolumeL
  const number = wish.numberOfVessels
  const spare = wish.spareShare
  if (volume !== undefined && !(Number.isFinite(volume) && volume > 0))
    say(`a vessel of ${volume} L cannot be filled`, 'give a volume above 0')
  if (number !== undefined && !(Number.isInteger(number) && number > 0))
    say(`${number} is not a number of vessels`, 'give a whole number from 1 on')
  if (spare !== undefined && !(Number.isFinite(spare) && spare >= 0))
    say(`${spare} is not a share to spare`, 'give a share from 0 on, 0.1 for 10 %')
  if (vessels.length === 0) say('without pours nothing can be scaled', 'add the pours, or change the volumes of the solutions')
  return found
}

/** Ingredients stated by the batch (mass, volume) grow with it; strengths stay. What was weighed belonged to the old batch and goes. */
function scaledSolution(solution: SolutionRecipe, factor: number): SolutionRecipe {
  return {
    ...solution,
    volume: times(solution.volume, 'volume', factor),
    ingredients: solution.ingredients.map(({ weighed: _old, ...ingredient }) => {
      const { target } = ingredient
      if (target.state !== 'mass' && target.state !== 'volume') return ingredient
      return { ...ingredient, target: { state: target.state, quantity: times(target.quantity, target.state, factor) } }
    }),
  }
}

/**
 * The recipe for other vessels: pours in proportion, solutions made to what the pours take plus the spare share, batch amounts
 * with them; strengths are untouched. Solutions that are poured nowhere keep their volume.
 */
export function scaleRecipe<V extends MixShare>(
  solutions: readonly SolutionRecipe[],
  vessels: readonly V[],
  wish: ScaleWish,
): Outcome<Scaled<V>> {
  const faults = wishFaults(wish, vessels)
  if (faults.length > 0) return { ok: false, problems: faults }
  const scaledVessels = vessels.map((vessel): V => {
    const before = vessel.pours.reduce((sum, p) => sum + p.volumeL, 0)
    const factor = wish.vesselVolumeL === undefined || before <= 0 ? 1 : wish.vesselVolumeL / before
    return {
      ...vessel,
      count: wish.numberOfVessels ?? vessel.count,
      pours: vessel.pours.map((p) => ({ ...p, volumeL: p.volumeL * factor })),
    }
  })
  const factors: Record<string, number> = {}
  const scaledSolutions = solutions.map((solution) => {
    const need = pouredVolumeL(solution.id, scaledVessels) * (1 + (wish.spareShare ?? DEFAULT_SPARE))
    const factor = need > 0 ? need / solution.volume.value : 1
    factors[solution.id] = factor
    return scaledSolution(solution, factor)
  })
  return done({ solutions: scaledSolutions, vessels: scaledVessels, factors })
}
