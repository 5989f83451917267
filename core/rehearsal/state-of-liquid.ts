/** Between an inventory (everything in the vessel) and the state that a network integrates (what its steps touch). */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import type { MatterFacts, SpeciesId } from '../matter/index.ts'
import { type Mechanism, type Network, placeStart, type StartConcentrations, startConcentrations, startsFrom } from '../mechanism/index.ts'
import { type Equilibrium, type EquilibriumFacts, type Inventory, settle } from '../mixture/index.ts'
import { type Compositions, compositionsOf, GAS, gramsPerMol, SOLID, waterSetFree } from './books.ts'
import { airSaturation } from './vessel-facts.ts'

/** What has just been poured, before anything happened to it. */
export interface FreshLiquid {
  readonly volumeL: number
  /** mol, as entered. */
  readonly amountsMol: Readonly<Record<SpeciesId, number>>
}

/** A settled liquid ready to react. */
export interface ReadyLiquid {
  /** Amounts in terms of the species that are really there; families moved to the species that stands for them. */
  readonly inventory: Inventory
  readonly equilibrium: Equilibrium
  /** Start concentrations of the mechanism's species. */
  readonly start: StartConcentrations
  readonly remarks: readonly Problem[]
}

/** Adds `mol` of H+ (negative: takes it away, what is missing becomes OH-), so that neither amount is negative. */
function addProtons(amounts: Record<SpeciesId, number>, mol: number): void {
  const net = (amounts['H+'] ?? 0) - (amounts['OH-'] ?? 0) + mol
  amounts['H+'] = Math.max(0, net)
  amounts['OH-'] = Math.max(0, -net)
}

function differsByHydrogenOnly(a: Readonly<Record<string, number>>, b: Readonly<Record<string, number>>): boolean {
  return [...Object.keys(a), ...Object.keys(b)].every((e) => e === 'H' || (a[e] ?? 0) === (b[e] ?? 0))
}

/** Moves a family's other members to the species that stands for it; only their protons may differ (HMA- + H+ = MA). */
function foldFamily(amounts: Record<SpeciesId, number>, id: SpeciesId, family: readonly SpeciesId[], of: Compositions): void {
  const composition = of(id)?.composition
  if (composition === undefined) return
  let protons = 0
  for (const member of family) {
    const n = amounts[member] ?? 0
    const other = of(member)?.composition
    if (member === id || n === 0 || other === undefined || !differsByHydrogenOnly(composition, other)) continue
    protons += n * ((composition.H ?? 0) - (other.H ?? 0))
    amounts[id] = (amounts[id] ?? 0) + n
    delete amounts[member]
  }
  if (protons !== 0) addProtons(amounts, -protons)
}

/** Books an impurity with an inert counter-ion, so that the liquid stays neutral. */
function addTrace(amounts: Record<SpeciesId, number>, id: SpeciesId, mol: number, charge: number): void {
  amounts[id] = (amounts[id] ?? 0) + mol
  const counterIon = charge < 0 ? 'K+' : 'NO3-'
  if (charge !== 0) amounts[counterIon] = (amounts[counterIon] ?? 0) + mol * Math.abs(charge)
}

/** In every water; they bind no reaction to a mechanism. */
const WATER: ReadonlySet<SpeciesId> = new Set(['H+', 'OH-', 'H2O'])

/**
 * The equilibria that a mechanism can live with: those of spectators, and those all of whose species it follows (or starts from).
 * Rate constants were measured or fitted with the total of a reactant: a form that the mechanism does not know (HIO3 beside
 * IO3-, MnSO4 beside Mn2+) would hide a part of it from the steps.
 */
function knownTo(mechanism: Mechanism, equilibria: EquilibriumFacts): EquilibriumFacts {
  const before = knownBefore.get(mechanism)
  if (before?.of === equilibria) return before.known
  const own = new Set(mechanism.species.flatMap((s) => [s.id, ...startsFrom(s)]))
  const reactions = equilibria.reactions.filter((r) => {
    const partners = Object.keys(r.numbers).filter((id) => !WATER.has(id))
    const known = partners.filter((id) => own.has(id)).length
    return known === 0 || known === partners.length
  })
  const known: EquilibriumFacts = { ...equilibria, reactions }
  knownBefore.set(mechanism, { of: equilibria, known })
  return known
}
/** Mechanism and facts are plain data that never changes, so remembering is invisible; settling remembers in turn what it finds about a list. */
const knownBefore = new WeakMap<Mechanism, { readonly of: EquilibriumFacts; readonly known: EquilibriumFacts }>()

