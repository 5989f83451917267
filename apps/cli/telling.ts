/** Languages in which papers can be written. Answers in the terminal and in JSON are English: they are read by programs too. */
import { phraseBook } from '@beakertide/basis/phrases'
import { inEnglish, type Telling } from '@beakertide/core/papers'
import { bookLanguages, facts, phrases } from '@beakertide/data'

export const PAPER_LANGUAGES = ['en', ...bookLanguages] as const
export type PaperLanguage = (typeof PAPER_LANGUAGES)[number]

/** How papers of that language are told; German writes a decimal comma. */
export function tellingIn(language: PaperLanguage): Telling {
  if (language === 'en') return inEnglish
  const book = phraseBook(phrases(language, facts.matter().species), { decimalSign: ',' })
  return { language, tell: (sentence) => book.tell(sentence) }
}
