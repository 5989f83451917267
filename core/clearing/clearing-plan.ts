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

/** What a species is among leftovers. */
export type LeftRole = 'collect only' | 'oxidant' | 'reductant' | 'metal' | 'acid' | 'base' | 'organic'

export interface LeftLine {
  readonly species: string
  readonly roles: readonly LeftRole[]
  /** Two standard uncertainties of what was weighed and measured are counted in; null: no such case was asked for. */
  readonly finishedMol: Range | null
  readonly earlyMol: Range | null
}

/** One step of the treatment as computed, over all cases: what is put in, what becomes of it. */
export interface TreatmentStage {
  readonly name: string
  readonly additions: readonly { readonly name: string; readonly formula: string; readonly massG: Range; readonly waterL: Range }[]
  /** Water beside that of the solutions. */
  readonly waterL: Range
  readonly volumeL: Range
  /** Null where the liquid could not be settled. */
  readonly pHBefore: Range | null
  readonly pHAfter: Range | null
  readonly heatKJ: Range
  /** All of it at once, nothing lost. */
  readonly riseK: Range
  readonly gas: readonly { readonly species: string; readonly litres: Range }[]
  /** On the bottom after it. */
  readonly solids: readonly { readonly species: string; readonly massG: Range }[]
  readonly equations: readonly string[]
}

/** One way out, beside the others. Numbers over the case with most oxidant and the finished one. */
export interface Alternative {
  readonly id: ReductantId | 'finish-first' | 'as-it-stands' | 'collect'
  readonly name: string
  readonly chosen: boolean
  /** Reductant, as weighed. */
  readonly reductantG: Range
  /** Hydrogencarbonate, soda ash, citric acid or lye. */
  readonly neutraliserG: Range
  /** Of the reductant, where the document has a bottle of it with pack and price; null: not known. */
  readonly price: string | null
  readonly waterL: Range
  readonly heatKJ: Range
  /** All of the reductant at once into the liquid as it stands then. */
  readonly riseK: Range
  readonly gasL: Range
  /** Dissolved salts that the reagents leave in the liquid. */
  readonly saltG: Range
  readonly sulfateG: Range
  /** Dry solid to hand over. */
  readonly residueG: Range
  readonly liquidL: Range
  /** Oxidants that stay in it at this pH. */
  readonly leaves: readonly string[]
  readonly note: string
}

export interface LimitLine {
  readonly parameter: string
  readonly unit: 'pH' | '°C' | 'mg/L'
  readonly low: number | null
  readonly high: number | null
  readonly found: Range | null
  readonly verdict: 'within' | 'may be over' | 'over' | 'not found in it' | 'not computed'
}

/** The limits of the user's place, applied. */
export interface PlaceAnswer {
  readonly name: string
  readonly source: string
  readonly collectAll: boolean
  readonly lines: readonly LimitLine[]
  /** In the liquid, and without a limit there: ask. */
  readonly notLimited: readonly string[]
  readonly over: readonly string[]
}

/** A limit that some place has printed: an example, never a permission. */
export interface PublishedLimit {
  readonly parameter: string
  readonly mgPerL: number
  readonly found: Range
  readonly authority: string
  readonly source: Source
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
  /** As computed, right after the step: carbon dioxide up to saturation is still dissolved. */
  readonly pH?: Range
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
  /** Why it goes there, and what limits it. */
  readonly reasons: readonly string[]
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
  /** By the chemistry of the pH at which this plan adds it: within `massG`, which spans every pH; `massG` itself where it was not computed. */
  readonly likelyG: Range
  readonly chosen: boolean
  readonly note: string
}

export type ReductantId = 'thiosulfate' | 'bisulfite' | 'metabisulfite' | 'sulfite' | 'ascorbic'

export interface ClearingPlan {
  readonly vessel: string
  readonly cases: readonly string[]
  readonly cautions: readonly Caution[]
  readonly left: readonly LeftLine[]
  readonly oxidants: readonly OxidantLeft[]
  readonly oxidantEquivalentsMol: Range
  /** Oxidants that the chosen reductant does not meet at the pH of this plan, mol of electrons; 0 for a plan that ends clean. */
  readonly oxidantLeftMol: Range
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
  readonly treatment: readonly TreatmentStage[]
  readonly alternatives: readonly Alternative[]
  /** The treated liquid. */
  readonly liquid: {
    readonly volumeL: Range
    /** From the end of the treatment to days open to room air; null: it could not be settled. */
    readonly pH: Range | null
    readonly ionicStrengthMolPerL: Range | null
    /** Salts and organics in it, as their ions. */
    readonly dissolvedMgPerL: Range
  }
  readonly steps: readonly ClearingStep[]
  readonly streams: readonly Stream[]
  /** The treated liquid, mg/L over the cases. */
  readonly composition: readonly { readonly name: string; readonly mgPerL: Range }[]
  readonly place: PlaceAnswer | null
  readonly publishedLimits: readonly PublishedLimit[]
  /** What the heats and temperatures take for granted. */
  readonly heatAssumption: string
  /** Nothing oxidising, no metal, near neutral: what that means and where it ends. Null when there is something to do. */
  readonly harmless: string | null
  /** The line that never goes away: local rules decide. */
  readonly localRule: string
  readonly sources: readonly Source[]
}
