import type { Phrases } from '../phrases.ts'

export const clearing = {} as const satisfies Phrases
