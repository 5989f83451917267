import type { Phrases } from '../phrases.ts'

export const document = {} as const satisfies Phrases
