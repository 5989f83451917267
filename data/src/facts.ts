/**
 * Every table of facts, read once and only when asked for. Core never imports this: a door hands the parts over.
 * Each room adds one entry here, made by the reader the room exports.
 */
import { readHazardFacts } from '@beakertide/core/cautions'
import { readClearingFacts } from '@beakertide/core/clearing'
import { readGlassware } from '@beakertide/core/makeup'
import { type MatterFacts, readMatterFacts } from '@beakertide/core/matter'
import { type EquilibriumFacts, readEquilibriumFacts } from '@beakertide/core/mixture'
import { readAbsorbers, readElectrodeFacts, readStarchFacts, type SeeingFacts } from '@beakertide/core/rehearsal'
import { readObserver } from '@beakertide/basis/colour'
import { readMechanismDefaults, readMechanismFiles } from './mechanisms.ts'
import { rowsOf } from './rows.ts'
import type { Texts } from './texts.ts'

/** Remembers the first result of `make`. */
function once<T>(make: () => T): () => T {
  let kept: { readonly value: T } | undefined
  return () => (kept ??= { value: make() }).value
}

/** Everything that can be known from `texts`, each part read when it is first asked for. */
export function factsFrom(texts: Texts) {
  const rows = rowsOf(texts)
  const tables = {
    /** Any table as text rows, e.g. `facts.rows('hazards/exposure_limits')`. */
    rows,
    /** Atomic weights, species, substances, densities, solubilities, heats, water. */
    matter: once(
      (): MatterFacts =>
        readMatterFacts({
          atomicWeights: rows('tables/atomic_weights'),
          species: rows('species'),
          substances: rows('tables/substances'),
          substanceNames: rows('substance_names'),
          entersWater: rows('enters_water'),
          densities: rows('tables/solution_density'),
          solubilities: rows('tables/solubility_vs_temperature'),
          thermochemistry: rows('tables/thermochemistry'),
          water: rows('tables/water_properties'),
        }),
    ),
    /** Fast equilibria with their constants: acids, complexes, solids, gases. */
    equilibria: once(
      (): EquilibriumFacts =>
        readEquilibriumFacts({ reactions: rows('equilibrium_reactions'), equilibria: rows('tables/equilibria') }, tables.matter()),
    ),
    /** Tolerances of volumetric ware and balances. */
    glassware: once(() => readGlassware(rows('tables/glassware_tolerances'))),
    /** Hazard classes, strength bands, pairs that must not meet, limits in air. */
    hazards: once(() => readHazardFacts(rows)),
    /** Half-reactions, acids, metals, end tests and examples of limits for clearing. */
    clearing: once(() => readClearingFacts(rows)),
    /** Every mechanism file of the catalogue as text: name, file, text. */
    mechanisms: once(() => readMechanismFiles(texts)),
    /** Plain mechanism names and the variant each stands for. */
    mechanismDefaults: once(() => readMechanismDefaults(rows)),
    /** The CIE observer and the lights. */
    observer: once(() => readObserver(rows('tables/cie1931_2deg'))),
    /** Visible spectra of coloured species. */
    absorbers: once(() => readAbsorbers(rows('tables/absorbers_spectra'), rows('tables/absorbers'))),
    /** Triiodide and the blue of starch. */
    starch: once(() => readStarchFacts(rows('tables/equilibria'), rows('tables/substances'))),
    /** Potentials of the iodide electrode, the reference and the couples that platinum follows. */
    electrodes: once(() => readElectrodeFacts(rows('tables/equilibria'))),
  }
  return {
    ...tables,
    /** Everything that a day from bottles to clearing needs, as the rooms take it. */
    day: once(() => ({
      matter: tables.matter(),
      glassware: tables.glassware(),
      equilibria: tables.equilibria(),
      hazards: tables.hazards(),
      clearing: tables.clearing(),
      seeing: { observer: tables.observer(), absorbers: tables.absorbers(), starch: tables.starch() } satisfies SeeingFacts,
      electrodes: tables.electrodes(),
    })),
  }
}

export type Facts = ReturnType<typeof factsFrom>
