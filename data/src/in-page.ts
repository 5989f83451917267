/** For a page or its workers: the same facts from the packed file. Nothing here needs Node. */
export { type Facts, factsFrom } from './facts.ts'
export { packedTexts } from './packed-texts.ts'
