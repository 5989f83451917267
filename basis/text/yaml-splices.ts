/** Where in a text a value, an entry or its end stands, and the letters to put there. */
import { isMap, isScalar, type Node as YamlNode, type Pair } from 'yaml'
import {
  colonOf,
  endOf,
  endOfEntry,
  type Holder,
  indentAt,
  isBlockText,
  isNothing,
  lineEnd,
  lineStart,
  type Placed,
  startOfEntry,
} from './yaml-places.ts'
import {
  WIDEST_LINE,
  writeAfterKey,
  writeBlock,
  writeBlockText,
  writeInline,
  writeQuoted,
  writeScalar,
  type YamlValue,
} from './yaml-write.ts'

/** Letters from `from` to `to` become `text`. */
export interface Splice {
  readonly from: number
  readonly to: number
  readonly text: string
}

/** Line ends are written as the text has them. */
export function applySplice(text: string, splice: Splice): string {
  const written = text.includes('\r\n') ? splice.text.replace(/\r?\n/g, '\r\n') : splice.text
  return text.slice(0, splice.from) + written + text.slice(splice.to)
}

/** A value in the place of the one that stands there. */
export function replaced(text: string, at: Placed, value: YamlValue): Splice | null {
  const { node, pair, parent } = at
  const where = at.inFlow ? 'flow' : 'block'
  if (pair && isNothing(node)) {
    const colon = colonOf(pair)
    if (colon === null) return insertAt(pair.key.range![1], `: ${writeInline(value, where)}`)
    const indent = indentAt(text, pair.key.range![0])
    return insertAt(
      colon,
      at.inFlow ? ` ${writeInline(value, where)}` : writeAfterKey(value, spaces(indent), at.level - 1, colon - lineStart(text, colon)),
    )
  }
  if (!node?.range || !parent) return null
  if (isNothing(node)) {
    const dash = startOfEntry(parent, at.index)
    return dash === null ? null : insertAt(dash + 1, ` ${writeInline(value, where)}`)
  }
  const end = endOf(node, text)
  if (typeof value === 'string' && isBlockText(node) && !hasLostItsLines(text, node, value)) {
    const style = isScalar(node) && node.type === 'BLOCK_FOLDED' ? '>' : '|'
    const header = headerOf(text, node) ?? style
    // A plain header keeps its line break at the end, whether or not the new text has one.
    const whole = header === style && !value.endsWith('\n') ? `${value}\n` : value
    const indent = pair ? indentAt(text, pair.key.range![0]) + 2 : indentAt(text, node.range[0]) + 2
    const written = writeBlockText(whole, style, spaces(indent))
    if (written !== null) return { from: node.range[0], to: end, text: written }
  }
  if (isScalar(node) && typeof value === 'string' && (node.type === 'QUOTE_SINGLE' || node.type === 'QUOTE_DOUBLE'))
    return { from: node.range[0], to: end, text: writeQuoted(value, node.type === 'QUOTE_SINGLE' ? 'single' : 'double', where) }
  if (pair && !at.inFlow) return replacedInBlock(text, pair, node, end, value, at.level)
  return { from: node.range[0], to: end, text: writeInline(value, where) }
}

/** "|", ">-" and the like before a block of text. */
const headerOf = (text: string, node: YamlNode): string | undefined => /^[|>][-+0-9]*/.exec(text.slice(node.range![0]))?.[0]

/** Does the value have one line where lines stood that ended without a break? Then it is no block of text any more, as it was none before it got its lines. */
function hasLostItsLines(text: string, node: YamlNode, value: string): boolean {
  const stood = isScalar(node) && typeof node.value === 'string' ? node.value : ''
  return headerOf(text, node) === '|-' && stood.includes('\n') && !value.includes('\n')
}

const spaces = (count: number): string => ' '.repeat(count)
const insertAt = (at: number, text: string): Splice => ({ from: at, to: at, text })

