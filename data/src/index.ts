import { factsFrom } from './facts.ts'
import { rowsOf } from './rows.ts'
import { textsOnDisk } from './texts-on-disk.ts'

export { packTexts } from './packed-texts.ts'
export { textsOnDisk } from './texts-on-disk.ts'
export { bookIn, bookLanguages, type BookLanguage, phraseFiles, phrases, writtenPhrases } from './phrases.ts'
export type { Facts } from './facts.ts'

/** Rows of any fact table by its place in data/, e.g. `rows('tables/substances')`. Read once. */
export const rows = rowsOf(textsOnDisk)
/** Every table of facts, from the files of this package. */
export const facts = factsFrom(textsOnDisk)
