/**
 * Which species, solids and gases can be there at all, written over a few independent ones (the masters): every
 * dissolved species, solid and gas is a sum of masters, its constant a sum of the list's constants. Only reactions
 * whose masters are all present take part.
 */
import { invariant } from '@beakertide/basis/problems'
import type { SpeciesId } from '../matter/index.ts'
import { log10KAt } from './constants-at-temperature.ts'
import { davies } from './activity.ts'
import { chargeFromName, type EquilibriumFacts, type EquilibriumReaction, REFERENCE_TEMPERATURE_K } from './reactions.ts'

/** What the water itself is: activity 1, never a balance. */
const SOLVENT = 'H2O'
/** The master of the proton balance; always there. */
export const PROTON = 'H+'

/** One dissolved species, solid or gas over the masters. */
export interface Expansion {
  readonly id: SpeciesId
  readonly charge: number
  /** [master, how many of it], no zeros. */
  readonly masters: readonly (readonly [SpeciesId, number])[]
  /** [reaction, factor]: ln a = sum of factor ln K + sum of count ln a(master). Empty for a master. */
  readonly terms: readonly (readonly [EquilibriumReaction, number])[]
}

/** All expansions that a list of reactions allows. */
interface Definitions {
  /** Systems selected before, by what was present. */
  readonly selected: Map<string, SpeciesSystem>
  readonly dissolved: ReadonlyMap<SpeciesId, Expansion>
  readonly solids: ReadonlyMap<SpeciesId, Expansion>
  readonly gases: ReadonlyMap<SpeciesId, Expansion>
}

/** Charge of a master: from the facts where they know it, else from its name. */
function masterCharge(id: SpeciesId, facts: EquilibriumFacts): number {
  return facts.charges[id] ?? chargeFromName(id)
}

/** The expansions of one list, made once: a list is plain data that never changes, so remembering them is invisible. */
const remembered = new WeakMap<EquilibriumFacts, Map<string, Definitions>>()

function define(facts: EquilibriumFacts, onRequest: readonly string[]): Definitions {
  const key = [...onRequest].sort().join(' ')
  const kept = remembered.get(facts) ?? new Map<string, Definitions>()
  remembered.set(facts, kept)
  const before = kept.get(key)
  if (before) return before

  const by = new Map<SpeciesId, EquilibriumReaction>()
  for (const reaction of facts.reactions) {
    if (reaction.isOnRequest && !onRequest.includes(reaction.id)) continue
    invariant(!by.has(reaction.defines), `two equilibria define "${reaction.defines}"`)
    by.set(reaction.defines, reaction)
  }
  const done = new Map<SpeciesId, Expansion>()
  const expand = (id: SpeciesId, path: readonly SpeciesId[]): Expansion => {
    const known = done.get(id)
    if (known) return known
    invariant(!path.includes(id), `the equilibria define "${id}" by itself: ${[...path, id].join(' -> ')}`)
    const reaction = by.get(id)
    if (!reaction) {
      const master = { id, charge: masterCharge(id, facts), masters: [[id, 1]] as const, terms: [] }
      done.set(id, master)
      return master
    }
    const own = reaction.numbers[id]!
    const masters = new Map<SpeciesId, number>()
    const terms = new Map<EquilibriumReaction, number>([[reaction, 1 / own]])
    let charge = 0
    for (const [other, number] of Object.entries(reaction.numbers)) {
      if (other === id || other === SOLVENT) continue
      const part = expand(other, [...path, id])
      const factor = -number / own
      charge += factor * part.charge
      for (const [master, count] of part.masters) masters.set(master, (masters.get(master) ?? 0) + factor * count)
      for (const [r, f] of part.terms) terms.set(r, (terms.get(r) ?? 0) + factor * f)
    }
    const made = { id, charge, masters: [...masters].filter(([, n]) => n !== 0), terms: [...terms].filter(([, f]) => f !== 0) }
    done.set(id, made)
    return made
  }
  const pick = (wanted: (r: EquilibriumReaction) => boolean): ReadonlyMap<SpeciesId, Expansion> =>
    new Map([...by.values()].filter(wanted).map((r) => [r.defines, expand(r.defines, [])]))
  const made: Definitions = {
    selected: new Map(),
    dissolved: pick((r) => r.kind === 'acid' || r.kind === 'complex'),
    solids: pick((r) => r.kind === 'solid'),
    gases: pick((r) => r.kind === 'gas'),
  }
  kept.set(key, made)
  return made
}

