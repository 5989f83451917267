/**
 * Plain text made fit for print: species among the words typeset, arrows, degrees and comparison signs written properly.
 * A word is taken for a species when the book knows it, or when it is a formula of several elements ("NaHSO3"); "H302" is none.
 */
import type { Block, Paper } from './paper.ts'
import { parseFormula, writeFormula } from '../matter/index.ts'
import { type SpeciesBook, speciesWords } from './species-book.ts'

/** A word with the marks that may stand round it. */
const WORD = /^([("[]*)(.*?)([)"\],;:]*)$/

const marked = (id: string): boolean => /[0-9+\-.^]/.test(id)
/** "ISO1042" would parse; no formula on a label counts that far. */
const MOST_ATOMS = 60

/** A formula that no list needs to know: neutral, of two elements at least, small numbers. */
function isFormula(word: string): boolean {
  if (!/\d/.test(word)) return false
  const parsed = parseFormula(word)
  if (!parsed.ok || parsed.value.charge !== 0 || parsed.value.isRadical) return false
  const counts = Object.values(parsed.value.elements)
  return counts.length > 1 && counts.every((n) => n <= MOST_ATOMS)
}

function typesetWord(word: string, book: SpeciesBook): string {
  if (!/[A-Z]/.test(word) || !marked(word)) return word
  const known = (id: string): boolean => marked(id) && Object.hasOwn(book, id)
  if (known(word)) return speciesWords(word, book)
  const [, before = '', body = '', after = ''] = WORD.exec(word) ?? []
  // A dot may be a radical ("HO2.,") or the end of the sentence ("SO2.").
  if (known(body) && !(after === '' && body.endsWith('.'))) return before + speciesWords(body, book) + after
  if (body.endsWith('.') && known(body.slice(0, -1))) return `${before}${speciesWords(body.slice(0, -1), book)}.${after}`
  const bare = body.replace(/\.$/, '')
  return isFormula(bare) ? before + writeFormula(bare, 'unicode') + body.slice(bare.length) + after : word
}

const raised = (digits: string): string =>
  Array.from(digits, (c) => (c === '-' ? '⁻' : c === '+' ? '' : '⁰¹²³⁴⁵⁶⁷⁸⁹'.charAt(Number(c)))).join('')

/** One text. */
export function typeset(text: string, book: SpeciesBook): string {
  return (
    text
      .split(' ')
      .map((word) => typesetWord(word, book))
      .join(' ')
      .replaceAll('<=>', '⇌')
      .replaceAll('<->', '⇌')
      .replaceAll('->', '→')
      .replace(/<=\s?/g, '≤ ')
      .replace(/>=\s?/g, '≥ ')
      .replace(/\bdegC\b/g, '°C')
      .replace(/(\d) C(?=[\s.,;)]|$)/g, '$1 °C')
      .replace(/\bu(mol|g|L)\b/g, 'µ$1')
      // "um" is a micrometre behind a number only: elsewhere it is a German word.
      .replace(/(?<=\d )um\b/g, 'µm')
      .replace(/\bm3\b/g, 'm³')
      .replace(/([\d)])e([+-]?)(\d+)\b/g, (_, digit: string, sign: string, power: string) => `${digit}·10${raised(`${sign}${power}`)}`)
      .replace(/\b(L|mol|s|K|min|kg|m|cm)\^(-?\d)\b/g, (_, unit: string, power: string) => unit + raised(power))
  )
}

function typesetBlock(b: Block, t: (text: string) => string): Block {
  switch (b.block) {
    case 'heading':
    case 'text':
      return { ...b, text: t(b.text) }
    case 'danger':
      return { ...b, lines: b.lines.map((l) => ({ ...l, about: t(l.about), what: t(l.what), instead: t(l.instead) })) }
    case 'list':
      return { ...b, items: b.items.map((i) => (typeof i === 'string' ? t(i) : { ...i, text: t(i.text), under: i.under.map(t) })) }
    case 'table':
      return {
        ...b,
        ...(b.caption === undefined ? {} : { caption: t(b.caption) }),
        columns: b.columns.map((c) => ({ ...c, title: t(c.title) })),
        rows: b.rows.map((r) => r.map(t)),
      }
    case 'labels':
      return { ...b, labels: b.labels.map((l) => ({ ...l, contents: l.contents.map(t) })) }
    case 'cues':
      return { ...b, cues: b.cues.map((c) => ({ ...c, what: t(c.what), say: t(c.say) })) }
    // What is checked letter by letter stays as it is.
    case 'checked':
    case 'fields':
    case 'strip':
    case 'traces':
      return b
  }
}

/** A whole paper, its title left as the user wrote it. */
export function typesetPaper(paper: Paper, book: SpeciesBook): Paper {
  return { ...paper, blocks: paper.blocks.map((b) => typesetBlock(b, (text) => typeset(text, book))) }
}
