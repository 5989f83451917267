/** The published JSON Schema accepts every right example and names the same keys as the reader. */
import { readdirSync, readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { readTree, type Tree } from '@beakertide/basis/text'
import { parseDemonstration } from '@beakertide/demonstration'

/** A tree as the plain data that YAML 1.2 means by it (core schema, as far as demonstrations go). */
function plain(tree: Tree): unknown {
  if (tree.kind === 'list') return tree.items.map(plain)
  if (tree.kind === 'map') return Object.fromEntries(tree.entries.map((e) => [e.key, plain(e.value)]))
  if (tree.isQuoted) return tree.text
  if (tree.isEmpty) return null
  if (/^-?\d+$/.test(tree.text)) return Number(tree.text)
  return tree.text === 'true' ? true : tree.text === 'false' ? false : tree.text
}
const dataOf = (text: string): unknown => {
  const tree = readTree(text, 'x.yaml')
  return tree.ok ? plain(tree.value) : null
}
const schema = JSON.parse(readFileSync(new URL('../docs/demonstration.schema.json', import.meta.url), 'utf8')) as object
const valid = new Ajv2020({ strict: true, strictRequired: false, allErrors: true }).compile(schema)
const folder = (name: string): URL => new URL(`${name}/`, import.meta.url)
const textsOf = (name: string): readonly (readonly [string, string])[] =>
  readdirSync(folder(name))
    .filter((n) => n.endsWith('.yaml') && !n.endsWith('.steps.yaml'))
    .map((n) => [n, readFileSync(new URL(n, folder(name)), 'utf8')])

describe('the published schema', () => {
  it.each(textsOf('right'))('accepts %s', (_, text) => {
    valid(dataOf(text))
    expect(valid.errors ?? []).toEqual([])
  })
  it('and the reader accept the example of docs/demonstration-format.md', () => {
    const text =
      /```yaml\n(beakertide[^]*?)```/.exec(readFileSync(new URL('../docs/demonstration-format.md', import.meta.url), 'utf8'))?.[1] ?? ''
    const read = parseDemonstration(text, 'docs.yaml')
    expect(read.ok ? read.warnings : read.problems).toEqual([])
    valid(dataOf(text))
    expect(valid.errors ?? []).toEqual([])
  })
  it('refuses what is wrong in structure', () => {
    const structural = [
      'a-list',
      'assay-without-titrant',
      'empty',
      'empty-vessel',
      'many-at-once',
      'newer-version',
      'no-title',
      'path-escape',
      'address-as-reaction',
      'purity-and-strength',
      'two-targets',
      'unit-missing',
      'unknown-key',
    ]
    for (const name of structural) {
      expect(valid(dataOf(readFileSync(new URL(`${name}.yaml`, folder('wrong')), 'utf8'))), name).toBe(false)
    }
  })
  /** A document that uses every key once: what the schema allows the reader takes, and the other way round. */
  it('and the reader take the same keys', () => {
    const everything = `beakertide: 1
title: Everything
story: All keys at once.
reaction: blue-bottle
room: { temperature: 21 degC, volume: 100 m3, air changes: 3 /h, audience: 6 m }
bottles:
  a: { substance: x, hydrate: anhydrous, purity: 99 %, density: 1 g/mL, pack: 1 kg, price: a little, opened: today }
  b: { substance: x, strength: 3 % w/w, assay: { by: iodometric, take: 5 mL, dilute to: 50 mL, aliquot: 5 mL, titrant: 0.1 M, used: 20 mL, blank: 0 mL } }
  c: { substance: x, strength: 3 % w/w, assay: { by: oxygen volume, take: 5 mL, gas: 50 mL, temperature: 20 degC, pressure: 1000 hPa, over water: yes } }
solutions:
  A: { make: 1 L, with: { a: { in solution: 1 M, weighed: 5 g }, b: { in the mix: 1 mM, measured: 5 mL }, c: { volume: 5 mL } }, temperature: 20 degC, stored at: 5 degC }
vessels:
  one: { holds: 1 L, depth: 5 cm, stirred: no, count: 2, pours: [{ pour: A, volume: 100 mL, at: 5 s, temperature: 40 degC }], closed: no, shaken: yes, held before: [A] }
  two: { like: one, starts at: 5 s }
view: { light: warm led, adaptation: full }
wanted: { length: 5 min }
rehearse for: 10 min
tools: { balance: 0.1 g, glass: indicative }
starch: no
controls: { some-code: we do this and that about it }
place: { name: here, source: a letter, collect all: no, limits: { pH: 6 to 9, sulfate: 600 mg/L } }
found: { one: { source: a page, bottles: { d: x }, solutions: { I: { make: 1 L, with: { d: { mass: 5 g } } } }, pours: [100 mL of I] } }
`
    const read = parseDemonstration(everything, 'e.yaml')
    expect(read.ok ? [] : read.problems).toEqual([])
    valid(dataOf(everything))
    expect(valid.errors ?? []).toEqual([])
    const inDocument = new Set([...everything.matchAll(/(?:^|[{,] ?|^ +)([a-z][a-z ]*): /gm)].map((m) => m[1]))
    const inSchema = new Set<string>()
    const walk = (node: unknown): void => {
      if (typeof node !== 'object' || node === null) return
      for (const [key, value] of Object.entries(node)) {
        if (key === 'properties') for (const name of Object.keys(value as object)) inSchema.add(name)
        walk(value)
      }
    }
    walk(schema)
    // every key of the schema stands in the document above (names of bottles and vessels stand there as well)
    expect([...inSchema].filter((key) => !inDocument.has(key) && !new RegExp(`^${key}:`, 'm').test(everything))).toEqual([])
  })
})
