import type { Seen } from '@beakertide/basis/sources'

/** Name of a dissolved, solid or gaseous species, shared by mixture, mechanism, rehearsal and clearing: "H+", "SO4^2-", "Mn2+", "H2O2", "MA". */
export type SpeciesId = string

/** A chemical species that an inventory can hold. */
export interface Species {
  readonly id: SpeciesId
  readonly name: string
  /** Atoms by element symbol. */
  readonly composition: Readonly<Record<string, number>>
  readonly charge: number
  readonly phase: 'dissolved' | 'solid' | 'gas' | 'solvent'
}

/** What one mole of a substance becomes when it enters water, e.g. H2SO4 -> 2 H+ + SO4^2-, KIO3 -> K+ + IO3-; crystal water becomes H2O. */
export interface EntryIntoWater {
  readonly species: SpeciesId
  readonly count: number
}

/** A chemical that can stand in a bottle. One a hydrate: the formula is that on the label. */
export interface Substance {
  /** Kebab-case of the name, stable. */
  readonly id: string
  readonly name: string
  /** On the label, hydrate dot included: "MnSO4·H2O". */
  readonly formula: string
  readonly cas: string | null
  readonly molarMassGPerMol: number
  readonly molarMassUncertaintyGPerMol: number
  readonly form: string
  readonly colour: string
  readonly entersWater: readonly EntryIntoWater[]
  /** Crystal water a formula unit. */
  readonly waters: number
  /** Id shared by all hydrates of one compound ("manganese-ii-sulfate"). */
  readonly family: string
  /** Common spellings and trade names. */
  readonly otherNames: readonly string[]
  /** What the compound is called in German, whatever its water; for reading recipes, where the hydrate is asked for. */
  readonly germanNames?: readonly string[]
  /** `aqueous`: the bottle holds a solution of it (ammonia, hydrochloric acid, peroxide …). */
  readonly soldAs: 'pure' | 'aqueous'
  readonly grades: string
  readonly contaminants: string
  readonly restriction: string
  readonly source: string
  readonly seen: Seen
}
