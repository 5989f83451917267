/** Element and charge books of a liquid: what it holds of each, and the water that a change of its species sets free or binds. */
import type { MatterFacts, SpeciesId } from '../matter/index.ts'
import type { Mechanism } from '../mechanism/index.ts'
import type { Inventory } from '../mixture/index.ts'

/** Atoms and charge of one species. */
export interface Composed {
  readonly composition: Readonly<Record<string, number>>
  readonly charge: number
}

/** Finds what a species is made of; null for a lumped one, which stands for no formula. */
export type Compositions = (id: SpeciesId) => Composed | null

/** Suffixes of the species that a network counts outside the liquid. */
export const GAS = '(g)'
export const SOLID = '(s)'

/** The species behind a gas or solid ("O2" for "O2(g)"). */
export const withoutPhase = (id: string): SpeciesId => (id.endsWith(GAS) || id.endsWith(SOLID) ? id.slice(0, -GAS.length) : id)

/** Compositions of the tables first, of the mechanism second (radicals and intermediates that no table lists). */
export function compositionsOf(mechanism: Mechanism, matter: MatterFacts): Compositions {
  const before = compositionsBefore.get(mechanism)
  if (before?.matter === matter) return before.of
  const own = new Map(mechanism.species.map((s) => [s.id, s]))
  const found = new Map<SpeciesId, Composed | null>()
  const search = (id: SpeciesId): Composed | null => {
    const bare = withoutPhase(id)
    const listed = (Object.hasOwn(matter.species, id) ? matter.species[id] : undefined) ?? matter.species[bare]
    if (listed) return listed
    const s = own.get(bare)
    return s && s.composition !== null ? { composition: s.composition, charge: s.charge } : null
  }
  const of: Compositions = (id) => {
    let composed = found.get(id)
    if (composed === undefined) found.set(id, (composed = search(id)))
    return composed
  }
  compositionsBefore.set(mechanism, { matter, of })
  return of
}
/** Mechanism and facts are plain data that never changes, so remembering is invisible. */
const compositionsBefore = new WeakMap<Mechanism, { readonly matter: MatterFacts; readonly of: Compositions }>()

/** Moles of every element, and of charge under "charge", in amounts by species. Species without a formula count nothing. */
export function elementTotals(amounts: Readonly<Record<SpeciesId, number>>, of: Compositions): Readonly<Record<string, number>> {
  const totals: Record<string, number> = { charge: 0 }
  for (const [id, mol] of Object.entries(amounts)) {
    const species = of(id)
    if (species === null) continue
    totals.charge! += mol * species.charge
    for (const [element, count] of Object.entries(species.composition)) totals[element] = (totals[element] ?? 0) + mol * count
  }
  return totals
}

/** Everything a vessel holds or has set free: dissolved, solid and gas, by element. */
export function inventoryTotals(inventory: Inventory, of: Compositions): Readonly<Record<string, number>> {
  return elementTotals({ ...inventory.amountsMol, ...inventory.solidsMol, ...inventory.gasesMol }, of)
}

/**
 * Largest relative difference of the elements between two totals; charge counts against the larger of the two sums of
 * |charge| given as `chargeScale`, because a neutral liquid holds none to compare with.
 */
export function largestDrift(
  before: Readonly<Record<string, number>>,
  after: Readonly<Record<string, number>>,
  chargeScale: number,
): { readonly elements: number; readonly charge: number } {
  let elements = 0
  for (const name of new Set([...Object.keys(before), ...Object.keys(after)])) {
    if (name === 'charge') continue
    const [a, b] = [before[name] ?? 0, after[name] ?? 0]
    const scale = Math.max(Math.abs(a), Math.abs(b))
    if (scale > 0) elements = Math.max(elements, Math.abs(a - b) / scale)
  }
  const charge = Math.abs((after.charge ?? 0) - (before.charge ?? 0))
  return { elements, charge: chargeScale > 0 ? charge / chargeScale : charge }
}

/** Sum of |charge| of dissolved species, mol: the scale of a charge balance. */
export function chargesOf(amounts: Readonly<Record<SpeciesId, number>>, of: Compositions): number {
  return Object.entries(amounts).reduce((sum, [id, mol]) => sum + Math.abs(mol * (of(id)?.charge ?? 0)), 0)
}

/**
 * Water set free (negative: bound) by a change of amounts, mol, from the oxygen that is missing afterwards. Where charge
 * is balanced its hydrogen fits as well, because every step and every equilibrium is balanced with water.
 */
export function waterSetFree(changes: ReadonlyMap<SpeciesId, number>, of: Compositions): number {
  let oxygen = 0
  for (const [id, mol] of changes) if (id !== 'H2O') oxygen += mol * (of(id)?.composition.O ?? 0)
  return -oxygen
}

/** Molar mass of a species by the atomic weights in use, g/mol; elements without a weight, and species without a formula, weigh nothing. */
export function gramsPerMol(id: SpeciesId, of: Compositions, matter: MatterFacts): number {
  const atoms = Object.entries(of(id)?.composition ?? {})
  return atoms.reduce((sum, [element, count]) => sum + count * (matter.weights[element]?.value ?? 0), 0)
}
