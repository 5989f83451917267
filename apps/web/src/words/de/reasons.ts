import type { reasons as english } from '../en/reasons.ts'
import type { SameKeys } from '../phrases.ts'

export const reasons: SameKeys<typeof english> = {}
