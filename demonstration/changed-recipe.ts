/** The document with one amount changed, made ready afresh; and what forbids the change. */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { celsiusToKelvin, formatQuantity, type Quantity } from '@beakertide/basis/units'
import type { Ingredient, Target } from '@beakertide/core/makeup'
import type { Pour } from '@beakertide/core/mixture'
import type { Forbidden, VariedAmount } from '@beakertide/core/rehearsal'
import { type DayFacts, type Permitted, permit, type Prepared, prepare } from './day.ts'
import type { Demonstration } from './demonstration.ts'

/** What forbids a changed recipe. */
export type Constraint = Forbidden

const CONSTRAINTS: Readonly<Record<string, Constraint['set']>> = {
  'makeup/does-not-dissolve': 'solubility',
  'makeup/crystallises-in-store': 'solubility',
  'makeup/weighing-too-small': 'small-weighing',
  'makeup/volume-too-small': 'small-weighing',
}

function scaledQuantity(q: Quantity, factor: number): Quantity {
  const value = q.value * factor
  return {
    ...q,
    value,
    text: formatQuantity(value, q.kind, 4),
    ...(q.uncertainty === undefined ? {} : { uncertainty: q.uncertainty * factor }),
  }
}

/** An ingredient with so many times of it. What was really weighed is what the factor counts from, and becomes the target. */
function scaledIngredient(ingredient: Ingredient, factor: number): Ingredient {
  const { weighed, ...rest } = ingredient
  const target: Target = weighed
    ? { state: weighed.kind === 'volume' ? 'volume' : 'mass', quantity: scaledQuantity(weighed, factor) }
    : { ...rest.target, quantity: scaledQuantity(rest.target.quantity, factor) }
  return { ...rest, target }
}

/**
 * The document with the amount at a value: a factor for a bottle (0: left out) or a pour, °C for the room. Depth and constants are no
 * matter of the document and leave it as it is.
 */
export function withChangedAmount(d: Demonstration, amount: VariedAmount, value: number): Demonstration {
  if (amount.of === 'temperature') return { ...d, room: { ...d.room, temperatureK: celsiusToKelvin(value) } }
  if (amount.of === 'poured') {
    const pouredMore = (p: Pour): Pour => (p.solution === amount.solution ? { ...p, volumeL: p.volumeL * value } : p)
    return { ...d, vessels: d.vessels.map((v) => ({ ...v, pours: v.pours.map(pouredMore) })) }
  }
  if (amount.of !== 'ingredient' || value === 1) return d
  const solutions = d.solutions.map((s) => ({
    ...s,
    ingredients: s.ingredients
      .filter((i) => value > 0 || !amount.portions.includes(`${s.id}/${i.bottle}`))
      .map((i) => (amount.portions.includes(`${s.id}/${i.bottle}`) ? scaledIngredient(i, value) : i)),
  }))
  return { ...d, solutions }
}

/** One warning at one place, whatever numbers it gives. */
export const keyOf = (p: Problem): string => `${p.code} ${p.where}`

/** What forbids a changed document that the present one does not have; null: nothing. */
export function constraintOf(changed: Outcome<Permitted>, present: Prepared): Constraint | null {
  if (!changed.ok) {
    // Danger is named as danger only where it is: a recipe that cannot be made is another matter.
    const danger = changed.problems.find((p) => p.danger === true)
    if (danger) return { set: 'refused', why: danger.what }
    return { set: 'unmakeable', why: changed.problems[0]?.what ?? 'it cannot be made' }
  }
  const known = new Set(present.makeUp.remarks.map(keyOf))
  const first = changed.value.makeUp.remarks.find((r) => CONSTRAINTS[r.code] !== undefined && !known.has(keyOf(r)))
  return first ? { set: CONSTRAINTS[first.code]!, why: `${first.where}: ${first.what}` } : null
}

/** An amount at a value in its own unit. */
export interface ChangedAmount {
  readonly amount: VariedAmount
  readonly value: number
}

const withChanges = (d: Demonstration, changes: readonly ChangedAmount[]): Demonstration =>
  changes.reduce((changed, { amount, value }) => withChangedAmount(changed, amount, value), d)

/** The recipe with amounts at other values, as far as it takes to know whether it may be made. Refused like any document. */
export function permittedRecipe(prepared: Prepared, changes: readonly ChangedAmount[], facts: DayFacts): Outcome<Permitted> {
  const changed = withChanges(prepared.demonstration, changes)
  return changed === prepared.demonstration ? done(prepared) : permit(changed, prepared.mechanism, facts)
}

/** The recipe with amounts at other values, made ready: make-up, cautions and all. Refused like any document. */
export function changedRecipe(prepared: Prepared, changes: readonly ChangedAmount[], facts: DayFacts): Outcome<Prepared> {
  const changed = withChanges(prepared.demonstration, changes)
  return changed === prepared.demonstration ? done(prepared) : prepare(changed, prepared.mechanism, facts)
}
