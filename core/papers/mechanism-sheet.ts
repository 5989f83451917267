/** A mechanism for a reader: equations, constants with their sources and status, what it gets wrong. */
import { formatNumber, kelvinToCelsius } from '@beakertide/basis/units'
import type { Mechanism, RateConstant } from '../mechanism/index.ts'
import { sentence } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'
import type { SpeciesBook } from './species-book.ts'
import { typeset } from './typeset.ts'

const DIGITS = 4

function constantText(c: RateConstant): string {
  const unit = c.unit === '1' ? '' : ` ${c.unit}`
  const size = Math.abs(c.value)
  const plain = size >= 1e-3 && size < 1e5
  const value = plain ? String(Number(c.value.toPrecision(DIGITS))) : Number(c.value.toPrecision(DIGITS)).toExponential()
  const activation =
    c.activationKJPerMol === null
      ? ''
      : `, activation ${formatNumber(c.activationKJPerMol, 3)} kJ/mol${c.activationSeen ? ` (${c.activationSeen})` : ''}`
  return `${c.name} = ${value}${unit}${activation}`
}

const distinct = (words: readonly string[]): string => [...new Set(words)].join(', ')

/** The lines that stand at the head of anything printed from a model. */
export const MODEL_LINE = 'A model is no permission: nothing here says that a mixture is safe to make.'

const modelDanger: Block = { block: 'danger', lines: [], standing: [MODEL_LINE] }

export function mechanismSheet(m: Mechanism, book: SpeciesBook): Paper {
  // Step names such as "I2" look like species, so the paper is not typeset as a whole.
  const t = (text: string): string => typeset(text, book)
  const blocks: Block[] = [
    modelDanger,
    {
      block: 'text',
      text: `${sentence(m.title)} Overall: ${t(m.overall)}. Grade: ${m.grade}. Constants at ${formatNumber(kelvinToCelsius(m.referenceK), 3)} °C; to be used from ${formatNumber(kelvinToCelsius(m.validK[0]), 2)} to ${formatNumber(kelvinToCelsius(m.validK[1]), 2)} °C.`,
    },
  ]
  if (m.faults.length > 0) {
    blocks.push({ block: 'heading', level: 2, text: 'What it is known to get wrong' })
    blocks.push({
      block: 'list',
      ordered: false,
      items: m.faults.map((f) => `${sentence(t(`${f.feature}: ${f.text}`))} [${f.source}]`),
    })
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
    caption:
      'By mass action unless a rate is written; constants in mol, L, s; status and how it was seen, with the keys of the sources below',
    columns: [
      { title: 'step', align: 'left', own: true },
      { title: 'equation', align: 'left' },
      { title: 'constants', align: 'left' },
      { title: 'from', align: 'left' },
    ],
    rows: m.steps.map((s) => [
      s.id,
      `${t(s.equation)}${s.law.kind === 'mass-action' ? '' : `; rate ${s.law.text}`}`,
      t(s.constants.map(constantText).join('; ')),
      `${distinct(s.constants.map((c) => c.status))}; ${distinct(s.constants.map((c) => c.seen))}; ${distinct(s.constants.flatMap((c) => c.sources))}`,
    ]),
  })
  const named = m.species.filter((x) => x.name !== x.id)
  if (named.length > 0) blocks.push({ block: 'list', ordered: false, items: named.map((x) => ({ of: t(x.id), text: x.name, under: [] })) })
  blocks.push({ block: 'heading', level: 2, text: 'Sources' })
  blocks.push({
    block: 'list',
    ordered: false,
    own: true,
    items: Object.entries(m.sources).map(([key, s]) => `${key}: ${s.cite}${s.doi ? `, doi ${s.doi}` : ''} (${s.access})`),
  })
  if (m.notes.length > 0) blocks.push({ block: 'list', ordered: false, items: m.notes.map((n) => sentence(n)) })
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
      modelDanger,
      {
        block: 'table',
        columns: [
          { title: 'name', align: 'left', own: true },
          { title: 'grade', align: 'left' },
          { title: 'steps', align: 'right' },
          { title: 'what', align: 'left' },
          { title: 'stands for', align: 'left', own: true },
        ],
        rows: mechanisms.map((m) => [m.name, m.grade, String(m.steps.length), m.title, plainNames(m.name)]),
      },
      { block: 'text', text: 'One of them in full, with constants, sources and known faults: beakertide mechanisms NAME' },
    ],
  }
}
