import { describe, expect, it } from 'vitest'
import { de } from './de/all.ts'
import { en } from './en/all.ts'
import { fill, type Phrase } from './phrases.ts'

const plain = (value: number): string => String(value)

describe('phrases', () => {
  it('fills places and leaves an unfilled one to be seen', () => {
    expect(fill('{a} of {b}', { a: 1 }, 'en', plain)).toBe('1 of {b}')
  })
  it('chooses between one and many', () => {
    const turns = { one: 'one turn', other: '{n} turns' }
    expect([1, 0, 5].map((n) => fill(turns, { n }, 'en', plain))).toEqual(['one turn', '0 turns', '5 turns'])
  })
  it('has the same places in both languages', () => {
    const placesOf = (phrase: Phrase): string => {
      const text = typeof phrase === 'string' ? phrase : phrase.other
      return [...text.matchAll(/\{\w+\}/g)]
        .map((m) => m[0])
        .sort()
        .join()
    }
    const english: Readonly<Record<string, Phrase>> = en
    const german: Readonly<Record<string, Phrase>> = de
    for (const [key, phrase] of Object.entries(english)) expect(`${key} ${placesOf(german[key] ?? '')}`).toBe(`${key} ${placesOf(phrase)}`)
  })
})
