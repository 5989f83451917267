/** The clearing sheet: what is left, how to make it safe, and where it may go. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { ClearingPlan, ClearingStep, Range } from '../clearing/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import type { Block, ListItem, Paper } from './paper.ts'
import { type SpeciesBook, speciesName } from './species-book.ts'
import { typesetPaper } from './typeset.ts'

/** Amounts in a clearing plan are ranges; two digits are honest. */
const DIGITS = 2
const NEARLY_EQUAL = 0.02
/** Oxidants that carry less than this share of the equivalents are named together as traces. */
const TRACE_SHARE = 1e-3

/** Less of anything, in the unit it is printed in, is nothing that a bench can show. */
const NOTHING = 1e-3

/** "3.1 to 4.8 g", or one number when both ends agree within two percent; "less than 0.001 g" where nothing is to be shown. */
export function rangeWords(range: Range, unit: string): string {
  if (unit !== '' && range.high > 0 && range.high < NOTHING) return `less than ${NOTHING} ${unit}`
  const low = formatNumber(range.low, DIGITS)
  const high = formatNumber(range.high, DIGITS)
  const same = low === high || Math.abs(range.high - range.low) <= NEARLY_EQUAL * Math.abs(range.high)
  return `${same ? high : `${low} to ${high}`} ${unit}`.trim()
}

const milli = (r: Range): Range => ({ low: 1000 * r.low, high: 1000 * r.high })

function oxidantBlocks(p: ClearingPlan, book: SpeciesBook): readonly Block[] {
  const most = p.oxidantEquivalentsMol.high
  const listed = p.oxidants.filter((o) => o.equivalentsMol.high >= TRACE_SHARE * most)
  const traces = p.oxidants.filter((o) => !listed.includes(o)).map((o) => o.species)
  const blocks: Block[] = []
  if (listed.length > 0) {
    blocks.push({
      block: 'table',
      caption: `Oxidants left, ${rangeWords(milli(p.oxidantEquivalentsMol), 'mmol')} of electrons in all${traces.length > 0 ? `; in traces: ${traces.join(', ')}` : ''}`,
      columns: [
        { title: 'what', align: 'left' },
        { title: 'mmol', align: 'right' },
        { title: 'electrons each', align: 'right' },
        { title: 'name', align: 'left' },
      ],
      rows: listed.map((o) => [o.species, rangeWords(milli(o.amountMol), ''), String(o.electrons), speciesName(o.species, book)]),
    })
  } else if (p.oxidants.length > 0) blocks.push({ block: 'text', text: `Oxidants are left in traces only (${traces.join(', ')}).` })
  if (p.reductants.length > 0) {
    blocks.push({
      block: 'table',
      caption: 'Reductants compared (take one; the plan below uses the chosen one)',
      columns: [
        { title: 'reductant', align: 'left' },
        { title: 'mass', align: 'right' },
        { title: 'heat', align: 'right' },
        { title: 'all at once warms by', align: 'right' },
        { title: 'note', align: 'left' },
      ],
      rows: p.reductants.map((r) => [
        `${r.name}${r.chosen ? ' (chosen)' : ''}`,
        rangeWords(r.massG, 'g'),
        rangeWords(r.heatKJ, 'kJ'),
        rangeWords(r.temperatureRiseK, 'K'),
        r.note,
      ]),
    })
  }
  return blocks
}

/** What a step uses and gives, in one line. */
export function stepNumbers(s: ClearingStep): string {
  return [
    s.massG && s.substance ? `${s.substance}: ${rangeWords(s.massG, 'g')}` : '',
    s.portions && s.portions > 1 ? `in ${s.portions} portions, cooling between them` : '',
    s.temperatureRiseK ? `warms by ${rangeWords(s.temperatureRiseK, 'K')} at most` : '',
    s.gasL ? `gas: ${rangeWords(s.gasL, 'L')}` : '',
  ]
    .filter((x) => x !== '')
    .join('; ')
}

