/**
 * XML 1.0 text as a small read-only tree in which every element knows its namespace and its place. Hostile text is
 * harmless: size, depth and node count are bounded; a DOCTYPE is refused, so there are no entities but the five of XML
 * itself, nothing is expanded and nothing is fetched.
 */
import saxes from 'saxes'
import { done, type Outcome, place, type Problem, refuse, type Span } from '../problems/index.ts'

export interface XmlElement {
  readonly kind: 'element'
  /** Local name, without prefix. */
  readonly name: string
  /** Namespace address; "" for none. */
  readonly namespace: string
  /** Namespace declarations are not listed. */
  readonly attributes: readonly XmlAttribute[]
  readonly children: readonly (XmlElement | XmlText)[]
  readonly span: Span
}
export interface XmlAttribute {
  readonly name: string
  /** "" for an attribute without prefix: it belongs to its element. */
  readonly namespace: string
  readonly value: string
}
export interface XmlText {
  readonly kind: 'text'
  readonly text: string
}

/** Value of the attribute without prefix, or undefined. */
export function attributeOf(element: XmlElement, name: string): string | undefined {
  return element.attributes.find((a) => a.name === name && a.namespace === '')?.value
}

/** The elements directly inside. */
export function elementsOf(element: XmlElement): readonly XmlElement[] {
  return element.children.filter((c) => c.kind === 'element')
}

/** The text directly inside, joined. */
export function textOf(element: XmlElement): string {
  return element.children.map((c) => (c.kind === 'text' ? c.text : '')).join('')
}

/** Bounds on a document: far above the largest published reaction model, far below what could hang a machine. */
export interface XmlLimits {
  readonly mostCharacters: number
  readonly deepest: number
  /** Elements, attributes and stretches of text together. */
  readonly mostNodes: number
}
export const xmlLimits: XmlLimits = { mostCharacters: 16_000_000, deepest: 200, mostNodes: 1_000_000 }

/** The parser is fed piece by piece, so that a breached bound stops it. */
const PIECE = 16_384

const usual = {
  what: 'this is not well-formed XML',
  todo: 'check that every "<name>" is closed by "</name>" and every attribute stands in quotes',
}

/** Our words for the parser's faults, by what its message contains. */
const faults: readonly (readonly [RegExp, { readonly what: string; readonly todo: string }])[] = [
  [/undefined entity/, { what: 'an "&name;" stands here that XML does not define', todo: 'write the sign itself; "&" as "&amp;"' }],
  [
    /disallowed character in entity|malformed character entity|empty entity/,
    { what: '"&" starts no entity here', todo: 'write "&" as "&amp;"' },
  ],
  [/unclosed tag/, { what: 'the text ends before every element is closed', todo: 'the file is cut short, or an end tag is missing' }],
  [
    /unexpected close tag|unmatched closing tag/,
    { what: 'this end tag closes another element than the one that is open', todo: usual.todo },
  ],
  [/unbound namespace prefix/, { what: 'a prefix stands here that no "xmlns:" declares', todo: 'declare the prefix on the root element' }],
  [/duplicate attribute/, { what: 'an attribute stands twice on one element', todo: 'keep one of the two' }],
  [/document must contain a root element/, { what: 'there is no element in this text', todo: 'give an XML file' }],
  [/disallowed character/, { what: 'a sign stands here that XML does not allow', todo: usual.todo }],
]

function faultWords(message: string): { readonly what: string; readonly todo: string } {
  return faults.find(([pattern]) => pattern.test(message))?.[1] ?? usual
}

interface Growing {
  readonly kind: 'element'
  readonly name: string
  readonly namespace: string
  readonly attributes: XmlAttribute[]
  readonly children: (XmlElement | XmlText)[]
  readonly span: Span
}

const XMLNS = 'http://www.w3.org/2000/xmlns/'

/** Parses `text`; the first fault of the text is a problem with its place. `file` is only for messages. */
export function readXml(text: string, file: string, limits: XmlLimits = xmlLimits): Outcome<XmlElement> {
  let problem: Problem | null = null
  const at = (line: number, column: number): Span => ({ file, line, column })
  const fail = (code: string, span: Span, what: string, todo: string): void => {
    problem ??= { code: `text/${code}`, where: place(span), what, todo, span }
  }
  if (text.length > limits.mostCharacters) {
    const what = `the file has ${text.length} characters; at most ${limits.mostCharacters} are read`
    fail('too-long', at(1, 1), what, 'give the model itself, without recorded data')
  }
  const parser = new saxes.SaxesParser({ xmlns: true, position: true })
  const open: Growing[] = []
  let root: Growing | null = null
  let nodes = 0
  const here = (): Span => at(parser.line, parser.columnIndex + 1)
  const count = (more: number): void => {
    nodes += more
    if (nodes > limits.mostNodes) fail('too-many', here(), `more than ${limits.mostNodes} values in one file`, 'split the file')
  }
  let tagAt = here()
  parser.on('error', (error) => {
    const words = faultWords(error.message)
    fail('not-xml', here(), words.what, words.todo)
  })
  parser.on('doctype', () => {
    const what = 'a DOCTYPE stands here; declarations of entities, inside or outside the file, are not read'
    fail('doctype', here(), what, 'remove the DOCTYPE and write the text out')
  })
  parser.on('opentagstart', () => {
    tagAt = here()
  })
  parser.on('opentag', (tag) => {
    const listed = Object.values(tag.attributes).filter((a) => a.uri !== XMLNS)
    count(1 + listed.length)
    const element: Growing = {
      kind: 'element',
      name: tag.local,
      namespace: tag.uri,
      attributes: listed.map((a) => ({ name: a.local, namespace: a.uri, value: a.value })),
      children: [],
      span: tagAt,
    }
    if (open.length >= limits.deepest) fail('too-deep', here(), `elements are nested more than ${limits.deepest} deep`, 'simplify the file')
    const parent = open.at(-1)
    if (parent) parent.children.push(element)
    else root ??= element
    open.push(element)
  })
  parser.on('closetag', () => {
    open.pop()
  })
  const addText = (value: string): void => {
    const parent = open.at(-1)
    if (!parent || value === '') return
    count(1)
    parent.children.push({ kind: 'text', text: value })
  }
  parser.on('text', addText)
  parser.on('cdata', addText)
  const stopped = (): boolean => problem !== null
  for (let from = 0; from < text.length && !stopped(); from += PIECE) parser.write(text.slice(from, from + PIECE))
  if (!stopped()) parser.close()
  if (problem !== null) return refuse(problem)
  return root === null ? refuse({ code: 'text/not-xml', where: file, ...usual }) : done(root)
}
