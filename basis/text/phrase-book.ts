/**
 * Sentences told in another language: the program writes English, the book knows each sentence or its template and says it in the
 * other language. What it does not know comes back as it was and is counted, so that a test can ask for completeness.
 */
import type { Phrase } from './phrase-file.ts'
import { marksOf, type Marks } from './phrase-marks.ts'
import { groupDigits, withDecimalSign } from './phrase-numbers.ts'
import { compileTemplate, type Filling, fillTemplate, isQuantity, matchTemplate, type Template, wordsOf } from './phrase-template.ts'

export interface BookOptions {
  /** Decimal sign of the place that reads. */
  readonly decimalSign: '.' | ','
}

/** A text that the book could not tell, with how often it was asked. */
export interface Untold {
  readonly text: string
  readonly count: number
}

export interface PhraseBook {
  /** The sentence in the other language; what is unknown stays as it is. */
  tell(sentence: string): string
  /** True when nothing of the sentence stays English. */
  knows(sentence: string): boolean
  /** What could not be told since the book was made, most frequent first. */
  untold(): readonly Untold[]
}

/** A text as told, with what of it the book does not know. */
interface Told {
  readonly text: string
  readonly unknown: readonly string[]
}

/** Longer texts are nobody's sentence. */
const LONGEST = 6000
/** Phrases within phrases. */
const DEEPEST = 8
/** Sliders make a new sentence in every frame. */
const MOST_KEPT = 4000
/** A name of a substance has no more words. */
const MOST_NAME_WORDS = 8
/** Units in small letters that stand beside numbers in every language. */
const UNITS = new Set('g kg mg ug µg l ml ul µl m3 mol mmol umol µmol nmol cm mm nm m min h s ppm bar kj pa kpa w v ph degc'.split(' '))
/** What joins the items of a list; the words among them are told by the book. */
const JOINTS = ['; ', ', then ', ', ', ' and ', ' or ', ' with ', ' + ', ' → ', ' -> ', ' · ', ' / ', ' | ', ' ± '] as const

/** A run of letters and digits, with the small figures of typeset formulas. */
const RUN = /[\p{L}\p{N}]+/gu
/** "Na2S2O3", "SO₄²", "KI", "GHS05", "EN"; no word of a language looks like it. */
const FORMULA = /^(?:\p{Lu}\p{Ll}?[\p{Nd}\p{No}]*|[\p{Nd}\p{No}]+)+$/u
const LONGEST_BARE_FORMULA = 5

/** No language in it: numbers, units, formulas, marks. */
export function isWordless(text: string): boolean {
  for (const [run] of text.matchAll(RUN)) {
    if (run.length === 1 || UNITS.has(run.toLowerCase()) || !/\p{L}/u.test(run)) continue
    const isFormula = FORMULA.test(run) && (/\p{N}/u.test(run) || run.length <= LONGEST_BARE_FORMULA)
    if (!isFormula) return false
  }
  return true
}

/** "IO3- + 5 I- + 6 H+ -> 3 I2 + 3 H2O": terms of one word each with arrows between; names of species are the same everywhere. */
function isEquation(text: string): boolean {
  const sides = text.split(/ (?:->|<->|<=>|→|⇌) /)
  if (sides.length < 2) return false
  return sides.every((side) => side.split(' + ').every((term) => /^(?:[\d.]+ )?\S+$/.test(term)))
}

class Book implements PhraseBook {
  readonly #whole = new Map<string, string>()
  readonly #byWord = new Map<string, Template[]>()
  readonly #wordless: Template[] = []
  readonly #kept = new Map<string, Told>()
  readonly #untold = new Map<string, number>()
  readonly #sign: '.' | ','

  constructor(phrases: readonly Phrase[], { decimalSign }: BookOptions) {
    this.#sign = decimalSign
    const templates: Template[] = []
    for (const [order, phrase] of phrases.entries()) {
      const other = decimalSign === ',' ? phrase.other : withDecimalPoint(phrase.other)
      if (!phrase.english.includes('{')) {
        if (!this.#whole.has(phrase.english)) this.#whole.set(phrase.english, other)
      } else templates.push(compileTemplate({ english: phrase.english, other }, order))
    }
    this.#indexByRarestWord(templates)
  }

  #indexByRarestWord(templates: readonly Template[]): void {
    const counts = new Map<string, number>()
    for (const t of templates) for (const w of t.words) counts.set(w, (counts.get(w) ?? 0) + 1)
    const count = (w: string): number => counts.get(w) ?? 0
    for (const t of templates) {
      const rarest = t.words.reduce<string | null>((best, w) => (best === null || count(w) < count(best) ? w : best), null)
      if (rarest === null) this.#wordless.push(t)
      else this.#byWord.set(rarest, [...(this.#byWord.get(rarest) ?? []), t])
    }
  }

