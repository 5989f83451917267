import { facts } from '@beakertide/data'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parseBottles } from './parse-bottles.ts'
import { parseDemonstration } from './parse-demonstration.ts'
import { fitShelf, type ShelfBottle } from './shelf-fit.ts'

const day = facts.day()
const text = readFileSync(new URL('../examples/right/sudden-night.yaml', import.meta.url), 'utf8')
const read = parseDemonstration(text, 'x', { matter: day.matter })
const demonstration = read.ok ? read.value : null

function shelf(left: Readonly<Record<string, number | null>>, written: Readonly<Record<string, object>> = {}): readonly ShelfBottle[] {
  const usual = {
    kio3: { substance: 'KIO3', purity: '98 %' },
    bisulfite: { substance: 'sodium metabisulfite', purity: '95 %' },
    starch: { substance: 'starch (soluble)' },
  }
  const bottles = parseBottles(JSON.stringify({ ...usual, ...written }), 'shelf')
  if (!bottles.ok) throw new Error(bottles.problems[0]?.what)
  return bottles.value
    .filter((b) => b.id in left)
    .map((bottle) => ({ bottle, left: left[bottle.id] === null ? null : { kind: 'mass', value: left[bottle.id]! } }))
}

describe('a shelf for a demonstration', () => {
  it('serves with enough of everything, and needs what the shelf’s purity asks for', () => {
    const fit = fitShelf(demonstration!, shelf({ kio3: 25, bisulfite: 25, starch: 25 }), day)
    expect(fit.state).toBe('can be done')
    // 300 mL of 20 mmol/L: 6 mmol of 214.00 g/mol (IUPAC weights) at 98 %: 1.310 g.
    expect(fit.bottles.find((b) => b.bottle === 'iodate')).toMatchObject({ shelf: 'kio3', state: 'enough' })
    expect(fit.bottles.find((b) => b.bottle === 'iodate')!.needG).toBeCloseTo((0.006 * 214.0) / 0.98, 2)
  })
  it('says what is missing, what is too little, and what nobody knows', () => {
    const fit = fitShelf(demonstration!, shelf({ kio3: 0.5, starch: null }), day)
    expect(fit.state).toBe('something is missing')
    expect(Object.fromEntries(fit.bottles.map((b) => [b.bottle, b.state]))).toEqual({
      iodate: 'too little',
      sulfite: 'missing',
      starch: 'unsure',
    })
  })
  it('says when a bottle of the right name cannot serve', () => {
    const weak = shelf({ kio3: 500, bisulfite: 25, starch: 25 }, { kio3: { substance: 'potassium iodate', strength: '1 mmol/L' } })
    const iodate = fitShelf(demonstration!, weak, day).bottles.find((b) => b.bottle === 'iodate')
    expect(iodate?.state).toBe('does not serve')
    expect(iodate?.why).not.toBe('')
  })
})
