/** What the shelf, the make-up and found recipes ask of the worker. Plain data only; a part of `Work`. */
import type { Problem } from '@beakertide/basis/problems'
import type { RecipeComparison, UncertaintyPart } from '@beakertide/core/makeup'
import type { DangerLine } from '@beakertide/core/papers'
import type { FoundText, ShelfFit } from '@beakertide/demonstration'
import type { Edit } from '../desk/edit.ts'
import type { Answer, DocumentText } from './asked.ts'

/** A bottle as documents write it: keys under its name. JSON of it is text that the reader of documents reads. */
export type WrittenBottle = Readonly<Record<string, unknown>>

export interface BottleToLookAt {
  readonly id: string
  readonly written: WrittenBottle
}

/** A number with its standard uncertainty. */
export interface Uncertain {
  readonly value: number
  readonly u: number
}

/** What is known of one bottle. */
export interface BottleLook {
  readonly id: string
  readonly problems: readonly Problem[]
  readonly warnings: readonly Problem[]
  readonly content: null | {
    readonly name: string
    readonly formula: string
    readonly family: string
    readonly molarMassGPerMol: number
    readonly state: 'solid' | 'liquid'
    readonly massFraction: Uncertain
    readonly molPerL: Uncertain | null
    readonly gPerL: Uncertain | null
    /** L of oxygen a litre; peroxide only. */
    readonly volumes: Uncertain | null
    readonly densityGPerMl: Uncertain | null
    readonly densityFrom: string
    readonly assayed: boolean
    readonly budget: readonly UncertaintyPart[]
    /** Why it changes in the bottle, the assay that settles it, and by how much the label may be off. */
    readonly perishes: null | { readonly why: string; readonly assay: string; readonly doubt: number }
    /** Assays that fit what is in it. */
    readonly assays: readonly ('permanganate' | 'iodometric' | 'oxygen volume')[]
    readonly source: string
  }
  /** Signal word, pictograms and statements of what stands in the bottle; null when nothing is on file. */
  readonly label: null | {
    readonly signalWord: string
    readonly pictograms: readonly string[]
    readonly statements: readonly { readonly code: string; readonly text: string }[]
  }
}

export interface ShelfLook {
  readonly bottles: readonly BottleLook[]
  /** What stands side by side and must not meet, gravest first; and what each bottle is. */
  readonly danger: readonly DangerLine[]
}

/** One compound, with everything it may be called. */
export interface SubstanceChoice {
  readonly id: string
  readonly name: string
  readonly formula: string
  readonly otherNames: readonly string[]
  readonly hydrates: readonly string[]
  /** A liquid states a strength, a solid a purity. */
  readonly isLiquid: boolean
  readonly grades: string
}

export interface ShelfStock extends BottleToLookAt {
  readonly left: { readonly kind: 'mass' | 'volume'; readonly value: number } | null
}

/** How a demonstration stands with the shelf; null: its document cannot be read. */
export interface DocumentFit {
  readonly key: string
  readonly fit: ShelfFit | null
}

/** Volume of liquid in each vessel, how many of each, and what to spare; missing: as it is. */
export interface ScaleRequest {
  readonly vesselVolumeL?: number
  readonly numberOfVessels?: number
  readonly spareShare?: number
}

export interface ScaledRecipe {
  readonly edits: readonly Edit[]
  /** Volume of each solution before and after, L. */
  readonly solutions: readonly { readonly id: string; readonly beforeL: number; readonly afterL: number }[]
}

export interface ShelfWork {
  substances(): Promise<readonly SubstanceChoice[]>
  lookAtBottles(bottles: readonly BottleToLookAt[], celsius: number): Promise<ShelfLook>
  fitShelf(
    documents: readonly { readonly key: string; readonly document: DocumentText }[],
    shelf: readonly ShelfStock[],
  ): Promise<readonly DocumentFit[]>
  compareFound(document: DocumentText): Promise<Answer<RecipeComparison>>
  scale(document: DocumentText, wish: ScaleRequest): Promise<Answer<ScaledRecipe>>
  readFound(text: string): Promise<FoundText>
  /** Names of the catalogue's mechanisms that these substances can feed, whatever their amounts. */
  fedBy(substances: readonly string[]): Promise<readonly string[]>
}
