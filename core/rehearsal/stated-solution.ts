/** A solution stated by its concentrations instead of being made up: published and computed compositions, and tests. */
import type { MadeSolution, Portion } from '../makeup/index.ts'
import { type MatterFacts, type SpeciesId, waterDensity } from '../matter/index.ts'
import type { Mechanism } from '../mechanism/index.ts'
import { compositionsOf, gramsPerMol } from './books.ts'

/** Specific heat capacity of water near 25 °C, J/(g K): 75.3 J/(mol K), CRC Handbook of Chemistry and Physics (memory). */
const WATER_J_PER_G_K = 4.18

/**
 * `molPerL` of every species as entered (charges are the caller's care), dissolved as if nothing but water had a volume: good to a
 * few per cent in density and heat capacity up to about 1 mol/L. What is not followed by `mechanism` must be in the tables.
 */
export function statedSolution(
  id: string,
  molPerL: Readonly<Record<SpeciesId, number>>,
  volumeL: number,
  temperatureC: number,
  mechanism: Mechanism,
  matter: MatterFacts,
): MadeSolution {
  const of = compositionsOf(mechanism, matter)
  const amountsMol: Record<SpeciesId, number> = {}
  let solutesG = 0
  for (const [species, c] of Object.entries(molPerL)) {
    amountsMol[species] = c * volumeL
    solutesG += c * volumeL * gramsPerMol(species, of, matter)
  }
  const waterG = 1000 * volumeL * waterDensity(temperatureC, matter)
  amountsMol.H2O = waterG / gramsPerMol('H2O', of, matter)
  const massG = waterG + solutesG
  return {
    id,
    volumeL,
    massG,
    densityGPerMl: massG / (1000 * volumeL),
    densityFrom: 'water and what is dissolved in it',
    amountsMol,
    relativeUncertainty: {},
    temperatureC,
    heatCapacityJPerGK: (WATER_J_PER_G_K * waterG) / massG,
    heatOfMakingK: null,
  }
}

/** A portion of such a solution: what of it came from one bottle, without a tool to speak of. */
export function statedPortion(
  solution: string,
  bottle: string,
  substanceId: string,
  amountMol: number,
  relativeUncertainty: number,
): Portion {
  return {
    solution,
    bottle,
    substanceId,
    substanceName: bottle,
    formula: '',
    measure: 'weigh',
    massG: 0,
    massShownG: 0,
    volumeL: null,
    volumeShownL: null,
    written: '',
    tool: '',
    amountMol,
    relativeUncertainty,
    notes: [],
  }
}
