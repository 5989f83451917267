import type { pour as english } from '../en/pour.ts'
import type { SameKeys } from '../phrases.ts'

export const pour: SameKeys<typeof english> = {}
