/** What the vessel, not the mechanism, contributes: gas that leaves, iodine that comes out as solid, heat lost to the room. */
import type { Sourced } from '@beakertide/basis/sources'
import type { Mechanism, VesselProcess } from '../mechanism/index.ts'
import { type EquilibriumFacts, log10KAt, type Vessel } from '../mixture/index.ts'

/** Exchange of dissolved gas with the air: first-order rate constant, stirred so that the surface dimples. */
export const gasExchangeStirred: Sourced = {
  value: 0.01,
  unit: '1/s',
  uncertainty: 0.01,
  source: 'our own choice: minutes to lose supersaturation from a stirred beaker',
  seen: 'assumed',
}
/** The same without stirring. */
export const gasExchangeStill: Sourced = {
  value: 1e-4,
  unit: '1/s',
  uncertainty: 1e-4,
  source: 'our own choice: hours for a quiet liquid some centimetres deep',
  seen: 'assumed',
}
/** Growth and dissolution of a fine solid, first order in the distance from saturation. */
export const solidExchange: Sourced = {
  value: 0.05,
  unit: '1/s',
  uncertainty: 0.05,
  source: 'our own choice: tens of seconds for finely divided iodine in a stirred liquid',
  seen: 'assumed',
}
/** Newton cooling of an open glass beaker of some hundred millilitres. */
export const heatLoss: Sourced = {
  value: 1 / 2400,
  unit: '1/s',
  uncertainty: 1 / 4800,
  source: 'our own choice: an open beaker of hot water loses half its excess temperature in about half an hour',
  seen: 'assumed',
}
/** Share of oxygen and carbon dioxide in room air by volume. */
export const airShare: Readonly<Record<string, Sourced>> = {
  O2: { value: 0.2095, unit: 'atm/atm', source: 'composition of dry air, U.S. Standard Atmosphere 1976', seen: 'memory' },
  CO2: { value: 0.00042, unit: 'atm/atm', source: 'about 420 ppm, present-day air', seen: 'memory' },
}

/** Dissolved gas in equilibrium with room air, mol/L; null when its solubility is not on file. Total pressure 1 atm. */
export function airSaturation(species: string, temperatureK: number, facts: EquilibriumFacts): number | null {
  const share = airShare[species]
  const reaction = facts.reactions.find((r) => r.kind === 'gas' && r.defines === `${species}(g)`)
  if (!share || !reaction) return null
  // Written "X = X(g)" (K = p/c) or "X(g) = X" (K = c/p): the sign of the gas tells which.
  const k = 10 ** log10KAt(reaction, temperatureK)
  return (reaction.numbers[`${species}(g)`] ?? 1) > 0 ? share.value / k : share.value * k
}

/** Concentration of a neutral molecule over its own solid, mol/L; null when not on file. */
export function solidSaturation(species: string, temperatureK: number, facts: EquilibriumFacts): number | null {
  const reaction = facts.reactions.find((r) => r.kind === 'solid' && r.defines === `${species}(s)`)
  if (!reaction || Math.abs(reaction.numbers[species] ?? 0) !== 1) return null
  const k = 10 ** log10KAt(reaction, temperatureK)
  return (reaction.numbers[`${species}(s)`] ?? -1) > 0 ? 1 / k : k
}

/** Processes that belong to this vessel for the dynamic species of a mechanism. */
export function vesselProcesses(
  mechanism: Mechanism,
  vessel: Vessel,
  temperatureK: number,
  facts: EquilibriumFacts,
): readonly VesselProcess[] {
  const out: VesselProcess[] = []
  const gasRate = vessel.stirred ? gasExchangeStirred.value : gasExchangeStill.value
  for (const s of mechanism.species) {
    if (s.role !== 'dynamic') continue
    if (s.id in airShare) {
      const saturation = airSaturation(s.id, temperatureK, facts)
      if (saturation !== null) out.push({ kind: 'gas-leaves', species: s.id, saturationMolPerL: saturation, ratePerS: gasRate })
    } else if (s.id === 'I2') {
      const saturation = solidSaturation(s.id, temperatureK, facts)
      if (saturation !== null)
        out.push({ kind: 'solid-forms', species: s.id, solubilityMolPerL: saturation, ratePerS: solidExchange.value })
    }
  }
  return out
}
