/** Very many recipes about the document's own, for looking over the country around it before a place is rehearsed properly. */
import { evenPoints } from '@beakertide/basis/numerics'
import { done, type Outcome } from '@beakertide/basis/problems'
import { manyStarts, portionKey, type StartFound } from '@beakertide/core/rehearsal'
import { type DayFacts, type Prepared, requestOfMany } from './day.ts'

export interface VariedRecipesWish {
  readonly seed: number
  /** Every amount lies evenly, in its logarithm, between so many times less and so many times more. At least 1. */
  readonly factor: number
  readonly relativeTolerance: number
  /** Samples along the rehearsed time. */
  readonly samples: number
  readonly shouldStop?: () => boolean
}

/** What run number i is: its factors, by "solution/bottle", and what became of it; null when it could not be run. */
export interface VariedRecipe {
  readonly factors: Readonly<Record<string, number>>
  readonly found: StartFound | null
}

/**
 * A function from a run's number to the run, for any number: it depends on the document, the vessel, the seed and the number alone.
 * These are numbers to choose by, not recipes: nothing here has been made up, checked or cautioned. Open the one that is
 * chosen as a document of its own.
 */
export function variedRecipes(
  prepared: Prepared,
  vessel: string,
  wish: VariedRecipesWish,
  facts: DayFacts,
): Outcome<(i: number) => VariedRecipe> {
  const { portions } = prepared.makeUp
  const run = manyStarts(requestOfMany(prepared, vessel, wish), portions, facts)
  if (!run.ok) return run
  const keys = [...new Set(portions.map(portionKey))]
  const points = evenPoints(wish.seed, keys)
  const spread = Math.log(Math.max(1, wish.factor))
  return done((i) => {
    const factors = Object.fromEntries(keys.map((key) => [key, Math.exp(spread * (2 * points.at(i, key) - 1))]))
    return { factors, found: run.value(factors) }
  })
}
