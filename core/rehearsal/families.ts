/** Species that are one substance to a chemist: acid and anions, keto and enol form. */
import type { Mechanism, MechanismSpecies } from '../mechanism/index.ts'

/** What is left of a formula and its charge once the protons are taken off; null when nothing but hydrogen is in it. */
function withoutProtons(s: MechanismSpecies): string | null {
  if (s.composition === null || s.role === 'solvent') return null
  const elements = Object.entries(s.composition).filter(([element, n]) => element !== 'H' && n !== 0)
  if (elements.length === 0) return null
  const core = elements.map(([element, n]) => `${element}${n}`).sort()
  return `${core.join(' ')} ${s.charge - (s.composition.H ?? 0)}`
}

/**
 * Dynamic species of a mechanism that differ by protons only (malonic acid, its anions, its enol), by the id of each:
 * fast equilibria keep them together, so they are judged as one reactant. A species alone is its own family.
 */
export function familiesOf(mechanism: Mechanism): ReadonlyMap<string, readonly string[]> {
  const byCore = new Map<string, string[]>()
  const coreOf = new Map<string, string>()
  for (const s of mechanism.species) {
    if (s.role !== 'dynamic') continue
    const core = withoutProtons(s) ?? s.id
    coreOf.set(s.id, core)
    byCore.set(core, [...(byCore.get(core) ?? []), s.id])
  }
  return new Map([...coreOf].map(([id, core]) => [id, byCore.get(core)!]))
}
