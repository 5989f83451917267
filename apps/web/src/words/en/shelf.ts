import type { Phrases } from '../phrases.ts'

export const shelf = {} as const satisfies Phrases
