/** A mechanism for a reader: equations, constants with their sources and status, what it gets wrong. */
import { formatNumber } from '@beakertide/basis/units'
import type { Mechanism, RateConstant } from '../mechanism/index.ts'
import type { Block, Paper } from './paper.ts'

const DIGITS = 4

function constantText(c: RateConstant): string {
  const activation =
    c.activationKJPerMol === null
      ? ''
      : `, activation ${formatNumber(c.activationKJPerMol, 3)} kJ/mol${c.activationSeen ? ` (${c.activationSeen})` : ''}`
  return `${c.name} = ${formatNumber(c.value, DIGITS)} ${c.unit}${activation}`
}

/** The lines that stand at the head of anything printed from a model. */
export const MODEL_LINE = 'A model is no permission: nothing here says that a mixture is safe to make.'

export function mechanismSheet(m: Mechanism): Paper {
  const blocks: Block[] = [
    { block: 'danger', lines: [MODEL_LINE] },
    {
      block: 'text',
      text: `${m.title}. Overall: ${m.overall}. Grade: ${m.grade}. Constants at ${formatNumber(m.referenceK - 273.15, 3)} °C.`,
    },
  ]
  if (m.faults.length > 0) {
    blocks.push({ block: 'heading', level: 2, text: 'What it is known to get wrong' })
    blocks.push({ block: 'list', ordered: false, items: m.faults.map((f) => `${f.feature}: ${f.text} [${f.source}]`) })
  }
  if (m.bands.length > 0) {
    blocks.push({
      block: 'table',
      caption: 'Stated bands, before calibration',
      columns: [
        { title: 'feature', align: 'left' },
        { title: 'up to, times', align: 'right' },
        { title: 'down to, divided by', align: 'right' },
        { title: 'why', align: 'left' },
      ],
      rows: m.bands.map((b) => [b.feature, formatNumber(b.factorUp, 3), formatNumber(b.factorDown, 3), b.why]),
    })
  }
  blocks.push({ block: 'heading', level: 2, text: 'Steps' })
  blocks.push({
    block: 'table',
    columns: [
      { title: 'step', align: 'left' },
      { title: 'equation', align: 'left' },
      { title: 'rate', align: 'left' },
      { title: 'constants', align: 'left' },
      { title: 'status', align: 'left' },
      { title: 'seen', align: 'left' },
      { title: 'sources', align: 'left' },
    ],
    rows: m.steps.map((s) => [
      s.id,
      s.equation,
      s.law.kind === 'mass-action' ? 'mass action' : s.law.text,
      s.constants.map(constantText).join('; '),
      [...new Set(s.constants.map((c) => c.status))].join(', '),
      [...new Set(s.constants.map((c) => c.seen))].join(', '),
      [...new Set(s.constants.flatMap((c) => c.sources))].join(', '),
    ]),
  })
  blocks.push({ block: 'heading', level: 2, text: 'Sources' })
  blocks.push({
    block: 'list',
    ordered: false,
    items: Object.entries(m.sources).map(([key, s]) => `${key}: ${s.cite}${s.doi ? `, doi ${s.doi}` : ''} (${s.access})`),
  })
  if (m.notes.length > 0) blocks.push({ block: 'list', ordered: false, items: m.notes })
  return { kind: 'mechanism', title: `Mechanism ${m.name}`, blocks }
}

/** The catalogue in one table. */
export function catalogueSheet(mechanisms: readonly Mechanism[], defaults: Readonly<Record<string, string>>): Paper {
  const plainNames = (name: string): string =>
    Object.entries(defaults)
      .filter(([, variant]) => variant === name)
      .map(([plain]) => plain)
      .join(', ')
  return {
    kind: 'catalogue',
    title: 'Mechanisms',
    blocks: [
      { block: 'danger', lines: [MODEL_LINE] },
      {
        block: 'table',
        columns: [
          { title: 'name', align: 'left' },
          { title: 'stands for', align: 'left' },
          { title: 'grade', align: 'left' },
          { title: 'steps', align: 'right' },
          { title: 'first known fault', align: 'left' },
        ],
        rows: mechanisms.map((m) => [
          m.name,
          plainNames(m.name),
          m.grade,
          String(m.steps.length),
          m.faults[0] ? `${m.faults[0].feature}: ${m.faults[0].text}` : '',
        ]),
      },
    ],
  }
}
