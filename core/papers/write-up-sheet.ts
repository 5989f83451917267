/** The write-up: what was really made and what was seen, beside what was predicted, with lines for what only a person can say. */
import { formatNumber, kelvinToCelsius } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import { compareTurns } from '../record/index.ts'
import type { Rehearsal } from '../rehearsal/index.ts'
import { briefDanger } from './brief-danger.ts'
import { sentence } from './caution-lines.ts'
import { weighingsTable } from './make-up-sheet.ts'
import type { Block, Paper } from './paper.ts'
import { bandTable, courseLines, stripBlocks } from './rehearsal-sheet.ts'
import { sameCourses } from './same-course.ts'
import type { SpeciesBook } from './species-book.ts'
import { timeWords } from './times.ts'
import { typesetPaper } from './typeset.ts'

/** One performance as it was watched. */
export interface RunToPrint {
  readonly vessel: string
  /** Date and time, as text. */
  readonly startedAt: string
  /** Times of the turns seen, s on the document's clock. */
  readonly turnsSeenS: readonly number[]
  readonly notes: readonly string[]
}

export interface WriteUpToPrint {
  readonly title: string
  readonly story: string
  readonly room: { readonly temperatureK: number }
  readonly makeUp: MakeUp
  readonly rehearsals: readonly Rehearsal[]
  readonly runs: readonly RunToPrint[]
}

const PAIRS_LISTED = 20

/** "12 % slower than predicted", "as predicted" within two percent. */
export function stretchWords(stretch: number): string {
  const percent = Math.abs(100 * (stretch - 1))
  if (percent < 2) return 'at the predicted pace'
  return `${formatNumber(percent, 2)} % ${stretch > 1 ? 'slower' : 'faster'} than predicted`
}

function missedWords(n: number): string {
  if (n === 0) return ''
  return n === 1 ? '1 predicted change was not noted' : `${n} predicted changes were not noted`
}

function surplusWords(n: number): string {
  if (n === 0) return ''
  return n === 1 ? '1 was seen that was not predicted' : `${n} were seen that were not predicted`
}

function runBlocks(run: RunToPrint, rehearsal: Rehearsal | undefined): readonly Block[] {
  const seen = run.turnsSeenS.length
  const heading: Block = { block: 'heading', level: 3, text: `Vessel ${run.vessel}, ${run.startedAt}` }
  const notes: readonly Block[] = run.notes.length > 0 ? [{ block: 'list', ordered: false, items: run.notes, own: true }] : []
  const seenWords = seen === 1 ? '1 colour change was seen' : `${seen} colour changes were seen`
  if (!rehearsal) return [heading, { block: 'text', text: `${seenWords}.` }, ...notes]
  const c = compareTurns(rehearsal.turns, run.turnsSeenS)
  const extra = [missedWords(c.onlyPredictedS.length), surplusWords(c.onlySeenS.length)].filter((x) => x !== '')
  return [
    heading,
    {
      block: 'text',
      text: `${seenWords}${c.stretch === null ? '' : `, ${stretchWords(c.stretch)} over all`}${extra.length > 0 ? `; ${extra.join('; ')}` : ''}.`,
    },
    {
      block: 'table',
      caption: c.pairs.length > PAIRS_LISTED ? `The first ${PAIRS_LISTED} of ${c.pairs.length} changes` : 'Changes in their order',
      columns: [
        { title: 'predicted', align: 'right' },
        { title: 'seen', align: 'right' },
        { title: 'difference', align: 'right' },
      ],
      rows: c.pairs
        .slice(0, PAIRS_LISTED)
        .map((p) => [timeWords(p.predictedS), timeWords(p.seenS), `${p.offS < 0 ? '−' : '+'}${timeWords(Math.abs(p.offS))}`]),
    },
    ...notes,
  ]
}

/** The write-up of a day. */
export function writeUpSheet(day: WriteUpToPrint, cautions: Cautions, book: SpeciesBook): Paper {
  const faults = new Set(day.rehearsals.flatMap((r) => r.faults.map((f) => `${f.feature}: ${f.text}`))).size
  const blocks: Block[] = [
    briefDanger(cautions),
    { block: 'fields', fields: ['done by', 'date', 'where', 'audience'] },
    { block: 'heading', level: 2, text: 'What was to be shown' },
    day.story === '' ? { block: 'text', text: 'Not written in the document.' } : { block: 'text', text: sentence(day.story), own: true },
    { block: 'heading', level: 2, text: 'What was made' },
    {
      block: 'text',
      text: `Room and solutions at ${kelvinToCelsius(day.room.temperatureK).toFixed(1)} °C as planned. ± is one standard uncertainty.`,
    },
    weighingsTable(day.makeUp),
    { block: 'fields', fields: ['true temperature', 'departures from the plan'] },
    { block: 'heading', level: 2, text: 'What was predicted' },
    ...sameCourses(day.rehearsals).flatMap(({ first, others }): readonly Block[] => [
      ...stripBlocks(first).slice(0, 1),
      { block: 'list', ordered: false, items: courseLines(first) },
      ...(first.band ? [bandTable(first, first.band)] : []),
      {
        block: 'text',
        text: `Model ${first.mechanism}, grade: ${first.grade}.`,
      },
      ...others.map(
        (r): Block => ({ block: 'text', text: `Vessel ${r.vessel} takes the same course from its own start at ${timeWords(r.startS)}.` }),
      ),
    ]),
    { block: 'heading', level: 2, text: 'What was seen' },
    ...(day.runs.length === 0
      ? [{ block: 'fields' as const, fields: ['first change at', 'period', 'cycles', 'last change at', 'colour at the end'] }]
      : day.runs.flatMap((run) =>
          runBlocks(
            run,
            day.rehearsals.find((r) => r.vessel === run.vessel),
          ),
        )),
    ...(faults > 0
      ? [
          {
            block: 'text' as const,
            text: `The model is known to get ${faults} ${faults === 1 ? 'thing' : 'things'} wrong: the rehearsal sheet says which. Compare before blaming the bottles.`,
          },
        ]
      : []),
    { block: 'heading', level: 2, text: 'Next time' },
    { block: 'fields', fields: ['', ''] },
    { block: 'text', text: 'Leftovers: cleared by the clearing sheet, and only as your local authority allows.' },
    { block: 'fields', fields: ['cleared by', 'date', 'handed over to'] },
  ]
  return typesetPaper({ kind: 'write-up', title: `Write-up: ${day.title}`, blocks }, book)
}
