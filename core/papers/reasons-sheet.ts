/** Why it goes as it does, on one sheet. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { Limiting, Mechanism, Reign, Share, SpeciesReasons } from '../mechanism/index.ts'
import type { Sensitivity } from '../rehearsal/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'
import { type SpeciesBook, speciesNamed, speciesWords } from './species-book.ts'
import { timeWords } from './times.ts'
import { typeset } from './typeset.ts'

/** What `reasons` says of one vessel. */
export interface ReasonsToPrint {
  readonly vessel: string
  readonly mechanism: Mechanism
  /** Time at which the steps are ranked, s. */
  readonly atS: number
  /** Coloured species first, then the others that matter at that time. */
  readonly species: readonly SpeciesReasons[]
  /** Which step rules the making and the using of the coloured species, along the time axis. */
  readonly reigns: readonly Reign[]
  /** For every net reaction what runs out first. */
  readonly limiting: readonly { readonly reaction: string; readonly equation: string; readonly what: string; readonly limiting: Limiting }[]
  readonly sensitivities: readonly Sensitivity[]
  /** How the sensitivities were found. */
  readonly sensitivityMethod: string
}

/** Steps named for each side; the rest is a few per cent. */
const STEPS_NAMED = 4
const LEAST_SHARE = 0.01
/** Reigns printed a line; an oscillator has two a cycle. */
const REIGNS_PRINTED = 12

function shares(list: readonly Share[]): string {
  const named = list.filter((s) => s.share >= LEAST_SHARE).slice(0, STEPS_NAMED)
  return named.length === 0 ? 'nothing' : named.map((s) => `${s.step} ${formatNumber(100 * s.share, 2)} %`).join(', ')
}

const power = (x: number | null): string => (x === null ? '-' : formatNumber(x, 2))

/** A reagent that would do for more turnovers than this is there in plenty. */
const PLENTY = 20

/** "Limiting reagent: hydrogen ion; iodate would do for 1.71 times as much." */
function limitingWords(limiting: Limiting, long: (id: string) => string): string {
  if (limiting.species === null) return 'Nothing of it is limited by what is there.'
  const others = limiting.reagents
    .slice(1)
    .map((x) =>
      x.ratio > PLENTY || !Number.isFinite(x.ratio)
        ? `${long(x.species)} is there in plenty`
        : `${long(x.species)} would do for ${formatNumber(x.ratio, 3)} times as much`,
    )
  return `${[`Limiting reagent: ${long(limiting.species)}`, ...others].join('; ')}.`
}

/** One line a species and role: which step rules until when. */
function reignLines(reigns: readonly Reign[], name: (id: string) => string): readonly string[] {
  const lines = new Map<string, string[]>()
  for (const g of [...reigns].sort((a, b) => a.fromS - b.fromS)) {
    const key = `${name(g.species)} is ${g.role === 'makes' ? 'made' : 'used'} by`
    const line = lines.get(key) ?? []
    if (g.step !== null) line.push(`${g.step} ${timeWords(g.fromS)} to ${timeWords(g.toS)} (${formatNumber(100 * g.share, 2)} %)`)
    lines.set(key, line)
  }
  return [...lines].map(([key, line]) => {
    const more = line.length - REIGNS_PRINTED
    return `${key}: ${line.length === 0 ? 'nothing' : line.slice(0, REIGNS_PRINTED).join(', ')}${more > 0 ? `, and ${more} more` : ''}.`
  })
}

export function reasonsSheet(title: string, all: readonly ReasonsToPrint[], cautions: Cautions, book: SpeciesBook): Paper {
  const name = (id: string): string => speciesWords(id, book)
  // Step names such as "I2" look like species, so the paper is not typeset as a whole.
  const t = (text: string): string => typeset(text, book)
  const long = (id: string): string => speciesNamed(id, book)
  const blocks: Block[] = [dangerBlock(cautions)]
  for (const r of all) {
    const equation = (id: string): string => r.mechanism.steps.find((s) => s.id === id)?.equation ?? 'exchange with air or solid'
    blocks.push({ block: 'heading', level: 2, text: `Vessel ${r.vessel}, at ${timeWords(r.atS)}` })
    const listed = r.species.filter((s) => s.making.length + s.using.length > 0)
    blocks.push({
      block: 'table',
      caption: `Steps ranked by their share of making and using (${r.mechanism.name})`,
      columns: [
        { title: 'species', align: 'left' },
        { title: 'made by', align: 'left', named: true },
        { title: 'used by', align: 'left', named: true },
        { title: 'in balance', align: 'left', own: true },
      ],
      rows: listed.map((s) => [name(s.species), shares(s.making), shares(s.using), s.inBalance.join(', ')]),
    })
    const used = [
      ...new Set([
        ...listed
          .flatMap((s) => [...s.making, ...s.using])
          .filter((s) => s.share >= LEAST_SHARE)
          .map((s) => s.step),
        ...r.reigns.flatMap((g) => (g.step === null ? [] : [g.step])),
      ]),
    ]
    blocks.push({ block: 'list', ordered: false, items: used.map((id) => ({ of: id, text: t(equation(id)), under: [] })) })
    blocks.push({ block: 'heading', level: 3, text: 'Which step rules when' })
    blocks.push({ block: 'list', ordered: false, items: reignLines(r.reigns, name) })
    blocks.push({ block: 'heading', level: 3, text: 'What runs out first' })
    blocks.push({
      block: 'list',
      ordered: false,
      items: r.limiting.map((l) => `${sentence(t(`${l.what}: ${l.equation}`))} ${limitingWords(l.limiting, long)}`),
    })
    if (r.sensitivities.length > 0) {
      blocks.push({
        block: 'table',
        caption: `What it answers to: ${r.sensitivityMethod}`,
        columns: [
          { title: 'changed', align: 'left' },
          { title: 'first change', align: 'right' },
          { title: 'period', align: 'right' },
          { title: 'show length', align: 'right' },
          { title: 'cycles for 10 % (or 1 K) more', align: 'right' },
        ],
        rows: r.sensitivities.map((s) => [s.of, power(s.firstTurn), power(s.period), power(s.length), power(s.cyclesForTenPercent)]),
      })
    }
  }
  return { kind: 'reasons', title: `Reasons: ${title}`, blocks }
}
