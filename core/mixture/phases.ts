/** Solids, gases and a held pH as phases of the balance. */
import type { SpeciesId } from '../matter/index.ts'
import type { BalancePhase } from './balance.ts'
import { type Expansion, PROTON, type SpeciesSystem } from './species-system.ts'

/** How the vessel meets the air and the pH-stat. */
export interface PhaseRule {
  /** Pressure over the liquid, atm: a gas whose own pressure would exceed it wants to leave. */
  readonly pressureAtm: number
  readonly mayGasLeave: boolean
  /** Partial pressure, atm, of each gas that the air supplies and takes without end. */
  readonly openGases: Readonly<Record<SpeciesId, number>>
  readonly pH: number | null
  readonly maySolidForm: (id: SpeciesId) => boolean
  /** Solids lying there, mol/L. */
  readonly solidsMolPerL: Readonly<Record<SpeciesId, number>>
}

/** A phase with the name under which it is reported. */
export interface NamedPhase extends BalancePhase {
  readonly id: SpeciesId
  readonly kind: 'solid' | 'gas' | 'pH'
}

function coefficients(expansion: Expansion, system: SpeciesSystem): Float64Array {
  const out = new Float64Array(system.masters.length)
  for (const [master, count] of expansion.masters) out[system.columnOf(master)] = count
  return out
}

/** The master to move so that the phase comes to saturation: a metal ion if there is one, never a proton or one that is taken. */
function chooseOwner(expansion: Expansion, system: SpeciesSystem, taken: ReadonlySet<number>): number {
  let best = -1
  let bestCharge = -Infinity
  for (const [master, count] of expansion.masters) {
    const i = system.columnOf(master)
    const { charge } = system.species[i]!
    if (master === PROTON || count <= 0 || taken.has(i) || charge <= bestCharge) continue
    best = i
    bestCharge = charge
  }
  return best
}

/** Every phase that can take part. `lnFormed` is ln K of forming the solid (as saturation) or gas (as ln pressure) from the masters. */
export function listPhases(system: SpeciesSystem, rule: PhaseRule, lnFormed: (expansion: Expansion) => number): readonly NamedPhase[] {
  const phases: NamedPhase[] = []
  const taken = new Set<number>()
  if (rule.pH !== null) {
    const held = new Float64Array(system.masters.length)
    const owner = system.columnOf(PROTON)
    held[owner] = 1
    phases.push({ id: PROTON, kind: 'pH', coefficients: held, limit: -rule.pH * Math.LN10, isHeld: true, owner, initial: 0 })
    taken.add(owner)
  }
  for (const gas of system.gases) {
    const pressure = rule.openGases[gas.id]
    if (pressure === undefined) continue
    const owner = chooseOwner(gas, system, taken)
    taken.add(owner)
    phases.push({
      id: gas.id,
      kind: 'gas',
      coefficients: coefficients(gas, system),
      limit: Math.log(pressure) - lnFormed(gas),
      isHeld: true,
      owner,
      initial: 0,
    })
  }
  for (const gas of system.gases) {
    if (rule.openGases[gas.id] !== undefined || !rule.mayGasLeave) continue
    const limit = Math.log(rule.pressureAtm) - lnFormed(gas)
    phases.push({
      id: gas.id,
      kind: 'gas',
      coefficients: coefficients(gas, system),
      limit,
      isHeld: false,
      owner: chooseOwner(gas, system, taken),
      initial: 0,
    })
  }
  for (const solid of system.solids) {
    if (!rule.maySolidForm(solid.id)) continue
    phases.push({
      id: solid.id,
      kind: 'solid',
      coefficients: coefficients(solid, system),
      limit: -lnFormed(solid),
      isHeld: false,
      owner: chooseOwner(solid, system, taken),
      initial: rule.solidsMolPerL[solid.id] ?? 0,
    })
  }
  return phases
}
