/** The make-up sheet: what to weigh and measure, in working order, with the strength it gives. */
import { formatNumber, withUncertainty } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { MakeUp, Portion } from '../makeup/index.ts'
import { writeFormula } from '../matter/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import type { Block, ListItem, Paper } from './paper.ts'
import type { SpeciesBook } from './species-book.ts'
import { typesetPaper } from './typeset.ts'

/** "500 mL", "1.25 L": no zeros that nobody measured. */
export function nominalVolume(volumeL: number): string {
  const n = (v: number): string => String(Number(v.toPrecision(4)))
  return volumeL >= 1 ? `${n(volumeL)} L` : `${n(volumeL * 1000)} mL`
}

/** Which solids stay below their solubility, and those that do not or are not known. */
export function solubilityBlock(made: MakeUp): Block {
  const doubtful = made.solubility.filter((s) => s.verdict !== 'dissolves')
  if (doubtful.length === 0) {
    const n = made.solubility.length
    return {
      block: 'text',
      text:
        n === 0
          ? 'No solid is dissolved.'
          : `Yes: ${n === 1 ? 'the one solid stays' : `all ${n} solids stay`} below ${n === 1 ? 'its' : 'their'} solubility at the stated temperature.`,
    }
  }
  return {
    block: 'list',
    ordered: false,
    items: doubtful.map((s) =>
      s.holdsGPer100gWater === null
        ? `Solution ${s.solution}: no solubility is on file for ${s.substanceId}; try a small portion first.`
        : `Solution ${s.solution}: ${s.substanceId} needs ${formatNumber(s.needsGPer100gWater, 3)} g in 100 g of water, water holds ${formatNumber(s.holdsGPer100gWater, 3)} g at ${formatNumber(s.atCelsius, 3)} °C${s.dissolvesAboveCelsius === null ? '' : `; it dissolves only above ${formatNumber(s.dissolvesAboveCelsius, 2)} °C`}.`,
    ),
  }
}

const strengthOf = (made: MakeUp, p: Portion) => made.strengths.find((s) => s.solution === p.solution && s.bottle === p.bottle)

/** "0.0754 ± 0.0008" */
function truth(made: MakeUp, p: Portion): string {
  const s = strengthOf(made, p)
  return s ? withUncertainty(s.trueMolPerL, s.uncertaintyMolPerL) : ''
}

function wanted(made: MakeUp, p: Portion): string {
  const molPerL = strengthOf(made, p)?.wantedMolPerL
  return molPerL == null ? '' : formatNumber(molPerL, 3)
}

/** All weighings in one table, for a first look. */
export function weighingsTable(made: MakeUp): Block {
  return {
    block: 'table',
    columns: [
      { title: 'solution', align: 'left', own: true },
      { title: 'make', align: 'right' },
      { title: 'take', align: 'right' },
      { title: 'of', align: 'left' },
      { title: 'gives mol/L', align: 'right' },
      { title: 'wanted', align: 'right' },
    ],
    rows: made.solutions.flatMap((s) =>
      made.portions
        .filter((p) => p.solution === s.id)
        .map((p, i) => [
          i === 0 ? s.id : '',
          i === 0 ? nominalVolume(s.volumeL) : '',
          p.written,
          p.substanceName,
          truth(made, p),
          wanted(made, p),
        ]),
    ),
  }
}

/** Sheet for the bench; cautions head it. */
export function makeUpSheet(title: string, made: MakeUp, cautions: Cautions, book: SpeciesBook): Paper {
  const blocks: Block[] = [dangerBlock(cautions)]
  if (made.remarks.length > 0) {
    blocks.push({ block: 'heading', level: 2, text: 'Look at these first' })
    blocks.push({
      block: 'list',
      ordered: false,
      items: made.remarks.map((r) => ({
        ...(r.danger ? { danger: true as const } : {}),
        text: `${r.where}: ${sentence(r.what, false)} ${sentence(r.todo)}`,
        under: [],
      })),
    })
  }
  for (const solution of made.solutions) {
    blocks.push({ block: 'heading', level: 2, text: `Solution ${solution.id}: ${nominalVolume(solution.volumeL)}` })
    const portions = made.portions.filter((p) => p.solution === solution.id)
    blocks.push({
      block: 'table',
      caption: '± is one standard uncertainty',
      columns: [
        { title: 'take', align: 'right' },
        { title: 'of bottle', align: 'left', own: true },
        { title: 'substance', align: 'left' },
        { title: 'with', align: 'left' },
        { title: 'gives mol/L', align: 'right' },
        { title: 'wanted', align: 'right' },
      ],
      rows: portions.map((p) => [
        p.written,
        p.bottle,
        `${p.substanceName}, ${writeFormula(p.formula, 'unicode')}`,
        p.tool,
        truth(made, p),
        wanted(made, p),
      ]),
    })
    const notes = portions.flatMap((p) => p.notes.map((note) => ({ of: p.bottle, text: note, under: [] })))
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
        (w): ListItem => ({
          ...(w.danger ? { danger: true as const } : {}),
          ...(w.solution ? { of: w.solution } : {}),
          text: `${w.text}${w.waitMinutes ? ` Wait ${String(Number(w.waitMinutes.toPrecision(2)))} min.` : ''}`,
          under: [],
        }),
      ),
  })
  return typesetPaper({ kind: 'make-up', title: `Make-up: ${title}`, blocks }, book)
}

/** What to buy. */
export function shoppingSheet(title: string, made: MakeUp, cautions: Cautions, book: SpeciesBook): Paper {
  const costs = made.shopping.some((s) => s.cost !== undefined)
  return typesetPaper(
    {
      kind: 'shopping',
      title: `Shopping list: ${title}`,
      blocks: [
        dangerBlock(cautions),
        {
          block: 'table',
          columns: [
            { title: 'bottle', align: 'left', own: true },
            { title: 'substance', align: 'left' },
            { title: 'need', align: 'right' },
            { title: 'packs', align: 'left' },
            ...(costs ? [{ title: 'cost', align: 'right' as const }] : []),
          ],
          rows: made.shopping.map((s) => [
            s.bottle,
            s.substanceName,
            s.needMl === null ? `${formatNumber(s.needG, 3)} g` : `${formatNumber(s.needMl, 3)} mL`,
            s.packs,
            ...(costs ? [s.cost ?? ''] : []),
          ]),
        },
      ],
    },
    book,
  )
}
