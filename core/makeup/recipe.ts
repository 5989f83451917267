/** Bottles and recipes as the demonstrator states them: the input of makeUp(). Plain data. */
import type { Quantity } from '@beakertide/basis/units'
import type { Span } from '@beakertide/basis/problems'

/** A determination of what a perishable bottle really holds. */
export type Assay =
  /** `aliquot` of the (diluted) bottle titrated with permanganate in acid (5 H2O2 : 2 MnO4-; 5 C2O4 : 2 MnO4-). */
  | {
      readonly by: 'permanganate'
      readonly take: Quantity
      readonly dilutedTo?: Quantity
      readonly aliquot: Quantity
      readonly titrant: Quantity
      readonly used: Quantity
      readonly blank?: Quantity
    }
  /** Iodide in excess, iodine titrated with thiosulfate (1 H2O2 : 2 S2O3; 1 IO3- : 6 S2O3; 1 BrO3- : 6 S2O3). */
  | {
      readonly by: 'iodometric'
      readonly take: Quantity
      readonly dilutedTo?: Quantity
      readonly aliquot: Quantity
      readonly titrant: Quantity
      readonly used: Quantity
      readonly blank?: Quantity
    }
  /** Oxygen set free from a volume of peroxide, read over water at a temperature and pressure. */
  | {
      readonly by: 'oxygen-volume'
      readonly take: Quantity
      readonly gas: Quantity
      readonly temperature: Quantity
      readonly pressure?: Quantity
      readonly overWater: boolean
    }

export interface Bottle {
  readonly id: string
  /** Name, formula or id of the substance, as written. */
  readonly substance: string
  /** "monohydrate", "4 H2O", "anhydrous"; absent: the substance as named. */
  readonly hydrate?: string
  /** Solid: mass fraction of the labelled formula (default 1 with a warning when the grade is unknown). */
  readonly purity?: Quantity
  /** Liquid or solution bottle: mass-fraction, mass-concentration, volume-fraction, amount-concentration, molality or oxygen-volumes. */
  readonly strength?: Quantity
  /** Overrides the density table. */
  readonly density?: Quantity
  readonly assay?: Assay
  readonly packSize?: Quantity
  readonly price?: string
  readonly opened?: string
  readonly span?: Span
}

/** How much of one bottle goes into one solution: exactly one way to state it. */
export type Target =
  /** Strength in the solution itself: amount-concentration, mass-concentration, mass-fraction. */
  | { readonly state: 'in-solution'; readonly quantity: Quantity }
  /** Strength wanted in the vessel after all pours. */
  | { readonly state: 'in-mix'; readonly quantity: Quantity }
  /** Mass of the bottle's content a batch. */
  | { readonly state: 'mass'; readonly quantity: Quantity }
  /** Volume of a liquid bottle's content a batch. */
  | { readonly state: 'volume'; readonly quantity: Quantity }

export interface Ingredient {
  readonly bottle: string
  readonly target: Target
  /** What somebody actually weighed or measured (mass or volume): makeUp reports true strengths from it. */
  readonly weighed?: Quantity
  readonly span?: Span
}

export interface SolutionRecipe {
  readonly id: string
  /** Volume made up to. */
  readonly volume: Quantity
  readonly ingredients: readonly Ingredient[]
  /** Temperature of making and storing, when not that of the room. */
  readonly temperature?: Quantity
  readonly storedAt?: Quantity
  readonly span?: Span
}

export interface BalanceAndGlass {
  /** Smallest digit of the balance, g. */
  readonly balanceReadabilityG: number
  readonly glassClass: 'A' | 'B' | 'indicative'
}
