/** What can hurt somebody, said before anything else. Plain data. */
import type { Source } from '@beakertide/basis/sources'

export interface Caution {
  readonly code: string
  /** 4 can kill, maim or explode; 3 toxic gas, strong heat, lasting harm; 2 irritant, foam, spill; 1 nuisance. */
  readonly severity: 1 | 2 | 3 | 4
  /** What it is about: a bottle, a solution, a vessel, the waste. */
  readonly about: string
  readonly what: string
  readonly instead: string
  /** Refused by default: the plan is not shown until the document states a control measure. */
  readonly refuses?: true
  readonly source: Source
}

export interface Cautions {
  readonly list: readonly Caution[]
  /** Standing lines that head every output: goggles, local rules, trained person. */
  readonly standing: readonly string[]
  readonly refused: boolean
}
