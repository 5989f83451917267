/** A changed document tried: checked whole like any document, and rehearsed if nothing dangerous refuses it. */
import { usualAbsorbers, prepareSeeing, seenOf, type Features, type VariedAmount, vesselCourse } from '@beakertide/core/rehearsal'
import { type Constraint, constraintOf, permittedRecipe } from './changed-recipe.ts'
import { type DayFacts, type Prepared, type RehearsalOptions, requestOfMany } from './day.ts'

/** A rehearsal in numbers, and what forbids the recipe that was rehearsed. */
export interface Tried {
  /** Null: refused, or it could not be rehearsed. */
  readonly features: Features | null
  /** The settled colour at the end, in a word; null without features. */
  readonly endColour: string | null
  readonly forbidden: Constraint | null
}

export interface TryRequest {
  /** A value for each amount. */
  readonly values: readonly number[]
  readonly accuracy: RehearsalOptions
  /** Rehearsed time, s. */
  readonly lengthS: number
  readonly shouldStop?: () => boolean
}

export function triedOf(
  prepared: Prepared,
  vessel: string,
  amounts: readonly VariedAmount[],
  { values, accuracy, lengthS, shouldStop }: TryRequest,
  facts: DayFacts,
): Tried {
  const changed = permittedRecipe(
    prepared,
    amounts.map((amount, i) => ({ amount, value: values[i]! })),
    facts,
  )
  const forbidden = constraintOf(changed, prepared)
  const none: Tried = { features: null, endColour: null, forbidden }
  if (!changed.ok) return none
  const request = { ...requestOfMany(changed.value, vessel, { ...accuracy, ...(shouldStop ? { shouldStop } : {}) }), lengthS }
  const seeing = prepareSeeing(request.view, { ...usualAbsorbers, ...request.mechanism.absorbers }, facts.seeing)
  if (!seeing.ok) return none
  const course = vesselCourse(request, facts)
  if (!course.ok || course.value.ending.how === 'stopped-short') return none
  const seen = seenOf(course.value, seeing.value)
  return { features: seen.features, endColour: seen.turns.at(-1)?.to ?? seen.strip.at(-1)?.name ?? 'colourless', forbidden }
}