/** What takes part in one settling, in matrix form. All matrices are row-major with one column a master. */
export interface SpeciesSystem {
  readonly masters: readonly SpeciesId[]
  /** The masters first, then everything they can form. */
  readonly species: readonly Expansion[]
  readonly speciesMatrix: Float64Array
  /** Charge squared, one a species. */
  readonly chargesSquared: Float64Array
  readonly solids: readonly Expansion[]
  readonly gases: readonly Expansion[]
  /** How a species given by the user is made of masters. */
  expansionOf(id: SpeciesId): Expansion
  /** Column of a master; -1 when it is none. */
  columnOf(master: SpeciesId): number
}

/** What may take part. */
export interface Selection {
  /** Dissolved species with an amount. */
  readonly present: readonly SpeciesId[]
  /** Solids with an amount that may dissolve. */
  readonly presentSolids: readonly SpeciesId[]
  /** Gases that the air holds at a given pressure. */
  readonly openGases: readonly SpeciesId[]
  readonly onRequest: readonly string[]
}

/** True when the list knows this solid. */
export function isKnownSolid(id: SpeciesId, facts: EquilibriumFacts): boolean {
  return define(facts, []).solids.has(id)
}

/** True when the list knows this gas. */
export function isKnownGas(id: SpeciesId, facts: EquilibriumFacts): boolean {
  return define(facts, []).gases.has(id)
}

/** How a species, solid or gas is made of masters; one that the list does not know is a master itself. */
export function expandSpecies(id: SpeciesId, facts: EquilibriumFacts, onRequest: readonly string[] = []): Expansion {
  const all = define(facts, onRequest)
  return (
    all.dissolved.get(id) ??
    all.solids.get(id) ??
    all.gases.get(id) ?? { id, charge: masterCharge(id, facts), masters: [[id, 1]], terms: [] }
  )
}

/** Systems kept for a list: liquids of one demonstration, before and after each pour, are a few dozen. */
const MOST_SELECTED = 64

/** The part of the list that these species bring into play. The same selection gives the same system again. */
export function selectSystem(selection: Selection, facts: EquilibriumFacts): SpeciesSystem {
  const all = define(facts, selection.onRequest)
  const key = [selection.present, selection.presentSolids, selection.openGases].map((ids) => ids.join(' ')).join('|')
  const before = all.selected.get(key)
  if (before) return before
  const made = selectAfresh(selection, all, facts)
  if (all.selected.size >= MOST_SELECTED) all.selected.clear()
  all.selected.set(key, made)
  return made
}

function selectAfresh(selection: Selection, all: Definitions, facts: EquilibriumFacts): SpeciesSystem {
  const expanded = new Map<SpeciesId, Expansion>()
  const expansionOf = (id: SpeciesId): Expansion => {
    let expansion = expanded.get(id)
    if (expansion === undefined) expanded.set(id, (expansion = expandSpecies(id, facts, selection.onRequest)))
    return expansion
  }

  const masters = new Set<SpeciesId>([PROTON])
  for (const id of [...selection.present, ...selection.presentSolids, ...selection.openGases]) {
    if (id === SOLVENT) continue
    for (const [master] of expansionOf(id).masters) masters.add(master)
  }
  // A hydrolysis such as I2 -> HOI + I- sets a master free that was not there before.
  let hasGrown = true
  while (hasGrown) {
    hasGrown = false
    for (const { masters: parts } of all.dissolved.values()) {
      const isPossible = parts.every(([m, n]) => masters.has(m) || n < 0)
      const isNew = parts.some(([m]) => !masters.has(m))
      const takesPart = parts.some(([m, n]) => n > 0 && m !== PROTON)
      if (!isPossible || !isNew || !takesPart) continue
      for (const [m] of parts) masters.add(m)
      hasGrown = true
    }
  }
  const order = [...masters]
  const column = new Map(order.map((m, i) => [m, i]))
  const fits = (e: Expansion): boolean => e.masters.every(([m]) => column.has(m))
  const species = [...order.map(expansionOf), ...[...all.dissolved.values()].filter(fits)]
  const speciesMatrix = new Float64Array(species.length * order.length)
  species.forEach((s, k) => {
    for (const [m, n] of s.masters) speciesMatrix[k * order.length + column.get(m)!] = n
  })
  return {
    masters: order,
    species,
    speciesMatrix,
    chargesSquared: Float64Array.from(species, (s) => s.charge ** 2),
    solids: [...all.solids.values()].filter(fits),
    gases: [...all.gases.values()].filter(fits),
    expansionOf,
    columnOf: (master) => column.get(master) ?? -1,
  }
}

