import type { makeup as english } from '../en/makeup.ts'
import type { SameKeys } from '../phrases.ts'

export const makeup: SameKeys<typeof english> = {}
