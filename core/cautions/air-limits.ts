/** Published limits of gases in air, and a gas over time held against them. Plain data. */
import type { Source } from '@beakertide/basis/sources'

/** One published limit of a gas in air. */
export interface AirLimit {
  readonly gas: string
  readonly list: string
  readonly kind: string
  readonly ppm: number
  readonly edition: string
  readonly source: Source
}

/** A limit beside what it is held against. */
export interface HeldLimit {
  readonly limit: AirLimit
  readonly against: 'peak' | 'mean of 15 min' | 'mean of 8 h'
  readonly ppm: number
  /** Above 1 the limit is passed. */
  readonly ratio: number
}

export interface AirCourse {
  /** "vessel "jar"" */
  readonly about: string
  readonly gas: string
  readonly amountMol: number
  /** 0: all at once. */
  readonly releasedOverS: number
  readonly roomM3: number
  /** True when no room was stated and the example stands in. */
  readonly isExampleRoom: boolean
  readonly airChangesPerH: number
  readonly peakPpm: number
  readonly mean15MinPpm: number
  readonly mean8HPpm: number
  readonly held: readonly HeldLimit[]
  /** Until the mean of the room is under the strictest short limit, s; 0 when it never passes, null when it never falls. */
  readonly underLimitAfterS: number | null
  readonly samples: readonly { readonly timeS: number; readonly ppm: number }[]
}
