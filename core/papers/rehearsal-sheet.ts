/** The rehearsal as a cue sheet: colour strip, turns in words, band, cause of the end, and what the model gets wrong. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { Band, BandValue, Rehearsal } from '../rehearsal/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import type { Block, ListItem, Paper } from './paper.ts'
import { haveSameTraces, sameCourses } from './same-course.ts'
import type { SpeciesBook } from './species-book.ts'
import { closerLook } from './strip-columns.ts'
import { aboutTime, rangeUnit, timeWords } from './times.ts'
import { typesetPaper } from './typeset.ts'

/** Turns listed one by one; a long train is summed up after these. */
const TURNS_LISTED = 24
/** A band is an estimate; it never earns more than two digits. */
const BAND_DIGITS = 2
/** Earlier than this, s, nobody sees a wait. */
const AT_ONCE_S = 0.5

/** "12 to 31 s (middle 19)", "10 to 15 min (middle 13)", or a sentence when the feature does not come in most samples. */
export function bandWords(value: BandValue, of: 'time' | 'number'): string {
  if (value.low === null || value.middle === null || value.high === null)
    return `not seen in ${formatNumber(100 * (1 - value.share), BAND_DIGITS)} % of the varied runs`
  const share = value.share < 1 ? `; seen in ${formatNumber(100 * value.share, BAND_DIGITS)} % of the varied runs` : ''
  if (of === 'number') {
    const n = (v: number): string => String(Math.round(v))
    if (n(value.low) === n(value.high)) return `${n(value.low)}${share}`
    return `${n(value.low)} to ${n(value.high)} (middle ${n(value.middle)})${share}`
  }
  if (value.high < AT_ONCE_S) return `at once${share}`
  const { unit, s } = rangeUnit(value.low, value.high)
  const n = (v: number): string => formatNumber(v / s, BAND_DIGITS)
  if (n(value.low) === n(value.high)) return `${n(value.low)} ${unit}${share}`
  return `${n(value.low)} to ${n(value.high)} ${unit} (middle ${n(value.middle)})${share}`
}

/** One vessel's course in a few sentences, most wanted first. */
export function courseLines(r: Rehearsal): readonly string[] {
  const lines: string[] = []
  const first = r.turns[0]
  if (r.inductionS === null || !first) lines.push('No colour change that an eye can see is predicted.')
  else {
    const clock = r.startS > AT_ONCE_S ? ` (${timeWords(first.timeS)} on the clock)` : ''
    const when = r.inductionS < AT_ONCE_S ? 'at once' : `${aboutTime(r.inductionS)} after the pour that starts it`
    lines.push(`First colour change ${when}${clock}: ${first.from} to ${first.to}.`)
  }
  if (r.cycles > 0) {
    const [start] = r.periodsS
    const end = r.periodsS.at(-1)
    const period =
      start === undefined
        ? ''
        : `, ${aboutTime(start)} each${end !== undefined && r.periodsS.length > 1 && aboutTime(end) !== aboutTime(start) ? ` at first, ${aboutTime(end)} at the end` : ''}`
    lines.push(`${r.cycles} ${r.cycles === 1 ? 'cycle' : 'cycles'}${period}.`)
  }
  if (r.lastsS !== null && r.turns.length > 1 && !r.stillGoing)
    lines.push(`It lasts about ${aboutTime(r.lastsS)}, until the last colour change.`)
  lines.push(`How it ends: ${sentence(r.cause, false)} It is left ${r.finalColour.name}.`)
  return lines
}

/** The strip, and a closer one where the whole train is too dense to read. */
export function stripBlocks(r: Rehearsal): readonly Block[] {
  const whole: Block = { block: 'strip', caption: `Predicted colour against time, vessel ${r.vessel}`, samples: r.strip, turns: r.turns }
  const close = closerLook(r.strip, r.turns)
  return close ? [whole, { block: 'strip', caption: 'The first changes, closer', ...close }] : [whole]
}

/** The band as a table; features that the rehearsal does not have are left out. */
export function bandTable(r: Rehearsal, band: Band): Block {
  const swings = r.cycles > 0 || (band.cycles.high ?? 0) > 0
  const percent = (share: number): string => `${formatNumber(100 * share, BAND_DIGITS)} %`
  const rows: (readonly string[])[] = [['first colour change', bandWords(band.firstTurnS, 'time')]]
  if (swings) rows.push(['period at first', bandWords(band.periodS, 'time')], ['cycles', bandWords(band.cycles, 'number')])
  if (swings || r.turns.length > 1) rows.push(['lasts', bandWords(band.lengthS, 'time')])
  if (band.stillGoingShare > 0)
    rows.push(['still going at the end of the rehearsal', `${percent(band.stillGoingShare)} of the runs: they last longer than that`])
  if (band.failed > 0) rows.push(['not counted', `${band.failed} of the runs: they could not be made or finished`])
  return {
    block: 'table',
    caption: `Ten to ninety in a hundred: ${band.samples} varied runs (seed ${band.seed}), the stated error of the model included`,
    columns: [
      { title: 'what', align: 'left' },
      { title: 'band', align: 'left' },
    ],
    rows,
  }
}

