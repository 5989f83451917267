/** What can hurt somebody, said before anything else. Plain data. */
import type { Source } from '@beakertide/basis/sources'

/** 4 can kill, maim or explode; 3 toxic gas, strong heat, lasting harm; 2 irritant, foam, spill; 1 nuisance. */
export type Severity = 1 | 2 | 3 | 4

export interface Caution {
  /** Stable name, `cautions/what`; a control measure in the document names it. */
  readonly code: string
  readonly severity: Severity
  /** What it is about: a bottle, a solution, a vessel, the waste. */
  readonly about: string
  readonly what: string
  readonly instead: string
  /** The numbers behind it, where there are any. */
  readonly numbers?: string
  /** Refused by default: the plan is not shown until the document states a control measure. */
  readonly refuses?: true
  /** The control measure the document states; it lifts the refusal unless `neverLifted` is there. The caution stays. */
  readonly control?: string
  /** Why no control measure lifts this refusal. */
  readonly neverLifted?: string
  readonly source: Source
}

export interface Cautions {
  /** Refusals in force first, then by falling severity. */
  readonly list: readonly Caution[]
  /** Standing lines that head every output: goggles, local rules, trained person. */
  readonly standing: readonly string[]
  readonly refused: boolean
}

/** True while this caution forbids the plan: it refuses and nothing lifts it. */
export function isInForce(caution: Caution): boolean {
  return caution.refuses === true && (caution.neverLifted !== undefined || caution.control === undefined)
}
