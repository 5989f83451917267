/** The text of a document in lines, and which of them a problem speaks of. Free of the framework. */
import type { Problem } from '@beakertide/basis/problems'

export interface LineMark {
  readonly line: number
  readonly kind: 'danger' | 'problem' | 'remark'
}

/** The gravest mark of each line. */
export function marksOf(problems: readonly Problem[], remarks: readonly Problem[]): readonly LineMark[] {
  const rank = { danger: 0, problem: 1, remark: 2 } as const
  const found = new Map<number, LineMark>()
  const mark = (p: Problem, kind: LineMark['kind']): void => {
    if (!p.span) return
    const before = found.get(p.span.line)
    if (!before || rank[kind] < rank[before.kind]) found.set(p.span.line, { line: p.span.line, kind })
  }
  for (const p of problems) mark(p, p.danger ? 'danger' : 'problem')
  for (const p of remarks) mark(p, 'remark')
  return [...found.values()].sort((a, b) => a.line - b.line)
}

/** Offset of a line's first letter; lines and columns from 1. */
export function offsetOf(text: string, line: number, column: number): number {
  let at = 0
  for (let i = 1; i < line; i++) {
    const next = text.indexOf('\n', at)
    if (next < 0) return text.length
    at = next + 1
  }
  return Math.min(text.length, at + Math.max(0, column - 1))
}

/** Line of an offset, from 1. */
export function lineAt(text: string, offset: number): number {
  let line = 1
  for (let at = text.indexOf('\n'); at >= 0 && at < offset; at = text.indexOf('\n', at + 1)) line++
  return line
}

/** What Enter puts in at an offset: a line break and the indentation of the line, deeper behind a colon that ends it. */
export function lineBreakAt(text: string, offset: number): string {
  const start = text.lastIndexOf('\n', offset - 1) + 1
  const line = text.slice(start, offset)
  const indent = /^ */.exec(line)?.[0] ?? ''
  return `\n${indent}${/:\s*$/.test(line) && !line.trim().startsWith('#') ? '  ' : ''}`
}
