/** What stands at the foot of every written sheet. */
import { basename } from 'node:path'
import type { Imprint } from '@beakertide/core/papers'
import type { Door } from './terminal/door.ts'

/** Of this package; a test compares it with package.json. */
export const VERSION = '0.1.0'

export function imprint(door: Door, path: string): Imprint {
  return { from: basename(path), by: `Beakertide ${VERSION}`, at: door.today() }
}
