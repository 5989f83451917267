import type { shelf as english } from '../en/shelf.ts'
import type { SameKeys } from '../phrases.ts'

export const shelf: SameKeys<typeof english> = {}
