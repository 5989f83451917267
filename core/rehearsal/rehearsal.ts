/** The predicted course after the pours: what crosses from rehearsal to other rooms and to the doors. Plain data. */
import type { Problem } from '@beakertide/basis/problems'
import type { Source } from '@beakertide/basis/sources'
import type { Ending, Statistics } from '@beakertide/basis/numerics'
import type { KnownFault, StatedBand } from '../mechanism/index.ts'
import type { Inventory } from '../mixture/index.ts'

/** Light and adaptation for viewing. */
export interface View {
  /** Column of the illuminant table: "d65", "a", "led_b3" … */
  readonly illuminant: string
  readonly depthCm: number
  /** 1: the eye has adapted to the light; 0: it sees the light's own tint. */
  readonly adaptation: number
}

export interface Turn {
  readonly timeS: number
  readonly from: string
  readonly to: string
  /** CIEDE2000 between the two settled colours. */
  readonly deltaE: number
}

/** One sample of the colour strip. */
export interface StripSample {
  readonly timeS: number
  /** "#rrggbb" in sRGB. */
  readonly hex: string
  readonly name: string
  /** CIE L*a*b* (D65). */
  readonly lab: readonly [number, number, number]
}

export interface Trace {
  readonly name: string
  readonly unit: string
  readonly timesS: readonly number[]
  readonly values: readonly number[]
  readonly note?: string
}

/** 10th to 90th percentile of seeded, evenly drawn variations, with the model's stated factor folded in. */
export interface BandValue {
  readonly low: number | null
  readonly middle: number | null
  readonly high: number | null
  /** Share of samples in which the feature exists at all. */
  readonly share: number
}
export interface Band {
  /** Runs that count. */
  readonly samples: number
  /** Runs that could not be made or whose integration stopped; they count nowhere else. */
  readonly failed: number
  /** More runs no longer moved the limits; or all runs that were allowed are done; or somebody asked to stop. */
  readonly stoppedBecause: 'stable' | 'all-runs' | 'cancelled'
  /** Share of the runs that still oscillate when the rehearsal stops: their length and cycles are at least what they are in the band. */
  readonly stillGoingShare: number
  readonly seed: number
  readonly firstTurnS: BandValue
  readonly periodS: BandValue
  readonly cycles: BandValue
  readonly lengthS: BandValue
  readonly model: readonly StatedBand[]
  readonly varied: readonly string[]
}

export interface Rehearsal {
  readonly vessel: string
  readonly mechanism: string
  readonly grade: string
  /** Time of the pour that sets it off, on the document's clock. */
  readonly startS: number
  /** Times on the document's clock. */
  readonly turns: readonly Turn[]
  /** From the pour that sets it off (`startS`) to the first turn; null: nothing is seen. */
  readonly inductionS: number | null
  /** Times between successive returns of the same turn. */
  readonly periodsS: readonly number[]
  readonly cycles: number
  /** Last turn; null when there is none. */
  readonly endS: number | null
  /** From `startS` to the last turn; at least that when `stillGoing`. */
  readonly lastsS: number | null
  /** It still oscillates when the rehearsal stops. */
  readonly stillGoing: boolean
  /** A sentence computed from the run. */
  readonly cause: string
  readonly finalColour: { readonly hex: string; readonly name: string }
  /** Seconds and share of each named colour. */
  readonly duty: readonly { readonly name: string; readonly seconds: number; readonly share: number }[]
  readonly strip: readonly StripSample[]
  readonly traces: readonly Trace[]
  readonly balance: { readonly elementDriftMax: number; readonly chargeDriftMax: number }
  readonly band: Band | null
  readonly start: Inventory
  readonly end: Inventory
  /** Inventories at chosen times, for clearing "stopped early". */
  readonly inventories: readonly Inventory[]
  readonly temperatureRangeK: readonly [number, number]
  readonly gasL: number
  readonly ending: Ending
  readonly statistics: Statistics
  readonly faults: readonly KnownFault[]
  readonly remarks: readonly Problem[]
  readonly sources: readonly Source[]
}
