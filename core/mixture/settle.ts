/** Fast equilibria of one liquid: amounts as entered in, free concentrations and pH out. */
import { done, type Outcome, type Problem, refuse, suggestion } from '@beakertide/basis/problems'
import { distinctSources, type Source } from '@beakertide/basis/sources'
import { kelvinToCelsius } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import { DAVIES_LIMIT_MOL_PER_L, davies } from './activity.ts'
import { type Balance, type BalanceFailure, type BalanceState, createBalancer, createBalanceState, relativeResiduals } from './balance.ts'
import { isKnownAt } from './constants-at-temperature.ts'
import type { Equilibrium } from './inventory.ts'
import { listPhases, type NamedPhase } from './phases.ts'
import type { EquilibriumFacts, EquilibriumReaction } from './reactions.ts'
import { createConstants, isKnownGas, isKnownSolid, lnFormation, PROTON, selectSystem, type SpeciesSystem } from './species-system.ts'

/** Amounts in a liquid; an Inventory is one. */
export interface Totals {
  readonly volumeL: number
  /** Dissolved species as entered, mol; "H2O" is the solvent and takes no part. */
  readonly amountsMol: Readonly<Record<SpeciesId, number>>
  /** Solids lying in the liquid, mol; those that the list knows may dissolve, others are handed on as they are. */
  readonly solidsMol?: Readonly<Record<SpeciesId, number>>
}

export interface SettleOptions {
  /** `davies` (default) or `none`: concentrations for activities, as textbooks do. */
  readonly activity?: 'davies' | 'none'
  /** Holds this pH with strong acid or base, whose amount is reported. */
  readonly pH?: number
  /** `form` (default): every listed solid may form; `none`; or the ids of those that may. */
  readonly solids?: 'form' | 'none' | readonly SpeciesId[]
  /** `leave` (default): what would stand above the outer pressure is counted as gas; `stay`: all stays dissolved. */
  readonly gases?: 'leave' | 'stay'
  /** Partial pressure, atm, of gases exchanged freely with the air, e.g. { "CO2(g)": 0.00042 }. */
  readonly openGasesAtm?: Readonly<Record<SpeciesId, number>>
  /** Outer pressure, atm; default 1. */
  readonly pressureAtm?: number
  /** Reactions marked "on-request" to take part, by id. */
  readonly onRequest?: readonly string[]
  /** log10 K by reaction id, in place of those of the list. */
  readonly constants?: Readonly<Record<string, number>>
}

/** Water is liquid and the tables mean something, K. */
const COLDEST_K = 263
const HOTTEST_K = 393
/** A negative amount smaller than this, mol/L, is the rounding of whoever made it and counts as none. */
const NEGLIGIBLE_MOL_PER_L = 1e-12
/** Largest charge, as a share of all charges, that amounts may carry by rounding. */
const CHARGE_TOLERANCE = 1e-6
/** Largest relative residual of a settled liquid. */
const RESIDUAL_LIMIT = 1e-10
/** Relative agreement of the ionic strength assumed and found. */
const STRENGTH_TOLERANCE = 1e-13
const MOST_STRENGTH_ROUNDS = 80
/** Concentration, mol/L, from which on a species counts as mattering for the list of sources. */
const MATTERS_MOL_PER_L = 1e-9

