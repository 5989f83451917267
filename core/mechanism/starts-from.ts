/** Which species of the mixture feed a species of the mechanism. */
import type { SpeciesId } from '../matter/index.ts'
import type { MechanismSpecies } from './mechanism.ts'

/** Mixture species that a mechanism species starts from. */
export function startsFrom(species: MechanismSpecies): readonly SpeciesId[] {
  return species.startsFrom ?? [species.id]
}

/** What the mixture gives one species, mol/L: the sum of those it starts from; absent or negative ones count as zero. */
export function amountFor(species: MechanismSpecies, concentrations: Readonly<Record<SpeciesId, number>>): number {
  return startsFrom(species).reduce((sum, id) => sum + (Object.hasOwn(concentrations, id) ? Math.max(0, concentrations[id] ?? 0) : 0), 0)
}
