/** Making safe what is left. Plain data. */
import type { Caution } from '../cautions/index.ts'
import type { Source } from '@beakertide/basis/sources'

/** low: what certainly is there; high: the most that can be there. */
export interface Range {
  readonly low: number
  readonly high: number
}

export interface OxidantLeft {
  readonly species: string
  readonly amountMol: Range
  /** Electrons a mole. */
  readonly electrons: number
  readonly equivalentsMol: Range
}

export interface ClearingStep {
  readonly order: number
  readonly what: string
  readonly why: string
  /** Balanced equations this step relies on. */
  readonly equations: readonly string[]
  readonly massG?: Range
  readonly substance?: string
  readonly heatKJ?: Range
  readonly temperatureRiseK?: Range
  readonly gasL?: Range
  readonly test?: string
  readonly danger?: true
}

export interface MetalLeft {
  readonly metal: string
  readonly totalMg: number
  readonly atPH: number
  /** Equilibrium floor and honest expectation, mg/L. */
  readonly floorMgPerL: number
  readonly expectMgPerL: Range
  readonly solid: string
}

export interface Stream {
  readonly name: string
  readonly goes: 'solid waste' | 'collect as liquid' | 'only if your local authority allows'
  readonly what: string
  readonly amount: string
}

export interface ClearingPlan {
  readonly vessel: string
  readonly cases: readonly string[]
  readonly cautions: readonly Caution[]
  readonly oxidants: readonly OxidantLeft[]
  readonly oxidantEquivalentsMol: Range
  readonly reductants: readonly {
    readonly name: string
    readonly formula: string
    readonly massG: Range
    readonly heatKJ: Range
    readonly temperatureRiseK: Range
    readonly note: string
  }[]
  readonly acid: { readonly amountMol: Range; readonly bicarbonateG: Range; readonly carbonateG: Range; readonly co2L: Range }
  readonly metals: readonly MetalLeft[]
  readonly steps: readonly ClearingStep[]
  readonly streams: readonly Stream[]
  /** The line that never goes away: local rules decide. */
  readonly localRule: string
  readonly sources: readonly Source[]
}
