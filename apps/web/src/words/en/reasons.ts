import type { Phrases } from '../phrases.ts'

export const reasons = {} as const satisfies Phrases
