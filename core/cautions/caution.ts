/** What can hurt somebody, said before anything else. Plain data. */
import type { Source } from '@beakertide/basis/sources'
import type { AirCourse } from './air-limits.ts'
import type { HazardClass } from './ghs-rules.ts'
import type { Severity } from './severity.ts'

export type { Severity } from './severity.ts'

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
  /** Classes of a liquid with the rule and the numbers behind each, and what the label takes from them. */
  readonly label?: CautionLabel
  /** Speaks of something that this demonstration does not plan, such as clearing a whole bottle away. */
  readonly hypothetical?: true
  /** Refused by default: the plan is not shown until the document states a control measure. */
  readonly refuses?: true
  /** The control measure the document states; it lifts the refusal unless `neverLifted` is there. The caution stays. */
  readonly control?: string
  /** Why no control measure lifts this refusal. */
  readonly neverLifted?: string
  readonly source: Source
}

/** What a label of the liquid would say; pictograms and signal word after precedence. */
export interface CautionLabel {
  readonly signalWord: string
  readonly pictograms: readonly string[]
  readonly classes: readonly HazardClass[]
}

export interface Cautions {
  /** Refusals in force first, then by falling severity. */
  readonly list: readonly Caution[]
  /** Lines that head every output: the standing ones, then protection, first aid and spills for what is in this scene. */
  readonly standing: readonly string[]
  /** Gases and vapours over time in the room's air, the worst first; absent where none was asked for. */
  readonly air?: readonly AirCourse[]
  readonly refused: boolean
  /** A sentence that heads the list where the document has problems, so that more may be dangerous than stands here; else absent. */
  readonly incomplete?: string
}

/** True while this caution forbids the plan: it refuses and nothing lifts it. */
export function isInForce(caution: Caution): boolean {
  return caution.refuses === true && (caution.neverLifted !== undefined || caution.control === undefined)
}
