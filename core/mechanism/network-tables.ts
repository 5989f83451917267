/**
 * A mechanism as flat tables. One working vector holds everything a law reads:
 *
 *   slots = [ states | temperature, if held | held species | constants | slopes of constants by temperature | vessel | auxiliaries, numbers ]
 *
 * Laws and their partial derivatives are "outputs": first the one-way rates, then the partials. Every output is a sum of
 * products of slots; what is not of that form in a law (a quotient, a root) has an auxiliary slot filled by a small stack
 * program. dy/dt and the Jacobian are fixed linear sums of outputs. Running means: fill slots, fill outputs, add up two sparse
 * sums; nothing is allocated. Generated code can be made from these tables alone.
 */
import type { SparsePattern } from '@beakertide/basis/numerics'

export interface NetworkTables {
  readonly stateCount: number
  /** Start values of the working vector; copy it before running. */
  readonly slots: Float64Array
  /** Index of the temperature slot (a state when it is free). */
  readonly temperatureSlot: number
  readonly temperatureIsFree: boolean
  readonly rateCount: number
  /** Rates, then partials. */
  readonly outputCount: number

  /** Monomials of output o are monomialStart[o] … monomialStart[o+1]. */
  readonly monomialStart: Int32Array
  readonly monomialCoefficient: Float64Array
  /** Slots multiplied in monomial m are factors[factorStart[m] … factorStart[m+1]). */
  readonly factorStart: Int32Array
  readonly factors: Int32Array

  /** Auxiliary slot auxiliarySlot[p] is the result of code[programStart[p] … programStart[p+1]); filled in this order, first of all. */
  readonly auxiliarySlot: Int32Array
  readonly programStart: Int32Array
  /** Auxiliaries below this index are read by rates; the others only by partials. */
  readonly rateAuxiliaryCount: number
  readonly code: Int32Array
  readonly stackDepth: number

  /** dy_i/dt = sum of rowCoefficient * output[rowRate] over rowStart[i] … rowStart[i+1]. */
  readonly rowStart: Int32Array
  readonly rowRate: Int32Array
  /**
   * 1 where a term and the next are the two directions of one step. They are added to each other before they are added to the sum, so that every row gets the
   * same net amount however fast both run; added one after the other, each row would round by as much as a single direction's last bit.
   */
  readonly rowOpposed: Uint8Array
  readonly rowCoefficient: Float64Array

  /** Jacobian entry e = sum of entryCoefficient * output[entryOutput] over entryStart[e] … entryStart[e+1]. */
  readonly pattern: SparsePattern
  readonly entryStart: Int32Array
  readonly entryOutput: Int32Array
  readonly entryCoefficient: Float64Array

  /** Slot, published value and multiplier of each constant; its Arrhenius group or -1; the slot of its slope or -1. */
  readonly constantSlot: Int32Array
  readonly constantValue: Float64Array
  readonly constantScale: Float64Array
  readonly constantGroup: Int32Array
  readonly constantSlopeSlot: Int32Array
  /** k(T) = k * exp(-(Ea/R) (1/T - 1/Tref)): constants that share Ea and Tref share one factor. */
  readonly groupEaOverRK: Float64Array
  readonly groupReferenceK: Float64Array
}
