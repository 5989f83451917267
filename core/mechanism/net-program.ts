/**
 * Net reactions as a linear program: which amounts can be left when the declared net reactions run as far as they like.
 * Unknowns are their extents (and those of acid-base, complex and form equilibria in both directions).
 */
import type { SpeciesId } from '../matter/index.ts'
import { type Limit, maximise } from './linear-program.ts'
import type { Mechanism, MechanismSpecies, Step, Term } from './mechanism.ts'
import { startsFrom } from './starts-from.ts'

/** One column: change of each species for one unit of extent. */
type Column = ReadonlyMap<SpeciesId, number>

/** What is asked of the amounts left at the end. */
export interface Goal {
  readonly species: SpeciesId
  /** `at-least`: so much must be there; `at-most`: no more may be left. */
  readonly kind: 'at-least' | 'at-most'
  readonly molPerL: number
  /** These must be used up. */
  readonly after: readonly SpeciesId[]
}

function columnOf(reactants: readonly Term[], products: readonly Term[]): Map<SpeciesId, number> {
  const column = new Map<SpeciesId, number>()
  for (const t of reactants) column.set(t.species, (column.get(t.species) ?? 0) - t.coefficient)
  for (const t of products) column.set(t.species, (column.get(t.species) ?? 0) + t.coefficient)
  return column
}

/** A <=> C or A + B <=> C: a species changing its form, not a redox reaction. */
export function isBinding(step: Step): boolean {
  const count = (terms: readonly Term[]): number => terms.reduce((sum, t) => sum + t.coefficient, 0)
  return step.reversible && step.lumped === undefined && count(step.products) === 1 && count(step.reactants) <= 2
}

/**
 * Amounts (mol/L) of every species of the mechanism and its net reactions from those of the mixture. A mixture species goes
 * to the species of the same name, else to the first one that starts from it, so that nothing is counted twice.
 */
export function netAmounts(mechanism: Mechanism, mixture: Readonly<Record<SpeciesId, number>>): ReadonlyMap<SpeciesId, number> {
  const all: readonly MechanismSpecies[] = [...(mechanism.netSpecies ?? []), ...mechanism.species]
  const ids = new Set(all.map((s) => s.id))
  const claimed = new Set<SpeciesId>()
  const amounts = new Map<SpeciesId, number>()
  for (const s of all) {
    let sum = 0
    for (const from of startsFrom(s)) {
      if (claimed.has(from) || (from !== s.id && ids.has(from))) continue
      claimed.add(from)
      sum += Object.hasOwn(mixture, from) ? Math.max(0, mixture[from] ?? 0) : 0
    }
    amounts.set(s.id, sum)
  }
  return amounts
}

/** The linear program of one mechanism and one mixture. */
export class NetProgram {
  readonly amounts: ReadonlyMap<SpeciesId, number>
  private readonly columns: readonly Column[]
  private readonly species: readonly SpeciesId[]
  private readonly scale: number
  private readonly unlimited: ReadonlySet<SpeciesId>

  /** @param unlimited species that the liquid supplies at will (water; acid and base unless asked) */
  constructor(mechanism: Mechanism, amounts: ReadonlyMap<SpeciesId, number>, unlimited: ReadonlySet<SpeciesId>) {
    this.amounts = amounts
    this.unlimited = unlimited
    const forms = mechanism.steps.filter(isBinding)
    this.columns = [
      ...mechanism.netReactions.map((r) => columnOf(r.reactants, r.products)),
      ...forms.flatMap((s) => [columnOf(s.reactants, s.products), columnOf(s.products, s.reactants)]),
    ]
    this.species = [...new Set(this.columns.flatMap((c) => [...c.keys()]))]
    this.scale = Math.max(1e-6, ...this.species.map((id) => (unlimited.has(id) ? 0 : (amounts.get(id) ?? 0))))
  }

  /** Reagents of the net reactions: limited species that some net reaction uses. */
  has(species: SpeciesId): boolean {
    return this.species.includes(species)
  }

  /** Limits that keep every amount at or above zero and use up `after`. With `free`, the amount of that species is the last unknown. */
  private limits(after: readonly SpeciesId[], free: SpeciesId | null): Limit[] {
    return this.species
      .filter((id) => id === free || !this.unlimited.has(id))
      .map((id) => ({
        coefficients: [...this.columns.map((c) => -(c.get(id) ?? 0)), ...(free === null ? [] : [id === free ? -1 : 0])],
        kind: after.includes(id) ? ('equal' as const) : ('at-most' as const),
        limit: id === free ? 0 : (this.amounts.get(id) ?? 0) / this.scale,
      }))
  }

  /** Largest (or smallest) amount of a species that can be left, mol/L; null when `after` cannot be used up. */
  extreme(species: SpeciesId, which: 'largest' | 'smallest', after: readonly SpeciesId[]): number | null {
    const sign = which === 'largest' ? 1 : -1
    const found = maximise(
      this.columns.map((c) => sign * (c.get(species) ?? 0)),
      this.limits(after, null),
    )
    if (found.how === 'impossible') return null
    if (found.how === 'unbounded') return Number.POSITIVE_INFINITY
    return Math.max(0, (this.amounts.get(species) ?? 0) + sign * found.value * this.scale)
  }

  /** Smallest (or largest) amount of `reagent`, mol/L, with which the goal can be met, all else as given; null when none does. */
  bound(reagent: SpeciesId, which: 'smallest' | 'largest', goal: Goal): number | null {
    const sign = goal.kind === 'at-least' ? -1 : 1
    const target: Limit = {
      coefficients: [...this.columns.map((c) => sign * (c.get(goal.species) ?? 0)), reagent === goal.species ? sign : 0],
      kind: 'at-most',
      limit: (sign * (goal.molPerL - (reagent === goal.species ? 0 : (this.amounts.get(goal.species) ?? 0)))) / this.scale,
    }
    const gains = [...this.columns.map(() => 0), which === 'smallest' ? -1 : 1]
    const found = maximise(gains, [...this.limits(goal.after, reagent), target])
    if (found.how === 'impossible') return null
    return found.how === 'unbounded' ? Number.POSITIVE_INFINITY : Math.abs(found.value) * this.scale
  }
}
