import type { Phrases } from '../phrases.ts'

export const rehearsal = {} as const satisfies Phrases
