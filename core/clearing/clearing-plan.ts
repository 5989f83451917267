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
  readonly note?: string
}

/** An organic that is left: it wants base, holds metals, or counts as organically bound halogen. */
export interface OrganicLeft {
  readonly species: string
  readonly name: string
  readonly amountMol: Range
  /** As chlorine (AOX convention: a mole of bound halogen counts as 35.45 g), mg/L of the treated liquid; 0 for others. */
  readonly boundHalogenMgClPerL: Range
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
  /** How many portions, with cooling between them, keep the liquid under the temperature limit. */
  readonly portions?: number
  readonly waitMinutes?: number
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
  /** Before treatment, in the liquid as it is. */
  readonly startMgPerL: number
  readonly dryG: number
  /** Wet cake of 70 to 85 % water. */
  readonly wetG: Range
  /** Sodium carbonate for the metal alone, stoichiometric, beyond the acid; take 1.5 to 2 times. */
  readonly carbonateG: number
  /** Carbon dioxide that its precipitation frees, mol. */
  readonly co2Mol: number
  readonly note: string
  readonly source: Source
}

export interface Stream {
  readonly name: string
  readonly goes: 'solid waste' | 'collect as liquid' | 'only if your local authority allows'
  readonly what: string
  readonly amount: string
}

/** One reductant that would do, with its dose over all cases. */
export interface ReductantChoice {
  readonly id: ReductantId
  readonly name: string
  readonly formula: string
  readonly amountMol: Range
  readonly massG: Range
  readonly heatKJ: Range
  /** If the whole dose met the liquid at once, as it stands: an upper bound. */
  readonly temperatureRiseK: Range
  /** H+ that it makes (negative: uses). */
  readonly acidMadeMol: Range
  readonly equations: readonly string[]
  readonly chosen: boolean
  readonly note: string
}

export type ReductantId = 'thiosulfate' | 'bisulfite' | 'metabisulfite' | 'sulfite' | 'ascorbic'

export interface ClearingPlan {
  readonly vessel: string
  readonly cases: readonly string[]
  readonly cautions: readonly Caution[]
  readonly oxidants: readonly OxidantLeft[]
  readonly oxidantEquivalentsMol: Range
  readonly organics: readonly OrganicLeft[]
  readonly reductants: readonly ReductantChoice[]
  /** Acid to neutralise at the end, organic acids and what the chosen reductant makes included. */
  readonly acid: {
    readonly amountMol: Range
    readonly bicarbonateG: Range
    readonly carbonateG: Range
    /** With bicarbonate; carbonate gives half. */
    readonly co2L: Range
    readonly toPH: number
    /** Part of the acid that the reduction makes (negative: uses). */
    readonly madeMol: Range
  }
  /** Alkali to neutralise at the end, for leftovers that are alkaline. */
  readonly alkali: { readonly amountMol: Range; readonly citricAcidG: Range }
  /** Water to add before reducing, and the volume then. */
  readonly dilution: { readonly factor: number; readonly waterL: number; readonly totalL: number; readonly vesselL: number }
  readonly metals: readonly MetalLeft[]
  readonly steps: readonly ClearingStep[]
  readonly streams: readonly Stream[]
  /** The treated liquid, mg/L over the cases. */
  readonly composition: readonly { readonly name: string; readonly mgPerL: Range }[]
  /** Nothing oxidising, no metal, near neutral: what that means and where it ends. Null when there is something to do. */
  readonly harmless: string | null
  /** The line that never goes away: local rules decide. */
  readonly localRule: string
  readonly sources: readonly Source[]
}
