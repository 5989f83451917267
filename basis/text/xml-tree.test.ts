import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { attributeOf, elementsOf, readXml, textOf, type XmlElement } from './xml-tree.ts'
import { escapeXml, part, writeXml } from './xml-write.ts'

function read(text: string, limits?: Parameters<typeof readXml>[2]): XmlElement {
  const outcome = readXml(text, 'm.xml', limits)
  if (!outcome.ok) throw new Error(outcome.problems.map((p) => `${p.code} ${p.where}`).join())
  return outcome.value
}
function problemOf(text: string, limits?: Parameters<typeof readXml>[2]): string {
  const outcome = readXml(text, 'm.xml', limits)
  return outcome.ok ? 'read' : `${outcome.problems[0]?.code} ${outcome.problems[0]?.span?.line}:${outcome.problems[0]?.span?.column}`
}

describe('an XML tree', () => {
  it('knows names, namespaces, attributes, order of text and places', () => {
    const root = read(
      '<?xml version="1.0"?>\n<a xmlns="u:1" xmlns:p="u:2" x="1 &amp; 2" p:y="3">\n <p:b>one<c/>two<![CDATA[<3>]]></p:b></a>',
    )
    expect(root).toMatchObject({ name: 'a', namespace: 'u:1', span: { line: 2 } })
    expect(attributeOf(root, 'x')).toBe('1 & 2')
    expect(attributeOf(root, 'y')).toBeUndefined()
    expect(root.attributes).toHaveLength(2)
    const b = elementsOf(root)[0]!
    expect(b).toMatchObject({ name: 'b', namespace: 'u:2' })
    expect(b.children.map((c) => (c.kind === 'text' ? c.text : c.name))).toEqual(['one', 'c', 'two', '<3>'])
    expect(textOf(b)).toBe('onetwo<3>')
  })

  it.each([
    ['<a><b></a>', 'text/not-xml 1:10'],
    ['<a>', 'text/not-xml 1:3'],
    ['', 'text/not-xml 1:1'],
    ['<a b=1/>', 'text/not-xml 1:6'],
    ['<a b="1" b="2"/>', 'text/not-xml 1:15'],
    ['<a>&auml;</a>', 'text/not-xml 1:9'],
    ['<p:a/>', 'text/not-xml 1:6'],
    ['<a/><b/>', 'text/not-xml 1:7'],
  ])('refuses %s', (text, expected) => {
    expect(problemOf(text).split(' ')[0]).toBe(expected.split(' ')[0])
  })

  it.each([
    ['a plain DOCTYPE', '<!DOCTYPE a><a/>'],
    [
      'an entity bomb',
      `<!DOCTYPE a [<!ENTITY l "lol">${Array.from({ length: 9 }, (_, i) => `<!ENTITY l${i} "&l;&l;&l;&l;">`).join('')}]><a>&l8;</a>`,
    ],
    ['an external entity', '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><a>&x;</a>'],
    ['an external subset', '<!DOCTYPE a SYSTEM "http://example.org/a.dtd"><a/>'],
  ])('refuses %s at its declaration', (_name, text) => {
    expect(problemOf(text)).toMatch(/^text\/doctype 1:/)
  })

  it('stops at its bounds', () => {
    const limits = { mostCharacters: 1000, deepest: 5, mostNodes: 20 }
    expect(problemOf(' '.repeat(1001), limits)).toMatch('text/too-long')
    expect(problemOf('<a>'.repeat(6), limits)).toMatch('text/too-deep')
    expect(problemOf(`<a>${'<b/>'.repeat(30)}</a>`, limits)).toMatch('text/too-many')
    expect(problemOf('<a>'.repeat(1_000_000))).toMatch('text/too-deep')
  })
})

describe('written XML', () => {
  it('gives back any text and attribute, whatever it holds', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.string({ unit: 'grapheme' }), (value, inner) => {
        const root = read(writeXml(part('a', { v: value }, [`${inner}.`])))
        // U+FFFD stands for what XML cannot hold
        const kept = (s: string): string =>
          Array.from(s)
            .map((c) => (c < ' ' && !'\t\n\r'.includes(c) ? '\ufffd' : c))
            .join('')
            .replace(/[\ufffe\uffff]/g, '\ufffd')
        expect(attributeOf(root, 'v')).toBe(kept(value))
        expect(textOf(root)).toBe(kept(`${inner}.`))
      }),
      { seed: 20261125, numRuns: 300 },
    )
  })
  it('cannot be broken out of', () => {
    expect(escapeXml('"/><x a="')).not.toMatch(/["<>]/)
  })
})
