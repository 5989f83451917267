/** Between an inventory (everything in the vessel) and the state that a network integrates (what its steps touch). */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import type { MatterFacts, SpeciesId } from '../matter/index.ts'
import { type Mechanism, type Network, startsFrom } from '../mechanism/index.ts'
import { type Equilibrium, type EquilibriumFacts, type Inventory, settle } from '../mixture/index.ts'
import { airSaturation } from './vessel-facts.ts'

/** A settled liquid ready to react. */
export interface ReadyLiquid {
  /** Amounts in terms of the species that are really there; lumped families moved to the species that stands for them. */
  readonly inventory: Inventory
  readonly equilibrium: Equilibrium
  /** Start concentrations of the mechanism's species, mol/L (dynamic and held). */
  readonly startMolPerL: Readonly<Record<SpeciesId, number>>
  readonly remarks: readonly Problem[]
}

const hydrogens = (id: SpeciesId, matter: MatterFacts): number => matter.species[id]?.composition.H ?? 0

/** Adds `amount` mol of H+ (negative: takes it away; what is missing becomes OH-), so that no amount is negative. */
function addProtons(amounts: Record<SpeciesId, number>, amount: number): void {
  const net = (amounts['H+'] ?? 0) - (amounts['OH-'] ?? 0) + amount
  amounts['H+'] = Math.max(0, net)
  amounts['OH-'] = Math.max(0, -net)
}

/** Moves a family's other members to the species that stands for it; only their protons may differ (HMA- + H+ = MA). */
function foldFamily(amounts: Record<SpeciesId, number>, id: SpeciesId, family: readonly SpeciesId[], matter: MatterFacts): void {
  const composition = matter.species[id]?.composition
  if (composition === undefined) return
  let protons = 0
  for (const member of family) {
    const n = amounts[member] ?? 0
    const other = matter.species[member]?.composition
    if (member === id || n === 0 || other === undefined || !differsByHydrogenOnly(composition, other)) continue
    protons += n * (hydrogens(id, matter) - hydrogens(member, matter))
    amounts[id] = (amounts[id] ?? 0) + n
    delete amounts[member]
  }
  if (protons !== 0) addProtons(amounts, -protons)
}

function differsByHydrogenOnly(a: Readonly<Record<string, number>>, b: Readonly<Record<string, number>>): boolean {
  return [...Object.keys(a), ...Object.keys(b)].every((e) => e === 'H' || (a[e] ?? 0) === (b[e] ?? 0))
}

/** Books an impurity with an inert counter-ion, so that the liquid stays neutral. */
function addTrace(amounts: Record<SpeciesId, number>, id: SpeciesId, amountMol: number, charge: number): void {
  amounts[id] = (amounts[id] ?? 0) + amountMol
  const counterIon = charge < 0 ? 'K+' : 'NO3-'
  if (charge !== 0) amounts[counterIon] = (amounts[counterIon] ?? 0) + amountMol * Math.abs(charge)
}

/** In every water; they bind no reaction to a mechanism. */
const WATER: ReadonlySet<SpeciesId> = new Set(['H+', 'OH-', 'H2O'])

/**
 * The equilibria that a mechanism can live with: those of spectators, and those all of whose species it follows (or starts from).
 * Rate constants were measured or fitted with the total of a reactant: a form that the mechanism does not know (HIO3 beside
 * IO3-, MnSO4 beside Mn2+) would hide a part of it from the steps.
 */
function knownTo(mechanism: Mechanism, equilibria: EquilibriumFacts): EquilibriumFacts {
  const own = new Set(mechanism.species.flatMap((s) => [s.id, ...startsFrom(s)]))
  const reactions = equilibria.reactions.filter((r) => {
    const partners = Object.keys(r.numbers).filter((id) => !WATER.has(id))
    const known = partners.filter((id) => own.has(id)).length
    return known === 0 || known === partners.length
  })
  return { ...equilibria, reactions }
}

/**
 * Brings the fast equilibria to rest and finds where each species of the mechanism starts. A species that stands for a
 * whole family (`startsFrom`) takes the family's sum; the protons of the other members go back to the liquid's acid.
 */
