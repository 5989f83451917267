import { inReadingOrder, type Problem, type Span } from './problem.ts'

/** "jar.yaml, line 3, column 5" */
export function place(span: Span): string {
  return `${span.file ? `${span.file}, ` : ''}line ${span.line}, column ${span.column}`
}

/**
 * One problem as four lines of plain text, no colour, no width: code (with DANGER in front where it can hurt), where, what, what to do.
 * Used by the command line and by the stored messages of `examples/wrong/`.
 */
export function problemText(problem: Problem): string {
  const at = problem.span ? place(problem.span) : ''
  const where = at === '' || problem.where.includes(at) ? problem.where : problem.where === '' ? at : `${at}: ${problem.where}`
  return [
    `${problem.danger ? 'DANGER ' : ''}${problem.code}`,
    `  where  ${where}`,
    `  what   ${problem.what}`,
    `  do     ${problem.todo}`,
  ].join('\n')
}

/** All problems, dangers first, then in the order of the document, a blank line between; ends with a line break. Empty for none. */
export function problemsText(problems: readonly Problem[]): string {
  return problems.length === 0 ? '' : `${inReadingOrder(problems).map(problemText).join('\n\n')}\n`
}
