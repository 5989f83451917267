import type { Phrases } from '../phrases.ts'

export const papers = {} as const satisfies Phrases
