/** What every question to the workers is about, and how each is answered. Plain data. */
import type { Problem } from '@beakertide/basis/problems'

/** A document and the files that stand beside it (a mechanism of its own, a model in the exchange standard), by file name. */
export interface DocumentText {
  readonly text: string
  readonly beside: Readonly<Record<string, string>>
}

/** As an outcome of core: a value with things worth a look, or all that prevents it. */
export type Answer<T> =
  | { readonly ok: true; readonly value: T; readonly warnings: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly Problem[] }
