/**
 * YAML 1.2 text as a small read-only tree in which every node knows its place. Hostile text is harmless:
 * size, depth, node count and alias use are bounded, no tags build objects, keys stay own data.
 */
import { isAlias, isMap, isPair, isScalar, isSeq, LineCounter, type Node as YamlNode, parseDocument, type YAMLParseError } from 'yaml'
import { done, type Outcome, place, type Problem, refuse, type Span } from '../problems/index.ts'
import { faultWords } from './yaml-faults.ts'

export type Tree = TreeMap | TreeList | TreeScalar
export interface TreeScalar {
  readonly kind: 'scalar'
  /** The text as written (unquoted); numbers are not interpreted, so "1e999" and "007" stay what they are. */
  readonly text: string
  /** Nothing stands after the colon, or "~"/"null" unquoted. */
  readonly isEmpty: boolean
  readonly isQuoted: boolean
  readonly span: Span
}
export interface TreeList {
  readonly kind: 'list'
  readonly items: readonly Tree[]
  readonly span: Span
}
export interface TreeMap {
  readonly kind: 'map'
  readonly entries: readonly TreeEntry[]
  readonly span: Span
}
export interface TreeEntry {
  readonly key: string
  readonly keySpan: Span
  readonly value: Tree
}

/** The entry's value, or undefined. */
export function entry(map: TreeMap, key: string): TreeEntry | undefined {
  return map.entries.find((e) => e.key === key)
}

/** Bounds on a document. They stand far above any real demonstration and far below what could hang a machine. */
export interface TreeLimits {
  readonly mostCharacters: number
  readonly deepest: number
  readonly mostNodes: number
}
export const treeLimits: TreeLimits = { mostCharacters: 400_000, deepest: 40, mostNodes: 50_000 }

/** Where brackets stand deeper than `limit`, quotes and comments ignored: a cheap guard before the real parser recurses. -1: nowhere. */
function tooDeepFlow(text: string, limit: number): number {
  let depth = 0
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i)
    if (c === 91 || c === 123) {
      if (++depth > limit) return i
    } else if (c === 93 || c === 125) depth = Math.max(0, depth - 1)
  }
  return -1
}

/** No hand-written document indents further; deeper ones are built to exhaust a parser. */
const WIDEST_INDENT = 400

/** Where one line opens more than `limit` levels with "- - - -" or indentation; -1: nowhere. */
function tooDeepBlock(text: string, limit: number): number {
  for (const match of text.matchAll(/^[ \t]*((?:[-?:][ \t]+)*)/gm)) {
    const opened = (match[1] ?? '').replace(/[ \t]/g, '').length
    if (opened > limit || match[0].length > WIDEST_INDENT) return match.index
  }
  return -1
}

/** Line and column of an offset, both from 1. */
function lineAndColumn(text: string, offset: number): readonly [number, number] {
  const lines = text.slice(0, offset).split('\n')
  return [lines.length, (lines.at(-1) ?? '').length + 1]
}

/** One slip makes the parser stumble on for many lines: the first fault of each sort tells, and no indentation fault beside a tab. */
function tellingFaults(errors: readonly YAMLParseError[]): readonly YAMLParseError[] {
  const tab = errors.some((e) => e.code === 'TAB_AS_INDENT')
  return errors.filter((e, i) => errors.findIndex((f) => f.code === e.code) === i && !(tab && e.code === 'BAD_INDENT'))
}

/** Parses `text`; every fault of the text itself is a problem with its place. `file` is only for messages. */
export function readTree(text: string, file: string, limits: TreeLimits = treeLimits): Outcome<Tree> {
  const { tree, problems } = readTreeInPart(text, file, limits)
  return tree === null || problems.length > 0 ? refuse(...problems) : done(tree)
}

/** What could be read of a text in spite of its faults, and these; `tree` is null where it was not read at all (too long, too deep). */
export interface TreeInPart {
  readonly tree: Tree | null
  readonly problems: readonly Problem[]
}

