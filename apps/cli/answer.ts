/** How every command answers: JSON of one stable shape, or papers on the terminal; problems as sentences; exit code 0, 1 or 2. */
import { inReadingOrder, type Outcome, type Problem, problemText } from '@beakertide/basis/problems'
import type { Caution, Cautions } from '@beakertide/core/cautions'
import { dangerBlock, type Paper, sentence, type SpeciesBook, typeset, visibleText } from '@beakertide/core/papers'
import { cautionsWithoutAnswer } from './desk.ts'
import { drawPapers } from './terminal/draw-paper.ts'
import type { Door } from './terminal/door.ts'
import { lookOf, type TerminalLook } from './terminal/look.ts'
import { wrap } from './terminal/text-layout.ts'

/** Version of the JSON that `--json` writes; docs/json.md describes it. */
export const JSON_FORMAT = 'beakertide/1'

/** Exit codes: done, problems found, used wrongly. */
export const EXIT = { done: 0, problems: 1, usedWrongly: 2 } as const

/** Problems with these codes lie in how the command was called, not in the document. */
const WRONG_USE =
  /^desk\/(cannot-read|cannot-write|no-such-vessel|no-such-mechanism|which-mechanism|one-aim|bound-without-amount|band-without-stop)$/

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
  /** Names of species, for typesetting what is said beside the papers. */
  readonly book?: SpeciesBook
  /** A drawing that only a terminal needs, line by line, after the papers. */
  readonly drawing?: readonly string[]
  /** Said last, after the papers: what was written. */
  readonly last?: string
  /** What JSON carries beside format, command, cautions and problems. */
  readonly result: Readonly<Record<string, unknown>>
  /** Problems were found although there is something to show. */
  readonly exit?: number
}

/** The cautions of the day with those that a later room adds; they head everything that is shown. */
export function withMore(cautions: Cautions, more: readonly Caution[]): Cautions {
  return { ...cautions, list: [...cautions.list, ...more].sort((a, b) => b.severity - a.severity) }
}

const cautionsJson = (c: Cautions | null): unknown =>
  c === null
    ? null
    : {
        ...(c.incomplete === undefined ? {} : { incomplete: c.incomplete }),
        refused: c.refused,
        standing: c.standing,
        list: c.list,
        air: c.air ?? [],
      }

/** JSON in which control characters of any kind are written as escapes, so that no document can steer a terminal. */
export function safeJson(value: unknown): string {
  return JSON.stringify(value, null, 1).replace(
    /(?!\n)[\p{Cc}\u200e\u200f\u2028-\u202e\u2066-\u2069]/gu,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  )
}

const squeezed = (text: string): string => text.replace(/\s+/g, '').toLowerCase()

/** Equal warnings once, with every place they were met; those that a paper already prints (`printed`, without spaces) are left out. */
function remarkLines(warnings: readonly Problem[], printed: string, look: TerminalLook, book: SpeciesBook): readonly string[] {
  const places = new Map<string, string[]>()
  for (const w of warnings) {
    const words = (text: string): string => typeset(visibleText(text), book)
    if (printed.includes(squeezed(words(w.what)))) continue
    const said = `${sentence(words(w.what), false)} ${sentence(words(w.todo))}`
    const met = places.get(said) ?? []
    if (w.where !== '' && !met.includes(w.where)) met.push(visibleText(w.where))
    places.set(said, met)
  }
  return [...places].flatMap(([said, where]) => {
    return wrap(`- ${where.length > 0 ? `${where.join('; ')}: ` : ''}${said}`, look.columns, '  ')
  })
}

/** Writes the answer and sets the exit code. */
export function give(door: Door, flags: AnswerFlags, answer: Answer): void {
  const warnings = inReadingOrder(answer.warnings)
  const { stdout } = door.process
  if (flags.json) {
    const { command, file, cautions, result } = answer
    stdout.write(
      `${safeJson({ format: JSON_FORMAT, command, file, ok: true, cautions: cautionsJson(cautions), problems: warnings, ...result })}\n`,
    )
  } else {
    const look = lookOf(door, flags.plain ?? false)
    const papers = drawPapers(answer.papers, look)
    const book = answer.book ?? {}
    const dangers = warnings.filter((w) => w.danger)
    const dangerLines = remarkLines(dangers, '', look, book)
    if (dangerLines.length > 0) stdout.write(`!! DANGER in this document\n${dangerLines.join('\n')}\n\n`)
    stdout.write(papers)
    if (answer.drawing !== undefined) stdout.write(`\n${answer.drawing.join('\n')}\n`)
    const others = warnings.filter((w) => !w.danger)
    const rest = remarkLines(others, squeezed(papers), look, book)
    if (rest.length > 0) stdout.write(`\nAlso worth knowing\n${rest.join('\n')}\n`)
    if (answer.last !== undefined) stdout.write(`\n${wrap(visibleText(answer.last), look.columns).join('\n')}\n`)
  }
  door.process.exitCode = answer.exit ?? EXIT.done
}

/** The cautions that are known although there is no answer, as a paper; headed by the sentence that they are not complete. */
function cautionsPaper(cautions: Cautions, file: string): Paper {
  const { incomplete } = cautions
  const head: Paper['blocks'] = incomplete === undefined ? [] : [{ block: 'text', text: incomplete }]
  return { kind: 'note', title: `Cautions of ${file}`, blocks: [...head, dangerBlock(cautions)] }
}

/** Writes what prevents an answer; the cautions that are known all the same stand before it. */
export function giveProblems(door: Door, flags: AnswerFlags, command: string, file: string | null, problems: readonly Problem[]): void {
  const ordered = inReadingOrder(problems)
  const usedWrongly = ordered.every((p) => WRONG_USE.test(p.code))
  const cautions = file === null || usedWrongly ? null : cautionsWithoutAnswer(door, file)
  if (flags.json) {
    const answer = { format: JSON_FORMAT, command, file, ok: false, cautions: cautionsJson(cautions), problems: ordered }
    door.process.stdout.write(`${safeJson(answer)}\n`)
  } else {
    if (cautions !== null) {
      const look = { ...lookOf(door, flags.plain ?? false), colour: false }
      door.process.stderr.write(`${drawPapers([cautionsPaper(cautions, file ?? '')], look)}\n`)
    }
    const danger = ordered.some((p) => p.danger)
    const count = `${ordered.length} ${ordered.length === 1 ? 'problem' : 'problems'}${file ? ` in ${file}` : ''}`
    const text = (p: Problem): string => problemText(p).split('\n').map(visibleText).join('\n')
    const head = usedWrongly ? '' : `${danger ? '!! DANGER: this plan is refused.\n\n' : ''}${visibleText(count)}\n\n`
    door.process.stderr.write(`${head}${ordered.map((p) => `${text(p)}\n`).join('\n')}`)
  }
  door.process.exitCode = usedWrongly ? EXIT.usedWrongly : EXIT.problems
}

/** Gives the answer of an outcome, or its problems. */
export function answerOf<T>(
  door: Door,
  flags: AnswerFlags,
  command: string,
  file: string | null,
  outcome: Outcome<T>,
  make: (value: T, warnings: readonly Problem[]) => Outcome<Answer> | Answer,
): void {
  if (!outcome.ok) {
    giveProblems(door, flags, command, file, outcome.problems)
    return
  }
  const made = make(outcome.value, outcome.warnings)
  if (!('ok' in made)) give(door, flags, made)
  else if (made.ok) give(door, flags, made.value)
  else giveProblems(door, flags, command, file, made.problems)
}
