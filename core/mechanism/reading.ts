/** Reading maps, lists and words out of a document tree, with every fault kept at its place. */
import { type Problem, type Span, suggestion } from '@beakertide/basis/problems'
import { place, type Tree, type TreeEntry, type TreeMap } from '@beakertide/basis/text'

/** Collects what is wrong while a file is read. */
export interface Reading {
  readonly problems: Problem[]
  readonly warnings: Problem[]
}

/** Notes a problem at a place of the file. */
export function report(reading: Reading, code: string, span: Span, what: string, todo: string, where?: string): void {
  reading.problems.push({ code: `mechanism/${code}`, where: where ? `${where} (${place(span)})` : place(span), what, todo, span })
}

/** Notes something worth a look that does not prevent the reading. */
export function warn(reading: Reading, code: string, span: Span, what: string, todo: string, where?: string): void {
  reading.warnings.push({ code: `mechanism/${code}`, where: where ? `${where} (${place(span)})` : place(span), what, todo, span })
}

/** Entries of one block by key. */
export type Fields = ReadonlyMap<string, TreeEntry>

/** The entries of a map whose keys are fixed words; unknown keys are reported with the nearest known one. Null when it is no map. */
export function fieldsOf(tree: Tree, what: string, known: readonly string[], reading: Reading): Fields | null {
  const map = mapOf(tree, what, reading)
  if (!map) return null
  const fields = new Map<string, TreeEntry>()
  for (const found of map.entries) {
    if (known.includes(found.key)) fields.set(found.key, found)
    else
      report(
        reading,
        'key-unknown',
        found.keySpan,
        `"${found.key}" is not known in ${what}`,
        suggestion(found.key, known) || `known: ${known.join(', ')}`,
      )
  }
  return fields
}

/** The tree as a map, or a problem. */
export function mapOf(tree: Tree, what: string, reading: Reading): TreeMap | null {
  if (tree.kind === 'map') return tree
  report(
    reading,
    'not-a-block',
    tree.span,
    `${what} is ${tree.kind === 'list' ? 'a list' : `"${short(tree.text)}"`}; a block of "key: value" lines is needed`,
    'see docs/mechanism-format.md',
  )
  return null
}

/** The items of a list; an absent or empty entry is an empty list. */
export function itemsOf(found: TreeEntry | undefined, what: string, reading: Reading): readonly Tree[] {
  if (!found || (found.value.kind === 'scalar' && found.value.isEmpty)) return []
  if (found.value.kind === 'list') return found.value.items
  report(reading, 'not-a-list', found.value.span, `${what} must be a list`, 'start each item with "- ", or write [a, b]')
  return []
}

/** A word or sentence, lines folded to one; undefined when absent. Empty or not text: a problem. */
export function textOf(found: TreeEntry | undefined, what: string, reading: Reading): string | undefined {
  if (!found) return undefined
  return wordOf(found.value, what, reading)
}

/** The same for a tree. */
export function wordOf(tree: Tree, what: string, reading: Reading): string | undefined {
  if (tree.kind !== 'scalar') {
    report(reading, 'not-text', tree.span, `${what} must be text`, 'write one value')
    return undefined
  }
  const text = tree.text.replace(/\s+/g, ' ').trim()
  if (text !== '' && !tree.isEmpty) return text
  report(reading, 'empty', tree.span, `${what} is empty`, 'write it, or remove the line')
  return undefined
}

/** Text that must be there. */
export function requiredText(fields: Fields, key: string, what: string, span: Span, reading: Reading): string {
  const found = fields.get(key)
  if (!found) {
    report(reading, 'key-missing', span, `${what} has no "${key}"`, `add "${key}:"`)
    return ''
  }
  return textOf(found, `"${key}" of ${what}`, reading) ?? ''
}

/** One of a few words; undefined when absent or unknown (reported). */
export function choiceOf<T extends string>(
  found: TreeEntry | undefined,
  what: string,
  choices: readonly T[],
  reading: Reading,
): T | undefined {
  const text = textOf(found, what, reading)
  if (text === undefined || !found) return undefined
  const chosen = choices.find((c) => c === text)
  if (chosen === undefined) {
    report(
      reading,
      'word-unknown',
      found.value.span,
      `${what} is "${short(text)}"`,
      suggestion(text, choices) || `allowed: ${choices.join(', ')}`,
    )
  }
  return chosen
}

/** A list of words, "[a, b]" or lines; one bare word is a list of one. */
export function wordsOf(found: TreeEntry | undefined, what: string, reading: Reading): readonly string[] {
  if (!found) return []
  if (found.value.kind === 'scalar') {
    const only = wordOf(found.value, what, reading)
    return only === undefined ? [] : [only]
  }
  return itemsOf(found, what, reading).flatMap((item) => wordOf(item, what, reading) ?? [])
}

/** Text cut for a message. */
export function short(text: string): string {
  return text.length > 60 ? `${text.slice(0, 57)}…` : text
}
