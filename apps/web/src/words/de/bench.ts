import type { bench as english } from '../en/bench.ts'
import type { SameKeys } from '../phrases.ts'

export const bench: SameKeys<typeof english> = {}
