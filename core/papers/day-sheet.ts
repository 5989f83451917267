/** The day at a glance, for a screen: go or no-go, make-up, rehearsal, clearing, each in what can be read in a minute. */
import type { Cautions } from '../cautions/index.ts'
import type { ClearingPlan } from '../clearing/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import type { Rehearsal } from '../rehearsal/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import { liquidWords, type PouredToPrint, verdict, workItems } from './check-sheet.ts'
import { orderedSteps, samePlans, stepNumbers, vesselsHeading } from './clearing-sheet.ts'
import { solubilityBlock, weighingsTable } from './make-up-sheet.ts'
import type { Block, Paper } from './paper.ts'
import { bandTable, courseLines, stripBlocks } from './rehearsal-sheet.ts'
import { sameCourses } from './same-course.ts'
import type { SpeciesBook } from './species-book.ts'
import { timeWords } from './times.ts'
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

function heading3(many: boolean, text: string): readonly Block[] {
  return many ? [{ block: 'heading', level: 3, text }] : []
}

function clearingBlocks(p: ClearingPlan, vessels: readonly string[], many: boolean): readonly Block[] {
  return [
    ...heading3(many, vesselsHeading(vessels)),
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

function rehearsalBlocks(r: Rehearsal, others: readonly Rehearsal[], many: boolean): readonly Block[] {
  const alike = others.map((o) => `vessel ${o.vessel}, started at ${timeWords(o.startS)}`)
  return [
    ...heading3(many, `Vessel ${r.vessel}`),
    ...stripBlocks(r),
    { block: 'list', ordered: false, items: [...courseLines(r), ...(alike.length > 0 ? [`The same course: ${alike.join('; ')}.`] : [])] },
    ...(r.band ? [bandTable(r, r.band)] : []),
    {
      block: 'text',
      text: `Model ${r.mechanism}, grade: ${r.grade}${r.faults.length > 0 ? `; what it is known to get wrong (${r.faults.length}) stands on the rehearsal sheet` : ''}.`,
    },
  ]
}

/** One paper; the full cautions of the day, clearing included, head it. */
export function daySheet(day: DayToPrint, book: SpeciesBook): Paper {
  const many = day.rehearsals.length > 1
  const courses = sameCourses(day.rehearsals)
  const dangers = day.makeUp.work.filter((w) => w.danger)
  const blocks: Block[] = [
    dangerBlock(
      day.cautions,
      day.plans.flatMap((p) => p.cautions),
    ),
    { block: 'heading', level: 2, text: 'Go or no-go' },
    { block: 'text', text: verdict(day.poured, day.cautions) },
    {
      block: 'list',
      ordered: false,
      items: day.poured.flatMap((v) => [`Vessel ${v.id} after pouring: ${liquidWords(v)}.`, ...workItems(v)]),
    },
    solubilityBlock(day.makeUp),
    { block: 'heading', level: 2, text: 'Make-up' },
    weighingsTable(day.makeUp),
    {
      block: 'list',
      ordered: false,
      items: dangers.map((w) => ({ danger: true as const, ...(w.solution ? { of: w.solution } : {}), text: w.text, under: [] })),
    },
    { block: 'heading', level: 2, text: 'Rehearsal' },
    ...courses.flatMap((c) => rehearsalBlocks(c.first, c.others, many)),
    { block: 'heading', level: 2, text: 'Clearing' },
    ...(day.plans[0] ? [{ block: 'text' as const, text: sentence(day.plans[0].localRule) }] : []),
    ...samePlans(day.plans).flatMap((g) => clearingBlocks(g.plan, g.vessels, many)),
  ]
  return typesetPaper({ kind: 'day', title: day.title, blocks: blocks.filter((b) => b.block !== 'list' || b.items.length > 0) }, book)
}
