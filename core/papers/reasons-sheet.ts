/** Why it goes as it does, on one sheet. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import { speciesWords } from './species-words.ts'
import type { Limiting, Mechanism, Reign, Share, SpeciesReasons } from '../mechanism/index.ts'
import type { Sensitivity } from '../rehearsal/index.ts'
import { cautionBlock } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'
import { timeWords } from './svg-strip.ts'

export interface ReasonsToPrint {
  readonly vessel: string
  readonly mechanism: Mechanism
  readonly atS: number
  readonly species: readonly SpeciesReasons[]
  readonly reigns: readonly Reign[]
  readonly limiting: readonly { readonly reaction: string; readonly equation: string; readonly what: string; readonly limiting: Limiting }[]
  readonly sensitivities: readonly Sensitivity[]
  readonly sensitivityMethod: string
}

/** Steps named for each side; the rest is a few per cent. */
const STEPS_NAMED = 4
const LEAST_SHARE = 0.01
/** Reigns printed; an oscillator has two a cycle. */
const REIGNS_PRINTED = 30

const name = (id: string): string => speciesWords(id)

function shares(list: readonly Share[]): string {
  const named = list.filter((s) => s.share >= LEAST_SHARE).slice(0, STEPS_NAMED)
  return named.length === 0 ? 'nothing' : named.map((s) => `${s.step} ${formatNumber(100 * s.share, 2)} %`).join(', ')
}

const power = (x: number | null): string => (x === null ? '-' : formatNumber(x, 2))

export function reasonsSheet(title: string, all: readonly ReasonsToPrint[], cautions: Cautions): Paper {
  const blocks: Block[] = [cautionBlock(cautions)]
  for (const r of all) {
    const equation = (id: string): string => r.mechanism.steps.find((s) => s.id === id)?.equation ?? 'exchange with air or solid'
    blocks.push({ block: 'heading', level: 2, text: `Vessel ${r.vessel}, at ${timeWords(r.atS)}` })
    const listed = r.species.filter((s) => s.making.length + s.using.length > 0)
    blocks.push({
      block: 'table',
      caption: `Steps ranked by their share of making and using (${r.mechanism.name})`,
      columns: [
        { title: 'species', align: 'left' },
        { title: 'made by', align: 'left' },
        { title: 'used by', align: 'left' },
        { title: 'in balance', align: 'left' },
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
    blocks.push({ block: 'list', ordered: false, items: used.map((id) => `${id}: ${equation(id)}`) })
    blocks.push({
      block: 'table',
      caption:
        r.reigns.length > REIGNS_PRINTED
          ? `Ruling steps along the time axis, the first ${REIGNS_PRINTED} of ${r.reigns.length} reigns`
          : 'Ruling steps along the time axis',
      columns: [
        { title: 'from', align: 'right' },
        { title: 'to', align: 'right' },
        { title: 'ruling step', align: 'left' },
        { title: 'does', align: 'left' },
        { title: 'share', align: 'right' },
      ],
      rows: [...r.reigns]
        .sort((a, b) => a.fromS - b.fromS)
        .slice(0, REIGNS_PRINTED)
        .map((g) => [
          timeWords(g.fromS),
          timeWords(g.toS),
          g.step ?? 'none',
          `${g.role} ${name(g.species)}`,
          `${formatNumber(100 * g.share, 2)} %`,
        ]),
    })
    blocks.push({ block: 'heading', level: 3, text: 'What runs out first' })
    blocks.push({
      block: 'list',
      ordered: false,
      items: r.limiting.map((l) =>
        l.limiting.species === null
          ? `${l.what}: ${l.equation}. Nothing of it is limited by what is there.`
          : `${l.what}: ${l.equation}. Limiting reagent: ${name(l.limiting.species)}; ${l.limiting.reagents
              .slice(1)
              .map(
                (x) =>
                  `${name(x.species)} would do for ${Number.isFinite(x.ratio) ? `${formatNumber(x.ratio, 3)} times as much` : 'any amount'}`,
              )
              .join(', ')}.`,
      ),
    })
    if (r.sensitivities.length > 0) {
      blocks.push({
        block: 'table',
        caption: `What it answers to: ${r.sensitivityMethod}`,
        columns: [
          { title: 'changed', align: 'left' },
          { title: 'first change', align: 'right' },
          { title: 'period', align: 'right' },
          { title: 'length', align: 'right' },
          { title: 'cycles for 10 % (or 1 K) more', align: 'right' },
        ],
        rows: r.sensitivities.map((s) => [s.of, power(s.firstTurn), power(s.period), power(s.length), power(s.cyclesForTenPercent)]),
      })
    }
  }
  return { kind: 'reasons', title: `Reasons: ${title}`, blocks }
}
