/** Before anything is weighed: is it safe, can it work, does it dissolve. */
import { formatNumber, kelvinToCelsius } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import type { CanItWork } from '../mechanism/index.ts'
import type { Equilibrium, Inventory } from '../mixture/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import { solubilityBlock } from './make-up-sheet.ts'
import type { Block, Paper } from './paper.ts'
import { type SpeciesBook, speciesName, speciesWords } from './species-book.ts'
import { typesetPaper } from './typeset.ts'

export interface PouredToPrint {
  readonly id: string
  readonly inventory: Inventory
  readonly equilibrium: Equilibrium | null
  readonly canItWork: CanItWork
}

const DIGITS = 3
/** Reagents whose margin is wider than this set no limit worth printing. */
const WIDE_MARGIN = 20
/** Amounts below this, mol/L, are not listed. */
const LEAST_LISTED_MOL_PER_L = 1e-6

function marginRows(work: CanItWork, book: SpeciesBook): readonly (readonly string[])[] {
  return work.checks.flatMap((c) =>
    c.margins
      .filter((m) => m.ratio < WIDE_MARGIN)
      .map((m) => [
        `${speciesWords(c.species, book)} ${c.effect}`,
        speciesWords(m.species, book),
        formatNumber(1000 * m.haveMolPerL, DIGITS),
        m.atLeastMolPerL === null ? 'no amount is enough' : formatNumber(1000 * m.atLeastMolPerL, DIGITS),
        m.atMostMolPerL === null || !Number.isFinite(m.atMostMolPerL) ? 'any' : formatNumber(1000 * m.atMostMolPerL, DIGITS),
        formatNumber(m.ratio, DIGITS),
      ]),
  )
}

/** One line on the liquid: "1000 mL at 21.0 °C, pH 1.57, ionic strength 0.12 mol/L". */
export function liquidWords(v: PouredToPrint): string {
  const { inventory, equilibrium } = v
  const liquid = `${formatNumber(1000 * inventory.volumeL, DIGITS)} mL at ${kelvinToCelsius(inventory.temperatureK).toFixed(1)} °C`
  if (!equilibrium) return `${liquid}; its pH could not be computed`
  const doubt = equilibrium.withinActivityLimit ? '' : ' (above 0.5 mol/L, where pH is an indication only)'
  return `${liquid}, pH ${equilibrium.pH.toFixed(1)}, ionic strength ${formatNumber(equilibrium.ionicStrengthMolPerL, 2)} mol/L${doubt}`
}

/** Why a vessel cannot work, or what is thin in it. */
export function workItems(v: PouredToPrint): readonly string[] {
  return [
    ...v.canItWork.problems.map((p) => `It cannot work: ${sentence(p.what, false)} ${sentence(p.todo)}`),
    ...v.canItWork.cautions.map((p) => `${sentence(p.what)} ${sentence(p.todo)}`),
  ]
}

/** GO or NO-GO in one sentence; what only a stated control measure allows is never plain GO. */
export function verdict(poured: readonly PouredToPrint[], cautions: Cautions): string {
  const dead = poured.filter((v) => !v.canItWork.works).map((v) => `"${v.id}"`)
  if (dead.length > 0)
    return `NO-GO: in ${dead.length === 1 ? 'vessel' : 'vessels'} ${dead.join(', ')} the effect cannot come, whatever the skill.`
  const lifted = cautions.list.filter((c) => c.refuses === true && c.control !== undefined)
  return lifted.length > 0
    ? `GO ONLY UNDER THE STATED CONTROL: ${lifted.length === 1 ? 'one danger' : `${lifted.length} dangers`} would refuse this plan, and only what the document states against ${lifted.length === 1 ? 'it' : 'them'} allows it (see the head of this sheet). Nothing else was found that forbids it or keeps it from working. That is a condition, no promise.`
    : 'GO, as far as stoichiometry and hazards can tell: nothing was found that forbids it or keeps it from working. That is a condition, no promise.'
}

function vesselBlocks(v: PouredToPrint, book: SpeciesBook): readonly Block[] {
  const { canItWork: work, inventory, equilibrium } = v
  const blocks: Block[] = [{ block: 'heading', level: 2, text: `Vessel ${v.id}` }]
  const items = workItems(v)
  if (items.length > 0) blocks.push({ block: 'list', ordered: false, items })
  const rows = marginRows(work, book)
  if (rows.length > 0) {
    blocks.push({
      block: 'table',
      caption: 'Margins, mmol/L in the mix: below 1 it fails, 1.2 leaves a fifth to spare',
      columns: [
        { title: 'effect', align: 'left' },
        { title: 'reagent', align: 'left' },
        { title: 'there is', align: 'right' },
        { title: 'at least', align: 'right' },
        { title: 'at most', align: 'right' },
        { title: 'margin', align: 'right' },
      ],
      rows,
    })
  }
  const listed = Object.entries(inventory.amountsMol).filter(([id, n]) => id !== 'H2O' && n / inventory.volumeL >= LEAST_LISTED_MOL_PER_L)
  blocks.push({ block: 'text', text: `After pouring: ${liquidWords(v)}.` })
  blocks.push({
    block: 'table',
    caption: 'In it as entered, before anything reacts',
    columns: [
      { title: 'species', align: 'left' },
      { title: 'mmol/L', align: 'right' },
      { title: 'name', align: 'left' },
    ],
    rows: listed.map(([id, n]) => [speciesWords(id, book), formatNumber((1000 * n) / inventory.volumeL, DIGITS), speciesName(id, book)]),
  })
  const solids = Object.entries(equilibrium?.solidsMol ?? {}).filter(([, n]) => n > 0)
  if (solids.length > 0) {
    blocks.push({
      block: 'text',
      text: `At equilibrium these could come out as solids (how fast is not known): ${solids.map(([id, n]) => `${speciesWords(id, book)} up to ${formatNumber(1000 * n, 2)} mmol`).join(', ')}.`,
    })
  }
  return blocks
}

/** One sheet for the go or no-go. */
export function checkSheet(title: string, made: MakeUp, poured: readonly PouredToPrint[], cautions: Cautions, book: SpeciesBook): Paper {
  return typesetPaper(
    {
      kind: 'check',
      title: `Go or no-go: ${title}`,
      blocks: [
        dangerBlock(cautions),
        { block: 'text', text: verdict(poured, cautions) },
        ...poured.flatMap((v) => vesselBlocks(v, book)),
        { block: 'heading', level: 2, text: 'Does it dissolve?' },
        solubilityBlock(made),
      ],
    },
    book,
  )
}
