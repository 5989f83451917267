/** Everything that a day needs as one file: a page fetches it once, and keeps it for the time without a network. */
import { invariant } from '@beakertide/basis/problems'
import { factsFrom } from './facts.ts'
import type { MechanismText, Texts } from './texts.ts'

interface Packed {
  readonly tables: Readonly<Record<string, string>>
  readonly mechanisms: readonly MechanismText[]
}

/** The texts that `facts.day()` and the catalogue really read, as JSON. Tables that only tests and checks read stay out. */
export function packTexts(texts: Texts): string {
  const tables: Record<string, string> = {}
  const noting: Texts = {
    table: (name) => (tables[name] ??= texts.table(name)),
    mechanisms: () => texts.mechanisms(),
  }
  const facts = factsFrom(noting)
  facts.day()
  facts.mechanismDefaults()
  return JSON.stringify({ tables, mechanisms: texts.mechanisms() } satisfies Packed)
}

/** The other way. The JSON must be of `packTexts`. */
export function packedTexts(json: string): Texts {
  const packed = JSON.parse(json) as Packed
  return {
    table: (name) => {
      const text = packed.tables[name]
      invariant(text !== undefined, `the packed tables hold "${name}"`)
      return text
    },
    mechanisms: () => packed.mechanisms,
  }
}
