/** What a changed recipe adds to the cautions of the recipe as it is. */
import type { Caution, Cautions } from './caution.ts'

/** From this severity on new numbers in a known caution are told again: lasting harm. */
const TELL_NUMBERS_FROM = 3

const keyOf = (c: Caution): string => `${c.code} ${c.about}`

/**
 * Cautions of `after` that `before` does not have, that are graver there, or that are grave and say something else (more gas, more
 * heat). Worst first, as in `after`. Empty where nothing got worse; it never says that something got safer.
 */
export function worseCautions(before: Cautions, after: Cautions): readonly Caution[] {
  const known = new Map<string, Caution[]>()
  for (const c of before.list) known.set(keyOf(c), [...(known.get(keyOf(c)) ?? []), c])
  return after.list.filter((c) => {
    const was = known.get(keyOf(c)) ?? []
    if (!was.some((w) => w.severity >= c.severity)) return true
    return c.severity >= TELL_NUMBERS_FROM && !was.some((w) => w.what === c.what)
  })
}
