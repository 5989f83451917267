/** Words of the page: a phrase is a text with {places}, or one for one thing and one for other numbers of things (`n`). */

export type Phrase = string | { readonly one: string; readonly other: string }
export type Phrases = Readonly<Record<string, Phrase>>
/** Another language of the same words: the same keys, checked by the compiler. */
export type SameKeys<English extends Phrases> = { readonly [Key in keyof English]: Phrase }
/** What is put into the {places}; `n` also chooses between one and many. */
export type Fillings = Readonly<Record<string, string | number>>

/** Making the rules of a language costs a hundred times what asking them does, and sliders fill many phrases in a frame. */
const rules = new Map<string, Intl.PluralRules>()
function rulesOf(language: string): Intl.PluralRules {
  let known = rules.get(language)
  if (known === undefined) {
    known = new Intl.PluralRules(language)
    rules.set(language, known)
  }
  return known
}

/** The phrase with its places filled. A place without a filling stays as it is, so that it is seen. */
export function fill(phrase: Phrase, fillings: Fillings, language: string, writeNumber: (value: number) => string): string {
  const n = fillings['n']
  const text =
    typeof phrase === 'string' ? phrase : typeof n === 'number' && rulesOf(language).select(n) === 'one' ? phrase.one : phrase.other
  return text.replace(/\{(\w+)\}/g, (place, name: string) => {
    const filling = fillings[name]
    return filling === undefined ? place : typeof filling === 'number' ? writeNumber(filling) : filling
  })
}
