import type { Phrases } from '../phrases.ts'

export const perform = {} as const satisfies Phrases
