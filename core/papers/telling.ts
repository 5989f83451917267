/** In which language a paper is drawn. Rooms write English; a door that has a phrase book hands over how it tells each sentence. */

/** A sentence, a phrase or a number in the language of the reader; what is unknown comes back as it was. */
export type Tell = (english: string) => string

export interface Telling {
  /** "en", "de": the language of the page that is drawn. */
  readonly language: string
  readonly tell: Tell
}

export const inEnglish: Telling = { language: 'en', tell: (english) => english }