/** What every liquid brings unasked: the traces that the mechanism states, and the gases of the air. */
function addWhatCameAlong(
  amounts: Record<SpeciesId, number>,
  fresh: FreshLiquid,
  mechanism: Mechanism,
  temperatureK: number,
  equilibria: EquilibriumFacts,
): void {
  for (const s of mechanism.species) {
    if (s.role === 'solvent') continue
    const brought = startsFrom(s).reduce((sum, id) => sum + (fresh.amountsMol[id] ?? 0), 0)
    const trace = s.traceMolPerL ?? airSaturation(s.id, temperatureK, equilibria)
    const lacking = (trace ?? 0) * fresh.volumeL - brought
    if (lacking > 0) addTrace(amounts, s.id, lacking, s.charge)
  }
}

function withoutTraces(mechanism: Mechanism): Mechanism {
  let bare = tracelessBefore.get(mechanism)
  if (bare === undefined) {
    bare = { ...mechanism, species: mechanism.species.map((s) => ({ ...s, traceMolPerL: 0 })) }
    tracelessBefore.set(mechanism, bare)
  }
  return bare
}
const tracelessBefore = new WeakMap<Mechanism, Mechanism>()

/**
 * Brings the fast equilibria to rest and finds where each species of the mechanism starts. A species that stands for a
 * whole family (`startsFrom`) takes the family's sum; the protons of the other members go back to the liquid's acid, and
 * the water of every such change is booked. What has just been poured (`fresh`) brings traces and dissolved air with it;
 * what stood in the vessel before does not get them anew.
 */
export function readyLiquid(
  inventory: Inventory,
  fresh: FreshLiquid,
  mechanism: Mechanism,
  matter: MatterFacts,
  equilibria: EquilibriumFacts,
): Outcome<ReadyLiquid> {
  const settled = settle(inventory, inventory.temperatureK, knownTo(mechanism, equilibria), { solids: 'none', gases: 'stay' })
  if (!settled.ok) return settled
  const equilibrium = settled.value
  const { volumeL } = inventory
  const before = inventory.amountsMol
  const amounts: Record<SpeciesId, number> = {}
  for (const [id, c] of Object.entries(equilibrium.concentrationsMolPerL)) if (id !== 'H2O') amounts[id] = c * volumeL
  for (const [id, n] of Object.entries(before)) if (!Object.hasOwn(amounts, id)) amounts[id] = n
  if (!isLumped(mechanism)) {
    const of = compositionsOf(mechanism, matter)
    for (const s of mechanism.species) foldFamily(amounts, s.id, startsFrom(s), of)
    const changes = new Map<SpeciesId, number>()
    for (const id of new Set([...Object.keys(before), ...Object.keys(amounts)])) changes.set(id, (amounts[id] ?? 0) - (before[id] ?? 0))
    amounts.H2O = (before.H2O ?? 0) + waterSetFree(changes, of)
    addWhatCameAlong(amounts, fresh, mechanism, inventory.temperatureK, equilibria)
  }
  const molPerL: Record<SpeciesId, number> = {}
  for (const [id, n] of Object.entries(amounts)) molPerL[id] = n / volumeL
  // The traces of a balanced mechanism are in the books by now; raising a start beyond them would make matter.
  const start = startConcentrations(isLumped(mechanism) ? mechanism : withoutTraces(mechanism), molPerL)
  return done({ inventory: { ...inventory, amountsMol: amounts }, equilibrium, start, remarks: settled.warnings }, settled.warnings)
}

/** True when a step of the mechanism is not balanced by construction. */
export function isLumped(mechanism: Mechanism): boolean {
  return mechanism.steps.some((s) => s.lumped !== undefined)
}

/** Less than this of a reactant is none, mol/L. */
const THERE_MOL_PER_L = 1e-9

