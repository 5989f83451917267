/** Found recipes beside one another: strengths in the final mix, with the odd one out marked in words and signs. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { ComparisonCell, RecipeComparison } from '../makeup/index.ts'
import { speciesWords } from './species-words.ts'
import { cautionBlock } from './caution-lines.ts'
import type { Paper } from './paper.ts'

const DIGITS = 3
/** mmol/L keeps the numbers short. */
const PER_LITRE = 1000

function cellText(cell: ComparisonCell): string {
  if (cell.mark === 'missing') return 'MISSING'
  if (cell.molPerL === 0) return '-'
  const number = formatNumber(cell.molPerL * PER_LITRE, DIGITS)
  return cell.mark === 'usual' ? number : `${number} ${cell.mark.toUpperCase()}`
}

/** One table: a row a species, a column a recipe. */
export function comparisonSheet(title: string, comparison: RecipeComparison, cautions: Cautions): Paper {
  return {
    kind: 'comparison',
    title: `Recipes compared: ${title}`,
    blocks: [
      cautionBlock(cautions),
      {
        block: 'table',
        caption: 'Strength in the final mix before anything reacts, mmol/L',
        columns: [
          { title: 'species', align: 'left' },
          ...comparison.recipes.map((r) => ({ title: r, align: 'right' as const })),
          { title: 'median', align: 'right' },
        ],
        rows: comparison.rows.map((row) => [
          speciesWords(row.species),
          ...row.cells.map(cellText),
          formatNumber(row.medianMolPerL * PER_LITRE, DIGITS),
        ]),
      },
      {
        block: 'text',
        text: comparison.oddOneOut === null ? 'No recipe stands out.' : `The odd one out is ${comparison.oddOneOut}.`,
      },
      { block: 'text', text: comparison.rule },
      { block: 'list', ordered: false, items: comparison.remarks.map((r) => `${r.where}: ${r.what}. ${r.todo}`) },
    ],
  }
}
