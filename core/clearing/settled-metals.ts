/** Dissolved metal by the mixture room's equilibrium: carbonate in slight excess, pH held, solids allowed to form. */
import { type EquilibriumFacts, settle } from '../mixture/index.ts'
import type { SpeciesId } from '../matter/index.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import type { Amounts } from './reduction.ts'

/** Carbonate in the liquid beyond what the metals take, mol/L: that of the table it replaces. */
const CARBONATE_MOL_PER_L = 0.02
/** Carbonate a mole of metal that it may take. */
const CARBONATE_A_METAL = 1

/** "Cu2(OH)2CO3(s)" holds 2 of Cu, "MnMA" 1 of Mn, "CO3^2-" none of Co. */
function metalCount(species: SpeciesId, metal: string): number {
  const m = new RegExp(`^${metal}(\\d*)(?![a-z])`).exec(species)
  if (!m) return 0
  // In "Mn2+" the digits are the charge.
  const bare = new RegExp(`^${metal}\\d*[+-]$`).test(species)
  return bare || m[1] === '' ? 1 : Number(m[1])
}

/**
 * mg/L of each metal left dissolved in `volumeL` at `pH`, for metals of which a solid formed; null when the liquid cannot be settled (the caller then takes
 * the table). `amounts` are those after the reduction.
 */
export function settledMetals(
  amounts: Amounts,
  volumeL: number,
  pH: number,
  temperatureK: number,
  equilibria: EquilibriumFacts,
  facts: ClearingFacts,
): Readonly<Record<string, number>> | null {
  const metals = facts.metals.filter((m) => m.species.some((s) => (amounts[s] ?? 0) > 0))
  const metalMol = metals.reduce((n, m) => n + m.species.reduce((k, s) => k + (amounts[s] ?? 0), 0), 0)
  const carbonate = CARBONATE_MOL_PER_L * volumeL + CARBONATE_A_METAL * metalMol
  const dissolved = Object.fromEntries(Object.entries(amounts).filter(([s, n]) => n > 0 && !s.endsWith('(s)') && !s.endsWith('(g)')))
  const totals = { volumeL, amountsMol: { ...dissolved, 'CO3^2-': (dissolved['CO3^2-'] ?? 0) + carbonate } }
  const outcome = settle(totals, temperatureK, equilibria, { pH, gases: 'stay' })
  if (!outcome.ok) return null
  const { concentrationsMolPerL, solidsMol } = outcome.value
  // No solid of a metal formed: the list may not hold one, and "all of it stays" would be a claim nobody made.
  const fallen = metals.filter((m) => Object.entries(solidsMol).some(([s, n]) => n > 0 && metalCount(s, m.metal) > 0))
  return Object.fromEntries(
    fallen.map((m) => [
      m.metal,
      Object.entries(concentrationsMolPerL).reduce((sum, [s, c]) => sum + c * metalCount(s, m.metal), 0) * m.atomicMass * 1000,
    ]),
  )
}
