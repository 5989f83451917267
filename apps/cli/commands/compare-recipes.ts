/** `compare-recipes`: this recipe beside the found ones of the document, in strengths of the final mix. */
import { buildCommand } from '@stricli/core'
import { done, type Outcome } from '@beakertide/basis/problems'
import type { RecipeComparison } from '@beakertide/core/makeup'
import { comparisonSheet } from '@beakertide/core/papers'
import { compareFound, type Prepared } from '@beakertide/demonstration'
import { answerOf } from '../answer.ts'
import { bookFor, dayFacts, openPrepared } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { answerFlags, fileArgument } from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
}

interface Compared {
  readonly prepared: Prepared
  readonly comparison: RecipeComparison
}

function compared(prepared: Outcome<Prepared>): Outcome<Compared> {
  if (!prepared.ok) return prepared
  const comparison = compareFound(prepared.value.demonstration, dayFacts())
  return comparison.ok ? done({ prepared: prepared.value, comparison: comparison.value }, comparison.warnings) : comparison
}

export const compareRecipesCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'This recipe and found ones in one table of true strengths, the odd one out marked' },
  parameters: { flags: answerFlags, positional: fileArgument },
  func(flags, path) {
    answerOf(this, flags, 'compare-recipes', path, compared(openPrepared(this, path)), (c, warnings) => ({
      command: 'compare-recipes',
      file: path,
      cautions: c.prepared.cautions,
      warnings,
      book: bookFor(c.prepared.mechanism),
      papers: [comparisonSheet(c.prepared.demonstration.title, c.comparison, c.prepared.cautions, bookFor(c.prepared.mechanism))],
      result: { title: c.prepared.demonstration.title, comparison: c.comparison },
    }))
  },
})
