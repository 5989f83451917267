/** All words of the page in the chosen language: `t('shell.undo')`. Reading one inside a component follows the language. */
import type { PhraseBook } from '@beakertide/basis/phrases'
import { createSignal } from '../framework.ts'
import { en } from './en/all.ts'
import { decimalSign, formatNumber, useNumbersOf } from './numbers.ts'
import { type Fillings, fill, type SameKeys } from './phrases.ts'

export type Language = 'en' | 'de'
export type WordKey = keyof typeof en
/** Languages by their own names. */
export const languages: Readonly<Record<Language, string>> = { en: 'English', de: 'Deutsch' }

interface Chosen {
  readonly language: Language
  readonly words: SameKeys<typeof en>
  /** Tells what the program computes; English needs none, and a book that cannot be had leaves English. */
  readonly book: PhraseBook | null
}

const [chosen, setChosen] = createSignal<Chosen>({ language: 'en', words: en, book: null })

/** The language in use. */
export function language(): Language {
  return chosen().language
}

/** What was asked for last; another choice may come while words are fetched. */
let lastWanted: Language = 'en'

/** Changes the language; the words of another than English are fetched first, and the book of its sentences. */
export async function chooseLanguage(wanted: Language): Promise<void> {
  lastWanted = wanted
  const place = placeFor(wanted)
  const next: Chosen =
    wanted === 'en'
      ? { language: wanted, words: en, book: null }
      : await Promise.all([import('./de/all.ts'), bookOf(place)]).then(([{ de }, book]) => ({ language: wanted, words: de, book }))
  // Somebody chose again while the words were fetched.
  if (lastWanted !== wanted) return
  useNumbersOf(place)
  setChosen(next)
  if (typeof document !== 'undefined') document.documentElement.lang = wanted
}

/** A page without its book still works: sentences then stay English. */
async function bookOf(place: string): Promise<PhraseBook | null> {
  try {
    const { germanBook } = await import('./de/phrases.ts')
    return await germanBook(decimalSign(place))
  } catch {
    return null
  }
}

/** A sentence that the program computed, in the language of the page; what the book does not know stays English. */
export function said(sentence: string): string {
  return chosen().book?.tell(sentence) ?? sentence
}

/** "en" for a sentence that stays English on a page of another language, so that it is read aloud in English. */
export function langOf(sentence: string): 'en' | undefined {
  const { book } = chosen()
  return book === null || book.knows(sentence) ? undefined : 'en'
}

/** The browser's own place when it speaks the language ("de-CH" writes 1.5), else the language. */
function placeFor(wanted: Language): string {
  const tags = typeof navigator === 'undefined' ? [] : navigator.languages
  return tags.find((tag) => tag === wanted || tag.startsWith(`${wanted}-`)) ?? wanted
}

/** The language of the browser, if it is one of ours. */
export function languageOfBrowser(): Language {
  const tags = typeof navigator === 'undefined' ? [] : navigator.languages
  for (const tag of tags) {
    const found = tag.slice(0, 2)
    if (found === 'de' || found === 'en') return found
  }
  return 'en'
}

/** The words for a key. Numbers among the fillings are written as the place writes them. */
export function t(key: WordKey, fillings: Fillings = {}): string {
  const { language: now, words } = chosen()
  return fill(words[key], fillings, now, (value) => formatNumber(value, 4))
}
