/** What a run says of its own colour: which species it is, and what hid it. */
import type { SpeciesId } from '../matter/index.ts'
import type { NetReaction } from './mechanism.ts'
import type { Reign } from './reasons.ts'

/** Below this share of what was there at first, a species is used up (our choice). */
const GONE_SHARE = 0.02

/** The species whose making is told for the longest time; null when none is made. */
export function mostMade(reigns: readonly Reign[]): SpeciesId | null {
  const lengths = new Map<SpeciesId, number>()
  for (const r of reigns)
    if (r.step !== null && r.role === 'makes') lengths.set(r.species, (lengths.get(r.species) ?? 0) + (r.toS - r.fromS))
  let best: SpeciesId | null = null
  for (const [species, length] of lengths) if (best === null || length > (lengths.get(best) ?? 0)) best = species
  return best
}

/**
 * What a net reaction must use up before its colour shows, where that has happened between two times; null: nothing. Strengths in any one
 * unit; null for a species that is not followed.
 */
export function usedUp(
  reactions: readonly NetReaction[],
  before: (species: SpeciesId) => number | null,
  after: (species: SpeciesId) => number | null,
): SpeciesId | null {
  const isGone = (species: SpeciesId): boolean => {
    const [first, last] = [before(species), after(species)]
    return first !== null && last !== null && first > 0 && last < GONE_SHARE * first
  }
  return reactions.flatMap((r) => r.after ?? []).find(isGone) ?? null
}
