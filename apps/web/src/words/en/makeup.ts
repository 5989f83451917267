import type { Phrases } from '../phrases.ts'

export const makeup = {} as const satisfies Phrases
