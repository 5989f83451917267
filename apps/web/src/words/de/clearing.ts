import type { clearing as english } from '../en/clearing.ts'
import type { SameKeys } from '../phrases.ts'

export const clearing: SameKeys<typeof english> = {}
