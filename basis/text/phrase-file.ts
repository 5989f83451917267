/**
 * A file of phrases: `english<TAB>other` a line, `#` and empty lines left out, the first line a header. A phrase is a whole sentence or a
 * whole template with numbered holes: `{1}` whole words that stay unless the book knows them, `{1:p}` a phrase that is told again, `{1:n}`
 * a number or quantity, `{1:o}` a name of the user's own. A hole in quotation marks is a name of the user's own too.
 */
import { done, type Outcome, type Problem, refuse } from '../problems/index.ts'

export interface Phrase {
  readonly english: string
  readonly other: string
}

export type HoleKind = 'word' | 'phrase' | 'number' | 'own'
export interface Hole {
  readonly name: string
  readonly kind: HoleKind
}
/** Literals and holes in turn: always one literal more than holes, each may be empty. */
export interface PhraseParts {
  readonly literals: readonly string[]
  readonly holes: readonly Hole[]
}

const KINDS: Readonly<Record<string, HoleKind>> = { '': 'word', p: 'phrase', n: 'number', o: 'own' }
const HOLE = /\{(\d{1,2})(?::([pno]))?\}/g

/** A phrase taken apart at its holes. */
export function phraseParts(text: string): PhraseParts {
  const literals: string[] = []
  const holes: Hole[] = []
  let from = 0
  for (const found of text.matchAll(HOLE)) {
    const before = text.slice(from, found.index)
    const after = text.charAt(found.index + found[0].length)
    const isQuoted = before.endsWith('"') && after === '"'
    literals.push(before)
    holes.push({ name: found[1] ?? '', kind: isQuoted ? 'own' : (KINDS[found[2] ?? ''] ?? 'word') })
    from = found.index + found[0].length
  }
  literals.push(text.slice(from))
  return { literals, holes }
}

const names = (parts: PhraseParts): readonly string[] => parts.holes.map((h) => h.name)

/** What is wrong with an entry, in words; null when nothing is. */
function faultOf({ english, other }: Phrase): string | null {
  if (english === '' || other === '') return 'a side is empty'
  if (english !== english.trim() || other !== other.trim()) return 'a side begins or ends with a space'
  const [from, to] = [phraseParts(english), phraseParts(other)]
  const bare = [...from.literals, ...to.literals].find((l) => /[{}]/.test(l))
  if (bare !== undefined) return `"${bare.trim()}" holds a brace that is no hole: holes are {1}, {1:p}, {1:n} or {1:o}`
  if (new Set(names(from)).size !== from.holes.length) return 'a hole stands twice on the English side'
  const unmet = [...names(from).filter((n) => !names(to).includes(n)), ...names(to).filter((n) => !names(from).includes(n))]
  if (unmet.length > 0) return `hole {${unmet[0]}} stands on one side only`
  if (from.literals.slice(1, -1).includes('')) return 'two holes stand side by side, so nothing tells where one ends'
  if (from.holes.length > 0 && from.literals.every((l) => l === '')) return 'nothing stands beside the hole'
  return null
}

/** The entries of one file in their order, or everything that is wrong with it. */
export function readPhrases(text: string, file: string): Outcome<readonly Phrase[]> {
  const phrases: Phrase[] = []
  const problems: Problem[] = []
  const met = new Map<string, number>()
  const wrong = (line: number, what: string, todo: string): void => {
    problems.push({ code: 'phrases/line', where: `${file}, line ${line}`, what, todo, span: { file, line, column: 1 } })
  }
  const [header = '', ...lines] = text.replace(/\r/g, '').split('\n')
  if (!/^english\t\S+$/.test(header)) wrong(1, `the first line is "${header}"`, 'begin the file with "english", a tab and "other"')
  for (const [i, line] of lines.entries()) {
    if (line === '' || line.startsWith('#')) continue
    const [english = '', other = '', ...more] = line.split('\t')
    const fault = more.length > 0 ? 'there are more than two columns' : faultOf({ english, other })
    const before = met.get(english)
    if (fault !== null) wrong(i + 2, fault, 'write the English phrase, a tab, and the same phrase in the other language')
    else if (before !== undefined) wrong(i + 2, `"${english}" stands in line ${before} already`, 'keep one of them')
    else phrases.push({ english, other })
    met.set(english, i + 2)
  }
  return problems.length > 0 ? refuse(...problems) : done(phrases)
}
