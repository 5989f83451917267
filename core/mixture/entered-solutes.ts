/**
 * Which whole solutes stand behind the ions of a liquid: sulfuric acid behind 2 H+ and SO4^2-. Density tables and
 * heats of dilution speak of whole solutes, inventories of ions.
 */
import { concentrationFromMassFraction, type MatterFacts, type SpeciesId } from '../matter/index.ts'

/** One solute with a density table. */
export interface Solute {
  /** Formula under which matter's tables know it. */
  readonly formula: string
  readonly name: string
  readonly molarMassGPerMol: number
  /** Dissolved species of one mole, mol; crystal water left out. */
  readonly parts: readonly (readonly [SpeciesId, number])[]
}

/** Dilute solution and table temperature with which the molar mass of a table's solute is asked for. */
const PROBE_MASS_FRACTION = 0.01
const PROBE_CELSIUS = 20

const remembered = new WeakMap<MatterFacts, readonly Solute[]>()

/** Strong acids first, then bases: their ions must not be counted to a salt. */
function rank(solute: Solute): number {
  const count = (id: SpeciesId): number => solute.parts.find(([part]) => part === id)?.[1] ?? 0
  return -(10 * count('H+') + count('OH-'))
}

/** Every solute with a density table whose entry into water is known, in the order in which ions are assigned to them. */
export function tabledSolutes(facts: MatterFacts): readonly Solute[] {
  const before = remembered.get(facts)
  if (before) return before
  const found = new Map<string, Solute>()
  for (const substance of facts.substances) {
    const probe = concentrationFromMassFraction(substance.formula, PROBE_MASS_FRACTION, PROBE_CELSIUS, facts)
    if (!probe) continue
    const parts = substance.entersWater.filter((e) => e.species !== 'H2O').map((e) => [e.species, e.count] as const)
    if (parts.length === 0 || parts.some(([id, count]) => count <= 0 || id.endsWith('(s)'))) continue
    const key = parts.map(([id, count]) => `${count} ${id}`).join(' ')
    if (!found.has(key)) {
      found.set(key, { formula: substance.formula, name: substance.name, molarMassGPerMol: probe.gPerL / probe.molPerL, parts })
    }
  }
  const sorted = [...found.values()].sort((a, b) => rank(a) - rank(b))
  remembered.set(facts, sorted)
  return sorted
}

/** Amount of each tabled solute, mol, that the species of one solution as made can be put together to; leftovers are nobody's. */
export function wholeSolutes(amountsMol: Readonly<Record<SpeciesId, number>>, facts: MatterFacts): ReadonlyMap<Solute, number> {
  const left: Record<SpeciesId, number> = { ...amountsMol }
  const found = new Map<Solute, number>()
  for (const solute of tabledSolutes(facts)) {
    let most = Infinity
    for (const [id, count] of solute.parts) most = Math.min(most, (left[id] ?? 0) / count)
    if (!(most > 0)) continue
    for (const [id, count] of solute.parts) left[id] = (left[id] ?? 0) - most * count
    found.set(solute, most)
  }
  return found
}
