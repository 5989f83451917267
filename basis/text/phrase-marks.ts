/** What stands where in a text, found in one pass, so that every later question about a piece of it takes no time. */

/** Words that end with a full stop without ending a sentence. */
const SHORT_WORDS = new Set(
  'acute am approx aquatic ca carc cat cf chem chim conc corr dam e.g eq eye fig flam i.e irrit int lett liq max met min muta no nr ox p photobiol phys pp reg repr res resp sci sect sens skin soc sol st toxicol tox vol vs'.split(
    ' ',
  ),
)

export interface Marks {
  /** True where the character stands between quotation marks (the marks themselves are outside). */
  isQuoted(at: number): boolean
  /** True when a piece has as many opening as closing quotation marks and brackets. */
  isWhole(from: number, to: number): boolean
  /** True when a sentence ends inside the piece and another begins there. */
  hasSentenceEnd(from: number, to: number): boolean
  /** Depth of brackets before the character; 0 outside all. */
  depth(at: number): number
  /** Where sentences end: the place after each full stop that another sentence follows. */
  readonly ends: readonly number[]
}

/** The word before a full stop, without a bracket in front. */
function wordBefore(text: string, at: number): string {
  let from = at
  while (from > 0 && at - from < 12 && !' ("\u00a0'.includes(text.charAt(from - 1))) from--
  return text.slice(from, at).toLowerCase()
}

function isSentenceEnd(text: string, at: number): boolean {
  const c = text.charAt(at)
  if (c !== '.' && c !== '!' && c !== '?') return false
  let next = at + 1
  while (next < text.length && ')"]'.includes(text.charAt(next))) next++
  if (text.charAt(next) !== ' ' || next + 1 >= text.length) return false
  // "DANGER. " heads a sentence whatever that begins with.
  if (at > 3 && text.slice(0, at) === text.slice(0, at).toUpperCase() && at < 12) return true
  if (!/[\p{Lu}\d"([<±≈]/u.test(text.charAt(next + 1))) return false
  return c !== '.' || !SHORT_WORDS.has(wordBefore(text, at))
}

/** The marks of a text; what stands in quotation marks opens and closes no brackets. */
export function marksOf(text: string): Marks {
  const quotes = new Uint32Array(text.length + 1)
  const depths = new Int32Array(text.length + 1)
  const endsBefore = new Uint32Array(text.length + 1)
  const ends: number[] = []
  for (let i = 0; i < text.length; i++) {
    const c = text.charAt(i)
    const quoted = quotes[i]! % 2 === 1
    quotes[i + 1] = quotes[i]! + (c === '"' ? 1 : 0)
    depths[i + 1] = depths[i]! + (quoted ? 0 : c === '(' || c === '[' ? 1 : c === ')' || c === ']' ? -1 : 0)
    const isEnd = !quoted && depths[i + 1] === 0 && isSentenceEnd(text, i)
    endsBefore[i + 1] = endsBefore[i]! + (isEnd ? 1 : 0)
    if (isEnd) {
      let after = i + 1
      while (')"]'.includes(text.charAt(after))) after++
      ends.push(after)
    }
  }
  // Where the bracket that a place stands in is closed; past the end when it stands in none.
  const closed = new Uint32Array(text.length + 1).fill(text.length + 1)
  const open: number[] = []
  for (let i = 0; i <= text.length; i++) {
    while (open.length > 0 && depths[open.at(-1)!]! > depths[i]!) closed[open.pop()!] = i
    open.push(i)
  }
  return {
    isQuoted: (at) => quotes[at]! % 2 === 1,
    isWhole: (from, to) => (quotes[to]! - quotes[from]!) % 2 === 0 && depths[to] === depths[from] && closed[from]! > to,
    hasSentenceEnd: (from, to) => endsBefore[to]! > endsBefore[from]!,
    depth: (at) => depths[at]!,
    ends,
  }
}
