/** Writing what a flag asks for: a path that cannot be written to is a problem with a next step, not a crash. */
import { done, gather, type Outcome, refuse } from '@beakertide/basis/problems'
import { pngOf } from './png.ts'
import type { Door, Written } from './terminal/door.ts'

function writtenOr(path: string, written: Written): Outcome<string> {
  return written.ok
    ? done(path)
    : refuse({
        code: 'desk/cannot-write',
        where: path,
        what: `it cannot be written: ${written.why}`,
        todo: 'give another path, in a folder that exists',
      })
}

/** Writes `text` to `path`; gives the path. */
export function writeOrRefuse(door: Door, path: string, text: string): Outcome<string> {
  return writtenOr(path, door.writeText(path, text))
}

const isPng = (path: string): boolean => /\.png$/i.test(path)

/** Draws a picture once and writes it to every path that is asked for, as PNG where the path ends so, else as SVG; gives the paths. */
export function writePictures(door: Door, paths: readonly (string | undefined)[], draw: () => string): Outcome<readonly string[]> {
  const asked = paths.filter((path) => path !== undefined)
  if (asked.length === 0) return done([])
  const svg = draw()
  return gather(asked.map((path) => writtenOr(path, isPng(path) ? door.writeBytes(path, pngOf(svg)) : door.writeText(path, svg))))
}