/** Everything that can be wrong with what was handed in. */
function checkInput(totals: Totals, temperatureK: number, facts: EquilibriumFacts, options: SettleOptions): Problem[] {
  const problems: Problem[] = []
  const add = (code: string, where: string, what: string, todo: string): void => {
    problems.push({ code: `mixture/${code}`, where, what, todo })
  }
  if (!(totals.volumeL > 0) || !Number.isFinite(totals.volumeL)) {
    add('volume', 'the liquid', `its volume is ${totals.volumeL} L; it must be above 0`, 'pour something in first')
  }
  if (!(temperatureK >= COLDEST_K && temperatureK <= HOTTEST_K)) {
    const met = kelvinToCelsius(temperatureK).toFixed(1)
    add('temperature', 'the liquid', `its temperature is ${met} degC; constants are known from -10 to 120 degC`, 'check the temperature')
  }
  for (const [id, amount] of [...Object.entries(totals.amountsMol), ...Object.entries(totals.solidsMol ?? {})]) {
    if (!Number.isFinite(amount)) add('amount', `amount of ${id}`, `it is ${amount} mol, which is no number`, 'give a finite amount')
    else if (amount < -NEGLIGIBLE_MOL_PER_L * totals.volumeL) {
      add('amount', `amount of ${id}`, `it is ${amount} mol; an amount cannot be negative`, 'check where it was subtracted')
    }
  }
  if (options.pH !== undefined && !(options.pH >= -2 && options.pH <= 16)) {
    add('ph', 'the pH to hold', `it is ${options.pH}; water holds -2 to 16`, 'give a pH in that range')
  }
  for (const [gas, pressure] of Object.entries(options.openGasesAtm ?? {})) {
    const known = facts.reactions.filter((r) => r.kind === 'gas').map((r) => r.defines)
    if (!isKnownGas(gas, facts)) add('gas', `gas ${gas}`, 'its solubility in water is not in the list', suggestion(gas, known))
    if (!(pressure > 0 && Number.isFinite(pressure))) {
      add('gas', `gas ${gas}`, `its partial pressure is ${pressure} atm; it must be above 0`, 'leave a gas out when there is none')
    }
  }
  if (options.pressureAtm !== undefined && !(options.pressureAtm > 0 && Number.isFinite(options.pressureAtm))) {
    add('pressure', 'the outer pressure', `it is ${options.pressureAtm} atm; it must be above 0`, 'use 1 for a room')
  }
  const ids = facts.reactions.map((r) => r.id)
  for (const id of [...(options.onRequest ?? []), ...Object.keys(options.constants ?? {})]) {
    if (!ids.includes(id)) add('reaction', `equilibrium "${id}"`, 'no such equilibrium is in the list', suggestion(id, ids))
  }
  return problems
}

/** The charge put in must be none: a wrong total would give a wrong pH without any sign of it. */
function checkCharge(totals: Totals, system: SpeciesSystem): Problem | null {
  let net = 0
  let gross = 0
  for (const [id, amount] of Object.entries(totals.amountsMol)) {
    const { charge } = system.expansionOf(id)
    net += charge * amount
    gross += Math.abs(charge * amount)
  }
  if (gross === 0 || Math.abs(net) <= CHARGE_TOLERANCE * gross) return null
  const what = net > 0 ? 'positive' : 'negative'
  return {
    code: 'mixture/not-neutral',
    where: 'the amounts put in',
    what: `they carry ${Math.abs(net).toPrecision(3)} mol of ${what} charge too much; every liquid is neutral`,
    todo: 'add the ion that came with the salt or acid (K+, Na+, SO4^2- ...), or hold a pH',
  }
}

/** What settling a given ionic strength leads to. */
interface Attempt {
  readonly failure: BalanceFailure | null
  readonly strength: number
}

/** One liquid ready to be settled at any ionic strength. */
interface Prepared {
  readonly balance: Balance
  readonly state: BalanceState
  attempt(strength: number): Attempt
  lnGamma(strength: number): number
}

function prepare(
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
  const lnGamma = (strength: number): number => (usesActivity ? davies(strength, temperatureK) * Math.LN10 : 0)
  return {
    balance,
    state,
    lnGamma,
    attempt: (strength) => {
      const unit = lnGamma(strength)
      system.species.forEach((s, j) => {
        balance.offsets[j] = lnFormed[j]! - unit * s.charge ** 2
      })
      const failure = solve(state)
      let found = 0
      system.species.forEach((s, j) => {
        found += 0.5 * s.charge ** 2 * state.concentrations[j]!
      })
      return { failure, strength: found }
    },
  }
}

/**
 * Settles with the ionic strength that it leads to itself. f(I) = found(I) - I is not negative at 0; either it is
 * not negative at the Davies limit, above which the coefficients are constant and one more solution ends it, or it
 * has a root in between, found by secants inside a shrinking bracket.
 */
