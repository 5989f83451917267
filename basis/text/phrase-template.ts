/**
 * One phrase with holes as a matcher. Literals are searched from left to right and never searched again, so that no text, however
 * made, costs more than its length times the number of holes.
 */
import { type HoleKind, type Phrase, phraseParts, type PhraseParts } from './phrase-file.ts'
import type { Marks } from './phrase-marks.ts'

export interface Template {
  /** As it stands in the book. */
  readonly english: string
  readonly from: PhraseParts
  readonly to: PhraseParts
  /** Characters that are no holes: the more, the surer the match. */
  readonly weight: number
  /** Letters among them: a template of few says little by itself. */
  readonly letters: number
  /** Place in the book; the earlier wins when all else is equal. */
  readonly order: number
  /** Words that a text must hold to match, in small letters; empty when there are none. */
  readonly words: readonly string[]
}

/** What stands in a hole. */
export interface Filling {
  readonly name: string
  readonly kind: HoleKind
  readonly text: string
}

const WORD = /[\p{L}][\p{L}\p{N}'’-]*/gu

/** Distinct words of a text in small letters. */
export function wordsOf(text: string): ReadonlySet<string> {
  return new Set(Array.from(text.matchAll(WORD), (m) => m[0].toLowerCase()))
}

/** Words of the literals that cannot be grown together with what stands in a hole. */
function sureWords({ literals }: PhraseParts): readonly string[] {
  const words = new Set<string>()
  for (const [i, literal] of literals.entries()) {
    for (const m of literal.matchAll(WORD)) {
      const touchesLeft = m.index === 0 && i > 0
      const touchesRight = m.index + m[0].length === literal.length && i < literals.length - 1
      if (!touchesLeft && !touchesRight) words.add(m[0].toLowerCase())
    }
  }
  return [...words]
}

/** A phrase with at least one hole. */
export function compileTemplate(phrase: Phrase, order: number): Template {
  const from = phraseParts(phrase.english)
  return {
    english: phrase.english,
    from,
    to: phraseParts(phrase.other),
    weight: from.literals.reduce((sum, l) => sum + l.length, 0),
    letters: from.literals.reduce((sum, l) => sum + l.replace(/[^\p{L}]/gu, '').length, 0),
    order,
    words: sureWords(from),
  }
}

/** A number, a quantity, or the words that stand for one. */
const QUANTITY = /^(?:[(±+\-−<>≤≥=~≈]\s?)*\d|^-?infinite$|^not a number$|^–$/

/** So many characters tell a quantity from a word. */
const QUANTITY_LOOK = 24

/** True when a number or a quantity begins at the place. */
export const isQuantity = (text: string, at: number): boolean => QUANTITY.test(text.slice(at, at + QUANTITY_LOOK))

/** A name in quotation marks holds none; one without holds whole pairs of them, and no item of a list follows in it. */
function isName(text: string, from: number, to: number): boolean {
  const name = text.slice(from, to)
  if (text.charAt(from - 1) === '"') return !name.includes('"')
  if (name.startsWith('"') && name.indexOf('"', 1) !== name.length - 1) return false
  return !name.includes('; ') && name.split('"').length % 2 === 1
}

function fits(kind: HoleKind, text: string, from: number, to: number, marks: Marks): boolean {
  if (to <= from) return false
  if (kind === 'own') return isName(text, from, to)
  if (text.charAt(from) === ' ' || text.charAt(to - 1) === ' ') return false
  if (!marks.isWhole(from, to) || marks.hasSentenceEnd(from, to)) return false
  if (kind !== 'number') return true
  const semicolon = text.indexOf('; ', from)
  return (semicolon < 0 || semicolon >= to) && QUANTITY.test(text.slice(from, Math.min(to, from + QUANTITY_LOOK)))
}

/** The next place of a literal at which the hole before it can end; -1 for none. */
function placeOf(literal: string, kinds: readonly [HoleKind, HoleKind], text: string, from: number, latest: number, marks: Marks): number {
  for (let at = text.indexOf(literal, from + 1); at >= 0 && at <= latest; at = text.indexOf(literal, at + 1)) {
    if (kinds[0] !== 'own' && !marks.isWhole(from, at)) continue
    // "with lye water 5 g": the name ends where the quantity begins.
    const next = at + literal.length
    if (kinds[1] !== 'number' || isQuantity(text, next)) return at
  }
  return -1
}

/** What stands in the holes when the whole text matches; null when it does not. */
export function matchTemplate({ from: { literals, holes } }: Template, text: string, marks: Marks): readonly Filling[] | null {
  const first = literals[0] ?? ''
  const last = literals.at(-1) ?? ''
  if (!text.startsWith(first) || !text.endsWith(last)) return null
  const end = text.length - last.length
  let at = first.length
  if (end <= at) return null
  const fillings: Filling[] = []
  for (const [i, hole] of holes.entries()) {
    const literal = literals[i + 1] ?? ''
    const next = holes[i + 1]
    const to = next === undefined ? end : placeOf(literal, [hole.kind, next.kind], text, at, end - literal.length, marks)
    if (to < 0 || !fits(hole.kind, text, at, to, marks)) return null
    fillings.push({ ...hole, text: text.slice(at, to) })
    at = to + literal.length
  }
  return fillings
}

/** The other side with its holes filled. */
export function fillTemplate({ to: { literals, holes } }: Template, fillings: ReadonlyMap<string, string>): string {
  return literals.map((literal, i) => (i === 0 ? literal : (fillings.get(holes[i - 1]?.name ?? '') ?? '') + literal)).join('')
}
