/** Before the build: the phrase book of each language as one file, which a page fetches when that language is chosen. */
import { mkdirSync } from 'node:fs'
import { bookLanguages, facts, phrases } from '@beakertide/data'
import type { Plugin } from 'vite'
import { writeIfChanged } from './packed-facts.ts'

/** Writes `phrases-<language>.json` into the folder: pairs of English and other, in their order. */
export function packedPhrases(folder: string): Plugin {
  return {
    name: 'packed-phrases',
    buildStart() {
      mkdirSync(folder, { recursive: true })
      for (const language of bookLanguages) {
        const pairs = phrases(language, facts.matter().species).map((p) => [p.english, p.other])
        writeIfChanged(`${folder}/phrases-${language}.json`, JSON.stringify(pairs))
      }
    },
  }
}
