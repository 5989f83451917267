/** The phrase book apart from the readers of documents: a page that only tells sentences must not carry those. */
export { type Phrase, type PhraseParts, phraseParts, readPhrases } from './phrase-file.ts'
export { type BookOptions, isWordless, type PhraseBook, phraseBook, type Untold } from './phrase-book.ts'
