/** What can be varied, as a choice with words. */
import { said } from '../words/index.ts'
import type { AmountKnob } from '../pages/rehearsal/amounts.ts'

export interface VaryChoice {
  /** As core knows it: a bottle, "solution/bottle", "temperature", "depth". */
  readonly what: string
  readonly words: string
  /** Keys of the amounts that change with it; empty for temperature and depth. */
  readonly keys: readonly string[]
}

/** Bottles first (a bottle in two solutions changes in both), then temperature and depth where wanted. */
export function varyChoices(
  knobs: readonly AmountKnob[],
  words: { readonly temperature: string; readonly depth?: string },
): readonly VaryChoice[] {
  const bottles = [...new Set(knobs.map((k) => k.bottle))]
  return [
    ...bottles.map((bottle) => {
      const own = knobs.filter((k) => k.bottle === bottle)
      return { what: bottle, words: said(own[0]!.substance), keys: own.map((k) => k.key) }
    }),
    { what: 'temperature', words: words.temperature, keys: [] },
    ...(words.depth === undefined ? [] : [{ what: 'depth', words: words.depth, keys: [] }]),
  ]
}
