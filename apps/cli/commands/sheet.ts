/** `sheet`: every paper of the day as one self-contained HTML page. `day`: the same, and in the terminal too. */
import { basename } from 'node:path'
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome } from '@beakertide/basis/problems'
import { checkSheet, clearingSheet, htmlPage, makeUpSheet, type Paper, rehearsalSheet, shoppingSheet } from '@beakertide/core/papers'
import { clearVessel } from '@beakertide/demonstration'
import { answerOf } from '../answer.ts'
import { dayFacts } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { answerFlags, fileArgument, mechanismFlag, outFlag, wholeNumber } from './flags.ts'
import { openRehearsed, USUAL_BAND } from './rehearse.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly band: number
  readonly seed: number
  readonly out?: string
}

interface Day {
  readonly title: string
  readonly papers: readonly Paper[]
  readonly cautions: Parameters<typeof makeUpSheet>[2]
  readonly mechanism: string
  readonly turns: number
}

/** "examples/right/tide-in-a-jar.yaml" -> "tide-in-a-jar.html" in the current folder. */
export function sheetPath(path: string): string {
  return `${basename(path).replace(/\.ya?ml$/i, '')}.html`
}

function openDay(door: Door, path: string, flags: Flags): Outcome<Day> {
  const rehearsed = openRehearsed(door, path, flags)
  if (!rehearsed.ok) return rehearsed
  const { prepared, rehearsals } = rehearsed.value
  const plans = gather(rehearsals.map((r) => clearVessel(prepared, r, dayFacts())))
  if (!plans.ok) return plans
  const { title } = prepared.demonstration
  const { cautions, makeUp, poured } = prepared
  return done(
    {
      title,
      cautions,
      mechanism: prepared.mechanism.name,
      turns: rehearsals.reduce((n, r) => n + r.turns.length, 0),
      papers: [
        checkSheet(title, makeUp, poured, cautions),
        makeUpSheet(title, makeUp, cautions),
        rehearsalSheet(title, rehearsals, cautions),
        clearingSheet(title, plans.value, cautions),
        shoppingSheet(title, makeUp, cautions),
      ],
    },
    [...rehearsed.warnings, ...plans.warnings],
  )
}

const flags = {
  ...answerFlags,
  ...mechanismFlag,
  band: { kind: 'parsed', parse: wholeNumber, brief: 'Varied runs for the band; 0 for none', default: USUAL_BAND, placeholder: 'n' },
  seed: { kind: 'parsed', parse: wholeNumber, brief: 'Seed of the band', default: '1', placeholder: 'n' },
  out: outFlag('Where to write the page (default: the name of the file, in this folder)'),
} as const

function run(command: 'sheet' | 'day', showPapers: boolean) {
  return function (this: Door, given: Flags, path: string): void {
    answerOf(this, given, command, path, openDay(this, path, given), (day, warnings) => {
      const out = given.out ?? sheetPath(path)
      this.writeText(out, htmlPage(day.title, day.papers))
      const said: Paper = {
        kind: 'note',
        title: day.title,
        blocks: [
          { block: 'danger', lines: [...day.cautions.standing] },
          {
            block: 'text',
            text: `Wrote ${out}: ${day.papers.length} papers on one page that needs nothing else. Open it in a browser or print it.`,
          },
        ],
      }
      const papers = showPapers ? [...day.papers, said] : [said]
      return {
        command,
        file: path,
        cautions: day.cautions,
        warnings: showPapers || given.json ? warnings : [],
        papers,
        result: { title: day.title, mechanism: day.mechanism, written: [out], papers: day.papers },
      }
    })
  }
}

export const sheetCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'Every paper of the day as one HTML page that needs nothing else' },
  parameters: { flags, positional: fileArgument },
  func: run('sheet', false),
})

export const dayCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'The whole day: check, make-up, rehearsal, clearing, and the page of all papers' },
  parameters: { flags, positional: fileArgument },
  func: run('day', true),
})
