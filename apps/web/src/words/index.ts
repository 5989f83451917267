/** All words of the page in the chosen language: `t('shell.undo')`. Reading one inside a component follows the language. */
import { createSignal } from '../framework.ts'
import { en } from './en/all.ts'
import { formatNumber, useNumbersOf } from './numbers.ts'
import { type Fillings, fill, type SameKeys } from './phrases.ts'

export type Language = 'en' | 'de'
export type WordKey = keyof typeof en
/** Languages by their own names. */
export const languages: Readonly<Record<Language, string>> = { en: 'English', de: 'Deutsch' }

const [chosen, setChosen] = createSignal<{ readonly language: Language; readonly words: SameKeys<typeof en> }>({
  language: 'en',
  words: en,
})

/** The language in use. */
export function language(): Language {
  return chosen().language
}

/** Changes the language; the words of another than English are fetched first. */
export async function chooseLanguage(wanted: Language): Promise<void> {
  const words = wanted === 'de' ? (await import('./de/all.ts')).de : en
  useNumbersOf(placeFor(wanted))
  if (typeof document !== 'undefined') document.documentElement.lang = wanted
  setChosen({ language: wanted, words })
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
