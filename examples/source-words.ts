/** The words of our sources and tables, to see whether a phrase can still come from them. */
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { phraseParts } from '@beakertide/basis/phrases'

const ROOT = fileURLToPath(new URL('../', import.meta.url))
const FOLDERS = ['basis', 'core', 'demonstration', 'data', 'apps/web/src', 'examples/right'] as const
const WORD = /[\p{L}\p{N}]+(?:['’]\p{L}+)*/gu
/** So many words in a row tell where a phrase comes from. */
const WINDOW = 3
/** Phrases of no more words are often put together from parts: then each of their words must stand somewhere. */
const SHORT = 5

function filesIn(folder: string): readonly string[] {
  return readdirSync(`${ROOT}${folder}`, { recursive: true, encoding: 'utf8' })
    .map((name) => name.replaceAll('\\', '/'))
    .filter(
      (name) =>
        !/(?:^|\/)(?:dist|node_modules|phrases|words)\//.test(name) && !/\.test\.tsx?$/.test(name) && /\.(?:tsx?|csv|yaml)$/.test(name),
    )
    .map((name) => `${ROOT}${folder}/${name}`)
}

const wordsIn = (text: string): readonly string[] => Array.from(text.matchAll(WORD), (m) => m[0].toLowerCase())
const windows = (words: readonly string[]): readonly string[] =>
  words.length <= SHORT ? words : words.slice(WINDOW - 1).map((_, i) => words.slice(i, i + WINDOW).join(' '))

/** Every run of one to three words that stands in a source. */
export function sourceRuns(): ReadonlySet<string> {
  const runs = new Set<string>()
  for (const file of FOLDERS.flatMap(filesIn)) {
    const words = wordsIn(readFileSync(file, 'utf8'))
    for (let i = 0; i < words.length; i++) {
      for (let n = 1; n <= WINDOW && i + n <= words.length; n++) runs.add(words.slice(i, i + n).join(' '))
    }
  }
  return runs
}

/** Share of the runs of three words of a phrase that stand in the sources; 1 for a phrase without words of its own. */
export function shareInSources(english: string, runs: ReadonlySet<string>): number {
  const own = phraseParts(english).literals.flatMap((literal) => windows(wordsIn(literal)))
  return own.length === 0 ? 1 : own.filter((run) => runs.has(run)).length / own.length
}
