/** Languages in which papers can be written. Answers in the terminal and in JSON are English: they are read by programs too. */
import { inEnglish, type Telling } from '@beakertide/core/papers'
import { bookIn, bookLanguages, facts } from '@beakertide/data'

export const PAPER_LANGUAGES = ['en', ...bookLanguages] as const
export type PaperLanguage = (typeof PAPER_LANGUAGES)[number]

/** How papers of that language are told. */
export function tellingIn(language: PaperLanguage): Telling {
  if (language === 'en') return inEnglish
  const book = bookIn(language, facts.matter().species)
  return { language, tell: (sentence) => book.tell(sentence) }
}
