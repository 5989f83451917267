/** How every command answers: JSON of one stable shape, or papers on the terminal; problems as sentences; exit code 0, 1 or 2. */
import { inReadingOrder, type Outcome, type Problem, problemText } from '@beakertide/basis/problems'
import { cautionLine, type Cautions } from '@beakertide/core/cautions'
import type { Paper } from '@beakertide/core/papers'
import { drawPaper } from './terminal/draw-paper.ts'
import { type Door, lookOf } from './terminal/door.ts'

/** Version of the JSON that `--json` writes; docs/json.md describes it. */
export const JSON_FORMAT = 'beakertide/1'

/** Exit codes: done, problems found, used wrongly. */
export const EXIT = { done: 0, problems: 1, usedWrongly: 2 } as const

export interface AnswerFlags {
  readonly json?: boolean
  readonly plain?: boolean
}

export interface Answer {
  readonly command: string
  readonly file: string | null
  /** Null only where nothing is mixed or weighed (a list of mechanisms). */
  readonly cautions: Cautions | null
  readonly warnings: readonly Problem[]
  readonly papers: readonly Paper[]
  /** What JSON carries beside format, command, cautions and problems. */
  readonly result: Readonly<Record<string, unknown>>
  /** Problems were found although there is something to show. */
  readonly exit?: number
}

function cautionsJson(cautions: Cautions | null): unknown {
  return cautions === null ? null : { refused: cautions.refused, standing: cautions.standing, list: cautions.list }
}

/** Writes the answer and sets the exit code. */
export function give(door: Door, flags: AnswerFlags, answer: Answer): void {
  const warnings = inReadingOrder(answer.warnings)
  if (flags.json) {
    const { command, file, cautions, result } = answer
    door.process.stdout.write(
      `${JSON.stringify({ format: JSON_FORMAT, command, file, ok: true, cautions: cautionsJson(cautions), problems: warnings, ...result }, null, 1)}\n`,
    )
  } else {
    const look = lookOf(door, flags.plain ?? false)
    door.process.stdout.write(answer.papers.map((p) => drawPaper(p, look)).join('\n'))
    if (warnings.length > 0) door.process.stderr.write(`\nWorth a look:\n${warnings.map((w) => `${problemText(w)}\n`).join('\n')}`)
  }
  door.process.exitCode = answer.exit ?? EXIT.done
}

/** Writes what prevents an answer; dangers first. */
export function giveProblems(door: Door, flags: AnswerFlags, command: string, file: string | null, problems: readonly Problem[]): void {
  const ordered = inReadingOrder(problems)
  if (flags.json) {
    door.process.stdout.write(
      `${JSON.stringify({ format: JSON_FORMAT, command, file, ok: false, cautions: null, problems: ordered }, null, 1)}\n`,
    )
  } else {
    const danger = ordered.some((p) => p.danger)
    const count = `${ordered.length} ${ordered.length === 1 ? 'problem' : 'problems'}${file ? ` in ${file}` : ''}`
    door.process.stderr.write(
      `${danger ? '!! DANGER: this plan is refused.\n\n' : ''}${count}\n\n${ordered.map((p) => `${problemText(p)}\n`).join('\n')}`,
    )
  }
  door.process.exitCode = EXIT.problems
}

/** Gives the answer of an outcome, or its problems. */
export function answerOf<T>(
  door: Door,
  flags: AnswerFlags,
  command: string,
  file: string | null,
  outcome: Outcome<T>,
  make: (value: T, warnings: readonly Problem[]) => Answer,
): void {
  if (outcome.ok) give(door, flags, make(outcome.value, outcome.warnings))
  else giveProblems(door, flags, command, file, outcome.problems)
}

/** The cautions as a paper of their own, for commands that have no sheet. */
export function cautionPaper(title: string, cautions: Cautions): Paper {
  return { kind: 'cautions', title, blocks: [{ block: 'danger', lines: [...cautions.list.map(cautionLine), ...cautions.standing] }] }
}
