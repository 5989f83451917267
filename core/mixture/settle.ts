/** Fast equilibria of one liquid: amounts as entered in, free concentrations and pH out. */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import type { SpeciesId } from '../matter/index.ts'
import { amountOf, type BalanceFailure, oversaturation, relativeResiduals } from './balance.ts'
import type { Equilibrium } from './inventory.ts'
import { type Prepared, prepare, settleStrength, type StrengthFound } from './ionic-strength.ts'
import { listPhases, type NamedPhase } from './phases.ts'
import type { EquilibriumFacts } from './reactions.ts'
import { checkCharge, checkInput, type SettleOptions, type Totals } from './settle-input.ts'
import { report, type Settled } from './settle-report.ts'
import { formationConstants, isKnownSolid, PROTON, selectSystem, type SpeciesSystem } from './species-system.ts'

/** Largest relative residual of a settled liquid. */
const RESIDUAL_LIMIT = 1e-10
/** Share by which a halogen must outweigh the halide that it lacks. */
const PARTNER_MARGIN = 1e-9
/** Largest departure from saturation of a phase that is there, ln units. */
const SATURATION_LIMIT = 1e-9

const failureText: Readonly<Record<BalanceFailure, string>> = {
  'no-start': 'the air is to hold this gas at a pressure that the liquid cannot have: something forms from it before, without end',
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
  const settled = bringToRest(totals, temperatureK, facts, options)
  return settled.ok ? report(settled.value) : settled
}

/** The same without the answer written out, for where only amounts are wanted. What it holds is good until the next liquid is settled. */
export function bringToRest(totals: Totals, temperatureK: number, facts: EquilibriumFacts, options: SettleOptions = {}): Outcome<Settled> {
  const problems = checkInput(totals, temperatureK, facts, options)
  if (problems.length > 0) return refuse(...problems)
  const usesActivity = options.activity !== 'none'
  const may = options.solids ?? 'form'
  const maySolidForm = (id: SpeciesId): boolean => may === 'form' || (may !== 'none' && may.includes(id))

  const inertSolids: Record<SpeciesId, number> = {}
  const solidsMolPerL: Record<SpeciesId, number> = {}
  const dissolved: [SpeciesId, number][] = []
  for (const [id, amount] of [...Object.entries(totals.amountsMol), ...Object.entries(totals.solidsMol ?? {})]) {
    if (id === 'H2O' || amount <= 0) continue
    if (!id.endsWith('(s)')) dissolved.push([id, amount])
    else if (isKnownSolid(id, facts) && maySolidForm(id)) solidsMolPerL[id] = (solidsMolPerL[id] ?? 0) + amount / totals.volumeL
    else inertSolids[id] = (inertSolids[id] ?? 0) + amount
  }
  const openGases = options.openGasesAtm ?? {}
  const system = selectSystem(
    {
      present: dissolved.map(([id]) => id),
      presentSolids: Object.keys(solidsMolPerL),
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
  for (const [id, amount] of dissolved) {
    for (const [master, count] of system.expansionOf(id).masters) {
      totalConcentrations[system.columnOf(master)]! += (count * amount) / totals.volumeL
    }
  }
  const alone = checkPartners(totalConcentrations, system)
  if (alone) return refuse(alone)
  let strengthAsEntered = 0
  for (const [id, amount] of dissolved) strengthAsEntered += (0.5 * system.expansionOf(id).charge ** 2 * amount) / totals.volumeL

  const constants = formationConstants({ temperatureK, usesActivity, replaced: options.constants ?? {} }, system)
  const phases = listPhases(
    system,
    {
      pressureAtm: options.pressureAtm ?? 1,
      mayGasLeave: options.gases !== 'stay',
      openGases,
      pH: options.pH ?? null,
      maySolidForm,
      solidsMolPerL,
    },
    constants.of,
  )
  const prepared = prepare(totalConcentrations, system, phases, constants.ofSpecies, temperatureK, usesActivity)
  const found = settleStrength(prepared, strengthAsEntered, usesActivity)
  const problem = verify(prepared, system, phases, found)
  if (problem) return refuse(problem)
  const residual = Math.max(found.mismatch, ...relativeResiduals(prepared.balance, prepared.state))
  return done({
    totals,
    temperatureK,
    system,
    phases,
    prepared,
    strength: found.strength,
    usesActivity,
    inertSolids,
    residual,
    lnFormed: constants.of,
  })
}

/**
 * A hydrolysis on request sets a master free (I2 = HOI + I- + H+), so a liquid of HOI counts as iodine less iodide. If no
 * more iodine is there than iodide is lacking, all of it must stay HOI and the constant cannot be met.
 */
function checkPartners(totals: Float64Array, system: SpeciesSystem): Problem | null {
  const totalOf = (master: SpeciesId): number => totals[system.columnOf(master)]!
  for (const [i, master] of system.masters.entries()) {
    const lacking = -totals[i]!
    if (master === PROTON || lacking <= 0) continue
    let most = 0
    for (const { masters } of system.species) {
      const freed = -(masters.find(([m]) => m === master)?.[1] ?? 0)
      if (freed <= 0) continue
      const givers = masters.flatMap(([m, count]) => (count > 0 && m !== PROTON ? [(totalOf(m) * freed) / count] : []))
      most = Math.max(most, Math.min(...givers))
    }
    if (most > lacking * (1 + PARTNER_MARGIN)) continue
    return {
      code: 'mixture/no-partner',
      where: master,
      what: 'a hydrolysis taken in on request would have to run backwards with nothing to run back with',
      todo: 'leave that hydrolysis out, or put in the halide that it needs',
    }
  }
  return null
}

/** Looks at the answer afresh, whatever the search says about it: every balance, every phase, the ionic strength. */
function verify(prepared: Prepared, system: SpeciesSystem, phases: readonly NamedPhase[], found: StrengthFound): Problem | null {
  const { balance, state } = prepared
  if (found.failure === 'no-start') {
    return {
      code: 'mixture/contradiction',
      where: phases.flatMap((p) => (p.kind === 'gas' && p.isHeld ? [p.id] : [])).join(', ') || 'the liquid',
      what: failureText[found.failure],
      todo: 'lower the partial pressure, or do not let that solid form',
    }
  }
  const residuals = relativeResiduals(balance, state)
  const worst = residuals.reduce((most, r, i) => (!(r <= residuals[most]!) ? i : most), 0)
  const failed = (where: string, size: number): Problem => ({
    code: 'mixture/not-settled',
    where,
    what: `it is met to ${size.toExponential(1)} only (${RESIDUAL_LIMIT.toExponential(0)} is asked for): ${failureText[found.failure ?? 'too-many-steps']}`,
    todo: 'please report these amounts; meanwhile leave out what is present in traces',
  })
  if (found.failure !== null || !(residuals[worst]! <= RESIDUAL_LIMIT))
    return failed(`balance of ${system.masters[worst]!}`, residuals[worst]!)
  if (!(found.mismatch <= RESIDUAL_LIMIT)) return failed('ionic strength', found.mismatch)
  for (const [s, phase] of phases.entries()) {
    const over = oversaturation(phase, state.x)
    const isMet = phase.isHeld || amountOf(phase, state.uptake[s]!) > 0 ? Math.abs(over) <= SATURATION_LIMIT : over <= SATURATION_LIMIT
    if (!isMet) return failed(`saturation of ${phase.id}`, Math.abs(over))
  }
  return null
}
