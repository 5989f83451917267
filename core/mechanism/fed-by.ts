/** Which mechanisms a list of substances can feed: a first sieve of names, before anything is weighed or mixed. */
import type { SpeciesId } from '../matter/index.ts'
import type { Mechanism } from './mechanism.ts'

/** What every liquid brings, or is set right with any acid or base; the air brings its oxygen. */
const ALWAYS_THERE: ReadonlySet<SpeciesId> = new Set(['H2O', 'H+', 'OH-', 'O2'])

/**
 * True when each net reaction of the mechanism can run from these species: what it uses and needs is brought, or made by another one that
 * can run. Amounts are not looked at (`deadLimits` does). False for a mechanism that names no net reaction.
 */
export function isFedBy(mechanism: Mechanism, brought: Iterable<SpeciesId>): boolean {
  const there = new Set([...ALWAYS_THERE, ...brought])
  const kinds = new Map([...mechanism.species, ...(mechanism.netSpecies ?? [])].map((s) => [s.id, s]))
  const has = (id: SpeciesId): boolean => there.has(id) || (kinds.get(id)?.startsFrom ?? []).some((from) => there.has(from))
  let waiting = mechanism.netReactions
  for (;;) {
    const running = waiting.filter((r) => [...r.reactants.map((t) => t.species), ...(r.needs ?? [])].every(has))
    if (running.length === 0) return mechanism.netReactions.length > 0 && waiting.length === 0
    for (const r of running) for (const { species } of r.products) there.add(species)
    waiting = waiting.filter((r) => !running.includes(r))
  }
}
