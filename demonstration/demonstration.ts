/** The whole document: one recipe, its bottles, pours and room. Plain data. */
import type { Quantity } from '@beakertide/basis/units'
import type { BalanceAndGlass, Bottle, SolutionRecipe } from '@beakertide/core/makeup'
import type { PlaceLimits } from '@beakertide/core/clearing'
import type { Vessel } from '@beakertide/core/mixture'

export interface Demonstration {
  readonly schema: 1
  readonly title: string
  readonly story: string
  /** Air changes in room volumes an hour, and metres from the vessels to the nearest person who watches; absent when not stated. */
  readonly room: {
    readonly temperatureK: number
    readonly volumeM3: number | null
    readonly airChangesPerH?: number
    readonly audienceM?: number
  }
  readonly bottles: readonly Bottle[]
  readonly solutions: readonly SolutionRecipe[]
  readonly vessels: readonly Vessel[]
  readonly view: { readonly illuminant: string; readonly adaptation: number }
  /** Catalogue name, or a file beside the document ("./my-steps.yaml"). */
  readonly reaction: { readonly name: string } | { readonly file: string }
  readonly starch: boolean
  readonly wantedLengthS: number | null
  readonly rehearseS: number
  readonly tools: BalanceAndGlass
  /** Stated control measures that lift a refusal: caution code -> sentence. */
  readonly controls: Readonly<Record<string, string>>
  /** Other published or found recipes for the same reaction, for compare-recipes. */
  readonly found: readonly FoundRecipe[]
  /** What the authority of this place lets go; absent: nobody has said. */
  readonly place?: PlaceLimits
}

/** A recipe as found: what a page or book says, to be computed backwards. */
export interface FoundRecipe {
  readonly name: string
  readonly source: string
  readonly bottles: readonly Bottle[]
  readonly solutions: readonly SolutionRecipe[]
  readonly pours: readonly { readonly solution: string; readonly volume: Quantity }[]
}
