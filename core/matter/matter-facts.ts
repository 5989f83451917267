/** What the fact tables look like once read: plain data, handed from function to function. */
import type { Sourced, Source } from '@beakertide/basis/sources'
import type { Curve } from './curve.ts'
import type { AtomicWeights } from './molar-mass.ts'
import type { Species, SpeciesId, Substance } from './substance.ts'

/** Density at 20 degC against mass fraction of one solute. */
export interface DensityTable extends Source {
  readonly solute: string
  readonly formula: string
  readonly molarMassGPerMol: number
  readonly curve: Curve
}
/** By solute key (Hill text of the anhydrous formula). */
export type DensityTables = Readonly<Record<string, DensityTable>>

/** Solubility (g of anhydrous substance per 100 g water) against temperature (degC). */
export interface SolubilityTable extends Source {
  readonly substance: string
  readonly formula: string
  readonly curve: Curve
  /** The solid that is in equilibrium changes inside the table. */
  readonly hasPhaseChange: boolean
  readonly remark: string
}
/** By solute key (Hill text of the anhydrous formula). */
export type SolubilityTables = Readonly<Record<string, SolubilityTable>>

/** One property of water against temperature. */
export interface WaterCurve extends Source {
  readonly curve: Curve
  readonly unit: string
}
/** By the table's quantity name: "density" (g/mL, degC), "specific heat capacity" (J/(g K), degC), … "vapour pressure" as ln(kPa) against 1/K. */
export type WaterTables = Readonly<Record<WaterQuantity, WaterCurve>>
export type WaterQuantity = 'density' | 'specific heat capacity' | 'vapour pressure' | 'Debye-Huckel A (log10, molal)'

/** Dissolved, liquid, solid, gas. */
export type Phase = 'aq' | 'l' | 's' | 'g'

/** A heat of solution with the state of the pure substance it starts from. */
export interface HeatOfSolution extends Sourced {
  readonly from: Phase
}
/** A heat a mole of solute against how much water there is. */
export interface HeatCurve {
  readonly curve: Curve
  readonly limit: Sourced
  readonly first: Sourced
}
/** Formation enthalpies of one species by the family of tables they belong to; values of one family fit each other best. */
export interface FormationValues {
  readonly codata: Sourced | null
  /** NBS tables and handbooks after them. */
  readonly nbs: Sourced | null
}
export interface Thermochemistry {
  /** Standard enthalpy of formation, 298.15 K, kJ/mol, by "Hill text|charge|phase". */
  readonly formation: Readonly<Record<string, FormationValues>>
  /** Enthalpy of solution to infinite dilution, 25 degC, kJ/mol, positive cools; by Hill text (crystal water included). */
  readonly solution: Readonly<Record<string, HeatOfSolution>>
  /** Sulfuric acid: integral heat of solution a mole acid, kJ/mol, against ln(mol water a mol acid). */
  readonly sulfuricAcid: HeatCurve
  /** Hydrochloric acid: heat released on dilution to infinity, kJ/mol HCl, against molality (mol/kg). */
  readonly hydrochloricAcid: HeatCurve
  /** Specific heat capacity of solutions at 25 degC, J/(g K), against mass fraction; by solute key. */
  readonly heatCapacity: Readonly<Record<string, HeatCurve>>
}

export interface SpeciesFacts {
  readonly species: Readonly<Record<SpeciesId, Species>>
  /** Other spellings ("HBrO", "SO4 2-", "HIn (phenol red)") -> id. */
  readonly speciesNames: Readonly<Record<string, SpeciesId>>
  /** Where an id's formation enthalpy is not that of its own composition: a sum such as "SO2(aq) + H2O", or "none". */
  readonly enthalpyFrom: Readonly<Record<SpeciesId, string>>
}

/** Everything this room knows of the world, read from tables. */
export interface MatterFacts extends SpeciesFacts {
  readonly weights: AtomicWeights
  readonly substances: readonly Substance[]
  readonly densities: DensityTables
  readonly solubilities: SolubilityTables
  readonly thermochemistry: Thermochemistry
  readonly water: WaterTables
}
