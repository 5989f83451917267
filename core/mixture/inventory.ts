/** What is in a vessel: one inventory runs from the bottle to the waste jug. Plain data. */
import type { Source } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'

export interface Inventory {
  readonly vessel: string
  readonly atS: number
  readonly volumeL: number
  readonly massG: number
  readonly temperatureK: number
  readonly heatCapacityJPerK: number
  /** Amount of every dissolved species as entered (spectators too), mol; water under "H2O". */
  readonly amountsMol: Readonly<Record<SpeciesId, number>>
  readonly solidsMol: Readonly<Record<SpeciesId, number>>
  /** Gas that has left or stands over the liquid, mol. */
  readonly gasesMol: Readonly<Record<SpeciesId, number>>
  readonly relativeUncertainty: Readonly<Record<SpeciesId, number>>
}

/** The same liquid with its fast equilibria settled. */
export interface Equilibrium {
  /** -log10 of the proton activity (of its concentration when activities were switched off). */
  readonly pH: number
  readonly ionicStrengthMolPerL: number
  /** Free concentrations of every species, mol/L. */
  readonly concentrationsMolPerL: Readonly<Record<SpeciesId, number>>
  readonly activityCoefficients: Readonly<Record<SpeciesId, number>>
  readonly solidsMol: Readonly<Record<SpeciesId, number>>
  /** Amounts of gas over saturation that want to leave, mol; for a gas exchanged with the air also negative: taken up. */
  readonly gasesMol: Readonly<Record<SpeciesId, number>>
  /** log10(ion product / constant) of every solid that could form (above 0: it is not allowed to form), log10(pressure / 1 atm) of every gas. */
  readonly saturationIndices: Readonly<Record<SpeciesId, number>>
  /** Strong acid (negative: strong base) that holds the pH asked for, mol; only when a pH was asked for. */
  readonly acidAddedMol?: number
  /** False above the Davies limit (0.5 mol/L): numbers are then indications. */
  readonly withinActivityLimit: boolean
  /** Largest relative residual over all mass balances and the charge balance. */
  readonly residual: number
  readonly iterations: number
  readonly sources: readonly Source[]
}
