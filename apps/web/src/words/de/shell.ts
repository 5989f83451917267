import type { shell as english } from '../en/shell.ts'
import type { SameKeys } from '../phrases.ts'

export const shell: SameKeys<typeof english> = {}
