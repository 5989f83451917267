/** The rehearsal as a cue sheet: colour strip, turns in words, band, cause of the end, and what the model gets wrong. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { BandValue, Rehearsal } from '../rehearsal/index.ts'
import { cautionBlock } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'
import { timeWords } from './svg-strip.ts'

/** Turns listed one by one; a long train is summed up after these. */
const TURNS_LISTED = 24
/** A band is an estimate; it never earns more than two digits. */
const BAND_DIGITS = 2

/** "12 to 31 s (middle 19)", or a sentence when the feature does not come in most samples. */
export function bandWords(value: BandValue, unit: string): string {
  if (value.low === null || value.middle === null || value.high === null)
    return `not seen in ${formatNumber(100 * (1 - value.share), 2)} % of the samples`
  const share = value.share < 1 ? `; seen in ${formatNumber(100 * value.share, 2)} % of the samples` : ''
  const n = (v: number): string => formatNumber(v, BAND_DIGITS)
  return `${n(value.low)} to ${n(value.high)} ${unit} (middle ${n(value.middle)})${share}`.replace('  ', ' ')
}

/** One vessel's course in a few sentences, most wanted first. */
export function courseLines(r: Rehearsal): readonly string[] {
  const lines: string[] = []
  lines.push(
    r.inductionS === null
      ? 'No colour change that an eye can see is predicted.'
      : `First colour change after ${timeWords(r.inductionS)}: ${r.turns[0]?.from ?? ''} to ${r.turns[0]?.to ?? ''}.`,
  )
  if (r.cycles > 0) {
    const first = r.periodsS[0]
    const last = r.periodsS.at(-1)
    lines.push(
      `${r.cycles} ${r.cycles === 1 ? 'cycle' : 'cycles'}${first === undefined ? '' : `; period ${formatNumber(first, BAND_DIGITS)} s at first${last !== undefined && r.periodsS.length > 1 ? `, ${formatNumber(last, BAND_DIGITS)} s at the end` : ''}`}.`,
    )
  }
  if (r.endS !== null && r.turns.length > 1) lines.push(`Last colour change at ${timeWords(r.endS)}.`)
  lines.push(`Why it ends: ${r.cause}`)
  lines.push(`It is left ${r.finalColour.name}.`)
  return lines
}

/** Sheet of the predicted course; cautions head it. */
export function rehearsalSheet(title: string, rehearsals: readonly Rehearsal[], cautions: Cautions): Paper {
  const blocks: Block[] = [cautionBlock(cautions)]
  for (const r of rehearsals) {
    blocks.push({ block: 'heading', level: 2, text: `Vessel ${r.vessel}` })
    blocks.push({
      block: 'text',
      text: `Model ${r.mechanism}, grade: ${r.grade}. A rehearsal is a prediction; time a small trial before an audience.`,
    })
    blocks.push({ block: 'strip', caption: `Predicted colour against time, vessel ${r.vessel}`, samples: r.strip, turns: r.turns })
    blocks.push({ block: 'list', ordered: false, items: courseLines(r) })
    if (r.band) {
      blocks.push({
        block: 'table',
        caption: `Ten to ninety in a hundred, ${r.band.samples} varied runs (seed ${r.band.seed}), with the stated error of the model`,
        columns: [
          { title: 'what', align: 'left' },
          { title: 'band', align: 'left' },
        ],
        rows: [
          ['first colour change', bandWords(r.band.firstTurnS, 's')],
          ['period at first', bandWords(r.band.periodS, 's')],
          ['cycles', bandWords(r.band.cycles, '')],
          ['lasts', bandWords(r.band.lengthS, 's')],
        ],
      })
    }
    if (r.turns.length > 0) {
      blocks.push({
        block: 'table',
        caption: r.turns.length > TURNS_LISTED ? `The first ${TURNS_LISTED} of ${r.turns.length} colour changes` : 'Colour changes',
        columns: [
          { title: 'time', align: 'right' },
          { title: 'from', align: 'left' },
          { title: 'to', align: 'left' },
        ],
        rows: r.turns.slice(0, TURNS_LISTED).map((t) => [timeWords(t.timeS), t.from, t.to]),
      })
    }
    if (r.traces.length > 0) blocks.push({ block: 'traces', caption: `Predicted traces, vessel ${r.vessel}`, traces: r.traces })
    if (r.faults.length > 0) {
      blocks.push({ block: 'heading', level: 3, text: 'What this model is known to get wrong' })
      blocks.push({ block: 'list', ordered: false, items: r.faults.map((f) => `${f.feature}: ${f.text}`) })
    }
    if (r.remarks.length > 0) blocks.push({ block: 'list', ordered: false, items: r.remarks.map((m) => `${m.what}. ${m.todo}`) })
  }
  return { kind: 'rehearsal', title: `Rehearsal: ${title}`, blocks }
}
