/** What a flask holds once it is filled up: mass from the density, water from the mass, species from both. */
import type { MatterFacts, SpeciesId } from '../matter/index.ts'
import { isElectrolyte, type LiquidDensity, type Solute, solutionDensity } from './liquid.ts'
import type { BottleContent } from './strength.ts'

/** So much of a bottle's substance. */
export interface Part {
  readonly content: BottleContent
  readonly amountMol: number
}

export interface Composition {
  readonly volumeL: number
  readonly massG: number
  readonly density: LiquidDensity
  /** Water poured in to fill up, g; below 0 when there is no room for what is in the flask already. */
  readonly addedWaterG: number
  /** All water that can dissolve something: added, from the bottles, from the crystals, g. */
  readonly solventWaterG: number
  /** Other matter of impure solids, g; carried in the mass, not among the species. */
  readonly inertG: number
  /** Species as they entered water, mol; all water under "H2O". */
  readonly amountsMol: Readonly<Record<SpeciesId, number>>
}

/** Mass of bottle content that holds the amount, g. */
export const massOf = (part: Part): number => part.amountMol / part.content.molPerG.value
/** Volume of bottle content that holds the amount, L; null for solids. */
export const volumeOf = (part: Part): number | null => (part.content.molPerL ? part.amountMol / part.content.molPerL.value : null)

const solutes = (parts: readonly Part[]): readonly Solute[] =>
  parts.map(({ content, amountMol }) => ({
    formula: content.anhydrous,
    massG: amountMol * content.anhydrousMolarMass,
    electrolyte: isElectrolyte(content.substance),
  }))

/**
 * Composition of `volumeL` filled up with water over `parts` at `celsius`. Mass = density times volume; water is what is
 * missing to that mass, so that masses balance exactly and volumes need not add up.
 */
export function compose(
  parts: readonly Part[],
  volumeL: number,
  celsius: number,
  matter: MatterFacts,
  waterMolarMass: number,
): Composition {
  const density = solutionDensity(solutes(parts), volumeL, celsius, matter)
  const massG = density.gPerMl * volumeL * 1000
  const amounts: Record<SpeciesId, number> = {}
  let inertG = 0
  let bottleWaterG = 0
  let crystalWaterMol = 0
  let taken = 0
  for (const part of parts) {
    const { content, amountMol } = part
    const mass = massOf(part)
    const rest = mass - amountMol * content.substance.molarMassGPerMol
    taken += mass
    if (content.state === 'liquid') bottleWaterG += rest
    else inertG += rest
    crystalWaterMol += amountMol * content.substance.waters
    for (const { species, count } of content.substance.entersWater) amounts[species] = (amounts[species] ?? 0) + count * amountMol
  }
  const addedWaterG = massG - taken
  amounts['H2O'] = (amounts['H2O'] ?? 0) + (addedWaterG + bottleWaterG) / waterMolarMass
  return {
    volumeL,
    massG,
    density,
    addedWaterG,
    solventWaterG: addedWaterG + bottleWaterG + crystalWaterMol * waterMolarMass,
    inertG,
    amountsMol: amounts,
  }
}