export function readyLiquid(
  inventory: Inventory,
  mechanism: Mechanism,
  matter: MatterFacts,
  equilibria: EquilibriumFacts,
): Outcome<ReadyLiquid> {
  const settled = settle(inventory, inventory.temperatureK, knownTo(mechanism, equilibria), { solids: 'none', gases: 'stay' })
  if (!settled.ok) return settled
  const equilibrium = settled.value
  const volumeL = inventory.volumeL
  const amounts: Record<SpeciesId, number> = {}
  for (const [id, c] of Object.entries(equilibrium.concentrationsMolPerL)) if (id !== 'H2O') amounts[id] = c * volumeL
  for (const [id, n] of Object.entries(inventory.amountsMol)) if (!(id in amounts)) amounts[id] = n
  const start: Record<SpeciesId, number> = {}
  const books = !isLumped(mechanism)
  for (const s of mechanism.species) {
    if (s.role === 'solvent') continue
    const family = startsFrom(s)
    const sum = family.reduce((total, member) => total + (amounts[member] ?? 0), 0)
    let c = sum / volumeL
    if (books) foldFamily(amounts, s.id, family, matter)
    if (s.traceMolPerL !== undefined && c < s.traceMolPerL) {
      if (books) addTrace(amounts, s.id, (s.traceMolPerL - c) * volumeL, s.charge)
      c = s.traceMolPerL
    }
    const fromAir = c === 0 ? airSaturation(s.id, inventory.temperatureK, equilibria) : null
    if (fromAir !== null) {
      c = fromAir
      amounts[s.id] = c * volumeL
    }
    start[s.id] = c
  }
  return done(
    { inventory: { ...inventory, amountsMol: amounts }, equilibrium, startMolPerL: start, remarks: settled.warnings },
    settled.warnings,
  )
}

/** True when a step of the mechanism is not balanced by construction. */
export function isLumped(mechanism: Mechanism): boolean {
  return mechanism.steps.some((s) => s.lumped !== undefined)
}

/** Suffixes of the counters that a network adds to its state. */
const GAS = '(g)'
const SOLID = '(s)'

/**
 * The inventory after the network has moved from `from` to `to`: every change of a state is booked to its species; gas and
 * solid counters to the gases and solids. What a held species (a buffer) gave or took is found from the charge that would be left over.
 */
export function inventoryAfter(
  before: Inventory,
  network: Network,
  mechanism: Mechanism,
  from: ArrayLike<number>,
  to: ArrayLike<number>,
  atS: number,
): Inventory {
  const temperatureIndex = network.indexOf('temperature')
  const temperatureK = temperatureIndex < 0 ? before.temperatureK : to[temperatureIndex]!
  // A lumped skeleton does not say what becomes of its atoms: the start amounts stay, and rehearse() says so.
  if (isLumped(mechanism)) return { ...before, atS, temperatureK }
  const amounts: Record<SpeciesId, number> = { ...before.amountsMol }
  const solids: Record<SpeciesId, number> = { ...before.solidsMol }
  const gases: Record<SpeciesId, number> = { ...before.gasesMol }
  const charges = new Map(mechanism.species.map((s) => [s.id, s.charge]))
  let charge = 0
  network.stateNames.forEach((name, i) => {
    if (name === 'temperature') return
    const change = (to[i]! - from[i]!) * before.volumeL
    if (name.endsWith(GAS)) gases[name] = (gases[name] ?? 0) + change
    else if (name.endsWith(SOLID)) solids[name] = Math.max(0, (solids[name] ?? 0) + change)
    else {
      charge += change * (charges.get(name) ?? 0)
      amounts[name] = Math.max(0, (amounts[name] ?? 0) + change)
    }
  })
  const holdsAcid = mechanism.species.some((s) => s.role === 'held' && (s.id === 'H+' || s.id === 'OH-'))
  if (holdsAcid && charge !== 0) addProtons(amounts, -charge)
  return { ...before, atS, temperatureK, amountsMol: amounts, solidsMol: solids, gasesMol: gases }
}
