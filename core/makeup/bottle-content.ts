/** One bottle looked at by itself, as it stands on a shelf. */
import type { Outcome } from '@beakertide/basis/problems'
import { waterMolarMass, type MakeUpFacts } from './make-up.ts'
import { waterExpansion } from './portion.ts'
import type { BalanceAndGlass, Bottle } from './recipe.ts'
import { type BottleContent, readBottle } from './strength.ts'

/**
 * What is in the bottle at `celsius`: strength on every basis with its uncertainty, density, and the doubts as warnings. An assay is
 * evaluated with `tools`. Refuses what makeUp refuses of a bottle.
 */
export function bottleContent(bottle: Bottle, celsius: number, tools: BalanceAndGlass, facts: MakeUpFacts): Outcome<BottleContent> {
  const { matter, glassware } = facts
  const expansionPerK = Math.abs(waterExpansion(celsius, matter))
  return readBottle(bottle, celsius, { matter, ware: glassware, tools, expansionPerK }, waterMolarMass(matter))
}
