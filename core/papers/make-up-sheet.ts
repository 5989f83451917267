/** The make-up sheet: what to weigh and measure, in working order, with the strength it gives. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { MakeUp, Portion } from '../makeup/index.ts'
import { writeFormula } from '../matter/index.ts'
import { cautionBlock } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'

const DIGITS = 4
const shown = (p: Portion): string =>
  p.measure === 'weigh' || p.volumeShownL === null
    ? `${formatNumber(p.massShownG, DIGITS)} g`
    : `${formatNumber(p.volumeShownL * 1000, DIGITS)} mL`

/** Which solids stay below their solubility, and those that do not or are not known. */
export function solubilityBlock(made: MakeUp): Block {
  const doubtful = made.solubility.filter((s) => s.verdict !== 'dissolves')
  if (doubtful.length === 0) {
    return { block: 'text', text: `All ${made.solubility.length} dissolved solids stay below their solubility at the stated temperature.` }
  }
  return {
    block: 'list',
    ordered: false,
    items: doubtful.map((s) =>
      s.holdsGPer100gWater === null
        ? `${s.solution}: no solubility is on file for ${s.substanceId}; try a small portion first.`
        : `${s.solution}: ${s.substanceId} needs ${formatNumber(s.needsGPer100gWater, 3)} g in 100 g of water, water holds ${formatNumber(s.holdsGPer100gWater, 3)} g at ${formatNumber(s.atCelsius, 3)} °C${s.dissolvesAboveCelsius === null ? '' : `; dissolves only above ${formatNumber(s.dissolvesAboveCelsius, 2)} °C`}.`,
    ),
  }
}

/** Sheet for the bench; cautions head it. */
export function makeUpSheet(title: string, made: MakeUp, cautions: Cautions): Paper {
  const blocks: Block[] = [cautionBlock(cautions)]
  if (made.remarks.length > 0) {
    blocks.push({ block: 'heading', level: 2, text: 'Look at these first' })
    blocks.push({ block: 'list', ordered: false, items: made.remarks.map((r) => `${r.where}: ${r.what}. ${r.todo}`) })
  }
  for (const solution of made.solutions) {
    blocks.push({ block: 'heading', level: 2, text: `Solution ${solution.id}: ${formatNumber(solution.volumeL * 1000, DIGITS)} mL` })
    const portions = made.portions.filter((p) => p.solution === solution.id)
    blocks.push({
      block: 'table',
      columns: [
        { title: 'bottle', align: 'left' },
        { title: 'substance', align: 'left' },
        { title: 'take', align: 'right' },
        { title: 'with', align: 'left' },
        { title: 'gives mol/L', align: 'right' },
        { title: 'wanted', align: 'right' },
        { title: '± (1 s)', align: 'right' },
      ],
      rows: portions.map((p) => {
        const strength = made.strengths.find((s) => s.solution === p.solution && s.bottle === p.bottle)
        return [
          p.bottle,
          `${p.substanceName}, ${writeFormula(p.formula, 'unicode')}`,
          shown(p),
          p.tool,
          strength ? formatNumber(strength.trueMolPerL, DIGITS) : '',
          strength?.wantedMolPerL == null ? '' : formatNumber(strength.wantedMolPerL, DIGITS),
          `${formatNumber(100 * p.relativeUncertainty, 2)} %`,
        ]
      }),
    })
    const notes = portions.flatMap((p) => p.notes.map((note) => `${p.bottle}: ${note}`))
    if (notes.length > 0) blocks.push({ block: 'list', ordered: false, items: notes })
  }
  blocks.push({ block: 'heading', level: 2, text: 'Does it dissolve?' })
  blocks.push(solubilityBlock(made))
  blocks.push({ block: 'heading', level: 2, text: 'Order of work' })
  blocks.push({
    block: 'list',
    ordered: true,
    items: [...made.work]
      .sort((a, b) => a.order - b.order)
      .map(
        (w) =>
          `${w.danger ? 'DANGER. ' : ''}${w.solution ? `[${w.solution}] ` : ''}${w.text}${w.waitMinutes ? ` Wait ${formatNumber(w.waitMinutes, 2)} min.` : ''}`,
      ),
  })
  return { kind: 'make-up', title: `Make-up: ${title}`, blocks }
}

/** What to buy. */
export function shoppingSheet(title: string, made: MakeUp, cautions: Cautions): Paper {
  return {
    kind: 'shopping',
    title: `Shopping list: ${title}`,
    blocks: [
      cautionBlock(cautions),
      {
        block: 'table',
        columns: [
          { title: 'bottle', align: 'left' },
          { title: 'substance', align: 'left' },
          { title: 'need', align: 'right' },
          { title: 'packs', align: 'left' },
        ],
        rows: made.shopping.map((s) => [
          s.bottle,
          s.substanceName,
          s.needMl === null ? `${formatNumber(s.needG, 3)} g` : `${formatNumber(s.needMl, 3)} mL`,
          s.packs,
        ]),
      },
    ],
  }
}
