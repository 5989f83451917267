/** Colour words of the rehearsal in the language of the page. */
import { en } from '../words/en/all.ts'
import { said, t, type WordKey } from '../words/index.ts'

/** "dark blue" in the page's language, "paler blue" too; a word that is not among ours as it is. */
export function colourWord(name: string): string {
  const shade = /^(paler|deeper) (.+)$/.exec(name)
  if (shade) return t(shade[1] === 'paler' ? 'colour.paler' : 'colour.deeper', { colour: colourWord(shade[2]!) })
  const key = `colour.${name.replaceAll(' ', '-')}`
  return Object.hasOwn(en, key) ? t(key as WordKey) : said(name)
}

/** Plain colours that people say; core knows shades of them. */
export const PLAIN_COLOURS = [
  'colourless',
  'yellow',
  'amber',
  'orange',
  'brown',
  'red',
  'pink',
  'violet',
  'blue',
  'blue-black',
  'green',
  'grey',
  'black',
] as const
