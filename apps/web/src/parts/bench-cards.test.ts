import { facts } from '@beakertide/data'
import { besideIn, openDocument, prepareDocument } from '@beakertide/demonstration'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { benchWork, fullness, isOff, spareFor } from './bench-cards.ts'

const house = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
function madeOf(name: string, change: (text: string) => string = (text) => text) {
  const text = change(readFileSync(new URL(`../../../../examples/right/${name}.yaml`, import.meta.url), 'utf8'))
  const opened = openDocument(text, name, besideIn({ text, beside: {} }), house)
  if (!opened.ok) throw new Error(opened.problems[0]?.what)
  const prepared = prepareDocument(opened.value, house)
  if (!prepared.ok) throw new Error(prepared.problems[0]?.what)
  return prepared.value.makeUp
}

describe('bench cards', () => {
  it('hold every portion and every step once, in the order of work', () => {
    const made = madeOf('tide-in-a-jar')
    const { cards, shared } = benchWork(made)
    expect(cards.flatMap((c) => c.portions)).toHaveLength(made.portions.length)
    expect(cards.flatMap((c) => c.steps).length + shared.length).toBe(made.work.length)
    const begins = cards.map((c) => c.steps[0]?.order ?? 0)
    expect(begins).toEqual([...begins].sort((a, b) => a - b))
    expect(cards.find((c) => c.solution.id === 'A')?.isDangerous).toBe(true)
  })
  it('say how far a weighing is from what was wanted', () => {
    const made = madeOf('sudden-night', (text) => text.replace('iodate: 20 mmol/L', 'iodate: { in solution: 20 mmol/L, weighed: 1.416 g }'))
    const iodate = benchWork(made)
      .cards.flatMap((c) => c.portions)
      .find((p) => p.portion.bottle === 'iodate')
    // 300 mL of 20 mmol/L needs 6 mmol x 214.00 g/mol / 0.997 = 1.288 g (IUPAC weights); 1.416 g is 10 % more.
    expect(iodate?.off).toBeCloseTo(0.1, 2)
    expect(iodate && isOff(iodate)).toBe(true)
    const asPlanned = benchWork(madeOf('sudden-night')).cards.flatMap((c) => c.portions)
    expect(asPlanned.filter(isOff)).toEqual([])
  })
  it('say how full the water is', () => {
    const lines = benchWork(madeOf('tide-in-a-jar')).cards.flatMap((c) => c.solubility)
    const known = lines.map(fullness).filter((f) => f !== null)
    expect(known.length).toBeGreaterThan(0)
    expect(known.every((f) => f > 0 && f < 1)).toBe(true)
  })
  it('ask for enough for several performances', () => {
    // Three performances with a tenth to spare: 3.3 times what one takes.
    expect(1 + spareFor(3, 0.1)).toBeCloseTo(3.3, 12)
  })
})
