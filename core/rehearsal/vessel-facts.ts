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
/**
 * Without stirring hardly anything leaves through the surface. Gas then leaves as bubbles, which can grow only where the
 * liquid holds more than pure gas at the outer pressure would keep dissolved; above that, with this rate constant.
 */
export const gasBubblesStill: Sourced = {
  value: 0.02,
  unit: '1/s',
  uncertainty: 0.02,
  source: 'our own choice: bubbles on glass and dust carry off a strong supersaturation within a minute or so',
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

/** Dissolved gas in equilibrium with itself, pure, at 1 atm, mol/L; null when its solubility is not on file. */
export function gasSolubility(species: string, temperatureK: number, facts: EquilibriumFacts): number | null {
  const reaction = facts.reactions.find((r) => r.kind === 'gas' && r.defines === `${species}(g)`)
  if (!reaction) return null
  // Written "X = X(g)" (K = p/c) or "X(g) = X" (K = c/p): the sign of the gas tells which.
  const k = 10 ** log10KAt(reaction, temperatureK)
  return (reaction.numbers[`${species}(g)`] ?? 1) > 0 ? 1 / k : k
}

/** Dissolved gas in equilibrium with room air, mol/L; null when it is no gas of the air or its solubility is not on file. Total pressure 1 atm. */
export function airSaturation(species: string, temperatureK: number, facts: EquilibriumFacts): number | null {
  const share = Object.hasOwn(airShare, species) ? airShare[species] : undefined
  const pure = share ? gasSolubility(species, temperatureK, facts) : null
  return share && pure !== null ? share.value * pure : null
}

/** Concentration of a neutral molecule over its own solid, mol/L; null when not on file. */
export function solidSaturation(species: string, temperatureK: number, facts: EquilibriumFacts): number | null {
  const reaction = facts.reactions.find((r) => r.kind === 'solid' && r.defines === `${species}(s)`)
  if (!reaction || Math.abs(reaction.numbers[species] ?? 0) !== 1) return null
  const k = 10 ** log10KAt(reaction, temperatureK)
  return (reaction.numbers[`${species}(s)`] ?? -1) > 0 ? 1 / k : k
}

/** Species that come out as a solid within a show. Other solids belong to settling and to clearing. */
const FORMS_SOLID = 'I2'

/** Concentration above which a process of this vessel runs, mol/L; null when the solubility is not on file. */
export function limitOf(process: VesselProcess, vessel: Vessel, temperatureK: number, facts: EquilibriumFacts): number | null {
  if (process.kind === 'solid-forms') return solidSaturation(process.species, temperatureK, facts)
  return vessel.stirred ? airSaturation(process.species, temperatureK, facts) : gasSolubility(process.species, temperatureK, facts)
}

/**
 * Processes that belong to this vessel for the dynamic species of a mechanism: gases of the air leave, iodine comes out as
 * a solid. Their limits are those of `temperatureK`; a species without a solubility on file has no process.
 */
export function vesselProcesses(
  mechanism: Mechanism,
  vessel: Vessel,
  temperatureK: number,
  facts: EquilibriumFacts,
): readonly VesselProcess[] {
  const gasRate = (vessel.stirred ? gasExchangeStirred : gasBubblesStill).value
  return mechanism.species.flatMap(({ id, role }): readonly VesselProcess[] => {
    if (role !== 'dynamic') return []
    if (Object.hasOwn(airShare, id)) {
      const leaves: VesselProcess = { kind: 'gas-leaves', species: id, saturationMolPerL: 0, ratePerS: gasRate }
      const limit = limitOf(leaves, vessel, temperatureK, facts)
      return limit === null ? [] : [{ ...leaves, saturationMolPerL: limit }]
    }
    const forms: VesselProcess = { kind: 'solid-forms', species: id, solubilityMolPerL: 0, ratePerS: solidExchange.value }
    const limit = id === FORMS_SOLID ? limitOf(forms, vessel, temperatureK, facts) : null
    return limit === null ? [] : [{ ...forms, solubilityMolPerL: limit }]
  })
}