/** How the constants of one settling are made. */
export interface ConstantRule {
  readonly temperatureK: number
  /** With Davies, a quotient measured in a salt medium is brought to zero ionic strength; without, it is used as it stands. */
  readonly usesActivity: boolean
  /** log10 K, by reaction id, that replace those of the list. */
  readonly replaced: Readonly<Record<string, number>>
}

/** ln K of forming from the masters, under one rule. */
export interface FormationConstants {
  /** One a species of the system. */
  readonly ofSpecies: Float64Array
  /** Of any species, solid or gas of the list. */
  readonly of: (expansion: Expansion) => number
}

interface KeptConstants {
  readonly temperatureK: number
  readonly usesActivity: boolean
  readonly constants: FormationConstants
}
/** Those of the list itself, by system: a liquid is settled several times at one temperature, as it is and with a pH held. */
const keptConstants = new WeakMap<SpeciesSystem, KeptConstants[]>()
/** Temperatures a system is kept at. */
const MOST_TEMPERATURES = 4

/** The constants under a rule; the same again for the same temperature. */
export function formationConstants(rule: ConstantRule, system: SpeciesSystem): FormationConstants {
  const { temperatureK, usesActivity } = rule
  if (Object.keys(rule.replaced).length > 0) return formationsFrom(createConstants(rule, system), system)
  const kept = keptConstants.get(system) ?? []
  const before = kept.find((k) => k.temperatureK === temperatureK && k.usesActivity === usesActivity)
  if (before !== undefined) return before.constants
  const constants = formationsFrom(createConstants(rule, system), system)
  keptConstants.set(system, [{ temperatureK, usesActivity, constants }, ...kept.slice(0, MOST_TEMPERATURES - 1)])
  return constants
}

function formationsFrom(lnK: (reaction: EquilibriumReaction) => number, system: SpeciesSystem): FormationConstants {
  const of = (expansion: Expansion): number => lnFormation(expansion, lnK)
  return { ofSpecies: Float64Array.from(system.species, of), of }
}

/** ln K of each reaction under a rule; reactions are looked up once. */
function createConstants(rule: ConstantRule, system: SpeciesSystem): (reaction: EquilibriumReaction) => number {
  const kept = new Map<EquilibriumReaction, number>()
  return (reaction) => {
    const before = kept.get(reaction)
    if (before !== undefined) return before
    let log10K = rule.replaced[reaction.id] ?? log10KAt(reaction, rule.temperatureK)
    if (rule.usesActivity && reaction.ionicStrengthMolPerL > 0 && rule.replaced[reaction.id] === undefined) {
      let charges = 0
      for (const [id, number] of Object.entries(reaction.numbers)) charges += number * system.expansionOf(id).charge ** 2
      log10K += charges * davies(reaction.ionicStrengthMolPerL, REFERENCE_TEMPERATURE_K)
    }
    const lnK = log10K * Math.LN10
    kept.set(reaction, lnK)
    return lnK
  }
}

/** ln K of forming one species, solid or gas from the masters. */
function lnFormation(expansion: Expansion, lnK: (reaction: EquilibriumReaction) => number): number {
  let sum = 0
  for (const [reaction, factor] of expansion.terms) sum += factor * lnK(reaction)
  return sum
}
