import type { Phrases } from '../phrases.ts'

export const bench = {} as const satisfies Phrases
