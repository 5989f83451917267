/** Reading a document tree with every fault collected: maps with known keys, text, quantities, words, yes and no. */
import { nearest, type Problem, type Span, suggestion } from '@beakertide/basis/problems'
import type { Tree, TreeEntry, TreeMap, TreeScalar } from '@beakertide/basis/text'
import { isNameText, LONGEST_NAME } from './names.ts'
import { formatQuantity, parseQuantity, type Quantity, type QuantityKind } from '@beakertide/basis/units'

/** What was met while reading: filled by every reader, looked at once at the end. */
export interface Notes {
  readonly problems: Problem[]
  readonly warnings: Problem[]
}

/** `room/what`, without the room. */
export function report(notes: Notes, what: string, at: { readonly where: string; readonly span: Span }, said: string, todo: string): void {
  notes.problems.push({ code: `document/${what}`, where: at.where, what: said, todo, span: at.span })
}

/** Worth a look, but nothing is refused for it. */
export function warn(notes: Notes, what: string, at: { readonly where: string; readonly span: Span }, said: string, todo: string): void {
  notes.warnings.push({ code: `document/${what}`, where: at.where, what: said, todo, span: at.span })
}

/** The entries of a map whose keys are known beforehand. */
export interface Fields {
  readonly about: string
  readonly span: Span
  /** The value under a key, or undefined when it is not there. */
  get(key: string): Tree | undefined
  /** Place of the key itself; of the whole map when it is not there. */
  spanOf(key: string): Span
}

const said = (tree: Tree): string =>
  tree.kind === 'map' ? 'a map' : tree.kind === 'list' ? 'a list' : tree.isEmpty ? 'nothing' : `"${short(tree.text)}"`

/** Texts from a document are cut in messages. */
export function short(text: string): string {
  return text.length > 60 ? `${text.slice(0, 60)}…` : text
}

/**
 * Entries of a map without the halves of "iodate: 0,19 mol/L" in braces, where YAML makes two entries of one decimal comma;
 * each such pair is one problem.
 */
function withoutCommaSplits(map: TreeMap, about: string, notes: Notes): readonly TreeEntry[] {
  const kept: TreeEntry[] = []
  for (const e of map.entries) {
    const before = kept.at(-1)
    const isEmpty = e.value.kind === 'scalar' && e.value.isEmpty
    if (before && isEmpty && /^\d/.test(e.key) && before.value.kind === 'scalar' && /^[+-]?\d+$/.test(before.value.text)) {
      notes.problems.push({
        code: 'units/decimal-comma',
        where: `${about}, ${before.key}`,
        what: `"${before.value.text},${short(e.key)}" has a comma in the number; decimals take a point here, and in braces a comma ends the entry`,
        todo: `write "${before.value.text}.${short(e.key)}"`,
        span: before.value.span,
      })
      kept.pop()
      continue
    }
    kept.push(e)
  }
  return kept
}

/** The map under `tree`, or null with a problem. */
export function mapOf(tree: Tree, about: string, example: string, notes: Notes): readonly TreeEntry[] | null {
  if (tree.kind === 'map') return withoutCommaSplits(tree, about, notes)
  report(
    notes,
    'not-a-map',
    { where: about, span: tree.span },
    `keys with values are needed here; met ${said(tree)}`,
    `write it as in ${example}`,
  )
  return null
}

/** The known keys of a map. Unknown keys get the nearest name; a missing key is not reported when a near miss of it stands there. */
export function fieldsOf(
  tree: Tree,
  about: string,
  keys: { readonly required: readonly string[]; readonly optional: readonly string[]; readonly example: string },
  notes: Notes,
): Fields | null {
  const entries = mapOf(tree, about, keys.example, notes)
  if (!entries) return null
  const known = [...keys.required, ...keys.optional]
  const met = new Map<string, TreeEntry>()
  const meant = new Set<string>()
  for (const e of entries) {
    if (known.includes(e.key)) {
      met.set(e.key, e)
      continue
    }
    for (const n of nearest(e.key, known)) meant.add(n)
    const hint = suggestion(e.key, known)
    report(
      notes,
      'unknown-key',
      { where: about, span: e.keySpan },
      `"${short(e.key)}" is not a key here`,
      hint === '' ? `keys here: ${known.join(', ')}` : hint,
    )
  }
  for (const key of keys.required) {
    if (met.has(key) || meant.has(key)) continue
    report(notes, 'missing-key', { where: about, span: tree.span }, `"${key}" is missing`, `write it as in ${keys.example}`)
  }
  return {
    about,
    span: tree.span,
    get: (key) => met.get(key)?.value,
    spanOf: (key) => met.get(key)?.keySpan ?? tree.span,
  }
}

/** A single value that is not empty, or null with a problem. */
export function scalarOf(tree: Tree, where: string, example: string, notes: Notes): TreeScalar | null {
  if (tree.kind === 'scalar' && !tree.isEmpty) return tree
  report(notes, 'not-a-value', { where, span: tree.span }, `one value is needed here; met ${said(tree)}`, `write it as in ${example}`)
  return null
}

/** Longest title, name or sentence taken from a document; papers have lines of finite length. */
const LONGEST_TEXT = 2000

