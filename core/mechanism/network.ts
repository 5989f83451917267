/** A compiled mechanism: rates, Jacobian and stoichiometry ready for the integrator. */
import type { OdeSystem } from '@beakertide/basis/numerics'
import type { SpeciesId } from '../matter/index.ts'
import type { NetworkTables } from './network-tables.ts'

/** How temperature enters. */
export type HeatModel =
  | { readonly kind: 'held'; readonly temperatureK: number }
  | { readonly kind: 'free'; readonly roomK: number; readonly heatCapacityJPerLK: number; readonly lossPerS: number }

/** A process that belongs to the vessel, not to the mechanism. */
export type VesselProcess =
  /** Gas leaves above saturation: rate = k ([species] - saturation); `into` counts what left, in mol per litre of liquid. */
  | { readonly kind: 'gas-leaves'; readonly species: SpeciesId; readonly saturationMolPerL: number; readonly ratePerS: number }
  /** Solid forms above solubility and dissolves below; `${species}(s)` counts it, in mol per litre of liquid. */
  | { readonly kind: 'solid-forms'; readonly species: SpeciesId; readonly solubilityMolPerL: number; readonly ratePerS: number }

/**
 * State vector: dynamic species (mol/L), then `${species}(g)` and `${species}(s)` counters (mol a litre of liquid),
 * then the temperature (K) when it is free. Values may be changed between runs without compiling again.
 */
export interface Network extends OdeSystem {
  /** Names of the state, in order; the last is "temperature" when it is free. */
  readonly stateNames: readonly string[]
  readonly stepNames: readonly string[]
  /** One column a (one-way) rate: reversible steps give "I1 forward" and "I1 back"; vessel processes follow the steps. */
  readonly rateNames: readonly string[]
  /** Index into `stepNames` of each rate; -1 for a vessel process. */
  readonly stepOfRate: readonly number[]
  /** Index of a state, or -1. */
  indexOf(name: string): number
  /** Sets a held species (mol/L). Held species are not a number until set, so that a forgotten one cannot pass for zero. */
  hold(species: SpeciesId, molPerL: number): void
  /** Names of the held species. */
  readonly heldNames: readonly SpeciesId[]
  /** Multiplies a rate constant ("X1.k") for sensitivities and calibration; 1 is as published. */
  scaleConstant(name: string, factor: number): void
  readonly constantNames: readonly string[]
  /** Replaces the value of a constant, in its unit in mol, L, s (ionic strength, hydrogen ion). */
  setConstant(name: string, value: number): void
  /** Constants that wait for a value of the mixture: "P1.I" by ionic strength. */
  readonly constantsSetBy: readonly { readonly name: string; readonly setBy: 'ionic-strength' | 'hydrogen-ion' }[]
  /** New numbers for the same kind of heat model (another temperature, another volume). */
  setHeat(heat: HeatModel): void
  /** New saturation or solubility (mol/L) and rate (1/s) of the vessel process at that place of the list. */
  setProcess(index: number, limitMolPerL: number, ratePerS: number): void
  /** Steps whose reaction heat is not known; they warm nothing. */
  readonly heatlessSteps: readonly string[]
  /** Fills `out` (one entry a rate name) with one-way rates, mol L-1 s-1. */
  stepRates(timeS: number, y: Float64Array, out: Float64Array): void
  /** Stoichiometric numbers: state i in rate j, negative for use. */
  stoichiometry(stateIndex: number, rateIndex: number): number
  /** Conserved totals (elements, charge) of a state, for the drift report; names like "I", "charge", "H - 2 O". Lumped mechanisms give none. */
  readonly conserved: readonly { readonly name: string; readonly weights: Float64Array }[]
  /** Everything above as plain typed arrays: what a code generator reads. */
  readonly tables: NetworkTables
  /** The numbers behind the tables as they stand now; to be read only. */
  readonly live: LiveNumbers
}

/** The working numbers of a network; see NetworkTables for what stands where. */
export interface LiveNumbers {
  /** Filled for y by the last call of `jacobian` (`rates` fills all but the auxiliaries that only partials read). */
  readonly slots: Float64Array
  /** Fills the slots for y as `rates` does, and no more. */
  settle(y: Float64Array): void
  /** Value (unit of its law) and multiplier of each constant. */
  readonly values: Float64Array
  readonly scales: Float64Array
  /** As in the tables, but with the heat capacity of the last `setHeat`. */
  readonly rowCoefficient: Float64Array
  readonly entryCoefficient: Float64Array
  readonly heldSlots: ReadonlyMap<SpeciesId, number>
  /** Slot of the room's temperature; it is read only where the temperature is free. */
  readonly roomSlot: number
}
