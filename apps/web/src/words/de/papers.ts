import type { papers as english } from '../en/papers.ts'
import type { SameKeys } from '../phrases.ts'

export const papers: SameKeys<typeof english> = {}