function settleStrength(prepared: Prepared, first: number, usesActivity: boolean): { failure: BalanceFailure | null; strength: number } {
  if (!usesActivity) return prepared.attempt(0)
  let low = 0
  let high = DAVIES_LIMIT_MOL_PER_L
  let isHighTried = false
  let guess = Math.min(first, high)
  let before: { readonly at: number; readonly error: number } | null = null
  for (let round = 0; round < MOST_STRENGTH_ROUNDS; round++) {
    const { failure, strength } = prepared.attempt(guess)
    if (failure !== null) return { failure, strength }
    const error = strength - guess
    if (guess >= DAVIES_LIMIT_MOL_PER_L && error >= 0) return { failure: null, strength }
    if (Math.abs(error) <= STRENGTH_TOLERANCE * strength || high - low <= Number.EPSILON * high) return { failure: null, strength }
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
  return { failure: 'too-many-steps', strength: guess }
}

const failureText: Readonly<Record<BalanceFailure, string>> = {
  'no-start': 'two demands contradict each other (a gas held by the air would keep a solid from ever dissolving or forming)',
  'too-many-steps': 'the balances were not met after all steps allowed',
  singular: 'two balances could not be told apart',
}

/**
 * pH, free concentrations, solids and gases of a liquid once its fast equilibria are reached: mass balance for every
 * component, proton balance, mass action with Davies coefficients (see activity.ts for their limit), water activity 1.
 * Oxidation states are kept apart. It either meets every balance to 1e-10 or is refused with the balance that fails.
 * Amounts must be neutral unless a pH is held.
 */
export function settle(totals: Totals, temperatureK: number, facts: EquilibriumFacts, options: SettleOptions = {}): Outcome<Equilibrium> {
  const problems = checkInput(totals, temperatureK, facts, options)
  if (problems.length > 0) return refuse(...problems)
  const usesActivity = options.activity !== 'none'
  const may = options.solids ?? 'form'
  const maySolidForm = (id: SpeciesId): boolean => may === 'form' || (may !== 'none' && may.includes(id))

  const inertSolids: Record<SpeciesId, number> = {}
  const solids: [SpeciesId, number][] = []
  for (const [id, amount] of Object.entries(totals.solidsMol ?? {})) {
    if (isKnownSolid(id, facts) && maySolidForm(id)) solids.push([id, Math.max(amount, 0)])
    else inertSolids[id] = amount
  }
  const dissolved = Object.entries(totals.amountsMol).filter(([id, amount]) => id !== 'H2O' && amount > 0)
  const openGases = options.openGasesAtm ?? {}
  const system = selectSystem(
    {
      present: dissolved.map(([id]) => id),
      presentSolids: solids.filter(([, amount]) => amount > 0).map(([id]) => id),
      openGases: Object.keys(openGases),
      onRequest: options.onRequest ?? [],
    },
    facts,
  )
  if (options.pH === undefined) {
    const charged = checkCharge(totals, system)
    if (charged) return refuse(charged)
  }

  const totalConcentrations = new Float64Array(system.masters.length)
  for (const [id, amount] of [...dissolved, ...solids]) {
    for (const [master, count] of system.expansionOf(id).masters) {
      totalConcentrations[system.masters.indexOf(master)]! += (count * amount) / totals.volumeL
    }
  }
  let strengthAsEntered = 0
  for (const [id, amount] of dissolved) strengthAsEntered += (0.5 * system.expansionOf(id).charge ** 2 * amount) / totals.volumeL

  const lnK = createConstants({ temperatureK, usesActivity, replaced: options.constants ?? {} }, system)
  const phases = listPhases(
    system,
    {
      pressureAtm: options.pressureAtm ?? 1,
      mayGasLeave: options.gases !== 'stay',
      openGases,
      pH: options.pH ?? null,
      maySolidForm,
    },
    (e) => lnFormation(e, lnK),
  )
  const lnFormed = Float64Array.from(system.species, (s) => lnFormation(s, lnK))
  const prepared = prepare(totalConcentrations, system, phases, lnFormed, temperatureK, usesActivity)
  const { failure, strength } = settleStrength(prepared, strengthAsEntered, usesActivity)
  const { balance, state } = prepared

  const residuals = relativeResiduals(balance, state)
  const worst = residuals.reduce((most, r, i) => (r > residuals[most]! || Number.isNaN(r) ? i : most), 0)
  if (failure !== null || !(residuals[worst]! <= RESIDUAL_LIMIT)) {
    return refuse({
      code: 'mixture/not-settled',
      where: `balance of ${system.masters[worst]!}`,
      what: `it is met to ${residuals[worst]!.toExponential(1)} only (${RESIDUAL_LIMIT.toExponential(0)} is asked for): ${failureText[failure ?? 'too-many-steps']}`,
      todo: 'please report these amounts; meanwhile leave out what is present in traces',
    })
  }
  return report({ totals, temperatureK, options, facts, system, phases, prepared, strength, usesActivity, inertSolids, residuals })
}

/** What is needed to write the answer. */
interface Settled {
  readonly totals: Totals
  readonly temperatureK: number
  readonly options: SettleOptions
  readonly facts: EquilibriumFacts
  readonly system: SpeciesSystem
  readonly phases: readonly NamedPhase[]
  readonly prepared: Prepared
  readonly strength: number
  readonly usesActivity: boolean
  readonly inertSolids: Readonly<Record<SpeciesId, number>>
  readonly residuals: Float64Array
}

function report(settled: Settled): Outcome<Equilibrium> {
  const { totals, temperatureK, system, phases, prepared, strength, usesActivity } = settled
  const { state } = prepared
  const unit = prepared.lnGamma(strength)
  const concentrations: Record<SpeciesId, number> = {}
  const coefficients: Record<SpeciesId, number> = {}
  let net = 0
  let turnover = 0
  system.species.forEach((s, j) => {
    const c = state.concentrations[j]!
    concentrations[s.id] = c
    coefficients[s.id] = Math.exp(unit * s.charge ** 2)
    net += s.charge * c
    turnover += Math.abs(s.charge) * c
  })
  const solidsMol: Record<SpeciesId, number> = { ...settled.inertSolids }
  const gasesMol: Record<SpeciesId, number> = {}
  const saturationIndices: Record<SpeciesId, number> = {}
  let acidAddedMol: number | undefined
  phases.forEach((phase, s) => {
    const amount = state.amounts[s]! * totals.volumeL
    if (phase.kind === 'pH') acidAddedMol = -amount
    else if (phase.kind === 'solid' && amount > 0) solidsMol[phase.id] = amount
    else if (phase.kind === 'gas' && amount !== 0) gasesMol[phase.id] = amount
  })
  const lnK = createConstants({ temperatureK, usesActivity, replaced: settled.options.constants ?? {} }, system)
  for (const phase of [...system.solids, ...system.gases]) {
    let sum = lnFormation(phase, lnK)
    for (const [master, count] of phase.masters) sum += count * state.x[system.masters.indexOf(master)]!
    saturationIndices[phase.id] = sum / Math.LN10
  }

  // Whatever charge was handed in by rounding must come out again, no more and no less; a held pH is balanced by its acid.
  let entered = 0
  for (const [id, amount] of Object.entries(totals.amountsMol)) {
    if (!(amount > 0)) continue
    const charge = (system.expansionOf(id).charge * amount) / totals.volumeL
    entered += charge
    turnover += Math.abs(charge)
  }
  let exchanged = (acidAddedMol ?? 0) / totals.volumeL
  phases.forEach((phase, s) => {
    if (phase.kind === 'pH') return
    phase.coefficients.forEach((b, i) => {
      exchanged -= b * system.species[i]!.charge * state.amounts[s]!
    })
  })
  const chargeResidual = turnover > 0 ? Math.abs(net - entered - exchanged) / turnover : 0
  const withinActivityLimit = !usesActivity || strength <= DAVIES_LIMIT_MOL_PER_L

  const isUsed = new Set<EquilibriumReaction>()
  system.species.forEach((s, j) => {
    if (state.concentrations[j]! > MATTERS_MOL_PER_L) for (const [r] of s.terms) isUsed.add(r)
  })
  for (const phase of [...system.solids, ...system.gases]) {
    if (solidsMol[phase.id] !== undefined || gasesMol[phase.id] !== undefined) for (const [r] of phase.terms) isUsed.add(r)
  }
  const sources: Source[] = [...isUsed].map((r) => ({ source: r.source, seen: r.seen }))
  return done(
    {
      pH: -state.x[system.masters.indexOf(PROTON)]! / Math.LN10,
      ionicStrengthMolPerL: strength,
      concentrationsMolPerL: concentrations,
      activityCoefficients: coefficients,
      solidsMol,
      gasesMol,
      saturationIndices,
      ...(acidAddedMol === undefined ? {} : { acidAddedMol }),
      withinActivityLimit,
      residual: Math.max(chargeResidual, ...settled.residuals),
      iterations: state.iterations,
      sources: distinctSources(sources),
    },
    warningsOf([...isUsed], temperatureK, strength, withinActivityLimit),
  )
}

function warningsOf(used: readonly EquilibriumReaction[], temperatureK: number, strength: number, isWithin: boolean): Problem[] {
  const warnings: Problem[] = []
  if (!isWithin) {
    warnings.push({
      code: 'mixture/beyond-activity-limit',
      where: 'the liquid',
      what: `its ionic strength is ${strength.toPrecision(2)} mol/L; activity coefficients are known up to ${DAVIES_LIMIT_MOL_PER_L} mol/L and held above`,
      todo: 'read pH and free concentrations as indications: pH to about 0.2, complexes to a factor of two',
    })
  }
  const unknown = used.filter((r) => !isKnownAt(r, temperatureK)).map((r) => r.id)
  if (unknown.length > 0) {
    warnings.push({
      code: 'mixture/constant-at-other-temperature',
      where: 'the list of equilibria',
      what: `no value at ${kelvinToCelsius(temperatureK).toFixed(1)} degC for ${unknown.join(', ')}: the nearest known was used`,
      todo: 'expect some tenths of a unit in the constant for each 20 K',
    })
  }
  return warnings
}