function vesselBlocks(r: Rehearsal): readonly Block[] {
  const blocks: Block[] = [
    { block: 'heading', level: 2, text: `Vessel ${r.vessel}` },
    ...stripBlocks(r),
    { block: 'list', ordered: false, items: courseLines(r) },
    {
      block: 'text',
      text: `Model ${r.mechanism}, grade: ${r.grade}. A rehearsal is a prediction; time a small trial before an audience.`,
    },
  ]
  if (r.band) blocks.push(bandTable(r, r.band))
  if (r.turns.length > 0) {
    blocks.push({
      block: 'table',
      caption: r.turns.length > TURNS_LISTED ? `The first ${TURNS_LISTED} of ${r.turns.length} colour changes` : 'Colour changes',
      columns: [
        { title: 'time', align: 'right' },
        { title: 'from', align: 'left' },
        { title: 'to', align: 'left' },
        { title: 'difference, ΔE₀₀', align: 'right' },
      ],
      rows: r.turns.slice(0, TURNS_LISTED).map((t) => [timeWords(t.timeS), t.from, t.to, formatNumber(t.deltaE, 2)]),
    })
  }
  if (r.traces.length > 0) {
    blocks.push({ block: 'traces', caption: `Predicted traces, vessel ${r.vessel}`, traces: r.traces })
    const notes = [...new Set(r.traces.flatMap((t) => (t.note ? [`${t.name}: ${sentence(t.note, false)}`] : [])))]
    if (notes.length > 0) blocks.push({ block: 'list', ordered: false, items: notes })
  }
  return blocks
}

/** A vessel that takes the course of another: its strip and its words; what is equal is not printed again. */
function likeBlocks(r: Rehearsal, first: Rehearsal): readonly Block[] {
  const laterS = Math.round(r.startS - first.startS)
  const same =
    laterS === 0
      ? `Band, traces and colour changes are those of vessel ${first.vessel}, at the same times.`
      : laterS > 0
        ? `Band, traces and colour changes are those of vessel ${first.vessel}, ${timeWords(laterS)} later on the clock.`
        : `Band, traces and colour changes are those of vessel ${first.vessel}, ${timeWords(-laterS)} earlier on the clock.`
  return [
    { block: 'heading', level: 2, text: `Vessel ${r.vessel}` },
    ...stripBlocks(r).slice(0, 1),
    { block: 'list', ordered: false, items: courseLines(r) },
    { block: 'text', text: same },
  ]
}

/** Each text once, with the names of the vessels it holds for where it does not hold for all. */
function saidOnce(rehearsals: readonly Rehearsal[], textsOf: (r: Rehearsal) => readonly string[]): readonly Exclude<ListItem, string>[] {
  const vessels = new Map<string, Set<string>>()
  for (const r of rehearsals) for (const text of textsOf(r)) vessels.set(text, (vessels.get(text) ?? new Set()).add(r.vessel))
  return [...vessels].map(([text, of]) => ({ ...(of.size < rehearsals.length ? { of: [...of].join(', ') } : {}), text, under: [] }))
}

const remarkTexts = (r: Rehearsal, isDanger: boolean): readonly string[] =>
  r.remarks.filter((m) => (m.danger ?? false) === isDanger).map((m) => `${sentence(m.what)} ${sentence(m.todo)}`)

/** Remarks on what can hurt: before everything else of the sheet. */
function dangerItems(rehearsals: readonly Rehearsal[]): readonly Block[] {
  const items = saidOnce(rehearsals, (r) => remarkTexts(r, true)).map((item) => ({ ...item, danger: true as const }))
  return items.length === 0 ? [] : [{ block: 'list', ordered: false, items }]
}

/** What the models get wrong and what was left out. */
function wrongBlocks(rehearsals: readonly Rehearsal[]): readonly Block[] {
  const part = (text: string, items: readonly ListItem[]): readonly Block[] =>
    items.length === 0
      ? []
      : [
          { block: 'heading', level: 3, text },
          { block: 'list', ordered: false, items },
        ]
  return [
    ...part(
      'What this model is known to get wrong',
      saidOnce(rehearsals, (r) => r.faults.map((f) => sentence(`${f.feature}: ${f.text}`))),
    ),
    ...part(
      'What was left out',
      saidOnce(rehearsals, (r) => remarkTexts(r, false)),
    ),
  ]
}

/** Sheet of the predicted course; cautions head it. */
export function rehearsalSheet(title: string, rehearsals: readonly Rehearsal[], cautions: Cautions, book: SpeciesBook): Paper {
  const vessels = sameCourses(rehearsals).flatMap((g) => [
    ...vesselBlocks(g.first),
    ...g.others.flatMap((r) => (haveSameTraces(r, g.first) ? likeBlocks(r, g.first) : vesselBlocks(r))),
  ])
  return typesetPaper(
    {
      kind: 'rehearsal',
      title: `Rehearsal: ${title}`,
      blocks: [dangerBlock(cautions), ...dangerItems(rehearsals), ...vessels, ...wrongBlocks(rehearsals)],
    },
    book,
  )
}
