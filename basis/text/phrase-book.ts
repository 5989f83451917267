/**
 * Sentences told in another language: the program writes English, the book knows each sentence or its template and says it in the
 * other language. What it does not know comes back as it was and is counted, so that a test can ask for completeness.
 */
import type { Phrase } from './phrase-file.ts'
import { marksOf, type Marks } from './phrase-marks.ts'
import { placeNumbers } from './phrase-numbers.ts'
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
  /** The parts of a sentence that stay English. */
  unknownIn(sentence: string): readonly string[]
  /** What could not be told since the book was made, most frequent first. */
  untold(): readonly Untold[]
  /** The English side of every entry that was used since the book was made. */
  used(): ReadonlySet<string>
}

/** A text as told, with what of it the book does not know. */
interface Told {
  readonly text: string
  readonly unknown: readonly string[]
  /** Phrases within phrases below it. */
  readonly height: number
  /** Not looked at to the bottom: an answer for this depth only. */
  readonly isCut: boolean
}
/** A leaf: nothing was looked for inside it. */
const leaf = (text: string, unknown: readonly string[] = []): Told => ({ text, unknown, height: 0, isCut: false })

/** Longer texts are nobody's sentence. */
const LONGEST = 6000
/** Phrases within phrases. */
const DEEPEST = 10
/** Sliders make a new sentence in every frame. */
const MOST_KEPT = 4000
/** A template of fewer letters ("{1} to {2}") is taken only where all of it is told. */
const FEW_LETTERS = 6
/** Matching templates that are tried for one that tells all. */
const MOST_TRIED = 4
/** A name of a substance has no more words. */
const MOST_NAME_WORDS = 8
/** Units in small letters that stand beside numbers in every language. */
const UNITS = new Set('g kg mg ug µg l ml ul µl m3 mol mmol umol µmol nmol cm mm nm m min h s ppm bar kj pa kpa w v ph degc'.split(' '))
/** What joins the items of a list; the words among them are told by the book. */
const JOINTS = ['; ', ', then ', ', ', ' and ', ' or ', ' with ', ' + ', ' → ', ' -> ', ' · ', ' / ', ' | ', ' ± '] as const

/** What a joint begins with. */
const [SPACE, COMMA, SEMICOLON, COLON] = [0x20, 0x2c, 0x3b, 0x3a]

/** A run of letters and digits, with the small figures of typeset formulas. */
const RUN = /[\p{L}\p{N}]+/gu
/** "Na2S2O3", "SO₄²", "KI", "GHS05", "EN"; no word of a language looks like it. */
const FORMULA = /^(?:\p{Lu}\p{Ll}?[\p{Nd}\p{No}]*|[\p{Nd}\p{No}]+)+$/u
const LONGEST_BARE_FORMULA = 6
/** Statements ("H361d") and the power of ten of a number ("1e" of "1e-12"). */
const CODE = /^(?:(?:EUH|H|P)\d{3}\p{L}*|\d+e\d*)$/u

/** No language in it: numbers, units, formulas, marks. */
export function isWordless(text: string): boolean {
  for (const [run] of text.matchAll(RUN)) {
    if (run.length === 1 || UNITS.has(run.toLowerCase()) || !/\p{L}/u.test(run)) continue
    if (CODE.test(run)) continue
    const isFormula = FORMULA.test(run) && (/\p{N}/u.test(run) || run.length <= LONGEST_BARE_FORMULA)
    if (!isFormula) return false
  }
  return true
}

/** "IO3- + 5 I- + 6 H+ -> 3 I2 + 3 H2O": terms of one word each with arrows between; names of species are the same everywhere. */
function isEquation(text: string): boolean {
  const sides = text.split(/ (?:->|<->|<=>|→|⇌) /)
  if (sides.length < 2 || !/[\p{Lu}\d]/u.test(text)) return false
  return sides.every((side) => side.split(' + ').every((term) => /^(?:[\d.]+ )?\S+$/.test(term)))
}

