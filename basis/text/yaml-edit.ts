/**
 * Changes of a YAML text in place. Only the letters of the changed value are replaced, so comments, order, quotes, braces and
 * spacing of everything else stay to the letter. Every change is read back and compared with what it should have become.
 */
import { isMap, isSeq, type Node as YamlNode, parseDocument, type YAMLMap } from 'yaml'
import { done, type Outcome, type Problem, refuse } from '../problems/index.ts'
import { readTree, type Tree } from './yaml-tree.ts'
import { type Holder, keyOf, placed, type YamlPath } from './yaml-places.ts'
import { applySplice, insertedInBlock, insertedInFlow, removedFrom, replaced, type Splice } from './yaml-splices.ts'
import { writeScalar, type YamlValue } from './yaml-write.ts'

/** One change: undefined removes. A position one behind the last adds to a list. Maps on the way there are made. */
export interface YamlEdit {
  readonly path: YamlPath
  readonly value: unknown
}

/** Another name for the key at the end of the path; its value and its place stay. */
export interface YamlRenaming {
  readonly path: YamlPath
  readonly renameTo: string
}

export interface YamlEditOptions {
  /** Name of the text in messages. */
  readonly name?: string
  /** Keys of the map at a path in the order in which they are best written; a new key is put among them. */
  readonly keyOrder?: (path: YamlPath) => readonly string[] | undefined
}

const pathText = (path: YamlPath): string => (path.length === 0 ? 'document' : path.join(', '))

/** The text with all edits done, in their order; or why not. Refuses what readTree refuses. */
export function editYaml(text: string, edits: readonly (YamlEdit | YamlRenaming)[], options: YamlEditOptions = {}): Outcome<string> {
  const name = options.name ?? 'document'
  let now = text
  for (const edit of edits) {
    const before = readTree(now, name)
    if (!before.ok) return before
    if ('renameTo' in edit) {
      const renamed = withOtherKey(now, before.value, edit, name)
      if (!renamed.ok) return renamed
      now = renamed.value
      continue
    }
    const value = asValue(edit.value)
    if (value === null) return refuse(fault(edit.path, 'a value of this sort cannot be written', 'give texts, numbers, lists and maps'))
    const wanted = withValue(plainOf(before.value), edit.path, value === undefined ? undefined : plainValue(value), edit.path)
    if ('problem' in wanted) return refuse(wanted.problem)
    const changed = inPlace(now, steps(before.value, edit.path, value), options)
    if (changed !== null && readsAs(changed, wanted.plain, name)) now = changed
    else {
      const rewritten = throughModel(now, edit.path, value)
      if (rewritten === null || !readsAs(rewritten, wanted.plain, name))
        return refuse(fault(edit.path, 'the text cannot be changed here', 'change it in the text itself'))
      now = rewritten
    }
  }
  return done(now)
}

function withOtherKey(text: string, before: Tree, edit: YamlRenaming, name: string): Outcome<string> {
  const key = edit.path.at(-1)
  const { tree: holder, left } = follow(before, edit.path.slice(0, -1))
  const parsed = parseDocument(text, { version: '1.2', schema: 'core', uniqueKeys: false, keepSourceTokens: true })
  const range = placed(parsed.contents, edit.path)?.pair?.key.range
  if (left.length > 0 || holder.kind !== 'map' || range === undefined || range === null)
    return refuse(fault(edit.path, 'there is no such key', 'look at the text'))
  if (holder.entries.some((e) => e.key === edit.renameTo && e.key !== key))
    return refuse(fault(edit.path, `"${edit.renameTo}" stands there already`, 'take another name'))
  const changed = applySplice(text, { from: range[0], to: range[1], text: writeScalar(edit.renameTo, 'key') })
  const wanted = new Map(holder.entries.map((e) => [e.key === key ? edit.renameTo : e.key, plainOf(e.value)]))
  const whole = withValue(plainOf(before), edit.path.slice(0, -1), wanted, edit.path)
  return 'plain' in whole && readsAs(changed, whole.plain, name)
    ? done(changed)
    : refuse(fault(edit.path, 'the key cannot be changed here', 'change it in the text itself'))
}

const fault = (path: YamlPath, what: string, todo: string): Problem => ({ code: 'text/edit', where: pathText(path), what, todo })

/** What is given, if it can be written; undefined to remove; null when it cannot. */
function asValue(value: unknown): YamlValue | undefined | null {
  if (value === undefined || typeof value === 'string' || typeof value === 'boolean') return value
  if (typeof value === 'number') return Number.isFinite(value) ? value : null
  if (Array.isArray(value)) {
    const items = value.map(asValue)
    return items.some((i) => i === null || i === undefined) ? null : (items as YamlValue[])
  }
  if (typeof value !== 'object' || value === null) return null
  const entries = Object.entries(value).flatMap(([k, v]) => (v === undefined ? [] : [[k, asValue(v)] as const]))
  return entries.some(([, v]) => v === null) ? null : (Object.fromEntries(entries) as { readonly [key: string]: YamlValue })
}

