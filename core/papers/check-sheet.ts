/** Before anything is weighed: is it safe, can it work, does it dissolve. */
import { formatNumber, kelvinToCelsius } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import { speciesWords } from './species-words.ts'
import type { CanItWork } from '../mechanism/index.ts'
import type { Equilibrium, Inventory } from '../mixture/index.ts'
import { cautionBlock } from './caution-lines.ts'
import { solubilityBlock } from './make-up-sheet.ts'
import type { Block, Paper } from './paper.ts'

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

function marginRows(work: CanItWork): readonly (readonly string[])[] {
  return work.checks.flatMap((c) =>
    c.margins
      .filter((m) => m.ratio < WIDE_MARGIN)
      .map((m) => [
        `${speciesWords(c.species)} ${c.effect}`,
        speciesWords(m.species),
        formatNumber(1000 * m.haveMolPerL, DIGITS),
        m.atLeastMolPerL === null ? 'none is enough' : formatNumber(1000 * m.atLeastMolPerL, DIGITS),
        m.atMostMolPerL === null || !Number.isFinite(m.atMostMolPerL) ? '-' : formatNumber(1000 * m.atMostMolPerL, DIGITS),
        formatNumber(m.ratio, DIGITS),
      ]),
  )
}

function vesselBlocks(v: PouredToPrint): readonly Block[] {
  const blocks: Block[] = [{ block: 'heading', level: 2, text: `Vessel ${v.id}: can it work?` }]
  const { canItWork: work, inventory, equilibrium } = v
  blocks.push(
    work.works
      ? { block: 'text', text: 'No stoichiometric dead limit was found. That is a condition for the effect, not a promise.' }
      : { block: 'list', ordered: false, items: work.problems.map((p) => `IT CANNOT WORK. ${p.what}. ${p.todo}`) },
  )
  if (work.cautions.length > 0) blocks.push({ block: 'list', ordered: false, items: work.cautions.map((p) => `${p.what}. ${p.todo}`) })
  const rows = marginRows(work)
  if (rows.length > 0) {
    blocks.push({
      block: 'table',
      caption: 'Margins, mmol/L in the mix: below 1 it fails, 1.2 is a fifth to spare',
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
  blocks.push({
    block: 'text',
    text: `After pouring: ${formatNumber(1000 * inventory.volumeL, DIGITS)} mL at ${formatNumber(kelvinToCelsius(inventory.temperatureK), DIGITS)} °C${equilibrium ? `, pH ${equilibrium.pH.toFixed(2)}, ionic strength ${formatNumber(equilibrium.ionicStrengthMolPerL, 2)} mol/L${equilibrium.withinActivityLimit ? '' : ' (above 0.5 mol/L: activities, and so the pH, are an indication only)'}` : ''}. As entered, mmol/L: ${listed.map(([id, n]) => `${speciesWords(id)} ${formatNumber((1000 * n) / inventory.volumeL, DIGITS)}`).join(', ')}.`,
  })
  const solids = Object.entries(equilibrium?.solidsMol ?? {}).filter(([, n]) => n > 0)
  if (solids.length > 0) {
    blocks.push({
      block: 'text',
      text: `At equilibrium these could come out as solids (how fast is not known): ${solids.map(([id, n]) => `${speciesWords(id)} up to ${formatNumber(1000 * n, 2)} mmol`).join(', ')}.`,
    })
  }
  return blocks
}

/** One sheet for the go or no-go. */
export function checkSheet(title: string, made: MakeUp, poured: readonly PouredToPrint[], cautions: Cautions): Paper {
  return {
    kind: 'check',
    title: `Go or no-go: ${title}`,
    blocks: [
      cautionBlock(cautions),
      ...poured.flatMap(vesselBlocks),
      { block: 'heading', level: 2, text: 'Does it dissolve?' },
      solubilityBlock(made),
    ],
  }
}
