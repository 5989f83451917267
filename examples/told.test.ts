/**
 * A language is complete when its book tells every sentence that a page or a paper shows of the shipped examples, and holds nothing that
 * no source says any more. `node tools/untold.mjs de` lists what is missing.
 */
import { beforeAll, describe, expect, it } from 'vitest'
import type { PhraseBook } from '@beakertide/basis/phrases'
import { speciesBook, typeset } from '@beakertide/core/papers'
import { bookIn, bookLanguages, facts, writtenPhrases } from '@beakertide/data'
import { exampleNames, sentencesOf, sentencesOfTables } from './every-sentence.ts'
import { shareInSources, sourceRuns } from './source-words.ts'

/** Below this share of its runs of words an entry that no example uses comes from no source. */
const LEAST_IN_SOURCES = 0.5

describe.each(bookLanguages)('the book of "%s"', (language) => {
  let book: PhraseBook
  /** Names and sentences that the writers of the examples chose: they stay in every language. */
  const own = new Set<string>()
  beforeAll(() => {
    book = bookIn(language, facts.matter().species)
    sentencesOfTables((_, text) => void book.tell(text))
    for (const name of exampleNames) for (const word of sentencesOf(name, (_, text) => void book.tell(text))) own.add(word)
  }, 240_000)

  it('has files without faults', () => {
    const read = writtenPhrases(language)
    expect(read.ok ? [] : read.problems.map((p) => `${p.where}: ${p.what}`)).toEqual([])
  })
  it('says the same of a sentence wherever it stands', () => {
    const read = writtenPhrases(language)
    const first = new Map<string, string>()
    const twice = (read.ok ? read.value : []).flatMap(({ english, other }) => {
      const before = first.get(english)
      if (before === undefined) first.set(english, other)
      return before === undefined || before === other ? [] : [`${english}: ${before} / ${other}`]
    })
    expect(twice).toEqual([])
  })
  it('keeps every number of a sentence', () => {
    const digits = (text: string): string =>
      [...text.replace(/\{\d+(?::[pno])?\}/g, '').matchAll(/\d+/g)]
        .map((m) => Number(m[0]))
        .sort((a, b) => a - b)
        .join(' ')
    const read = writtenPhrases(language)
    const wrong = (read.ok ? read.value : []).filter(({ english, other }) => digits(english) !== digits(other))
    expect(wrong.map(({ english, other }) => `${english} | ${other}`)).toEqual([])
  })
  it('tells every sentence of every example', () => {
    expect(
      book
        .untold()
        .filter(({ text }) => !own.has(text))
        .map(({ text, count }) => `${count} ${text}`),
    ).toEqual([])
  })
  it('holds no entry that no source says any more', () => {
    const runs = sourceRuns()
    const used = book.used()
    const species = speciesBook(facts.matter().species)
    const read = writtenPhrases(language)
    const dead = (read.ok ? read.value : []).filter(
      ({ english }) => !used.has(english) && !used.has(typeset(english, species)) && shareInSources(english, runs) < LEAST_IN_SOURCES,
    )
    expect(dead.map(({ english }) => english)).toEqual([])
  })
})
