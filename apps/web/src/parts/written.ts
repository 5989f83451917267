/** The open document as it is written, for forms, and the problems that belong beside one field. */
import type { Problem } from '@beakertide/basis/problems'
import { type WrittenDocument, writtenDocument } from '@beakertide/demonstration/edit'
import { createMemo } from '../framework.ts'
import type { Desk } from '../desk/desk.ts'
import { said } from '../words/index.ts'

/** The present text, read for forms; the last readable one while the text is no YAML. */
export function writtenOf(desk: Desk): () => WrittenDocument | null {
  return createMemo<WrittenDocument | null>((before) => {
    const read = writtenDocument(desk.document().text)
    return read.ok ? read.value : before
  }, null)
}

/** Problems whose place begins with these words; "vessel "jar", depth" belongs to the field of the depth. */
export function problemsAt(problems: readonly Problem[], ...places: readonly string[]): readonly string[] {
  return problems.filter((p) => places.includes(p.where)).map((p) => `${said(p.what)}; ${said(p.todo)}`)
}
