/** Several recipes for one reaction in one table of final concentrations, with the odd one out marked. */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { formatNumber, formatQuantity } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import type { Mix } from './true-strengths.ts'

export interface ComparedRecipe {
  readonly name: string
  readonly source: string
  readonly mix: Mix
}

export interface ComparisonCell {
  readonly recipe: string
  /** 0 when the recipe has none of it. */
  readonly molPerL: number
  /** How many robust standard deviations from the median, on logarithms; null when missing or too few to judge. */
  readonly deviation: number | null
  readonly mark: 'usual' | 'odd' | 'missing' | 'extra'
}

export interface ComparisonRow {
  readonly species: SpeciesId
  /** Ions that only keep the charge balance; listed last. */
  readonly isCounterIon: boolean
  /** Median over the recipes that have it. */
  readonly medianMolPerL: number
  readonly cells: readonly ComparisonCell[]
}

export interface RecipeComparison {
  readonly recipes: readonly string[]
  readonly rows: readonly ComparisonRow[]
  /** The recipe with most odd cells among the key species, when one stands out. */
  readonly oddOneOut: string | null
  /** Odd, missing and extra, in words. */
  readonly remarks: readonly Problem[]
  /** How "odd" is decided, in words. */
  readonly rule: string
}

/** 0.6745 (x - median) / MAD beyond this is an outlier (Iglewicz & Hoaglin 1993, "How to detect and handle outliers"; quoted in pages read, the book from memory). */
const ODD_BEYOND = 3.5
/** MAD of a normal distribution in standard deviations: the 0.75 quantile (mathematics). */
const MAD_TO_SIGMA = 0.6745
/** Recipes that agree to the last digit would make any difference odd; below this factor nothing is (assumed). */
const ODD_AT_LEAST_FACTOR = 1.25
/** Fewer recipes cannot tell which one is odd. */
const FEWEST = 3
/** Ions that take part in few reactions and mostly come with the salt; chloride and nitrate are not among them: they can stop an oscillator. */
const counterIons: ReadonlySet<SpeciesId> = new Set(['K+', 'Na+', 'NH4+', 'SO4^2-', 'ClO4-'])

/** The middle value; of an even number the mean of the two middle ones. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const half = sorted.length / 2
  return sorted.length % 2 === 1 ? sorted[Math.floor(half)]! : (sorted[half - 1]! + sorted[half]!) / 2
}

/** Distance of each value from the median of logarithms, in robust standard deviations (MAD / 0.6745); the spread has a floor so that equal recipes do not make a digit odd. */
export function robustDeviations(values: readonly number[]): readonly number[] {
  const logs = values.map(Math.log)
  const middle = median(logs)
  const mad = median(logs.map((x) => Math.abs(x - middle)))
  const least = (MAD_TO_SIGMA * Math.log(ODD_AT_LEAST_FACTOR)) / ODD_BEYOND
  return logs.map((x) => (MAD_TO_SIGMA * (x - middle)) / Math.max(mad, least))
}

function rowOf(species: SpeciesId, recipes: readonly ComparedRecipe[]): ComparisonRow {
  const amounts = recipes.map((r) => Math.max(0, r.mix.speciesMolPerL[species] ?? 0))
  const present = amounts.filter((x) => x > 0)
  const enough = present.length >= FEWEST
  const deviations = enough ? robustDeviations(present) : []
  // missing where most have it; extra where only one has it
  const most = present.length > recipes.length / 2
  let next = 0
  const cells = recipes.map((recipe, i): ComparisonCell => {
    const molPerL = amounts[i]!
    if (molPerL === 0) return { recipe: recipe.name, molPerL, deviation: null, mark: most ? 'missing' : 'usual' }
    const deviation = enough ? deviations[next++]! : null
    const extra = present.length === 1 && recipes.length >= FEWEST
    return {
      recipe: recipe.name,
      molPerL,
      deviation,
      mark: extra ? 'extra' : deviation !== null && Math.abs(deviation) > ODD_BEYOND ? 'odd' : 'usual',
    }
  })
  return { species, isCounterIon: counterIons.has(species), medianMolPerL: median(present), cells }
}

