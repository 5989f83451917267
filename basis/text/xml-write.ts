/** XML text from our own trees: nothing that is put in can change the structure. */

export interface XmlPart {
  readonly name: string
  /** In the order to be written; `undefined` is left out. */
  readonly attributes: Readonly<Record<string, string | undefined>>
  readonly children: readonly (XmlPart | string)[]
}

export function part(
  name: string,
  attributes: Readonly<Record<string, string | undefined>> = {},
  children: readonly (XmlPart | string)[] = [],
): XmlPart {
  return { name, attributes, children }
}

/** Production [2] Char of XML 1.0: everything else cannot stand in a document, not even as a character reference. */
function isPossible(point: number): boolean {
  if (point < 0x20) return point === 0x9 || point === 0xa || point === 0xd
  return (point < 0xd800 || point > 0xdfff) && point !== 0xfffe && point !== 0xffff
}

/** Text as it may stand inside an element or a double-quoted attribute; impossible characters become U+FFFD. */
export function escapeXml(text: string): string {
  let possible = ''
  for (const sign of text) possible += isPossible(sign.codePointAt(0) ?? 0) ? sign : '\ufffd'
  return possible
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/[\t\n\r]/g, (c) => `&#${c.charCodeAt(0)};`)
}

/** A whole document: declaration, indented elements; an element with text in it stands on one line. */
export function writeXml(root: XmlPart): string {
  const lines: string[] = ['<?xml version="1.0" encoding="UTF-8"?>']
  writeInto(lines, root, '')
  return `${lines.join('\n')}\n`
}

function openTag(p: XmlPart, close: string): string {
  const attributes = Object.entries(p.attributes).flatMap(([name, value]) =>
    value === undefined ? [] : [` ${name}="${escapeXml(value)}"`],
  )
  return `<${p.name}${attributes.join('')}${close}>`
}

function inline(p: XmlPart): string {
  if (p.children.length === 0) return openTag(p, '/')
  const inner = p.children.map((c) => (typeof c === 'string' ? escapeXml(c) : inline(c))).join('')
  return `${openTag(p, '')}${inner}</${p.name}>`
}

function writeInto(lines: string[], p: XmlPart, indent: string): void {
  if (p.children.length === 0 || p.children.some((c) => typeof c === 'string')) {
    lines.push(indent + inline(p))
    return
  }
  lines.push(indent + openTag(p, ''))
  for (const child of p.children) if (typeof child !== 'string') writeInto(lines, child, `${indent}  `)
  lines.push(`${indent}</${p.name}>`)
}
