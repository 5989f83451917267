/** Reaction heat of every step from enthalpies of formation. */
import type { SpeciesId } from '../matter/index.ts'
import type { Mechanism, Term } from './mechanism.ts'
import type { VesselProcess } from './network.ts'

export interface StepEnthalpies {
  /** kJ/mol by step id, as the equation is written; "O2(g)" and "I2(s)" for vessel processes. What `compileNetwork` takes. */
  readonly byStep: Readonly<Record<string, number>>
  /** Steps whose heat is not known, with the species that lack an enthalpy of formation ("lumped" for lumped steps). */
  readonly unknown: readonly { readonly step: string; readonly lacking: readonly string[] }[]
  /** Species for which the estimate of the mechanism file was taken, because no table has them. */
  readonly estimated: readonly SpeciesId[]
}

/**
 * Sum of nu * enthalpy of formation for each step and vessel process.
 *
 * @param formation kJ/mol of a dissolved species, "H2O" for the liquid, "O2(g)", "I2(s)"; null when no table has it
 *
 * Tables go first, estimates of the file ("formation:") second. A step with an `enthalpy:` of its own needs neither.
 */
export function stepEnthalpies(
  mechanism: Mechanism,
  formation: (species: SpeciesId) => number | null,
  processes: readonly VesselProcess[] = [],
): StepEnthalpies {
  const byStep: Record<string, number> = {}
  const unknown: { step: string; lacking: readonly string[] }[] = []
  const estimated = new Set<SpeciesId>()
  const of = new Map<SpeciesId, number | null>()
  for (const s of mechanism.species) {
    const tabulated = formation(s.id)
    if (tabulated === null && s.formationKJPerMol !== undefined) estimated.add(s.id)
    of.set(s.id, tabulated ?? s.formationKJPerMol ?? null)
  }
  for (const step of mechanism.steps) {
    if (step.enthalpyKJPerMol !== undefined) {
      byStep[step.id] = step.enthalpyKJPerMol
      continue
    }
    if (step.lumped !== undefined) {
      unknown.push({ step: step.id, lacking: ['lumped'] })
      continue
    }
    const lacking = [...new Set([...step.reactants, ...step.products].map((t) => t.species))].filter((id) => (of.get(id) ?? null) === null)
    if (lacking.length > 0) {
      unknown.push({ step: step.id, lacking })
      continue
    }
    const sum = (terms: readonly Term[]): number => terms.reduce((total, t) => total + t.coefficient * (of.get(t.species) ?? 0), 0)
    byStep[step.id] = sum(step.products) - sum(step.reactants)
  }
  for (const p of processes) {
    const counter = `${p.species}${p.kind === 'gas-leaves' ? '(g)' : '(s)'}`
    const before = of.get(p.species) ?? null
    const after = formation(counter)
    if (before !== null && after !== null) byStep[counter] = after - before
    else if (of.has(p.species)) unknown.push({ step: counter, lacking: [before === null ? p.species : counter] })
  }
  return { byStep, unknown, estimated: [...estimated] }
}