function stepItem(s: ClearingStep): ListItem {
  const numbers = stepNumbers(s)
  return {
    text: `${s.danger ? 'DANGER. ' : ''}${sentence(s.what)}`,
    under: [
      ...(numbers === '' ? [] : [sentence(numbers)]),
      ...(s.test ? [`Test: ${sentence(s.test, false)}`] : []),
      `Why: ${sentence(s.why, false)}`,
      ...(s.equations.length > 0 ? [s.equations.join('; ')] : []),
    ],
  }
}

/** Where everything goes. */
export function streamsTable(p: ClearingPlan): Block {
  return {
    block: 'table',
    columns: [
      { title: 'what', align: 'left' },
      { title: 'goes', align: 'left' },
      { title: 'amount', align: 'left' },
      { title: 'holds', align: 'left' },
    ],
    rows: p.streams.map((s) => [s.name, s.goes, s.amount, s.what]),
  }
}

export const orderedSteps = (p: ClearingPlan): readonly ClearingStep[] => [...p.steps].sort((a, b) => a.order - b.order)

/** Plans that say the same of several vessels are printed once. The first plan of each group stands for it. */
export function samePlans(plans: readonly ClearingPlan[]): readonly { readonly plan: ClearingPlan; readonly vessels: readonly string[] }[] {
  const groups = new Map<string, { plan: ClearingPlan; vessels: string[] }>()
  for (const plan of plans) {
    const says = JSON.stringify([orderedSteps(plan).map((s) => [s.what, stepNumbers(s)]), plan.streams])
    const met = groups.get(says)
    if (met) met.vessels.push(plan.vessel)
    else groups.set(says, { plan, vessels: [plan.vessel] })
  }
  return [...groups.values()]
}

/** "Vessel jar", or "Each of the vessels left, middle, right" */
export function vesselsHeading(vessels: readonly string[]): string {
  return vessels.length === 1 ? `Vessel ${vessels[0]}` : `Each of the vessels ${vessels.join(', ')}`
}

function planBlocks(p: ClearingPlan, vessels: readonly string[], book: SpeciesBook): readonly Block[] {
  const blocks: Block[] = [
    { block: 'heading', level: 2, text: vesselsHeading(vessels) },
    { block: 'text', text: sentence(p.localRule) },
    { block: 'text', text: `All amounts are ranges over: ${[...new Set(p.cases)].join('; ')}.` },
    ...(p.harmless === null ? [] : [{ block: 'text' as const, text: sentence(p.harmless) }]),
    ...oxidantBlocks(p, book),
    { block: 'heading', level: 3, text: 'Steps' },
    { block: 'list', ordered: true, items: orderedSteps(p).map(stepItem) },
  ]
  if (p.metals.length > 0) {
    blocks.push({
      block: 'table',
      caption: 'Metal left in the liquid, mg/L',
      columns: [
        { title: 'metal', align: 'left' },
        { title: 'before', align: 'right' },
        { title: 'at pH', align: 'right' },
        { title: 'floor by equilibrium', align: 'right' },
        { title: 'expect', align: 'right' },
        { title: 'solid', align: 'left' },
      ],
      rows: p.metals.map((m) => [
        m.metal,
        formatNumber(m.startMgPerL, DIGITS),
        formatNumber(m.atPH, DIGITS),
        formatNumber(m.floorMgPerL, DIGITS),
        rangeWords(m.expectMgPerL, ''),
        m.solid,
      ]),
    })
  }
  blocks.push({ block: 'heading', level: 3, text: 'Where it goes' }, streamsTable(p))
  return blocks
}

/** Sheet of one plan a vessel; the cautions of the day and of clearing head it. */
export function clearingSheet(title: string, plans: readonly ClearingPlan[], cautions: Cautions, book: SpeciesBook): Paper {
  return typesetPaper(
    {
      kind: 'clearing',
      title: `Clearing: ${title}`,
      blocks: [
        dangerBlock(
          cautions,
          plans.flatMap((p) => p.cautions),
        ),
        ...samePlans(plans).flatMap((g) => planBlocks(g.plan, g.vessels, book)),
      ],
    },
    book,
  )
}
