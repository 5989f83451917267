/** The day at a glance, for a screen: go or no-go, make-up, rehearsal, clearing, each in what can be read in a minute. */
import type { Cautions } from '../cautions/index.ts'
import type { ClearingPlan } from '../clearing/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import type { Rehearsal } from '../rehearsal/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import { liquidWords, type PouredToPrint, verdict, workItems } from './check-sheet.ts'
import { orderedSteps, stepNumbers } from './clearing-sheet.ts'
import { solubilityBlock, weighingsTable } from './make-up-sheet.ts'
import type { Block, Paper } from './paper.ts'
import { bandTable, courseLines, stripBlocks } from './rehearsal-sheet.ts'
import type { SpeciesBook } from './species-book.ts'
import { typesetPaper } from './typeset.ts'

export interface DayToPrint {
  readonly title: string
  readonly cautions: Cautions
  readonly makeUp: MakeUp
  readonly poured: readonly PouredToPrint[]
  readonly rehearsals: readonly Rehearsal[]
  readonly plans: readonly ClearingPlan[]
}

/** The first sentence of a text: what to do, without the how. */
const firstSentence = (text: string): string => /^.*?[.!?](?=\s+[A-Z]|$)/.exec(sentence(text))?.[0] ?? text

function vesselHeading(id: string, many: boolean): readonly Block[] {
  return many ? [{ block: 'heading', level: 3, text: `Vessel ${id}` }] : []
}

function clearingBlocks(p: ClearingPlan, many: boolean): readonly Block[] {
  return [
    ...vesselHeading(p.vessel, many),
    ...(p.harmless === null ? [] : [{ block: 'text' as const, text: sentence(p.harmless) }]),
    {
      block: 'list',
      ordered: true,
      items: orderedSteps(p).map((s) => {
        const numbers = stepNumbers(s)
        return `${s.danger ? 'DANGER. ' : ''}${firstSentence(s.what)}${numbers === '' ? '' : ` (${numbers})`}`
      }),
    },
    {
      block: 'table',
      columns: ['what', 'goes', 'amount'].map((title) => ({ title, align: 'left' })),
      rows: p.streams.map((s) => [s.name, s.goes, s.amount]),
    },
  ]
}

/** One paper; the full cautions of the day, clearing included, head it. */
export function daySheet(day: DayToPrint, book: SpeciesBook): Paper {
  const many = day.rehearsals.length > 1
  const dangers = day.makeUp.work.filter((w) => w.danger)
  const blocks: Block[] = [
    dangerBlock(
      day.cautions,
      day.plans.flatMap((p) => p.cautions),
    ),
    { block: 'heading', level: 2, text: 'Go or no-go' },
    { block: 'text', text: verdict(day.poured) },
    {
      block: 'list',
      ordered: false,
      items: day.poured.flatMap((v) => [`Vessel ${v.id} after pouring: ${liquidWords(v)}.`, ...workItems(v)]),
    },
    solubilityBlock(day.makeUp),
    { block: 'heading', level: 2, text: 'Make-up' },
    weighingsTable(day.makeUp),
    { block: 'list', ordered: false, items: dangers.map((w) => `DANGER. ${w.solution ? `${w.solution}: ` : ''}${w.text}`) },
    { block: 'heading', level: 2, text: 'Rehearsal' },
    ...day.rehearsals.flatMap((r): readonly Block[] => [
      ...vesselHeading(r.vessel, many),
      ...stripBlocks(r),
      { block: 'list', ordered: false, items: courseLines(r) },
      ...(r.band ? [bandTable(r.band, r.cycles)] : []),
      {
        block: 'text',
        text: `Model ${r.mechanism}, grade: ${r.grade}${r.faults.length > 0 ? `; what it is known to get wrong (${r.faults.length}) stands on the rehearsal sheet` : ''}.`,
      },
    ]),
    { block: 'heading', level: 2, text: 'Clearing' },
    ...(day.plans[0] ? [{ block: 'text' as const, text: sentence(day.plans[0].localRule) }] : []),
    ...day.plans.flatMap((p) => clearingBlocks(p, many)),
  ]
  return typesetPaper({ kind: 'day', title: day.title, blocks: blocks.filter((b) => b.block !== 'list' || b.items.length > 0) }, book)
}
