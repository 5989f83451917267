/** Bottles by themselves, as a shelf keeps them: the same keys and checks as under "bottles:" of a document. */
import { done, inReadingOrder, type Outcome } from '@beakertide/basis/problems'
import { readTree } from '@beakertide/basis/text'
import type { Bottle } from '@beakertide/core/makeup'
import type { Notes } from './fields.ts'
import { readBottles } from './read-bottles.ts'

/** The bottles of a text that is one map of them; all problems at once. JSON is such a text too. */
export function parseBottles(text: string, file: string): Outcome<readonly Bottle[]> {
  const tree = readTree(text, file)
  if (!tree.ok) return tree
  const notes: Notes = { problems: [], warnings: [] }
  const { bottles } = readBottles(tree.value, 'bottles', notes)
  if (notes.problems.length > 0) return { ok: false, problems: inReadingOrder(notes.problems) }
  return done(bottles, inReadingOrder(notes.warnings))
}