  tell(sentence: string): string {
    const { text, unknown } = this.#told(sentence, 0)
    for (const u of unknown) this.#untold.set(u, (this.#untold.get(u) ?? 0) + 1)
    return text
  }

  knows(sentence: string): boolean {
    return this.#told(sentence, 0).unknown.length === 0
  }

  untold(): readonly Untold[] {
    return [...this.#untold].map(([text, count]) => ({ text, count })).sort((a, b) => b.count - a.count || (a.text < b.text ? -1 : 1))
  }

  /** `isPart`: what stands in a hole, of which the known items may be told though others are not. */
  #told(given: string, depth: number, isPart = false): Told {
    const key = `${isPart ? 'part' : 'whole'} ${given}`
    const kept = this.#kept.get(key)
    if (kept !== undefined) return kept
    const told = this.#find(given, depth, isPart)
    if (this.#kept.size >= MOST_KEPT) this.#kept.clear()
    // What the depth cut off, or what is nobody's sentence, is not kept.
    if (depth < DEEPEST && given.length <= LONGEST) this.#kept.set(key, told)
    return told
  }

  #find(given: string, depth: number, isPart: boolean): Told {
    const text = given.trim()
    const around = (told: Told): Told => (text.length === given.length ? told : { ...told, text: given.replace(text, () => told.text) })
    if (text === '' || text.length > LONGEST || depth >= DEEPEST) return { text: given, unknown: text === '' ? [] : [text] }
    const exact = this.#exact(text)
    if (exact !== null) return around({ text: exact, unknown: [] })
    const marks = marksOf(text)
    const sentences = this.#sentences(text, marks, depth)
    if (sentences !== null && sentences.unknown.length === 0) return around(sentences)
    const one = this.#asTemplate(text, marks, depth)
    if (one !== null) return around(one)
    if (isWordless(text) || isEquation(text)) return around({ text: withDecimalSign(text, this.#sign), unknown: [] })
    if (sentences !== null) return around(sentences)
    const [open, close] = [text.charAt(0), text.at(-1)]
    if (((open === '(' && close === ')') || (open === '[' && close === ']')) && marks.isWhole(1, text.length - 1)) {
      const inner = this.#told(text.slice(1, -1), depth + 1)
      return around({ text: `${open}${inner.text}${close}`, unknown: inner.unknown })
    }
    return around(this.#joined(text, marks, depth, isPart) ?? { text, unknown: [text] })
  }

  /** A whole entry; also without the full stop, and with the first letter large. */
  #exact(text: string): string | null {
    const found = this.#whole.get(text)
    if (found !== undefined) return found
    for (const [shorter, finish] of asWritten(text)) {
      const other = this.#whole.get(shorter)
      if (other !== undefined) return finish(other)
    }
    return null
  }

  #asTemplate(text: string, marks: Marks, depth: number): Told | null {
    const words = wordsOf(text)
    for (const [form, finish] of [[text, same] as const, ...asWritten(text)]) {
      const found = this.#best(form, words, form === text ? marks : marksOf(form))
      if (found === null) continue
      const fillings = new Map<string, string>()
      const unknown: string[] = []
      for (const f of found.fillings) {
        const told = this.#filling(f, depth)
        fillings.set(f.name, told.text)
        unknown.push(...told.unknown)
      }
      return { text: finish(fillTemplate(found.template, fillings)), unknown }
    }
    return null
  }

  /** The template with the longest literals; then the one with fewer holes; then the earlier one. */
  #best(
    text: string,
    words: ReadonlySet<string>,
    marks: Marks,
  ): { readonly template: Template; readonly fillings: readonly Filling[] } | null {
    let best: { readonly template: Template; readonly fillings: readonly Filling[] } | null = null
    const isBetter = (t: Template): boolean => {
      if (best === null) return true
      const { template: b } = best
      if (t.weight !== b.weight) return t.weight > b.weight
      return t.from.holes.length !== b.from.holes.length ? t.from.holes.length < b.from.holes.length : t.order < b.order
    }
    const consider = (t: Template): void => {
      if (!isBetter(t) || t.words.some((w) => !words.has(w))) return
      const fillings = matchTemplate(t, text, marks)
      if (fillings !== null) best = { template: t, fillings }
    }
    for (const word of words) for (const t of this.#byWord.get(word) ?? []) consider(t)
    for (const t of this.#wordless) consider(t)
    return best
  }

  #filling(f: Filling, depth: number): Told {
    if (f.kind === 'own') return { text: f.text, unknown: [] }
    if (f.kind === 'word') return { text: this.#exact(f.text) ?? f.text, unknown: [] }
    if (f.kind === 'number' && isWordless(f.text)) return { text: groupDigits(withDecimalSign(f.text, this.#sign)), unknown: [] }
    return this.#told(f.text, depth + 1, true)
  }

  /** Each sentence for itself; null when there is only one. */
  #sentences(text: string, marks: Marks, depth: number): Told | null {
    if (marks.ends.length === 0) return null
    return inOrder(
      pieces(
        text,
        marks.ends.map((end) => [end, end] as const),
      ).map((p) => this.#told(p, depth + 1)),
    )
  }

  /** A list told item by item, or what stands before and after a colon or a semicolon. */
  #joined(text: string, marks: Marks, depth: number, isPart: boolean): Told | null {
    if (text.startsWith('"') && text.endsWith('"') && text.indexOf('"', 1) === text.length - 1) return { text, unknown: [] }
    const amount = this.#amount(text, depth)
    if (amount !== null) return amount
    const colon = this.#cut(text, marks, [': '], depth, isPart)
    if (colon !== null && colon.unknown.length === 0) return colon
    const semicolons = this.#cut(text, marks, ['; '], depth, isPart)
    if (semicolons !== null && semicolons.unknown.length === 0) return semicolons
    const list = this.#cut(text, marks, JOINTS, depth, true)
    if (list !== null && (list.unknown.length === 0 || isPart)) return list
    // Half a sentence told is worth it only where the other half is a sentence too.
    return [semicolons, colon].find((told) => told !== null && told.text !== text) ?? null
  }

  /** "potassium iodate 0.1800 ± 0.0012 mol/L": a name that the book knows, and how much of it. */
  #amount(text: string, depth: number): Told | null {
    let at = text.indexOf(' ')
    for (let tries = 0; at > 0 && tries < MOST_NAME_WORDS; tries++, at = text.indexOf(' ', at + 1)) {
      if (!isQuantity(text, at + 1)) continue
      const name = this.#exact(text.slice(0, at))
      if (name === null) continue
      const rest = this.#told(text.slice(at + 1), depth + 1)
      if (rest.unknown.length === 0) return { text: `${name} ${rest.text}`, unknown: [] }
    }
    return null
  }

  #cut(text: string, marks: Marks, joints: readonly string[], depth: number, isPart: boolean): Told | null {
    const cuts: (readonly [number, number])[] = []
    for (let at = 0; at < text.length; at++) {
      if (marks.isQuoted(at) || marks.depth(at) !== 0) continue
      const joint = joints.find((j) => text.startsWith(j, at))
      if (joint === undefined || at === 0) continue
      cuts.push([at, at + joint.length])
      at += joint.length - 1
      if (joint === ': ') break
    }
    if (cuts.length === 0) return null
    const told: Told[] = []
    let from = 0
    for (const [a, b] of [...cuts, [text.length, text.length] as const]) {
      if (a > from) told.push(this.#told(text.slice(from, a), depth + 1, isPart))
      const word = text.slice(a, b).trim()
      const joint = this.#whole.get(word)
      if (b > a) told.push({ text: joint === undefined ? text.slice(a, b) : text.slice(a, b).replace(word, () => joint), unknown: [] })
      from = b
    }
    return inOrder(told)
  }
}

const same = (text: string): string => text
const withStop = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`)
const large = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** Other ways in which the same phrase may stand in the book, each with how its translation is to be finished. */
function asWritten(text: string): readonly (readonly [string, (other: string) => string])[] {
  const small = /^\p{Lu}/u.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : null
  const bare = text.endsWith('.') ? text.slice(0, -1) : null
  const forms: (readonly [string, (other: string) => string])[] = []
  if (bare !== null) forms.push([bare, withStop])
  else if (!/[.!?:]$/.test(text)) forms.push([`${text}.`, (other) => other.replace(/\.$/, '')])
  if (small !== null) forms.push([small, large])
  if (small !== null && bare !== null) forms.push([small.slice(0, -1), (other) => large(withStop(other))])
  return forms
}

function pieces(text: string, cuts: readonly (readonly [number, number])[]): readonly string[] {
  const starts = [0, ...cuts.map(([, b]) => b)]
  return starts.map((from, i) => text.slice(from, cuts[i]?.[0] ?? text.length)).filter((p) => p !== '')
}

const inOrder = (told: readonly Told[]): Told => ({ text: told.map((t) => t.text).join(''), unknown: told.flatMap((t) => t.unknown) })

/** A translator writes commas; a place that speaks the language with a point gets points. */
const withDecimalPoint = (text: string): string => text.replace(/(\d),(?=\d)/g, '$1.')

/** The book of these phrases; of two equal ones the first counts. */
export function phraseBook(phrases: readonly Phrase[], options: BookOptions): PhraseBook {
  return new Book(phrases, options)
}
