/** `sheet`: every paper of the day as one self-contained HTML page. `day`: the same page, and the day at a glance in the terminal. */
import { basename } from 'node:path'
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome } from '@beakertide/basis/problems'
import type { ClearingPlan } from '@beakertide/core/clearing'
import { dangerBlock, dayPapers, daySheet, htmlPage, PAPER_KINDS, type Paper, translatePaper, usualPrint } from '@beakertide/core/papers'
import { clearVessel, sayingOf } from '@beakertide/demonstration'
import { type Answer, answerOf, EXIT, withMore } from '../answer.ts'
import { bookFor, dayFacts } from '../desk.ts'
import { imprint } from '../imprint.ts'
import type { Door } from '../terminal/door.ts'
import { PAPER_LANGUAGES, type PaperLanguage, tellingIn } from '../telling.ts'
import { writeOrRefuse } from '../write.ts'
import { answerFlags, bandFlags, fileArgument, mechanismFlag, oneOf, outFlag, threadsFlag } from './flags.ts'
import { openBanded, type Rehearsed } from './rehearse.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly band: number
  readonly seed: number
  readonly out?: string
  readonly language: PaperLanguage
  readonly threads?: number
}

interface Day extends Rehearsed {
  readonly plans: readonly ClearingPlan[]
}

/** "examples/right/tide-in-a-jar.yaml" -> "tide-in-a-jar.html", in the current folder. */
export function sheetPath(path: string): string {
  return `${basename(path).replace(/\.ya?ml$/i, '')}.html`
}

async function openDay(door: Door, path: string, flags: Flags): Promise<Outcome<Day>> {
  const rehearsed = await openBanded(door, path, flags)
  if (!rehearsed.ok) return rehearsed
  const { prepared, rehearsals } = rehearsed.value
  const plans = gather(rehearsals.map((r) => clearVessel(prepared, r, dayFacts())))
  if (!plans.ok) return plans
  return done({ ...rehearsed.value, plans: plans.value }, [...rehearsed.warnings, ...plans.warnings])
}

/** Every paper, in the order of the day. */
function papersOf(day: Day): readonly Paper[] {
  const { demonstration, cautions, makeUp, poured, mechanism } = day.prepared
  const reaction = 'name' in demonstration.reaction ? demonstration.reaction.name : demonstration.reaction.file
  const { rehearsals, plans } = day
  const recipe = { ...demonstration, reaction }
  // What cannot be said is left blank on the cue sheet.
  const sayings = rehearsals.flatMap((r) => {
    const saying = sayingOf(day.prepared, r, dayFacts())
    return saying.ok ? [saying.value] : []
  })
  const { hazards } = dayFacts()
  return dayPapers({ recipe, cautions, makeUp, poured, rehearsals, plans, sayings, hazards }, PAPER_KINDS, bookFor(mechanism))
}

/** What the terminal shows: the day at a glance, or for `sheet` only the dangers. */
function shown(command: 'sheet' | 'day', day: Day): Paper {
  const { demonstration, cautions, makeUp, poured, mechanism } = day.prepared
  const { title } = demonstration
  if (command === 'day') {
    return daySheet({ title, cautions, makeUp, poured, rehearsals: day.rehearsals, plans: day.plans }, bookFor(mechanism))
  }
  const more = day.plans.flatMap((p) => p.cautions)
  return { kind: 'note', title, blocks: [dangerBlock(cautions, more)] }
}

const flags = {
  ...answerFlags,
  ...mechanismFlag,
  ...bandFlags,
  ...threadsFlag,
  out: outFlag('Where to write the page (default: the name of the file, in this folder)'),
  language: {
    kind: 'parsed',
    parse: oneOf(PAPER_LANGUAGES),
    brief: `Language of the page: ${PAPER_LANGUAGES.join(', ')}`,
    default: 'en',
    placeholder: 'language',
  },
} as const

function run(command: 'sheet' | 'day') {
  return async function (this: Door, given: Flags, path: string): Promise<void> {
    answerOf(this, given, command, path, await openDay(this, path, given), (day, warnings): Outcome<Answer> => {
      const { title } = day.prepared.demonstration
      const telling = tellingIn(given.language)
      const papers = papersOf(day).map((p) => translatePaper(p, telling.tell))
      const out = writeOrRefuse(
        this,
        given.out ?? sheetPath(path),
        htmlPage(title, papers, imprint(this, path), { ...usualPrint, telling }),
      )
      if (!out.ok) return out
      const works = day.prepared.poured.every((v) => v.canItWork.works)
      const whole = { title, mechanism: day.prepared.mechanism.name, works, written: [out.value] }
      const { makeUp, poured } = day.prepared
      return done({
        command,
        file: path,
        cautions: withMore(
          day.prepared.cautions,
          day.plans.flatMap((p) => p.cautions),
        ),
        warnings,
        book: bookFor(day.prepared.mechanism),
        papers: [shown(command, day)],
        last: `Wrote ${out.value}: all ${papers.length} papers (cautions, go or no-go, shopping list, make-up step by step, bottle labels, recipe with check line, rehearsal, cues, clearing, write-up) on one page that needs nothing else. Open it in a browser, or print it.`,
        result:
          command === 'sheet'
            ? { ...whole, papers: papers.map((p) => ({ kind: p.kind, title: p.title })) }
            : { ...whole, vessels: poured, makeUp, rehearsals: day.rehearsals, plans: day.plans },
        exit: works ? EXIT.done : EXIT.problems,
      })
    })
  }
}

export const sheetCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'Every paper of the day as one HTML page that needs nothing else' },
  parameters: { flags, positional: fileArgument },
  func: run('sheet'),
})

export const dayCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'The whole day at a glance: go or no-go, make-up, rehearsal, clearing; and the page of all papers' },
  parameters: { flags, positional: fileArgument },
  func: run('day'),
})
