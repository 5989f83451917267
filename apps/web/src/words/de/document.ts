import type { document as english } from '../en/document.ts'
import type { SameKeys } from '../phrases.ts'

export const document: SameKeys<typeof english> = {}
