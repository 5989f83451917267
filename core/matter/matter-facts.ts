import type { Rows } from '@beakertide/basis/sources'
import { type DensityTables, readDensities } from './density.ts'
import { type AtomicWeights, readAtomicWeights } from './molar-mass.ts'
import { readSpecies, type SpeciesFacts } from './read-species.ts'
import { readSubstances } from './read-substances.ts'
import { readSolubilities, type SolubilityTables } from './solubility.ts'
import type { Substance } from './substance.ts'
import { readThermochemistry, type Thermochemistry } from './thermochemistry.ts'
import { readWater, type WaterTables } from './water.ts'

/** Everything this room knows of the world, read from tables. */
export interface MatterFacts extends SpeciesFacts {
  readonly weights: AtomicWeights
  readonly substances: readonly Substance[]
  readonly densities: DensityTables
  readonly solubilities: SolubilityTables
  readonly thermochemistry: Thermochemistry
  readonly water: WaterTables
}

/** The tables as text rows, each by its file in data/. */
export interface MatterTables {
  /** tables/atomic_weights */
  readonly atomicWeights: Rows
  /** species */
  readonly species: Rows
  /** tables/substances */
  readonly substances: Rows
  /** substance_names */
  readonly substanceNames: Rows
  /** enters_water */
  readonly entersWater: Rows
  /** tables/solution_density */
  readonly densities: Rows
  /** tables/solubility_vs_temperature */
  readonly solubilities: Rows
  /** tables/thermochemistry */
  readonly thermochemistry: Rows
  /** tables/water_properties */
  readonly water: Rows
}

/** Reads all tables of the room; a row that cannot be read is a fault of the tables and throws. */
export function readMatterFacts(tables: MatterTables): MatterFacts {
  const weights = readAtomicWeights(tables.atomicWeights)
  const species = readSpecies(tables.species)
  const water = readWater(tables.water)
  return {
    weights,
    ...species,
    substances: readSubstances(tables.substances, tables.substanceNames, tables.entersWater, weights, species.species),
    densities: readDensities(tables.densities, { water, weights }),
    solubilities: readSolubilities(tables.solubilities, tables.substances, weights),
    thermochemistry: readThermochemistry(tables.thermochemistry, species),
    water,
  }
}