/** A tree or a value without its form: texts, lists, maps. */
type Plain = string | readonly Plain[] | ReadonlyMap<string, Plain>

function plainOf(tree: Tree): Plain {
  if (tree.kind === 'scalar') return tree.isEmpty ? '' : tree.text.trimEnd()
  return tree.kind === 'list' ? tree.items.map(plainOf) : new Map(tree.entries.map((e) => [e.key, plainOf(e.value)]))
}
function plainValue(value: YamlValue): Plain {
  if (typeof value !== 'object') return String(value).trimEnd()
  if (Array.isArray(value)) return value.map(plainValue)
  return new Map(Object.entries(value).flatMap(([k, v]) => (v === undefined ? [] : [[k, plainValue(v)] as const])))
}

function isSame(a: Plain, b: Plain): boolean {
  if (typeof a === 'string' || typeof b === 'string') return a === b
  if (a instanceof Map || b instanceof Map) {
    if (!(a instanceof Map && b instanceof Map) || a.size !== b.size) return false
    return [...a].every(([k, v]) => b.has(k) && isSame(v, b.get(k)!))
  }
  const [x, y] = [a as readonly Plain[], b as readonly Plain[]]
  return x.length === y.length && x.every((v, i) => isSame(v, y[i]!))
}

function readsAs(text: string, wanted: Plain, name: string): boolean {
  const tree = readTree(text, name)
  return tree.ok && isSame(plainOf(tree.value), wanted)
}

/** What the whole should become. */
function withValue(
  plain: Plain,
  path: YamlPath,
  value: Plain | undefined,
  whole: YamlPath,
): { readonly plain: Plain } | { readonly problem: Problem } {
  const [key, ...rest] = path
  if (key === undefined) {
    return value === undefined ? { problem: fault(whole, 'the whole document cannot be removed', 'name what to remove') } : { plain: value }
  }
  const at = whole.slice(0, whole.length - path.length)
  if (typeof key === 'number') {
    if (!Array.isArray(plain) && plain !== '') return { problem: fault(whole, `there is no list at "${pathText(at)}"`, 'look at the text') }
    const items: readonly Plain[] = Array.isArray(plain) ? (plain as readonly Plain[]) : []
    if (!Number.isInteger(key) || key < 0 || key > items.length)
      return { problem: fault(whole, `"${pathText(at)}" has ${items.length} entries, none at position ${key + 1}`, 'look at the text') }
    if (rest.length === 0 && value === undefined) return { plain: items.filter((_, i) => i !== key) }
    const inner = withValue(items[key] ?? '', rest, value, whole)
    return 'problem' in inner ? inner : { plain: [...items.slice(0, key), inner.plain, ...items.slice(key + 1)] }
  }
  if (!(plain instanceof Map) && plain !== '')
    return { problem: fault(whole, `"${pathText(at)}" is one value, so it has no "${key}"`, 'look at the text') }
  const entries = plain instanceof Map ? plain : new Map<string, Plain>()
  if (value === undefined && !entries.has(key)) return { plain: entries }
  if (rest.length === 0 && value === undefined) return { plain: new Map([...entries].filter(([k]) => k !== key)) }
  const inner = withValue(entries.get(key) ?? '', rest, value, whole)
  return 'problem' in inner ? inner : { plain: new Map([...entries, [key, inner.plain]]) }
}

/** One step: a value that stands there, a new entry, or an entry less. */
export type Step =
  | { readonly how: 'set'; readonly path: YamlPath; readonly value: YamlValue }
  | { readonly how: 'insert'; readonly path: YamlPath; readonly value: YamlValue }
  | { readonly how: 'remove'; readonly path: YamlPath }

/** The tree at the path as far as it goes, and what is left of the path. */
function follow(tree: Tree, path: YamlPath): { readonly tree: Tree; readonly left: YamlPath } {
  let now = tree
  for (let i = 0; i < path.length; i++) {
    const key = path[i]!
    const next =
      typeof key === 'number'
        ? now.kind === 'list'
          ? now.items[key]
          : undefined
        : now.kind === 'map'
          ? now.entries.find((e) => e.key === key)?.value
          : undefined
    if (next === undefined) return { tree: now, left: path.slice(i) }
    now = next
  }
  return { tree: now, left: [] }
}

/** The edit in steps that touch as little as can be: only what differs. */
function steps(tree: Tree, path: YamlPath, value: YamlValue | undefined): readonly Step[] {
  const { tree: at, left } = follow(tree, path)
  const known = path.slice(0, path.length - left.length)
  if (value === undefined) return left.length === 0 ? [{ how: 'remove', path }] : []
  if (left.length === 0) return differences(at, path, value)
  // What is missing on the way is made around the value.
  const inner = left.slice(1).reduceRight<YamlValue>((v, key) => (typeof key === 'number' ? [v] : { [key]: v }), value)
  if (at.kind === 'scalar') return [{ how: 'set', path: known, value: typeof left[0] === 'number' ? [inner] : { [left[0]!]: inner } }]
  return [{ how: 'insert', path: [...known, left[0]!], value: inner }]
}

