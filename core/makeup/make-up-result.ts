/** What makeUp() returns: what to weigh and measure, and the true strength of every solution. Plain data. */
import type { Problem } from '@beakertide/basis/problems'
import type { Source } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'
import type { UncertaintyPart } from './uncertainty.ts'

/** One thing to weigh or measure. */
export interface Portion {
  readonly solution: string
  readonly bottle: string
  readonly substanceId: string
  readonly substanceName: string
  readonly formula: string
  readonly measure: 'weigh' | 'measure-volume'
  /** Exact as wanted, and as the balance or glassware shows it (what was really taken, when that was entered back). */
  readonly massG: number
  readonly massShownG: number
  readonly volumeL: number | null
  readonly volumeShownL: number | null
  /** The amount as the tool shows it, or as it was entered back: "20.002 g", "2.10 mL". */
  readonly written: string
  /** "burette 50 mL class A", "balance 0.01 g" … */
  readonly tool: string
  readonly amountMol: number
  /** Combined standard uncertainty of the amount, relative (GUM, first order). */
  readonly relativeUncertainty: number
  /** What it is made of, largest first. */
  readonly budget?: readonly UncertaintyPart[]
  readonly notes: readonly string[]
}

/** A number with what it should have been. */
export interface Strength {
  readonly solution: string
  readonly bottle: string
  readonly substanceId: string
  readonly wantedMolPerL: number | null
  readonly trueMolPerL: number
  readonly uncertaintyMolPerL: number
}

export interface Solubility {
  readonly solution: string
  readonly substanceId: string
  readonly needsGPer100gWater: number
  readonly holdsGPer100gWater: number | null
  /** The limit beside other salts with the same ion, when one is shared and it can be computed. */
  readonly commonIonGPer100gWater?: number
  readonly atCelsius: number
  /** Lowest temperature at which it dissolves, when it does not at `atCelsius`. */
  readonly dissolvesAboveCelsius: number | null
  readonly verdict: 'dissolves' | 'near-limit' | 'too-much' | 'unknown'
  readonly source: Source | null
}

/** A solution as made: the liquid that pours. */
export interface MadeSolution {
  readonly id: string
  readonly volumeL: number
  readonly massG: number
  readonly densityGPerMl: number
  readonly densityFrom: string
  /** Amounts of species as they entered water (before any equilibrium), solvent water under "H2O". */
  readonly amountsMol: Readonly<Record<SpeciesId, number>>
  /** Relative standard uncertainty of each species' concentration, flask included. */
  readonly relativeUncertainty: Readonly<Record<SpeciesId, number>>
  /** Water to add, g, when filling up (0 when the bottle is used as it is). */
  readonly addedWaterG?: number
  /** Other matter of impure solids, g: in the mass, not among the species. */
  readonly inertG?: number
  /** What it is filled up in. */
  readonly filledUpIn?: string
  readonly temperatureC: number
  readonly heatCapacityJPerGK: number
  /** Rise above room when made at once, before cooling, K; with where it comes from. */
  readonly heatOfMakingK: number | null
  /** Bottles whose heat of dissolving or diluting is not on file and is missing in `heatOfMakingK`. */
  readonly heatUnknownFor?: readonly string[]
}

export interface WorkStep {
  readonly order: number
  readonly solution: string | null
  readonly text: string
  readonly danger?: true
  readonly waitMinutes?: number
}

export interface ShoppingLine {
  readonly bottle: string
  readonly substanceName: string
  readonly needG: number
  readonly needMl: number | null
  readonly packs: string
  readonly cost?: string
}

export interface MakeUp {
  readonly portions: readonly Portion[]
  readonly strengths: readonly Strength[]
  readonly solutions: readonly MadeSolution[]
  readonly solubility: readonly Solubility[]
  readonly work: readonly WorkStep[]
  readonly shopping: readonly ShoppingLine[]
  /** Warnings in reading order, dangers first. */
  readonly remarks: readonly Problem[]
  readonly sources: readonly Source[]
}
