/** Vessels and pours as the demonstrator states them. Plain data. */
import type { Span } from '@beakertide/basis/problems'

export interface Pour {
  readonly solution: string
  readonly volumeL: number
  /** Seconds after the clock starts. */
  readonly atS: number
  /** Temperature of the liquid as it is poured, K; that of its solution when absent. */
  readonly temperatureK?: number
  readonly span?: Span
}

export interface Vessel {
  readonly id: string
  /** Brim volume, L; null when not stated. */
  readonly capacityL: number | null
  /** Depth of liquid looked through, cm. */
  readonly depthCm: number
  readonly pours: readonly Pour[]
  /** "stirred" or "still": only stirred is rehearsed; still is said to be outside the model. */
  readonly stirred: boolean
  /** Stoppered while it stands; open when absent. */
  readonly closed?: boolean
  /** Shaken by hand. */
  readonly shaken?: boolean
  /** Names of solutions or bottles that stood in it before and were not rinsed out. */
  readonly heldBefore?: readonly string[]
  /** How many equal vessels stand there. */
  readonly count: number
  readonly span?: Span
}