function differences(tree: Tree, path: YamlPath, value: YamlValue): readonly Step[] {
  if (isSame(plainOf(tree), plainValue(value))) return []
  if (tree.kind === 'map' && typeof value === 'object' && !Array.isArray(value) && tree.entries.length > 0) {
    const wanted = Object.entries(value as { readonly [key: string]: YamlValue })
    if (wanted.length === 0) return [{ how: 'set', path, value }]
    const kept = wanted.flatMap(([key, v]) => {
      const there = tree.entries.find((e) => e.key === key)
      return there ? differences(there.value, [...path, key], v) : [{ how: 'insert', path: [...path, key], value: v } as const]
    })
    const gone = tree.entries.filter((e) => !wanted.some(([k]) => k === e.key))
    return [...kept, ...gone.map((e) => ({ how: 'remove', path: [...path, e.key] }) as const)]
  }
  if (tree.kind === 'list' && Array.isArray(value) && tree.items.length > 0 && value.length > 0)
    return listDifferences(tree.items, path, value as readonly YamlValue[])
  return [{ how: 'set', path, value }]
}

/** Equal entries at both ends stay; between them entries are changed one by one, then added or removed. */
function listDifferences(items: readonly Tree[], path: YamlPath, wanted: readonly YamlValue[]): readonly Step[] {
  const same = (i: number, j: number): boolean => isSame(plainOf(items[i]!), plainValue(wanted[j]!))
  const shorter = Math.min(items.length, wanted.length)
  let start = 0
  while (start < shorter && same(start, start)) start++
  let end = 0
  while (end < shorter - start && same(items.length - 1 - end, wanted.length - 1 - end)) end++
  const both = shorter - start - end
  const found: Step[] = []
  for (let i = start; i < start + both; i++) found.push(...differences(items[i]!, [...path, i], wanted[i]!))
  for (let i = start + both; i < wanted.length - end; i++) found.push({ how: 'insert', path: [...path, i], value: wanted[i]! })
  // From behind, so that positions stay true.
  for (let i = items.length - end - 1; i >= start + both; i--) found.push({ how: 'remove', path: [...path, i] })
  return found
}

/** The steps one after the other, each on the text that the one before left. Null: one of them could not be done so. */
function inPlace(text: string, all: readonly Step[], options: YamlEditOptions): string | null {
  let now = text
  for (const step of all) {
    const parsed = parseDocument(now, { version: '1.2', schema: 'core', uniqueKeys: false, keepSourceTokens: true })
    if (parsed.errors.length > 0) return null
    const splice = spliceFor(now, parsed.contents, step, options)
    if (splice === null) return null
    now = applySplice(now, splice)
  }
  return now
}

function spliceFor(text: string, root: YamlNode | null, step: Step, options: YamlEditOptions): Splice | null {
  if (step.how === 'set') {
    const at = placed(root, step.path)
    return at && step.path.length > 0 ? replaced(text, at, step.value) : null
  }
  if (step.how === 'remove') {
    const at = placed(root, step.path)
    if (!at?.parent) return null
    if (at.parent.items.length > 1) return removedFrom(text, at)
    const holder = placed(root, step.path.slice(0, -1))
    return holder && step.path.length > 1 ? replaced(text, holder, isMap(holder.node) ? {} : []) : null
  }
  const holder = placed(root, step.path.slice(0, -1))
  const key = step.path.at(-1)!
  const node = holder?.node
  if (!holder || !(isMap(node) || isSeq(node))) return null
  const inFlow = holder.inFlow || node.flow === true
  const index =
    typeof key === 'number' ? key : newPlace(node as YAMLMap<YamlNode, YamlNode | null>, key, options.keyOrder?.(step.path.slice(0, -1)))
  const entry = { key: typeof key === 'string' ? key : null, index, value: step.value, level: step.path.length - 1 }
  return inFlow ? insertedInFlow(text, node as Holder, entry) : insertedInBlock(text, node as Holder, entry)
}

/** Behind the last of the keys that come before it in the order; at the end when the order says nothing. */
function newPlace(map: YAMLMap<YamlNode, YamlNode | null>, key: string, order: readonly string[] | undefined): number {
  const rank = order?.indexOf(key) ?? -1
  if (rank < 0 || !order) return map.items.length
  let place = -1
  map.items.forEach((pair, i) => {
    const other = order.indexOf(keyOf(pair))
    if (other >= 0 && other < rank) place = i
  })
  return place < 0 ? map.items.length : place + 1
}

/** The way of last resort: the library writes the whole text anew; comments and order stay, spacing may not. */
function throughModel(text: string, path: YamlPath, value: YamlValue | undefined): string | null {
  const document = parseDocument(text, { version: '1.2', schema: 'core' })
  if (document.errors.length > 0) return null
  try {
    if (value === undefined) document.deleteIn(path)
    else document.setIn(path, document.createNode(value))
    return document.toString({ lineWidth: 0 })
  } catch {
    return null
  }
}
