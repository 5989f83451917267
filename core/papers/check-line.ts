/**
 * The check line of a recipe page: two check characters a line and two for the whole page, by ISO/IEC 7064:2003, MOD 1271-36.
 *
 * What is checked. Each line of the recipe becomes letters and digits: its words in capitals, everything else left out, and each
 * number as a whole number of the smallest unit we print, filled with zeros to a fixed width. A digit that is read wrongly or swapped
 * with its neighbour on paper is then one wrong or swapped character, and MOD 1271-36 finds every single wrong character and
 * every swap of two neighbours; of other changes it misses about one in 1271 a line, and far fewer where line and page are both looked at.
 */
import { invariant } from '@beakertide/basis/problems'

const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'
const MODULUS = 1271
const RADIX = 36
/** Digits of a number in the checked text, and how many of them stand behind the point of the printed one. */
const WIDTH = 15
const DECIMALS = 6

/** Two check characters for a text of digits and capital letters (ISO/IEC 7064:2003, section 8.2: "ISO79" gives "3W"). */
export function checkCharacters(text: string): string {
  let sum = 0
  for (const character of text) {
    const value = ALPHABET.indexOf(character)
    invariant(value >= 0, `"${character}" can be checked: digits and capital letters only`)
    sum = ((sum + value) * RADIX) % MODULUS
  }
  const check = (MODULUS + 1 - ((sum * RADIX) % MODULUS)) % MODULUS
  return ALPHABET.charAt(Math.floor(check / RADIX)) + ALPHABET.charAt(check % RADIX)
}

/** A word of a recipe as it is checked: capital letters and digits, the rest left out; letters outside A to Z by their number. */
function checkedWord(text: string): string {
  return Array.from(text.normalize('NFKD').toUpperCase(), (c) => {
    if (ALPHABET.includes(c)) return c
    return /\p{L}|\p{N}/u.test(c) ? c.codePointAt(0)!.toString(RADIX).toUpperCase() : ''
  }).join('')
}

/** A number in its printed unit as it is checked: fixed width, six decimals; the sign as a letter. Not finite, or too large: all nines. */
function checkedNumber(value: number): string {
  const whole = Math.round(Math.abs(value) * 10 ** DECIMALS)
  const digits = Number.isFinite(whole) && whole < 10 ** WIDTH ? String(whole) : '9'.repeat(WIDTH)
  return `${value < 0 ? 'M' : 'P'}${digits.padStart(WIDTH, '0')}`
}

/** A number as the page prints it: at most six decimals, no zeros that nobody wrote. What is read from the page checks the same. */
export function printedNumber(value: number): string {
  return String(Number(value.toFixed(DECIMALS)))
}

/** One line of a recipe: words and numbers in the order in which they stand. Numbers in the unit they are printed in. */
export interface CheckedLine {
  /** What the line says, for the reader. */
  readonly text: string
  readonly parts: readonly (string | number)[]
}

export interface CheckCodes {
  /** Two characters a line. */
  readonly lines: readonly string[]
  /** Two characters for all lines in their order. */
  readonly page: string
}

/** The codes of all lines, and of the page. */
export function checkCodes(lines: readonly CheckedLine[]): CheckCodes {
  const texts = lines.map((l) => l.parts.map((p) => (typeof p === 'number' ? checkedNumber(p) : checkedWord(p))).join(''))
  return { lines: texts.map(checkCharacters), page: checkCharacters(texts.join('')) }
}

/** All codes in one row, as printed under a recipe: "page 3W; lines A1 B2 …". */
export function checkLine(codes: CheckCodes): string {
  return `${codes.page} ${codes.lines.join('')}`
}

export type TypedCheck =
  | { readonly same: true }
  /** `lines`: places of the lines that differ, from 0; empty when only their number or order does. */
  | { readonly same: false; readonly lines: readonly number[]; readonly linesTyped: number }

/**
 * Compares a check line as somebody typed it from paper with the codes of the recipe at hand. Blanks and small letters do not matter;
 * O and I are read as 0 and 1 when that makes it agree, because paper does not tell them apart.
 */
export function compareCheckLine(typed: string, codes: CheckCodes): TypedCheck {
  const plain = (text: string): string => text.toUpperCase().replace(/[^0-9A-Z]/g, '')
  const alike = (text: string): string => text.replaceAll('O', '0').replaceAll('I', '1')
  const [met, wanted] = [plain(typed), plain(checkLine(codes))]
  if (alike(met) === alike(wanted)) return { same: true }
  const lines = codes.lines.flatMap((code, i) => (alike(met.slice(2 + 2 * i, 4 + 2 * i)) === alike(code) ? [] : [i]))
  const linesTyped = Math.max(0, Math.floor((met.length - 2) / 2))
  return { same: false, lines: linesTyped === codes.lines.length ? lines : [], linesTyped }
}