/** As `readTree`, for those who must look at whatever stands in a faulty text. A value that is refused is empty in the tree. */
export function readTreeInPart(text: string, file: string, limits: TreeLimits = treeLimits): TreeInPart {
  const unread = (problem: Problem): TreeInPart => ({ tree: null, problems: [problem] })
  const at = (line: number, column: number): Span => ({ file, line, column })
  if (text.length > limits.mostCharacters) {
    return unread({
      code: 'text/too-long',
      where: file,
      what: `the file has ${text.length} characters; at most ${limits.mostCharacters} are read`,
      todo: 'give the demonstration file itself; records and pictures stay in files of their own',
      span: at(1, 1),
    })
  }
  const tooDeep = (span: Span): Problem => ({
    code: 'text/too-deep',
    where: place(span),
    what: `values are nested more than ${limits.deepest} deep`,
    todo: 'a demonstration needs about six levels; look for brackets or dashes that were never closed',
    span,
  })
  const deep = Math.max(tooDeepFlow(text, limits.deepest), tooDeepBlock(text, limits.deepest))
  if (deep >= 0) return unread(tooDeep(at(...lineAndColumn(text, deep))))

  const lines = new LineCounter()
  const parsed = parseDocument(text, {
    lineCounter: lines,
    version: '1.2',
    uniqueKeys: false,
    prettyErrors: false,
    strict: true,
    schema: 'core',
  })
  const spanOf = (range: readonly number[] | null | undefined): Span => {
    const start = lines.linePos(range?.[0] ?? 0)
    const end = lines.linePos(range?.[1] ?? range?.[0] ?? 0)
    return { file, line: start.line || 1, column: start.col || 1, endLine: end.line || 1, endColumn: end.col || 1 }
  }
  const problems: Problem[] = []
  for (const e of tellingFaults(parsed.errors)) {
    const span = spanOf(e.pos)
    problems.push({
      code: 'text/not-yaml',
      where: place(span),
      ...faultWords(e.code),
      span,
    })
  }
  // Where the text itself is broken, what the rest of it seems to say wrong is not told.
  const faults = [...problems]

  let nodes = 0
  const convert = (node: YamlNode | null | undefined, depth: number, fallback: Span): Tree => {
    const span = node?.range ? spanOf(node.range) : fallback
    nodes++
    if (nodes > limits.mostNodes || depth > limits.deepest) {
      if (!problems.some((p) => p.code === 'text/too-deep' || p.code === 'text/too-many')) {
        problems.push(
          depth > limits.deepest
            ? tooDeep(span)
            : {
                code: 'text/too-many',
                where: place(span),
                what: `more than ${limits.mostNodes} values in one file`,
                todo: 'split the file; a demonstration holds some hundred values',
                span,
              },
        )
      }
      return { kind: 'scalar', text: '', isEmpty: true, isQuoted: false, span }
    }
    if (isAlias(node)) {
      // one is enough: a file built of aliases holds thousands
      if (!problems.some((p) => p.code === 'text/alias')) {
        problems.push({
          code: 'text/alias',
          where: place(span),
          what: `"*${node.source}" points to another place of the file; aliases are not read here`,
          todo: 'write the value out where it is used',
          span,
        })
      }
      return { kind: 'scalar', text: '', isEmpty: true, isQuoted: false, span }
    }
    if (node?.tag !== undefined) {
      problems.push({
        code: 'text/tag',
        where: place(span),
        what: `"${node.tag.replace('tag:yaml.org,2002:', '!!').slice(0, 60)}" is a tag; tags are not read here`,
        todo: 'remove the "!" word; put quotes round a text that starts with "!"',
        span,
      })
      return { kind: 'scalar', text: '', isEmpty: true, isQuoted: false, span }
    }
    if (isMap(node)) {
      const entries: TreeEntry[] = []
      const met = new Map<string, Span>()
      for (const pair of node.items) {
        if (!isPair(pair)) continue
        const keyNode = pair.key as YamlNode | null
        const keySpan = keyNode?.range ? spanOf(keyNode.range) : span
        if (!isScalar(keyNode)) {
          problems.push({
            code: 'text/key-not-a-word',
            where: place(keySpan),
            what: 'a key here is a list or a map',
            todo: 'use a word as key',
            span: keySpan,
          })
          continue
        }
        const key = keyNode.source ?? String(keyNode.value)
        const before = met.get(key)
        if (before) {
          problems.push({
            code: 'text/key-twice',
            where: place(keySpan),
            what: `"${key}" stands twice in one block; the first is in line ${before.line}, column ${before.column}`,
            todo: 'keep one of the two',
            span: keySpan,
          })
          continue
        }
        met.set(key, keySpan)
        entries.push({ key, keySpan, value: convert(pair.value as YamlNode | null, depth + 1, keySpan) })
      }
      return { kind: 'map', entries, span }
    }
    if (isSeq(node)) return { kind: 'list', items: node.items.map((n) => convert(n as YamlNode, depth + 1, span)), span }
    if (isScalar(node)) {
      const isQuoted = node.type === 'QUOTE_DOUBLE' || node.type === 'QUOTE_SINGLE'
      return {
        kind: 'scalar',
        text: typeof node.value === 'string' ? node.value : (node.source ?? ''),
        isEmpty: !isQuoted && node.value === null,
        isQuoted,
        span,
      }
    }
    return { kind: 'scalar', text: '', isEmpty: true, isQuoted: false, span }
  }
  const tree = convert(parsed.contents as YamlNode | null, 0, at(1, 1))
  return { tree, problems: faults.length > 0 ? faults : problems }
}