/** After "key:" in a block, a comment behind the colon kept. */
function replacedInBlock(
  text: string,
  pair: Pair<YamlNode, YamlNode | null>,
  node: YamlNode,
  end: number,
  value: YamlValue,
  level: number,
): Splice | null {
  const colon = colonOf(pair)
  if (colon === null) return null
  const isOwnLine = text.slice(colon, node.range![0]).includes('\n')
  const column = colon - lineStart(text, colon)
  const indent = spaces(indentOfKey(text, pair))
  if (!isOwnLine) {
    const after = writeAfterKey(value, indent, level - 1, column)
    // The spaces behind the colon are the writer's.
    return after.startsWith(' ') && !isBlockText(node)
      ? { from: node.range![0], to: end, text: after.slice(1) }
      : { from: colon, to: end, text: after }
  }
  const comment = /^[ \t]*#[^\n\r]*/.exec(text.slice(colon))?.[0] ?? ''
  if (typeof value === 'object' && !isEmpty(value)) {
    const block = writeBlock(value, `${indent}  `, level)
    return { from: colon, to: end, text: `${comment}\n${block}` }
  }
  return { from: colon, to: end, text: ` ${writeInline(value, 'block')}${comment}` }
}
const isEmpty = (value: YamlValue): boolean => typeof value === 'object' && Object.keys(value).length === 0
/** Column of a key; in "- key: …" that of the key, not of the dash. */
const indentOfKey = (text: string, pair: Pair<YamlNode, YamlNode | null>): number => {
  const at = pair.key.range![0]
  return at - lineStart(text, at)
}

export interface NewEntry {
  /** Null in a list. */
  readonly key: string | null
  readonly index: number
  readonly value: YamlValue
  readonly level: number
}

export function insertedInFlow(text: string, holder: Holder, entry: NewEntry): Splice | null {
  const key = entry.key === null ? '' : `${writeScalar(entry.key, 'key')}: `
  const written = `${key}${writeInline(entry.value, 'flow')}`
  const count = holder.items.length
  const [from, to] = [holder.range![0], holder.range![1]]
  if (count === 0) return { from, to, text: isMap(holder) ? `{ ${written} }` : `[${written}]` }
  if (entry.index <= 0) {
    const first = startOfEntry(holder, 0)
    return first === null ? null : insertAt(first, `${written}, `)
  }
  const before = Math.min(entry.index, count) - 1
  const at = endOfEntry(holder, before, text)
  // Entries on lines of their own stay so.
  const last = startOfEntry(holder, before) ?? at
  const ownLine = text.slice(lineStart(text, last), last).trim() === ''
  if (ownLine) return insertAt(at, `,\n${spaces(last - lineStart(text, last))}${written}`)
  const column = at - lineStart(text, at)
  if (column + 2 + written.length + 2 > WIDEST_LINE && text.slice(from, at).length > 0)
    return insertAt(at, `,\n${spaces(indentAt(text, lineStart(text, from)) + 4)}${written}`)
  return insertAt(at, `, ${written}`)
}

export function insertedInBlock(text: string, holder: Holder, entry: NewEntry): Splice | null {
  const first = startOfEntry(holder, 0)
  if (first === null) return null
  const indent = spaces(first - lineStart(text, first))
  const start = entry.key === null ? `${indent}-` : `${indent}${writeScalar(entry.key, 'key')}:`
  const written =
    start + (entry.key === null ? ` ${writeInline(entry.value, 'block')}` : writeAfterKey(entry.value, indent, entry.level, start.length))
  if (entry.index <= 0) return insertAt(first, `${written.slice(indent.length)}\n${indent}`)
  const before = Math.min(entry.index, holder.items.length) - 1
  const at = lineEnd(text, endOfEntry(holder, before, text))
  const isApart = entry.level === 0 && /\n\s*\n/.test(text.trim()) && (written.includes('\n') || before === holder.items.length - 1)
  return insertAt(at, `${isApart ? '\n\n' : '\n'}${written}`)
}

export function removedFrom(text: string, at: Placed): Splice | null {
  const { parent, index } = at
  if (!parent) return null
  const start = startOfEntry(parent, index)
  if (start === null) return null
  const end = endOfEntry(parent, index, text)
  const next = startOfEntry(parent, index + 1)
  if (at.inFlow) {
    if (next !== null) return { from: start, to: next, text: '' }
    return { from: endOfEntry(parent, index - 1, text), to: end, text: '' }
  }
  const from = lineStart(text, start)
  // "- key: …": the first entry of a map that begins behind a dash.
  if (text.slice(from, start).trim() !== '') return next === null ? null : { from: start, to: next, text: '' }
  const stop = lineEnd(text, end)
  const after = text.slice(stop).search(/[^\r\n]/)
  const behind = after < 0 ? text.length : stop + (/^\r?\n/.exec(text.slice(stop))?.[0].length ?? 0)
  // Between two sections one blank line is enough.
  const isBlankBefore = from === 0 || /\n[ \t]*\r?\n$/.test(text.slice(0, from))
  const blankBehind = /^(?:[ \t]*\r?\n)+/.exec(text.slice(behind))?.[0] ?? ''
  return { from, to: behind + (isBlankBefore ? blankBehind.length : 0), text: '' }
}
