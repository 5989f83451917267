/** Vessels and pours as the demonstrator states them. Plain data. */
import type { Span } from '@beakertide/basis/problems'

export interface Pour {
  readonly solution: string
  readonly volumeL: number
  /** Seconds after the clock starts. */
  readonly atS: number
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
  /** How many equal vessels stand there. */
  readonly count: number
  readonly span?: Span
}
