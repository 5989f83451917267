/** Which way a reductant takes with an oxidant: the words of data/hazards/reduction_ways.csv. */
import type { Source } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'

/** What reduces: a family of species that differ by protons only. */
export type ReductantFamily = 'thiosulfate' | 'sulfite' | 'ascorbic' | 'oxalate'
export const REDUCTANT_FAMILIES: readonly ReductantFamily[] = ['sulfite', 'thiosulfate', 'ascorbic', 'oxalate']

/** How soon a reduction is over on a bench; `none`: not in any useful time. */
export type Pace = 'instant' | 'seconds' | 'minutes' | 'hours' | 'none'
export const PACES: readonly Pace[] = ['instant', 'seconds', 'minutes', 'hours', 'none']

/** One row: with which half-reaction a reductant meets an oxidant in a band of pH. */
export interface Way {
  readonly reductant: ReductantFamily
  /** Empty: every oxidant that no other row names. */
  readonly oxidants: readonly SpeciesId[]
  readonly pH: readonly [number, number]
  /** Usual first; the last is the other bound where products vary. */
  readonly halves: readonly string[]
  readonly pace: Pace
  readonly note: string
  readonly source: Source
}

export function isPace(text: string): text is Pace {
  return PACES.some((p) => p === text)
}
export function isFamily(text: string): text is ReductantFamily {
  return REDUCTANT_FAMILIES.some((f) => f === text)
}
