/** The document's own recipe and its found ones, side by side in strengths of the final mix. */
import { done, gather, inReadingOrder, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { formatQuantity, kelvinToCelsius } from '@beakertide/basis/units'
import { type ComparedRecipe, compareRecipes, type RecipeComparison, trueStrengths } from '@beakertide/core/makeup'
import type { DayFacts } from './day.ts'
import type { Demonstration } from './demonstration.ts'

/** Refuses a document without found recipes, and a found recipe that cannot be computed backwards; all problems name the recipe. */
export function compareFound(d: Demonstration, facts: Pick<DayFacts, 'matter' | 'glassware'>): Outcome<RecipeComparison> {
  if (d.found.length === 0) {
    return refuse({
      code: 'desk/nothing-found',
      where: 'found',
      what: 'the document lists no found recipes to compare with',
      todo: 'add them under "found", as docs/demonstration-format.md shows',
    })
  }
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
  return comparison.ok ? done(comparison.value, inReadingOrder([...warnings, ...comparison.warnings])) : comparison
}