/**
 * True when everything has been poured that one of the effects of a mechanism needs; the traces it starts from do not count.
 * A skeleton has no meaning before: it takes for granted what is still in the bottle. Without stated effects: true.
 */
export function canShow(mechanism: Mechanism, liquid: Inventory): boolean {
  const effects = mechanism.netReactions.filter((r) => r.shows !== undefined || r.fades !== undefined)
  const followed = new Map(mechanism.species.filter((s) => s.role !== 'solvent').map((s) => [s.id, s]))
  const isThere = (id: SpeciesId): boolean => {
    const species = followed.get(id)
    if (species === undefined) return true
    const mol = startsFrom(species).reduce((sum, from) => sum + (liquid.amountsMol[from] ?? 0), 0)
    return mol > THERE_MOL_PER_L * liquid.volumeL
  }
  return effects.length === 0 || effects.some((r) => [...r.reactants.map((t) => t.species), ...(r.needs ?? [])].every(isThere))
}

/** The state of a network at the start of a stretch: species, counters of gas and solid that go on counting, temperature. */
export function startState(network: Network, start: StartConcentrations, liquid: Inventory): Float64Array {
  const y = new Float64Array(network.size)
  placeStart(network, start, y, liquid.temperatureK)
  network.stateNames.forEach((name, i) => {
    if (name.endsWith(GAS)) y[i] = (liquid.gasesMol[name] ?? 0) / liquid.volumeL
    else if (name.endsWith(SOLID)) y[i] = (liquid.solidsMol[name] ?? 0) / liquid.volumeL
  })
  return y
}

/**
 * The inventory after the network has moved from `from` to `to`: every change of a state is booked to its species; gas and
 * solid counters to the gases and solids; water closes the books of oxygen and hydrogen; gas takes its mass along. What a
 * held species (a buffer) gave or took is found from the charge that would be left over.
 */
export function inventoryAfter(
  before: Inventory,
  network: Network,
  mechanism: Mechanism,
  matter: MatterFacts,
  from: ArrayLike<number>,
  to: ArrayLike<number>,
  atS: number,
): Inventory {
  const temperatureIndex = network.indexOf('temperature')
  const temperatureK = temperatureIndex < 0 ? before.temperatureK : to[temperatureIndex]!
  // A lumped skeleton does not say what becomes of its atoms: the start amounts stay, and rehearse() says so.
  if (isLumped(mechanism)) return { ...before, atS, temperatureK }
  const of = compositionsOf(mechanism, matter)
  const amounts: Record<SpeciesId, number> = { ...before.amountsMol }
  const solids: Record<SpeciesId, number> = { ...before.solidsMol }
  const gases: Record<SpeciesId, number> = { ...before.gasesMol }
  const changes = new Map<SpeciesId, number>()
  let { massG } = before
  let charge = 0
  network.stateNames.forEach((name, i) => {
    if (name === 'temperature') return
    const change = (to[i]! - from[i]!) * before.volumeL
    if (name.endsWith(GAS)) {
      gases[name] = (gases[name] ?? 0) + change
      massG -= change * gramsPerMol(name, of, matter)
    } else if (name.endsWith(SOLID)) solids[name] = Math.max(0, (solids[name] ?? 0) + change)
    else {
      charge += change * (of(name)?.charge ?? 0)
      amounts[name] = Math.max(0, (amounts[name] ?? 0) + change)
    }
    changes.set(name, change)
  })
  const holdsAcid = mechanism.species.some((s) => s.role === 'held' && (s.id === 'H+' || s.id === 'OH-'))
  if (holdsAcid && charge !== 0) {
    const acid = [amounts['H+'] ?? 0, amounts['OH-'] ?? 0]
    addProtons(amounts, -charge)
    changes.set('H+', (changes.get('H+') ?? 0) + amounts['H+']! - acid[0]!)
    changes.set('OH-', (changes.get('OH-') ?? 0) + amounts['OH-']! - acid[1]!)
  }
  amounts.H2O = (amounts.H2O ?? 0) + waterSetFree(changes, of)
  return { ...before, atS, massG, temperatureK, amountsMol: amounts, solidsMol: solids, gasesMol: gases }
}
