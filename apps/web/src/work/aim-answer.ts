/** An aim as the page gets it: the answer, with what the changed recipe adds to the cautions of the present one. */
import type { DangerLine } from '@beakertide/core/papers'
import type { AimResult } from '@beakertide/demonstration'

export interface AimAnswer extends AimResult {
  /** Cautions of the changed recipe that are new, graver, or grave with other numbers, in the letters of print; shown before any amount. */
  readonly danger: readonly DangerLine[]
}

/** False: the worker did not say what the change adds, and its amounts must not be shown. */
export const knowsDanger = (result: AimResult): result is AimAnswer => 'danger' in result && Array.isArray(result.danger)
