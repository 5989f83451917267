import type { perform as english } from '../en/perform.ts'
import type { SameKeys } from '../phrases.ts'

export const perform: SameKeys<typeof english> = {}
