/**
 * What a quantity text can be. Values are held in the unit in brackets:
 * amount-concentration (mol/L), mass-concentration (g/L; "% w/v" is 10 g/L), mass-fraction (g/g, "% w/w"),
 * volume-fraction (L/L, "% v/v"), oxygen-volumes (L of oxygen at 0 degC and 1 atm a litre of solution, "10 volumes"),
 * mass (g), volume (L), amount (mol), temperature (K, from "degC" or "K"), temperature-difference (K),
 * time (s), length (cm), density (g/mL), molality (mol/kg), fraction (1; a bare "%"), number (1), rate (1/s), energy (J), pressure (Pa).
 */
export type QuantityKind =
  | 'amount-concentration'
  | 'mass-concentration'
  | 'mass-fraction'
  | 'volume-fraction'
  | 'oxygen-volumes'
  | 'mass'
  | 'volume'
  | 'amount'
  | 'temperature'
  | 'temperature-difference'
  | 'time'
  | 'length'
  | 'density'
  | 'molality'
  | 'fraction'
  | 'number'
  | 'rate'
  | 'energy'
  | 'pressure'

export interface Quantity {
  readonly kind: QuantityKind
  /** In the internal unit of its kind. */
  readonly value: number
  /** As written: "0.19 mol/L". */
  readonly text: string
  /** Standard uncertainty in the internal unit, when the text gives one ("0.19 +/- 0.01 mol/L"). */
  readonly uncertainty?: number
}
