import { describe, expect, it } from 'vitest'
import { entry, readTree, treeLimits, type Tree } from './index.ts'

const tree = (text: string): Tree => {
  const got = readTree(text, 'x.yaml')
  if (!got.ok) throw new Error(JSON.stringify(got.problems))
  return got.value
}
/** The codes with line and column of everything refused. */
const refused = (text: string): readonly string[] => {
  const got = readTree(text, 'x.yaml')
  return got.ok ? [] : got.problems.map((p) => `${p.code} ${p.span?.line}:${p.span?.column}`)
}

describe('a document is a tree in which every node knows its place', () => {
  it('keeps numbers as text', () => {
    const t = tree('a: 1e999\nb: 007\nc: 0x10\nd: yes\ne: "5"\nf:\ng: ~\n')
    expect(
      t.kind === 'map' && t.entries.map((e) => [e.key, e.value.kind === 'scalar' && [e.value.text, e.value.isEmpty, e.value.isQuoted]]),
    ).toEqual([
      ['a', ['1e999', false, false]],
      ['b', ['007', false, false]],
      ['c', ['0x10', false, false]],
      ['d', ['yes', false, false]],
      ['e', ['5', false, true]],
      ['f', ['', true, false]],
      ['g', ['~', true, false]],
    ])
  })
  it('counts lines and columns from 1, with Windows line ends and a byte-order mark too', () => {
    const t = tree('\ufeffa: 1\r\nroom: { temperature: 21 degC }\r\n')
    const room = t.kind === 'map' ? entry(t, 'room')?.value : undefined
    const temperature = room?.kind === 'map' ? entry(room, 'temperature') : undefined
    expect(temperature?.keySpan).toMatchObject({ line: 2, column: 9 })
    expect(temperature?.value.span).toMatchObject({ file: 'x.yaml', line: 2, column: 22, endColumn: 29 })
  })
  it('treats "__proto__" and "constructor" as words', () => {
    const t = tree('__proto__: { a: 1 }\nconstructor: 2')
    expect(t.kind === 'map' && t.entries.map((e) => e.key)).toEqual(['__proto__', 'constructor'])
    expect(({} as { a?: number }).a).toBeUndefined()
  })
  it('reads an empty file as nothing', () => {
    expect(tree('')).toMatchObject({ kind: 'scalar', isEmpty: true })
  })
})

describe('hostile or broken text is a problem with its place', () => {
  it.each([
    ['a:\n\t- b', 'text/not-yaml 2:1'],
    ['a: 1\na: 2\n', 'text/key-twice 2:1'],
    ['a: &x 1\nb: *x\nc: *x', 'text/alias 2:4'],
    ['a: !!binary aGk=', 'text/tag 1:13'],
    ['a: !run rm', 'text/tag 1:9'],
    ['? [a]\n: 1', 'text/key-not-a-word 1:3'],
    ['a: 1\n---\nb: 2', 'text/not-yaml 2:1'],
    [`a: ${'['.repeat(60)}${']'.repeat(60)}`, 'text/too-deep 1:44'],
    ['- '.repeat(60), 'text/too-deep 1:1'],
    [Array.from({ length: 60 }, (_, i) => `${' '.repeat(i)}k:`).join('\n'), 'text/too-deep 42:42'],
    ['x'.repeat(treeLimits.mostCharacters + 1), 'text/too-long 1:1'],
    ['- 1\n'.repeat(50_001), 'text/too-many 50000:3'],
  ])('%#', (text, expected) => {
    expect(refused(text)).toEqual([expected])
  })
  it('names what the parser met in our words, a few at most', () => {
    const got = readTree('title:Tide\nb: 2', 'x.yaml')
    expect(got.ok ? '' : got.problems[0]?.what).toContain('": "')
    expect(refused('a: "x\n'.repeat(50)).length).toBeLessThanOrEqual(5)
  })
  it('ends on what is built to be slow (the runner stops a test that hangs)', () => {
    const most = treeLimits.mostCharacters
    for (const unit of [' ', '{', '*x ', '- ', '? ', 'a: ', '&', '!', '"x\n', '#', ': '])
      expect(readTree(unit.repeat(Math.floor(most / unit.length)), 'x.yaml')).toHaveProperty('ok')
    refused(`[${'1,'.repeat(most / 2 - 2)}]`)
    refused(`a: ${'- '.repeat(most / 2 - 2)}`)
  })
})