function remarksOf(rows: readonly ComparisonRow[]): readonly Problem[] {
  return rows
    .filter((row) => !row.isCounterIon)
    .flatMap((row) =>
      row.cells.flatMap((cell): readonly Problem[] => {
        const where = `recipe "${cell.recipe}"`
        const usual = formatQuantity(row.medianMolPerL, 'amount-concentration', 3)
        if (cell.mark === 'missing')
          return [
            {
              code: 'makeup/recipe-lacks',
              where,
              what: `${row.species} is missing; the others have about ${usual}`,
              todo: 'look whether it was left out or is called by another name',
            },
          ]
        if (cell.mark === 'extra')
          return [
            {
              code: 'makeup/recipe-has-extra',
              where,
              what: `${row.species} (${formatQuantity(cell.molPerL, 'amount-concentration', 3)}) is in no other recipe`,
              todo: 'find out what it is for',
            },
          ]
        if (cell.mark !== 'odd') return []
        const factor = cell.molPerL / row.medianMolPerL
        const times = factor > 1 ? `${formatNumber(factor, 2)} times` : `1/${formatNumber(1 / factor, 2)} of`
        return [
          {
            code: 'makeup/recipe-odd',
            where,
            what: `${row.species} is ${formatQuantity(cell.molPerL, 'amount-concentration', 3)}, ${times} the median of ${usual}`,
            todo: 'check unit, hydrate and dilution in the source',
          },
        ]
      }),
    )
}

/** The one recipe with more odd and missing key species than any other. */
function oddOne(rows: readonly ComparisonRow[], recipes: readonly ComparedRecipe[]): string | null {
  const scores = recipes.map((r) => ({
    name: r.name,
    score: rows.filter((row) => !row.isCounterIon && row.cells.some((c) => c.recipe === r.name && c.mark !== 'usual')).length,
  }))
  const sorted = scores.sort((a, b) => b.score - a.score)
  const [first, second] = sorted
  return first && first.score > 0 && first.score > (second?.score ?? 0) ? first.name : null
}

/**
 * One row a species, key species first, strongest first. "Odd": more than 3.5 robust standard deviations from the median of
 * logarithms and at least a factor 1.25 from it; needs three recipes that have the species. Refuses fewer than two recipes or two of one name.
 */
export function compareRecipes(recipes: readonly ComparedRecipe[]): Outcome<RecipeComparison> {
  const where = 'compare recipes'
  if (recipes.length < 2)
    return refuse({
      code: 'makeup/too-few-recipes',
      where,
      what: `${recipes.length} recipe is given; at least 2 can be compared`,
      todo: 'add another found recipe',
    })
  const names = recipes.map((r) => r.name)
  const twice = names.find((n, i) => names.indexOf(n) !== i)
  if (twice !== undefined)
    return refuse({ code: 'makeup/name-twice', where, what: `two recipes are called "${twice}"`, todo: 'give each its own name' })
  const species = [...new Set(recipes.flatMap((r) => Object.keys(r.mix.speciesMolPerL)))].filter(
    (s) => s !== 'H2O' && recipes.some((r) => (r.mix.speciesMolPerL[s] ?? 0) > 0),
  )
  const rows = species
    .map((s) => rowOf(s, recipes))
    .sort((a, b) => Number(a.isCounterIon) - Number(b.isCounterIon) || b.medianMolPerL - a.medianMolPerL)
  const warnings: readonly Problem[] =
    recipes.length < FEWEST
      ? [
          {
            code: 'makeup/too-few-to-judge',
            where,
            what: 'with two recipes nobody can say which one is odd; the table only shows them side by side',
            todo: 'add a third recipe',
          },
        ]
      : []
  return done(
    {
      recipes: names,
      rows,
      oddOneOut: recipes.length < FEWEST ? null : oddOne(rows, recipes),
      remarks: recipes.length < FEWEST ? [] : remarksOf(rows),
      rule: `odd: |0.6745 (ln c - median)| / MAD above ${ODD_BEYOND}, and at least a factor ${ODD_AT_LEAST_FACTOR} from the median; at least ${FEWEST} recipes with the species`,
    },
    warnings,
  )
}
