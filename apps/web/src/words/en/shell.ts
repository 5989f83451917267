import type { Phrases } from '../phrases.ts'

export const shell = {} as const satisfies Phrases