/** Free text, trimmed, inner line breaks kept; null with a problem when it is empty, too long or holds control characters. */
export function textOf(tree: Tree, where: string, example: string, notes: Notes): string | null {
  const scalar = scalarOf(tree, where, example, notes)
  if (!scalar) return null
  const text = scalar.text.trim()
  const at = { where, span: scalar.span }
  if (text === '') report(notes, 'not-a-value', at, 'the text is empty', `write it as in ${example}`)
  else if (text.length > LONGEST_TEXT)
    report(notes, 'text-too-long', at, `${text.length} characters; at most ${LONGEST_TEXT} are taken`, 'shorten it')
  else if (/[\p{Cc}\p{Cf}]/u.test(text.replace(/[\n\r\t\u00ad\u200d]/g, '')))
    report(notes, 'hidden-characters', at, 'the text holds characters that cannot be seen', 'type it again')
  else return text
  return null
}

/** A key that names a bottle, solution, vessel or found recipe: a few letters, digits, spaces and - _ . + ( ). */
export function isName(key: string, where: string, span: Span, notes: Notes): boolean {
  if (isNameText(key)) return true
  report(
    notes,
    'name-not-taken',
    { where, span },
    `"${short(key)}" cannot be a name here`,
    `take up to ${LONGEST_NAME} letters, digits, spaces and - _ . + ( ), as in "A" or "iodate 2"`,
  )
  return false
}

export interface Range {
  /** Refuse 0. */
  readonly positive?: boolean
  /** Internal unit. */
  readonly from?: number
  readonly to?: number
  /** Why the limits stand where they do. */
  readonly why?: string
}

/** A quantity of one of `kinds` within a range, or null with a problem. */
export function quantityOf(tree: Tree, where: string, kinds: readonly QuantityKind[], notes: Notes, range: Range = {}): Quantity | null {
  const scalar = scalarOf(tree, where, '"300 mL"', notes)
  if (!scalar) return null
  const got = parseQuantity(scalar.text, kinds, { where, span: scalar.span })
  if (!got.ok) {
    notes.problems.push(...got.problems)
    return null
  }
  return inRange(got.value, where, scalar.span, notes, range) ? got.value : null
}

/** A limit or a sum as people write it: "500 mL", not "500.0 mL". */
export function plain(value: number, kind: QuantityKind): string {
  return formatQuantity(value, kind, 4)
    .replace(/(\.\d*?)0+(?= )/, '$1')
    .replace(/\.(?= )/, '')
}

/** Whether a quantity lies in its range; reports it when not. */
export function inRange(q: Quantity, where: string, span: Span, notes: Notes, range: Range): boolean {
  const at = { where, span }
  if (range.positive && q.value === 0) {
    report(notes, 'zero', at, `"${q.text}" is nothing`, 'write more than 0, or leave the entry out')
    return false
  }
  const low = range.from !== undefined && q.value < range.from
  const high = range.to !== undefined && q.value > range.to
  if (!low && !high) return true
  const allowed = [range.from, range.to].map((v) => (v === undefined ? '' : plain(v, q.kind)))
  const limits =
    range.from === undefined
      ? `at most ${allowed[1]}`
      : range.to === undefined
        ? `at least ${allowed[0]}`
        : `${allowed[0]} to ${allowed[1]}`
  report(
    notes,
    'out-of-range',
    at,
    `"${q.text}" is outside ${limits}${range.why ? ` (${range.why})` : ''}`,
    'check the number and its unit',
  )
  return false
}

/** yes/no; also true/false. Null with a problem for anything else. */
export function flagOf(tree: Tree, where: string, notes: Notes): boolean | null {
  const scalar = scalarOf(tree, where, '"yes"', notes)
  if (!scalar) return null
  const word = scalar.text.trim().toLowerCase()
  if (word === 'yes' || word === 'true') return true
  if (word === 'no' || word === 'false') return false
  report(notes, 'not-yes-or-no', { where, span: scalar.span }, `"${short(scalar.text)}" is neither yes nor no`, 'write yes or no')
  return null
}

/** One of some words, or null with a problem that names them; words with digits or "_" are codes and are not listed. */
export function wordOf<W extends string>(
  tree: Tree,
  where: string,
  words: Readonly<Record<string, W>>,
  what: string,
  notes: Notes,
): W | null {
  const names = Object.keys(words).filter((name) => !/[_0-9]|^.$/.test(name))
  const scalar = scalarOf(tree, where, `"${names[0]}"`, notes)
  if (!scalar) return null
  const word = scalar.text.trim().toLowerCase()
  const found = Object.hasOwn(words, word) ? words[word] : undefined
  if (found !== undefined) return found
  const hint = suggestion(word, names)
  report(
    notes,
    `unknown-${what}`,
    { where, span: scalar.span },
    `"${short(scalar.text)}" is not a ${what} known here`,
    hint === '' ? `known here: ${names.join(', ')}` : hint,
  )
  return null
}

/** A whole number from 1 to `most`, or null with a problem. */
export function countOf(tree: Tree, where: string, most: number, notes: Notes): number | null {
  const scalar = scalarOf(tree, where, '"3"', notes)
  if (!scalar) return null
  const n = /^\d{1,9}$/.test(scalar.text.trim()) ? Number(scalar.text) : Number.NaN
  if (n >= 1 && n <= most) return n
  report(
    notes,
    'not-a-count',
    { where, span: scalar.span },
    `"${short(scalar.text)}" is not a whole number from 1 to ${most}`,
    'write how many, as in "3"',
  )
  return null
}
