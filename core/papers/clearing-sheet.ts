/** The clearing sheet: what is left, how to make it safe, and where it may go. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { ClearingPlan, Range } from '../clearing/index.ts'
import { cautionBlock } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'

/** Amounts in a clearing plan are ranges; two digits are honest. */
const DIGITS = 2
const NEARLY_EQUAL = 0.02

/** "3.1 to 4.8 g", or one number when both ends agree within two percent. */
export function rangeWords(range: Range, unit: string): string {
  const low = formatNumber(range.low, DIGITS)
  const high = formatNumber(range.high, DIGITS)
  const same = low === high || Math.abs(range.high - range.low) <= NEARLY_EQUAL * Math.abs(range.high)
  return `${same ? high : `${low} to ${high}`} ${unit}`
}

/** Sheet of one vessel's plan; its own cautions and the standing lines head it. */
export function clearingSheet(title: string, plans: readonly ClearingPlan[], cautions: Cautions): Paper {
  const blocks: Block[] = []
  blocks.push(cautionBlock({ ...cautions, list: [...cautions.list, ...plans.flatMap((p) => p.cautions)] }))
  for (const p of plans) {
    blocks.push({ block: 'heading', level: 2, text: `Vessel ${p.vessel}` })
    blocks.push({ block: 'text', text: p.localRule })
    blocks.push({
      block: 'text',
      text: `Range over: ${p.cases.join('; ')}. Oxidant equivalents left: ${rangeWords({ low: 1000 * p.oxidantEquivalentsMol.low, high: 1000 * p.oxidantEquivalentsMol.high }, 'mmol of electrons')}.`,
    })
    if (p.oxidants.length > 0) {
      blocks.push({
        block: 'table',
        caption: 'Oxidants left',
        columns: [
          { title: 'what', align: 'left' },
          { title: 'mmol', align: 'right' },
          { title: 'electrons each', align: 'right' },
        ],
        rows: p.oxidants.map((o) => [
          o.species,
          rangeWords({ low: 1000 * o.amountMol.low, high: 1000 * o.amountMol.high }, ''),
          String(o.electrons),
        ]),
      })
      blocks.push({
        block: 'table',
        caption: 'Reductants compared (take one)',
        columns: [
          { title: 'reductant', align: 'left' },
          { title: 'mass', align: 'right' },
          { title: 'heat', align: 'right' },
          { title: 'warms by', align: 'right' },
          { title: 'note', align: 'left' },
        ],
        rows: p.reductants.map((r) => [
          `${r.name} (${r.formula})`,
          rangeWords(r.massG, 'g'),
          rangeWords(r.heatKJ, 'kJ'),
          rangeWords(r.temperatureRiseK, 'K'),
          r.note,
        ]),
      })
    }
    blocks.push({ block: 'heading', level: 3, text: 'Steps' })
    blocks.push({
      block: 'list',
      ordered: true,
      items: [...p.steps]
        .sort((a, b) => a.order - b.order)
        .map((s) =>
          [
            `${s.danger ? 'DANGER. ' : ''}${s.what}`,
            s.massG && s.substance ? `${s.substance}: ${rangeWords(s.massG, 'g')}.` : '',
            s.temperatureRiseK ? `Warms by ${rangeWords(s.temperatureRiseK, 'K')} at most.` : '',
            s.gasL ? `Gas: ${rangeWords(s.gasL, 'L')}.` : '',
            `Why: ${s.why}`,
            s.equations.length > 0 ? `[${s.equations.join('; ')}]` : '',
            s.test ? `Test: ${s.test}` : '',
          ]
            .filter((x) => x !== '')
            .join(' '),
        ),
    })
    if (p.metals.length > 0) {
      blocks.push({
        block: 'table',
        caption: 'Metal left in the liquid',
        columns: [
          { title: 'metal', align: 'left' },
          { title: 'at pH', align: 'right' },
          { title: 'equilibrium floor, mg/L', align: 'right' },
          { title: 'expect, mg/L', align: 'right' },
          { title: 'solid', align: 'left' },
        ],
        rows: p.metals.map((m) => [
          m.metal,
          formatNumber(m.atPH, DIGITS),
          formatNumber(m.floorMgPerL, DIGITS),
          rangeWords(m.expectMgPerL, ''),
          m.solid,
        ]),
      })
    }
    blocks.push({ block: 'heading', level: 3, text: 'Where it goes' })
    blocks.push({
      block: 'table',
      columns: [
        { title: 'stream', align: 'left' },
        { title: 'goes', align: 'left' },
        { title: 'what', align: 'left' },
        { title: 'amount', align: 'left' },
      ],
      rows: p.streams.map((s) => [s.name, s.goes, s.what, s.amount]),
    })
  }
  return { kind: 'clearing', title: `Clearing: ${title}`, blocks }
}
