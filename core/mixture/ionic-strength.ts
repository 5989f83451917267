/** The ionic strength that a liquid leads to must be the one its activity coefficients were taken at. */
import { DAVIES_LIMIT_MOL_PER_L, davies } from './activity.ts'
import { type Balance, type BalanceFailure, type BalanceState, createBalancer, createBalanceState } from './balance.ts'
import type { NamedPhase } from './phases.ts'
import type { SpeciesSystem } from './species-system.ts'

/** Relative agreement of the ionic strength assumed and found. */
const STRENGTH_TOLERANCE = 1e-13
const MOST_STRENGTH_ROUNDS = 80

/** What settling a given ionic strength leads to. */
interface Attempt {
  readonly failure: BalanceFailure | null
  readonly strength: number
}

/** One liquid ready to be settled at any ionic strength. */
export interface Prepared {
  readonly balance: Balance
  readonly state: BalanceState
  attempt(strength: number): Attempt
  lnGamma(strength: number): number
}

/** The balances of one liquid; the state is started afresh. */
export function prepare(
  totals: Float64Array,
  system: SpeciesSystem,
  phases: readonly NamedPhase[],
  lnFormed: Float64Array,
  temperatureK: number,
  usesActivity: boolean,
): Prepared {
  const balance: Balance = {
    masters: system.masters.length,
    matrix: system.speciesMatrix,
    offsets: Float64Array.from(lnFormed),
    totals,
    phases,
  }
  const state = createBalanceState(balance)
  const solve = createBalancer(balance)
  const squares = system.chargesSquared
  const lnGamma = (strength: number): number => (usesActivity ? davies(strength, temperatureK) * Math.LN10 : 0)
  return {
    balance,
    state,
    lnGamma,
    attempt: (strength) => {
      const unit = lnGamma(strength)
      for (let j = 0; j < squares.length; j++) balance.offsets[j] = lnFormed[j]! - unit * squares[j]!
      const failure = solve(state)
      let found = 0
      for (let j = 0; j < squares.length; j++) found += 0.5 * squares[j]! * state.concentrations[j]!
      return { failure, strength: found }
    },
  }
}

/** A settled liquid: its ionic strength and how far, relatively, that is from the one assumed. */
export interface StrengthFound extends Attempt {
  readonly mismatch: number
}

/**
 * Settles with the ionic strength that it leads to itself. f(I) = found(I) - I is not negative at 0; either it is
 * not negative at the Davies limit, above which the coefficients are constant and one more solution ends it, or it
 * has a root in between, found by secants inside a shrinking bracket.
 */
export function settleStrength(prepared: Prepared, first: number, usesActivity: boolean): StrengthFound {
  if (!usesActivity) return { ...prepared.attempt(0), mismatch: 0 }
  let low = 0
  let high = DAVIES_LIMIT_MOL_PER_L
  let isHighTried = false
  let guess = Math.min(first, high)
  let before: { readonly at: number; readonly error: number } | null = null
  for (let round = 0; round < MOST_STRENGTH_ROUNDS; round++) {
    const { failure, strength } = prepared.attempt(guess)
    if (failure !== null) return { failure, strength, mismatch: 0 }
    const error = strength - guess
    if (guess >= DAVIES_LIMIT_MOL_PER_L && error >= 0) return { failure: null, strength, mismatch: 0 }
    const mismatch = strength > 0 ? Math.abs(error) / strength : 0
    if (mismatch <= STRENGTH_TOLERANCE || high - low <= Number.EPSILON * high) return { failure: null, strength, mismatch }
    if (error > 0) low = guess
    else {
      high = guess
      isHighTried = true
    }
    let next = strength
    if (before !== null && before.error !== error) next = guess - (error * (guess - before.at)) / (error - before.error)
    if (!isHighTried && next >= high) next = high
    else if (!(next > low && next < high)) next = 0.5 * (low + high)
    before = { at: guess, error }
    guess = next
  }
  return { failure: 'too-many-steps', strength: guess, mismatch: 1 }
}
