/** Which species can ever be there: the closure of the steps over what is present. */
import type { SpeciesId } from '../matter/index.ts'
import type { Mechanism, Step } from './mechanism.ts'
import { vanishesWithout } from './vanishing.ts'

export interface Reach {
  /** Present or formed by some chain of steps. */
  readonly reachable: ReadonlySet<SpeciesId>
  /** Steps of which neither direction can ever run. */
  readonly idleSteps: readonly string[]
}

/** True when the step can run in its written direction with these species. */
function canRun(step: Step, present: ReadonlySet<SpeciesId>, backwards: boolean): boolean {
  const left = backwards ? step.products : step.reactants
  if (!left.every((t) => present.has(t.species))) return false
  return step.law.kind === 'mass-action' || !vanishesWithout(step.law.expression, (id) => present.has(id))
}

/** The closure over `present` (the solvent is always there). */
export function reach(mechanism: Mechanism, present: Iterable<SpeciesId>): Reach {
  const reachable = new Set(present)
  for (const s of mechanism.species) if (s.role === 'solvent') reachable.add(s.id)
  const ran = new Set<string>()
  for (let before = -1; before !== reachable.size + ran.size; ) {
    before = reachable.size + ran.size
    for (const step of mechanism.steps) {
      const forward = canRun(step, reachable, false)
      const back = step.reversible && canRun(step, reachable, true)
      if (forward || back) ran.add(step.id)
      if (forward) for (const t of step.products) reachable.add(t.species)
      if (back) for (const t of step.reactants) reachable.add(t.species)
    }
  }
  return { reachable, idleSteps: mechanism.steps.filter((s) => !ran.has(s.id)).map((s) => s.id) }
}

/**
 * Species whose absence blocks steps: adding them one after another lets every idle step run. The one that frees most steps
 * comes first; among equals the one that stands first in the mechanism. Not reachable ones only.
 */
export function missingRoots(
  mechanism: Mechanism,
  present: Iterable<SpeciesId>,
): readonly { readonly species: SpeciesId; readonly frees: readonly string[] }[] {
  const roots: { species: SpeciesId; frees: readonly string[] }[] = []
  const given = new Set(present)
  for (;;) {
    const now = reach(mechanism, given)
    if (now.idleSteps.length === 0) return roots
    const candidates = mechanism.species.filter((s) => !now.reachable.has(s.id))
    const freed = candidates.map((s) => {
      const after = reach(mechanism, [...given, s.id])
      return { species: s.id, frees: now.idleSteps.filter((id) => !after.idleSteps.includes(id)) }
    })
    const best = freed.reduce((a, b) => (b.frees.length > a.frees.length ? b : a), { species: '', frees: [] as readonly string[] })
    if (best.frees.length === 0) {
      // two absent species are needed together: take the first and go on
      const first = candidates[0]
      if (!first) return roots
      given.add(first.id)
      roots.push({ species: first.id, frees: [] })
      continue
    }
    given.add(best.species)
    roots.push(best)
  }
}
