/** The open document as it is written, for forms, and the problems that belong beside one field. */
import type { Problem } from '@beakertide/basis/problems'
import { type WrittenDocument, writtenDocument } from '@beakertide/demonstration/edit'
import { createMemo } from '../framework.ts'
import type { Desk } from '../desk/desk.ts'
import { said } from '../words/index.ts'

/** The present text, read for forms; the last readable one of this demonstration while the text is no YAML. */
export function writtenOf(desk: Desk): () => WrittenDocument | null {
  const last = createMemo<{ readonly of: string | null; readonly written: WrittenDocument | null }>(
    (before) => {
      const of = desk.key()
      const read = writtenDocument(desk.document().text)
      return { of, written: read.ok ? read.value : before.of === of ? before.written : null }
    },
    { of: null, written: null },
  )
  return () => last().written
}

/** Problems whose place begins with these words; "vessel "jar", depth" belongs to the field of the depth. */
export function problemsAt(problems: readonly Problem[], ...places: readonly string[]): readonly string[] {
  return problems.filter((p) => places.includes(p.where)).map(saidBeside)
}

/** A problem in the words that stand beside the field it is of. */
export const saidBeside = (p: Pick<Problem, 'what' | 'todo'>): string => `${said(p.what)}; ${said(p.todo)}`
