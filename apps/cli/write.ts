/** Writing what a flag asks for: a path that cannot be written to is a problem with a next step, not a crash. */
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import type { Door } from './terminal/door.ts'

/** Writes `text` to `path`; gives the path. */
export function writeOrRefuse(door: Door, path: string, text: string): Outcome<string> {
  const written = door.writeText(path, text)
  return written.ok
    ? done(path)
    : refuse({
        code: 'desk/cannot-write',
        where: path,
        what: `it cannot be written: ${written.why}`,
        todo: 'give another path, in a folder that exists',
      })
}
