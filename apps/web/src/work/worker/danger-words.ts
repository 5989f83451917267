/** Cautions as lines, in the order and the letters of print. `prepared` null: names of the species table alone. */
import type { Caution } from '@beakertide/core/cautions'
import { type DangerLine, dangerLines, speciesBook, typeset } from '@beakertide/core/papers'
import type { Prepared } from '@beakertide/demonstration'
import type { House } from './house.ts'

export function dangerWords(list: readonly Caution[], prepared: Prepared | null, house: House): readonly DangerLine[] {
  const own = prepared === null ? [] : [...prepared.mechanism.species, ...(prepared.mechanism.netSpecies ?? [])]
  const book = speciesBook(house.facts.day.matter.species, own)
  const set = (text: string): string => typeset(text, book)
  return dangerLines(list).map((l) => ({ ...l, about: set(l.about), what: set(l.what), instead: set(l.instead) }))
}
