/** Where in a text the values and entries of a parsed YAML document begin and end. */
import { isMap, isScalar, isSeq, type Node as YamlNode, type Pair, type YAMLMap, type YAMLSeq } from 'yaml'

/** Keys of maps, positions in lists. */
export type YamlPath = readonly (string | number)[]

export type Holder = YAMLMap<YamlNode, YamlNode | null> | YAMLSeq<YamlNode>
interface Token {
  readonly type: string
  readonly offset: number
  readonly source: string
}

export const lineStart = (text: string, at: number): number => text.lastIndexOf('\n', at - 1) + 1
export function lineEnd(text: string, at: number): number {
  const found = text.indexOf('\n', at)
  const end = found < 0 ? text.length : found
  return text[end - 1] === '\r' && end > at ? end - 1 : end
}
/** Columns before the first letter of the line. */
export const indentAt = (text: string, at: number): number => /^ */.exec(text.slice(lineStart(text, at)))![0].length

/** Nothing is written there. */
export function isNothing(node: YamlNode | null | undefined): boolean {
  return !node || !node.range || (isScalar(node) && node.range[0] === node.range[1])
}
export const isBlockText = (node: YamlNode | null): boolean =>
  isScalar(node) && (node.type === 'BLOCK_FOLDED' || node.type === 'BLOCK_LITERAL')
const isBlockHolder = (node: YamlNode | null): boolean => (isMap(node) || isSeq(node)) && node.flow !== true

/** Behind the last letter of a value; blank lines after a block are not part of it. */
export function endOf(node: YamlNode, text: string): number {
  if (isBlockHolder(node)) {
    const holder = node as Holder
    const index = holder.items.length - 1
    return index < 0 ? node.range![1] : endOfEntry(holder, index, text)
  }
  const end = node.range![1]
  return isBlockText(node) ? node.range![0] + text.slice(node.range![0], end).trimEnd().length : end
}

/** Source tokens around an entry, where the parser kept them. */
const tokensOf = (holder: Holder, index: number): { readonly start: readonly Token[]; readonly sep: readonly Token[] } => {
  const item = (holder.srcToken as unknown as { items?: { start?: Token[]; sep?: Token[] }[] } | undefined)?.items?.[index]
  return { start: item?.start ?? [], sep: item?.sep ?? [] }
}
export const colonOf = (pair: Pair<YamlNode, YamlNode | null>): number | null => {
  const sep = (pair.srcToken as unknown as { sep?: readonly Token[] } | undefined)?.sep ?? []
  const colon = sep.find((t) => t.type === 'map-value-ind')
  return colon ? colon.offset + 1 : null
}

export function startOfEntry(holder: Holder, index: number): number | null {
  if (isMap<YamlNode, YamlNode | null>(holder)) return holder.items[index]?.key.range?.[0] ?? null
  if (holder.flow === true) return holder.items[index]?.range?.[0] ?? null
  return tokensOf(holder, index).start.find((t) => t.type === 'seq-item-ind')?.offset ?? null
}

export function endOfEntry(holder: Holder, index: number, text: string): number {
  if (isMap<YamlNode, YamlNode | null>(holder)) {
    const pair = holder.items[index]!
    return isNothing(pair.value) ? (colonOf(pair) ?? pair.key.range![1]) : endOf(pair.value!, text)
  }
  const item = holder.items[index]!
  return isNothing(item) ? (startOfEntry(holder, index) ?? item.range![0]) + 1 : endOf(item, text)
}

/** A node with what it stands in. */
export interface Placed {
  readonly node: YamlNode | null
  /** In a map: its pair. */
  readonly pair: Pair<YamlNode, YamlNode | null> | null
  readonly parent: YAMLMap<YamlNode, YamlNode | null> | YAMLSeq<YamlNode> | null
  readonly index: number
  /** Inside braces or brackets. */
  readonly inFlow: boolean
  /** How many maps and lists it stands in. */
  readonly level: number
}

export const keyOf = (pair: Pair<YamlNode, YamlNode | null>): string =>
  isScalar(pair.key) ? (pair.key.source ?? String(pair.key.value)) : ''

export function placed(root: YamlNode | null, path: YamlPath): Placed | null {
  let now: Placed = { node: root, pair: null, parent: null, index: 0, inFlow: false, level: 0 }
  for (const key of path) {
    const node = now.node
    const inFlow = now.inFlow || ((isMap(node) || isSeq(node)) && node.flow === true)
    if (isMap<YamlNode, YamlNode | null>(node) && typeof key === 'string') {
      const index = node.items.findIndex((p) => keyOf(p) === key)
      const pair = node.items[index]
      if (!pair) return null
      now = { node: pair.value, pair, parent: node, index, inFlow, level: now.level + 1 }
    } else if (isSeq<YamlNode>(node) && typeof key === 'number' && node.items[key]) {
      now = { node: node.items[key], pair: null, parent: node, index: key, inFlow, level: now.level + 1 }
    } else return null
  }
  return now
}
