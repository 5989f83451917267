/**
 * Jobs: pieces of long work as plain JSON, so that threads, web workers or a distributed queue can carry them alike. What a job
 * answers depends on the job alone, never on who runs it, on what ran before, or on how the work was cut into jobs.
 */
import type { CarpetRow, CoastAnswer, Features, Observation, Predicted } from '@beakertide/core/rehearsal'
import type { DocumentText } from '../open-document.ts'
import type { Tried } from '../tried.ts'
import type { VariedRecipe } from '../varied-recipes.ts'
import type { VaryRange } from '../vary-of.ts'

/** What every job says about what is rehearsed. */
export interface JobHead {
  readonly format: 'beakertide-job/1'
  readonly document: DocumentText
  /** Name of the document in messages. */
  readonly name: string
  /** A mechanism instead of the one the document names; null: the document's own. */
  readonly mechanism: { readonly file: string; readonly text: string } | null
  readonly vessel: string
}

/** Runs number `from` up to but not including `until`. */
export interface RunRange {
  readonly from: number
  readonly until: number
}

/** Runs of a band: the document's own uncertainties. */
export interface BandWork {
  readonly kind: 'band'
  readonly seed: number
  readonly runs: RunRange
  /** Amounts changed before (an aim's answer), by their names of `vary`; values as of `CarpetWork`. */
  readonly changes?: readonly AmountChange[]
  /** Rehearsed time instead of the document's, s. */
  readonly lengthS?: number
}
/** One amount at a value: a factor, °C or cm, as the amount's own unit is. */
export interface AmountChange {
  readonly what: string
  readonly value: number
}
/** Rows of a carpet. */
export interface CarpetWork {
  readonly kind: 'carpet'
  readonly range: VaryRange
  readonly values: readonly number[]
}
/** Points of a coast. */
export interface CoastWork {
  readonly kind: 'coast'
  readonly x: VaryRange
  readonly y: VaryRange
  readonly points: readonly (readonly [number, number])[]
}
/** Changed documents, checked and rehearsed whole. */
export interface AimWork {
  readonly kind: 'aim'
  /** Names of the amounts, as of `vary`. */
  readonly by: readonly string[]
  readonly tries: readonly {
    /** A value for each of `by`. */
    readonly values: readonly number[]
    readonly accuracy: { readonly relativeTolerance: number; readonly samples: number }
    readonly lengthS: number
  }[]
}
/** Single mistakes, by their places in the list of those that are possible. */
export interface MistakesWork {
  readonly kind: 'mistakes'
  readonly seen: Observation
  readonly which: readonly number[]
}
/** Recipes varied about the document's own: every amount of a bottle by up to `factor` up and down, evenly in its logarithm. */
export interface VariedWork {
  readonly kind: 'varied-recipes'
  readonly seed: number
  readonly factor: number
  readonly runs: RunRange
  readonly relativeTolerance: number
  /** Samples along the rehearsed time. */
  readonly samples: number
}

export type Work = BandWork | CarpetWork | CoastWork | AimWork | MistakesWork | VariedWork
export type Job = JobHead & Work

/** Answers in the order of what was asked. */
export type JobResult =
  | { readonly kind: 'band'; readonly runs: RunRange; readonly features: readonly (Features | null)[] }
  | { readonly kind: 'carpet'; readonly rows: readonly CarpetRow[] }
  | { readonly kind: 'coast'; readonly answers: readonly CoastAnswer[] }
  | { readonly kind: 'aim'; readonly tried: readonly Tried[] }
  | { readonly kind: 'mistakes'; readonly predicted: readonly (Predicted | null)[] }
  | { readonly kind: 'varied-recipes'; readonly runs: RunRange; readonly found: readonly VariedRecipe[] }
