/** Sentences of the program in another language: data/phrases/<language>/*.tsv, one file a room. */
import { readdirSync, readFileSync } from 'node:fs'
import { gather, type Outcome } from '@beakertide/basis/problems'
import { type BookOptions, type Phrase, type PhraseBook, phraseBook, readPhrases } from '@beakertide/basis/phrases'
import type { MatterFacts } from '@beakertide/core/matter'
import { speciesBook, typeset } from '@beakertide/core/papers'
import { dataFolder } from './texts-on-disk.ts'

/** Languages that a phrase book exists for; English needs none. */
export type BookLanguage = 'de'
const OPTIONS: Readonly<Record<BookLanguage, BookOptions>> = { de: { decimalSign: ',' } }
export const bookLanguages = Object.keys(OPTIONS) as readonly BookLanguage[]

export interface PhraseFile {
  /** "cautions" */
  readonly room: string
  /** "data/phrases/de/cautions.tsv" */
  readonly file: string
  readonly text: string
}

/** The files of a language in the order of their names. */
export function phraseFiles(language: BookLanguage): readonly PhraseFile[] {
  const folder = `${dataFolder}phrases/${language}/`
  return readdirSync(folder)
    .filter((name) => name.endsWith('.tsv'))
    .sort()
    .map((name) => ({
      room: name.replace(/\.tsv$/, ''),
      file: `data/phrases/${language}/${name}`,
      text: readFileSync(`${folder}${name}`, 'utf8'),
    }))
}

/** All entries as they stand in the files, or everything that is wrong with them. */
export function writtenPhrases(language: BookLanguage): Outcome<readonly Phrase[]> {
  const all = gather(phraseFiles(language).map(({ file, text }) => readPhrases(text, file)))
  return all.ok ? { ok: true, value: all.value.flat(), warnings: [] } : all
}

/**
 * All entries, each also as papers print it: species typeset, arrows and degrees drawn. A fault in a file is a fault of ours
 * and is thrown: tests read the files first.
 */
export function phrases(language: BookLanguage, species: MatterFacts['species']): readonly Phrase[] {
  const written = writtenPhrases(language)
  if (!written.ok) throw new Error(written.problems.map((p) => `${p.where}: ${p.what}`).join('\n'))
  const book = speciesBook(species)
  const printed = written.value.flatMap(({ english, other }) => {
    const set = typeset(english, book)
    return set === english ? [] : [{ english: set, other: typeset(other, book) }]
  })
  return [...written.value, ...printed]
}

/** The book of a language, with the decimal sign that most who read it write. */
export const bookIn = (language: BookLanguage, species: MatterFacts['species']): PhraseBook =>
  phraseBook(phrases(language, species), OPTIONS[language])
