import type { rehearsal as english } from '../en/rehearsal.ts'
import type { SameKeys } from '../phrases.ts'

export const rehearsal: SameKeys<typeof english> = {}
