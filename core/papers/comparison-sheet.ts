/** Found recipes beside one another: strengths in the final mix, with the odd one out marked in words and signs. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { ComparisonCell, RecipeComparison } from '../makeup/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import type { Paper } from './paper.ts'
import { type SpeciesBook, speciesNamed } from './species-book.ts'
import { typesetPaper } from './typeset.ts'

const DIGITS = 3
/** mmol/L keeps the numbers short. */
const PER_LITRE = 1000

function cellText(cell: ComparisonCell): string {
  if (cell.mark === 'missing') return 'MISSING'
  if (cell.molPerL === 0) return '-'
  const number = formatNumber(cell.molPerL * PER_LITRE, DIGITS)
  return cell.mark === 'usual' ? number : `${cell.mark.toUpperCase()} ${number}`
}

/** One table: a row a species, a column a recipe. */
export function comparisonSheet(title: string, comparison: RecipeComparison, cautions: Cautions, book: SpeciesBook): Paper {
  return typesetPaper(
    {
      kind: 'comparison',
      title: `Recipes compared: ${title}`,
      blocks: [
        dangerBlock(cautions),
        {
          block: 'text',
          text: comparison.oddOneOut === null ? 'No recipe stands out.' : `The odd one out: ${sentence(comparison.oddOneOut, false)}`,
        },
        {
          block: 'table',
          caption: 'Strength in the final mix before anything reacts, mmol/L',
          columns: [
            { title: 'species', align: 'left' },
            ...comparison.recipes.map((r) => ({ title: r, align: 'right' as const, ownTitle: true as const })),
            { title: 'median', align: 'right' },
          ],
          rows: comparison.rows.map((row) => [
            speciesNamed(row.species, book),
            ...row.cells.map(cellText),
            formatNumber(row.medianMolPerL * PER_LITRE, DIGITS),
          ]),
        },
        { block: 'text', text: sentence(comparison.rule) },
        {
          block: 'list',
          ordered: false,
          items: comparison.remarks.map((r) => `${r.where}: ${sentence(r.what, false)} ${sentence(r.todo)}`),
        },
      ],
    },
    book,
  )
}