class Book implements PhraseBook {
  readonly #whole = new Map<string, string>()
  #longestWhole = 0
  readonly #byWord = new Map<string, Template[]>()
  /** Templates without a word that must stand in a text. */
  readonly #wordless: Template[] = []
  readonly #kept = new Map<string, Told>()
  readonly #untold = new Map<string, number>()
  readonly #used = new Set<string>()
  readonly #sign: '.' | ','

  constructor(phrases: readonly Phrase[], { decimalSign }: BookOptions) {
    this.#sign = decimalSign
    const templates: Template[] = []
    for (const [order, phrase] of phrases.entries()) {
      const other = decimalSign === ',' ? phrase.other : withDecimalPoint(phrase.other)
      if (!phrase.english.includes('{')) {
        if (!this.#whole.has(phrase.english)) this.#whole.set(phrase.english, other)
        this.#longestWhole = Math.max(this.#longestWhole, phrase.english.length + 1)
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
    return this.unknownIn(sentence).length === 0
  }

  unknownIn(sentence: string): readonly string[] {
    return this.#told(sentence, 0).unknown
  }

  untold(): readonly Untold[] {
    return [...this.#untold].map(([text, count]) => ({ text, count })).sort((a, b) => b.count - a.count || (a.text < b.text ? -1 : 1))
  }

  used(): ReadonlySet<string> {
    return this.#used
  }

  /** `isPart`: what stands in a hole, of which the known items may be told though others are not. */
  #told(given: string, depth: number, isPart = false): Told {
    const key = `${isPart ? 'part' : 'whole'} ${given}`
    // What was found at one depth holds at another only where it reaches the bottom there too: answers do not depend on what was asked before.
    const known = this.#kept.get(key)
    const kept = known !== undefined && depth + known.height <= DEEPEST ? known : this.#kept.get(`${depth} ${key}`)
    if (kept !== undefined) return kept
    const told = this.#find(given, depth, isPart)
    if (this.#kept.size >= MOST_KEPT) this.#kept.clear()
    if (given.length <= LONGEST) this.#kept.set(told.isCut ? `${depth} ${key}` : key, told)
    return told
  }

  #find(given: string, depth: number, isPart: boolean): Told {
    const text = given.trim()
    if (text === '') return leaf(given)
    if (text.length > LONGEST) return leaf(given, [text])
    if (depth >= DEEPEST) return { ...leaf(given, [text]), isCut: true }
    const told = this.#findTrimmed(text, depth, isPart)
    return text.length === given.length ? told : { ...told, text: given.replace(text, () => told.text) }
  }

  #findTrimmed(text: string, depth: number, isPart: boolean): Told {
    const exact = this.#exact(text)
    if (exact !== null) return leaf(exact)
    const marks = marksOf(text)
    const sentences = this.#sentences(text, marks, depth)
    if (sentences !== null && isKnown(sentences)) return sentences
    const one = this.#asTemplate(text, marks, depth)
    if (one !== null && isKnown(one)) return one
    if (isWordless(text)) return leaf(placeNumbers(text, this.#sign))
    const joined = sentences ?? this.#bracketed(text, marks, depth) ?? this.#joined(text, marks, depth, isPart)
    if (joined !== null && (isKnown(joined) || sentences !== null)) return joined
    if (isEquation(text)) return { ...leaf(placeNumbers(text, this.#sign)), height: Math.max(one?.height ?? 0, joined?.height ?? 0) }
    // Nothing tells the whole: the template if it says something by itself, else the parts that are known.
    const best = one !== null && one.letters >= FEW_LETTERS ? one : joined
    return {
      ...(best ?? leaf(text, [text])),
      height: Math.max(one?.height ?? 0, joined?.height ?? 0),
      isCut: one?.isCut === true || joined?.isCut === true,
    }
  }

  /** What stands in brackets, told by itself. */
  #bracketed(text: string, marks: Marks, depth: number): Told | null {
    const [open, close] = [text.charAt(0), text.at(-1)]
    if (!((open === '(' && close === ')') || (open === '[' && close === ']')) || !marks.isWhole(1, text.length - 1)) return null
    const inner = inOrder([this.#told(text.slice(1, -1), depth + 1)])
    return { ...inner, text: `${open}${inner.text}${close}` }
  }

  /** A whole entry; also without the full stop, and with the first letter large. */
  #exact(text: string): string | null {
    const found = this.#whole.get(text)
    if (found !== undefined) {
      this.#used.add(text)
      return found
    }
    // No entry is longer: the other ways of writing differ by a letter and a stop.
    if (text.length > this.#longestWhole) return null
    for (const [shorter, finish] of asWritten(text)) {
      const other = this.#whole.get(shorter)
      if (other === undefined) continue
      this.#used.add(shorter)
      return finish(other)
    }
    return null
  }

  /** By the template with the longest literals of those that tell all; else by the one with the longest of all. */
  #asTemplate(text: string, marks: Marks, depth: number): (Told & { readonly letters: number }) | null {
    const words = wordsOf(text)
    let first: (Told & { readonly letters: number }) | null = null
    let height = 0
    let isCut = false
    for (const [form, finish] of [[text, same] as const, ...asWritten(text)]) {
      for (const { template, fillings } of this.#matches(form, words, form === text ? marks : marksOf(form)).slice(0, MOST_TRIED)) {
        const told = fillings.map((f) => this.#filling(f, depth))
        const by = new Map(fillings.map((f, i) => [f.name, told[i]?.text ?? f.text]))
        const whole = { ...inOrder(told), text: finish(fillTemplate(template, by)), letters: template.letters }
        height = Math.max(height, whole.height)
        isCut ||= whole.isCut
        if (isKnown(whole)) {
          this.#used.add(template.english)
          return { ...whole, height, isCut }
        }
        first ??= whole
      }
    }
    return first && { ...first, height, isCut }
  }

  /** Templates that match, the longest literals first; then the one with fewer holes; then the earlier one. */
  #matches(
    text: string,
    words: ReadonlySet<string>,
    marks: Marks,
  ): readonly { readonly template: Template; readonly fillings: readonly Filling[] }[] {
    const found: { readonly template: Template; readonly fillings: readonly Filling[] }[] = []
    const consider = (template: Template): void => {
      if (template.words.some((w) => !words.has(w))) return
      const fillings = matchTemplate(template, text, marks)
      if (fillings !== null) found.push({ template, fillings })
    }
    for (const word of words) for (const t of this.#byWord.get(word) ?? []) consider(t)
    for (const t of this.#wordless) consider(t)
    return found.sort(
      ({ template: a }, { template: b }) => b.weight - a.weight || a.from.holes.length - b.from.holes.length || a.order - b.order,
    )
  }

  #filling(f: Filling, depth: number): Told {
    if (f.kind === 'own') return leaf(f.text)
    if (f.kind === 'word') return leaf(this.#exact(f.text) ?? f.text)
    if (f.kind === 'number' && isWordless(f.text)) return leaf(placeNumbers(f.text, this.#sign))
    return this.#told(f.text, depth + 1, true)
  }

  /** Each sentence for itself; null when there is only one. */
  #sentences(text: string, marks: Marks, depth: number): Told | null {
    if (marks.ends.length === 0) return null
    const sentences = [0, ...marks.ends].map((from, i) => text.slice(from, marks.ends[i])).filter((s) => s !== '')
    return inOrder(sentences.map((s) => this.#told(s, depth + 1)))
  }

  /** A list told item by item, or what stands before and after a colon or a semicolon. */
  #joined(text: string, marks: Marks, depth: number, isPart: boolean): Told | null {
    if (text.startsWith('"') && text.endsWith('"') && text.indexOf('"', 1) === text.length - 1) return leaf(text)
    const amount = this.#amount(text, depth)
    if (amount !== null) return amount
    const colon = this.#cut(text, marks, [': '], depth, isPart)
    if (colon !== null && isKnown(colon)) return colon
    const semicolons = this.#cut(text, marks, ['; '], depth, isPart)
    if (semicolons !== null && isKnown(semicolons)) return semicolons
    const list = this.#cut(text, marks, JOINTS, depth, true)
    if (list !== null && (isKnown(list) || isPart)) return list
    // Half a sentence told is worth it only where the other half is a sentence too.
    return [semicolons, colon].find((told) => told !== null && told.text !== text) ?? null
  }

  /** "potassium iodate 0.1800 ± 0.0012 mol/L": a name that the book knows, and how much of it. */
  #amount(text: string, depth: number): Told | null {
    let at = text.indexOf(' ')
    for (let tries = 0; at > 0 && tries < MOST_NAME_WORDS; tries++, at = text.indexOf(' ', at + 1)) {
      if (!isQuantity(text, at + 1)) continue
      const before = text.slice(0, at)
      const name = this.#exact(before) ?? (!before.includes(' ') && isWordless(before) ? before : null)
      if (name === null) continue
      const rest = this.#told(text.slice(at + 1), depth + 1)
      if (isKnown(rest)) return { ...inOrder([rest]), text: `${name} ${rest.text}` }
    }
    return null
  }

  /** A text that the book knows as a whole, or with an amount behind it. */
  #asItem(text: string, depth: number): Told | null {
    const exact = this.#exact(text)
    return exact === null ? this.#amount(text, depth) : leaf(exact)
  }

  #cut(text: string, marks: Marks, joints: readonly string[], depth: number, isPart: boolean): Told | null {
    const cuts: (readonly [number, number])[] = []
    for (let at = 0; at < text.length; at++) {
      const c = text.charCodeAt(at)
      if ((c !== SPACE && c !== COMMA && c !== SEMICOLON && c !== COLON) || marks.isQuoted(at) || marks.depth(at) !== 0) continue
      const joint = joints.find((j) => text.startsWith(j, at))
      if (joint === undefined || at === 0) continue
      cuts.push([at, at + joint.length])
      at += joint.length - 1
      if (joint === ': ') break
    }
    if (cuts.length === 0) return null
    const told: Told[] = []
    let from = 0
    const ends = [...cuts, [text.length, text.length] as const]
    for (let i = 0; i < ends.length; i++) {
      // "malonic and halomalonic acids, as malonic acid 98 mg/L" is one item: a name may hold what joins items elsewhere.
      const merged =
        [3, 2, 1].find((more) => i + more < ends.length && this.#asItem(text.slice(from, ends[i + more]![0]), depth) !== null) ?? 0
      i += merged
      const [a, b] = ends[i]!
      const item = merged > 0 ? this.#asItem(text.slice(from, a), depth) : null
      if (a > from) told.push(item ?? this.#told(text.slice(from, a), depth + 1, isPart))
      const word = text.slice(a, b).trim()
      const joint = this.#whole.get(word)
      if (joint !== undefined) this.#used.add(word)
      if (b > a) told.push(leaf(joint === undefined ? text.slice(a, b) : text.slice(a, b).replace(word, () => joint)))
      from = b
    }
    return inOrder(told)
  }
}

const isKnown = (told: Told): boolean => told.unknown.length === 0
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

const inOrder = (told: readonly Told[]): Told => ({
  text: told.map((t) => t.text).join(''),
  unknown: told.flatMap((t) => t.unknown),
  height: 1 + Math.max(0, ...told.map((t) => t.height)),
  isCut: told.some((t) => t.isCut),
})

/** A translator writes commas; a place that speaks the language with a point gets points. */
const withDecimalPoint = (text: string): string => text.replace(/(\d),(?=\d)/g, '$1.')

/** The book of these phrases; of two equal ones the first counts. */
export function phraseBook(phrases: readonly Phrase[], options: BookOptions): PhraseBook {
  return new Book(phrases, options)
}
