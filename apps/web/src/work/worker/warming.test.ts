import { describe, expect, it } from 'vitest'
import { createWarming } from './warming.ts'

function setUp() {
  const waiting: (() => void)[] = []
  const looks: number[] = []
  const warming = createWarming(
    (_document, _vessel, factor) => void looks.push(factor),
    (then) => void waiting.push(then),
  )
  const run = (most: number): void => {
    for (let i = 0; i < most; i++) waiting.shift()?.()
  }
  return { warming, looks, run }
}
const document = { text: 'one', beside: {} }

describe('warming a worker', () => {
  it('looks around a first recipe some dozen times, never at the recipe by other than small changes, and then stops', () => {
    const { warming, looks, run } = setUp()
    warming.looked(document, 'jar')
    run(500)
    expect(looks.length).toBeGreaterThan(20)
    expect(looks.length).toBeLessThan(100)
    expect(looks.every((f) => Math.abs(f - 1) < 0.1)).toBe(true)
    warming.looked(document, 'jar')
    run(500)
    const first = looks.length
    warming.looked({ text: 'two', beside: {} }, 'jar')
    run(500)
    expect(looks.length - first).toBeGreaterThan(0)
    expect(looks.length - first).toBeLessThan(first)
  })
  it('gives way to what is asked and goes on after the next look', () => {
    const { warming, looks, run } = setUp()
    warming.looked(document, 'jar')
    run(3)
    expect(looks).toHaveLength(3)
    warming.asked()
    run(500)
    expect(looks).toHaveLength(3)
    warming.looked(document, 'jar')
    run(500)
    expect(looks.length).toBeGreaterThan(20)
  })
})
