import type { Rows } from '@beakertide/basis/sources'
import { readDensities } from './density.ts'
import type { MatterFacts } from './matter-facts.ts'
import { readAtomicWeights } from './molar-mass.ts'
import { readSpecies } from './read-species.ts'
import { readSubstances } from './read-substances.ts'
import { readSolubilities } from './solubility.ts'
import { readThermochemistry } from './thermochemistry.ts'
import { readWater } from './water.ts'

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
