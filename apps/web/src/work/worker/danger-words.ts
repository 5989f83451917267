/** Cautions as lines, in the order and the letters of print. */
import type { Caution } from '@beakertide/core/cautions'
import { type DangerLine, dangerLines, speciesBook, typeset } from '@beakertide/core/papers'
import type { Prepared } from '@beakertide/demonstration'
import type { House } from './house.ts'

export function dangerWords(list: readonly Caution[], prepared: Prepared, house: House): readonly DangerLine[] {
  const { mechanism } = prepared
  const book = speciesBook(house.facts.day.matter.species, [...mechanism.species, ...(mechanism.netSpecies ?? [])])
  const set = (text: string): string => typeset(text, book)
  return dangerLines(list).map((l) => ({ ...l, about: set(l.about), what: set(l.what), instead: set(l.instead) }))
}
