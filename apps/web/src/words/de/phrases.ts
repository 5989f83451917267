/** The German phrase book; the build packs it (build/packed-phrases.ts). */
import { type PhraseBook, phraseBook } from '@beakertide/basis/phrases'
import url from '../../../generated/phrases-de.json?url'

/** Fetched once; a book for the decimal sign of the place. */
export async function germanBook(decimalSign: '.' | ','): Promise<PhraseBook> {
  const answer = await fetch(url)
  if (!answer.ok) throw new Error(`the phrase book cannot be had: ${answer.status}`)
  const pairs = (await answer.json()) as readonly (readonly [string, string])[]
  return phraseBook(
    pairs.map(([english, other]) => ({ english, other })),
    { decimalSign },
  )
}
