import type { Phrases } from '../phrases.ts'

export const pour = {} as const satisfies Phrases
