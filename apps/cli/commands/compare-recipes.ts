/** `compare-recipes`: this recipe beside the found ones of the document, in strengths of the final mix. */
import { buildCommand } from '@stricli/core'
import { done, gather, inReadingOrder, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { type ComparedRecipe, compareRecipes, type RecipeComparison, trueStrengths } from '@beakertide/core/makeup'
import { comparisonSheet } from '@beakertide/core/papers'
import type { Prepared } from '@beakertide/demonstration'
import { formatQuantity, kelvinToCelsius } from '@beakertide/basis/units'
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
  const d = prepared.value.demonstration
  if (d.found.length === 0) {
    return refuse({
      code: 'desk/nothing-found',
      where: 'found',
      what: 'the document lists no found recipes to compare with',
      todo: 'add them under "found", as docs/demonstration-format.md shows',
    })
  }
  const facts = dayFacts()
  const celsius = kelvinToCelsius(d.room.temperatureK)
  const pours = (d.vessels[0]?.pours ?? []).map((p) => ({
    solution: p.solution,
    volume: { kind: 'volume' as const, value: p.volumeL, text: formatQuantity(p.volumeL, 'volume', 4) },
  }))
  const all = [
    { name: d.title, source: 'this document', bottles: d.bottles, solutions: d.solutions, pours },
    ...d.found.map((f) => ({ ...f, bottles: [...d.bottles.filter((b) => !f.bottles.some((o) => o.id === b.id)), ...f.bottles] })),
  ]
  const warnings: Problem[] = []
  const recipes = gather(
    all.map((r): Outcome<ComparedRecipe> => {
      const truth = trueStrengths(r.bottles, r.solutions, r.pours, facts, { celsius, tools: d.tools })
      if (!truth.ok) return { ok: false, problems: truth.problems.map((p) => ({ ...p, where: `recipe "${r.name}": ${p.where}` })) }
      warnings.push(...truth.value.remarks.map((p) => ({ ...p, where: `recipe "${r.name}": ${p.where}` })))
      if (truth.value.mix === null)
        return refuse({
          code: 'desk/nothing-poured',
          where: `recipe "${r.name}"`,
          what: 'nothing is poured together',
          todo: 'add its pours',
        })
      return done({ name: r.name, source: r.source, mix: truth.value.mix })
    }),
  )
  if (!recipes.ok) return recipes
  const comparison = compareRecipes(recipes.value)
  return comparison.ok
    ? done({ prepared: prepared.value, comparison: comparison.value }, inReadingOrder([...warnings, ...comparison.warnings]))
    : comparison
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
