import { elementSymbols, oddness } from './element-symbols.ts'

interface Reading {
  readonly text: string
  readonly oddness: number
}
/** Longer texts are no slips of the shift key. */
const LONGEST = 24
const MOST_KEPT = 24
/** Readings this much odder than the best are not worth saying. */
const MUCH_ODDER = 3

/**
 * Ways to read `text` as a formula when its capitals are wrong ("CUSO4", "kio3"), least odd first, at most three.
 * Digits, brackets, dots and signs stay where they are. Empty when no reading exists.
 */
export function guessCase(text: string): readonly Reading[] {
  if (text.length > LONGEST) return []
  let readings: Reading[] = [{ text: '', oddness: 0 }]
  const done = new Map<number, Reading[]>([[0, readings]])
  for (let i = 0; i < text.length; i++) {
    readings = [...(done.get(i) ?? [])].sort((a, b) => a.oddness - b.oddness).slice(0, MOST_KEPT)
    for (const so of readings) {
      const c = text[i]!
      if (!/[a-z]/i.test(c)) add(done, i + 1, { text: so.text + c, oddness: so.oddness })
      for (const length of [1, 2]) {
        const letters = text.slice(i, i + length)
        if (letters.length < length || !/^[a-z]+$/i.test(letters)) continue
        const symbol = letters[0]!.toUpperCase() + letters.slice(1).toLowerCase()
        if (symbol !== 'D' && elementSymbols.has(symbol)) {
          add(done, i + length, { text: so.text + symbol, oddness: so.oddness + oddness(symbol) })
        }
      }
    }
  }
  const all = [...(done.get(text.length) ?? [])].sort((a, b) => a.oddness - b.oddness)
  return all.filter((r) => r.oddness < all[0]!.oddness + MUCH_ODDER).slice(0, 3)
}

function add(done: Map<number, Reading[]>, at: number, reading: Reading): void {
  const list = done.get(at)
  if (list) list.push(reading)
  else done.set(at, [reading])
}

/** Sum of how odd the elements of a formula are, for comparison with a reading of guessCase. */
export function oddnessOf(text: string): number {
  return (text.match(/[A-Z][a-z]?/g) ?? []).reduce((sum, symbol) => sum + oddness(symbol), 0)
}
