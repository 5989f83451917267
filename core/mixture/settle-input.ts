/** What may be settled, how, and every fault that a request can have. */
import { type Problem, suggestion } from '@beakertide/basis/problems'
import { kelvinToCelsius } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import type { EquilibriumFacts } from './reactions.ts'
import { isKnownGas, type SpeciesSystem } from './species-system.ts'

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

/** Everything that can be wrong with what was handed in. */
export function checkInput(totals: Totals, temperatureK: number, facts: EquilibriumFacts, options: SettleOptions): Problem[] {
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
export function checkCharge(totals: Totals, system: SpeciesSystem): Problem | null {
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
