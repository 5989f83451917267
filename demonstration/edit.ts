/** What changes and writes documents, without what reads and computes them: small enough for a page. */
export { type DocumentEdit, editText, type Renaming, renameInText } from './edit-text.ts'
export { writeDocument } from './write-demonstration.ts'
export type * from './written-document.ts'
export { writtenDocument } from './written-document.ts'
export { lights } from './lights.ts'
