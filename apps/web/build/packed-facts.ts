/** Before the build: the facts as one file for the workers. The packages must be built (`npm run build`), as for every door. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { packTexts, textsOnDisk } from '@beakertide/data'
import type { Plugin } from 'vite'

/** Writes only what changed, so that a watching build does not start over. */
export function writeIfChanged(path: string, text: string): void {
  let before: string | null = null
  try {
    before = readFileSync(path, 'utf8')
  } catch {
    // Not there yet.
  }
  if (before !== text) writeFileSync(path, text)
}

/** Writes `facts.json` into the folder. */
export function packedFacts(folder: string): Plugin {
  return {
    name: 'packed-facts',
    buildStart() {
      mkdirSync(folder, { recursive: true })
      writeIfChanged(`${folder}/facts.json`, packTexts(textsOnDisk))
    },
  }
}
