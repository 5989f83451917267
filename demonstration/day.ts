/** The day in order: every room called once, from the document to the leftovers. Pure: facts, mechanism and seed are given. */
import { done, inReadingOrder, invariant, type Outcome, type Problem } from '@beakertide/basis/problems'
import { type Caution, type CautionScene, type Cautions, cautionsFor, type HazardFacts, refusals, sceneOf } from '@beakertide/core/cautions'
import { type ClearingFacts, type ClearingOptions, type ClearingPlan, planClearing, type Price } from '@beakertide/core/clearing'
import { type Glassware, type MakeUp, makeUp, readPrice } from '@beakertide/core/makeup'
import { findSubstance, formationEnthalpy, type MatterFacts, type Substance } from '@beakertide/core/matter'
import { type CanItWork, deadLimits, type Mechanism } from '@beakertide/core/mechanism'
import { type Equilibrium, type EquilibriumFacts, type Inventory, mix, settle, type Vessel } from '@beakertide/core/mixture'
import {
  airSaturation,
  type Band,
  bandOf,
  createRigStore,
  type ElectrodeFacts,
  type Rehearsal,
  rehearse,
  type RehearseRequest,
  type SeeingFacts,
} from '@beakertide/core/rehearsal'
import { audienceCautions } from './audience.ts'
import type { Demonstration } from './demonstration.ts'

/** All tables of facts that a day needs. */
export interface DayFacts {
  readonly matter: MatterFacts
  readonly glassware: Glassware
  readonly equilibria: EquilibriumFacts
  readonly hazards: HazardFacts
  readonly clearing: ClearingFacts
  readonly seeing: SeeingFacts
  readonly electrodes: ElectrodeFacts
}

/** One vessel after all its pours, before anything slow has happened. */
export interface PouredVessel {
  readonly id: string
  readonly inventory: Inventory
  /** Null when the fast equilibria did not settle; the reason is among the warnings. */
  readonly equilibrium: Equilibrium | null
  readonly canItWork: CanItWork
}

/** Everything that can be said before a bottle is opened. */
export interface Prepared {
  readonly demonstration: Demonstration
  readonly mechanism: Mechanism
  readonly makeUp: MakeUp
  readonly cautions: Cautions
  readonly poured: readonly PouredVessel[]
  readonly warnings: readonly Problem[]
}

/** The substance of every bottle whose substance is known. */
export function substancesOf(d: Pick<Demonstration, 'bottles'>, matter: MatterFacts): Readonly<Record<string, Substance>> {
  const out: Record<string, Substance> = {}
  for (const bottle of d.bottles) {
    const found = findSubstance(bottle.substance, bottle.hydrate, matter)
    if (found.ok) out[bottle.id] = found.value
  }
  return out
}

/** Pouring that boils and splashes is a caution like any other: it refuses, and a stated control is printed beside it. */
function boilingCaution(problem: Problem): Caution {
  return {
    code: problem.code,
    severity: 4,
    about: problem.where,
    what: problem.what,
    instead: `${problem.todo.charAt(0).toUpperCase()}${problem.todo.slice(1)}.`,
    refuses: true,
    source: { source: 'heat balance of the pours, core/mixture', seen: 'computed' },
  }
}

/** What stands in the vessel, mol/L as entered, with the gases that every liquid takes up from the air. */
/** Cautions that come of more than contents: pouring that boils, and who sits near. */
export function cautionsOfScene(mixes: readonly Outcome<Inventory>[], room: Demonstration['room']): readonly Caution[] {
  const boiling = mixes.flatMap((mixed) => (mixed.ok ? mixed.warnings : [])).filter((w) => w.danger === true)
  return [...boiling.map(boilingCaution), ...audienceCautions(room)]
}

function startMixture(inventory: Inventory, facts: DayFacts): Readonly<Record<string, number>> {
  const out: Record<string, number> = {}
  for (const [id, n] of Object.entries(inventory.amountsMol)) out[id] = n / inventory.volumeL
  for (const gas of ['O2', 'CO2']) out[gas] ??= airSaturation(gas, inventory.temperatureK, facts.equilibria) ?? 0
  return out
}

/** A document that may be made and poured: what is said of it before anybody asks what its vessels hold. */
export type Permitted = Pick<Prepared, 'demonstration' | 'mechanism' | 'makeUp' | 'cautions'>

interface PermittedWithMixes {
  readonly permitted: Permitted
  readonly mixes: readonly { readonly vessel: Vessel; readonly inventory: Inventory; readonly warnings: readonly Problem[] }[]
}

/** Make-up, pours and cautions with everything in them that refuses. Warnings: of make-up and cautions. */
function permitWithMixes(d: Demonstration, mechanism: Mechanism, facts: DayFacts): Outcome<PermittedWithMixes> {
  const made = makeUp(d.bottles, d.solutions, d.vessels, d.room, d.tools, facts)
  if (!made.ok) return made
  const scene: Outcome<CautionScene> = sceneOf(made.value, substancesOf(d, facts.matter), d.vessels, d.room, d.controls)
  if (!scene.ok) return scene
  const mixes = d.vessels.map((vessel) => ({ vessel, mixed: mix(vessel, made.value.solutions, facts) }))
  const more = cautionsOfScene(
    mixes.map(({ mixed }) => mixed),
    d.room,
  )
  const cautions = cautionsFor(scene.value, facts.hazards, { equilibria: facts.equilibria, more })
  if (!cautions.ok) return cautions
  if (cautions.value.refused) return { ok: false, problems: refusals(cautions.value) }
  const problems = mixes.flatMap(({ mixed }) => (mixed.ok ? [] : mixed.problems))
  if (problems.length > 0) return { ok: false, problems: inReadingOrder(problems) }
  const poured = mixes.flatMap(({ vessel, mixed }) => (mixed.ok ? [{ vessel, inventory: mixed.value, warnings: mixed.warnings }] : []))
  return done({ permitted: { demonstration: d, mechanism, makeUp: made.value, cautions: cautions.value }, mixes: poured }, [
    ...made.warnings,
    ...cautions.warnings,
  ])
}

/**
 * Everything that `prepare` may refuse, and nothing else: for the many recipes of a carpet or an aim, of which only that is asked. Every
 * danger is judged as there.
 */
export function permit(d: Demonstration, mechanism: Mechanism, facts: DayFacts): Outcome<Permitted> {
  const found = permitWithMixes(d, mechanism, facts)
  return found.ok ? done(found.value.permitted, found.warnings) : found
}

/**
 * Make-up, mixtures, cautions and "can it work". Refused when the document cannot be made up, or when what it mixes is
 * dangerous and no control measure is stated: the refusals come first among the problems.
 */
export function prepare(d: Demonstration, mechanism: Mechanism, facts: DayFacts): Outcome<Prepared> {
  const found = permitWithMixes(d, mechanism, facts)
  if (!found.ok) return found
  const { permitted, mixes } = found.value
  const warnings: Problem[] = [...found.warnings]
  const poured = mixes.map(({ vessel, inventory, warnings: ofMixing }): PouredVessel => {
    const settled = settle(inventory, inventory.temperatureK, facts.equilibria)
    warnings.push(...ofMixing, ...(settled.ok ? settled.warnings : settled.problems))
    const canItWork = deadLimits(mechanism, startMixture(inventory, facts))
    return { id: vessel.id, inventory, equilibrium: settled.ok ? settled.value : null, canItWork }
  })
  return done({ ...permitted, poured, warnings }, warnings)
}

export interface RehearsalOptions {
  /** Relative tolerance of the integration. */
  readonly relativeTolerance: number
  /** Samples along the rehearsed time. */
  readonly samples: number
  readonly shouldStop?: () => boolean
}

/** Five digits of the trajectory, a quarter of a second between samples in ten minutes: finer than an eye and than any band. */
export const usualRehearsal: RehearsalOptions = { relativeTolerance: 1e-5, samples: 2401 }
/** Members of a band need their turns, not their digits. */
export const bandRehearsal: RehearsalOptions = { relativeTolerance: 1e-4, samples: 1601 }

/** What rehearse() needs for one vessel of a prepared day. The vessel must be one of the document's: doors check what a person typed. */
export function requestFor(prepared: Permitted, vesselId: string, options: RehearsalOptions): RehearseRequest {
  const { demonstration: d } = prepared
  const vessel = d.vessels.find((v) => v.id === vesselId)
  invariant(vessel !== undefined, `the demonstration has a vessel "${vesselId}"`)
  return {
    mechanism: prepared.mechanism,
    vessel,
    solutions: prepared.makeUp.solutions,
    roomK: d.room.temperatureK,
    lengthS: d.rehearseS,
    relativeTolerance: options.relativeTolerance,
    samples: options.samples,
    view: { illuminant: d.view.illuminant, adaptation: d.view.adaptation, depthCm: vessel.depthCm },
    ...(options.shouldStop ? { shouldStop: options.shouldStop } : {}),
  }
}

/** Compiled networks of this thread, from one run to the next. */
const sharedRigs = createRigStore()

/**
 * The same for one of many runs that are looked at and dropped, one after the other: they share what is compiled, which changes nothing but
 * the time that each takes. The network of such a run is good until the next run begins.
 */
export function requestOfMany(prepared: Permitted, vesselId: string, options: RehearsalOptions): RehearseRequest {
  return { ...requestFor(prepared, vesselId, options), rigs: sharedRigs }
}

/** Rehearsal of one vessel, without its band. */
export function rehearseVessel(
  prepared: Prepared,
  vesselId: string,
  facts: DayFacts,
  options: RehearsalOptions = usualRehearsal,
): Outcome<Rehearsal> {
  return rehearse(requestFor(prepared, vesselId, options), facts)
}

export interface BandOptions {
  readonly samples: number
  readonly seed: number
  readonly onSample?: (done: number, of: number) => void
  readonly shouldStop?: () => boolean
}

/** Band of one vessel. */
export function bandOfVessel(prepared: Prepared, vesselId: string, facts: DayFacts, options: BandOptions): Outcome<Band> {
  return bandOf(
    {
      ...requestFor(prepared, vesselId, bandRehearsal),
      portions: prepared.makeUp.portions,
      samplesOfBand: options.samples,
      seed: options.seed,
      ...(options.onSample ? { onSample: options.onSample } : {}),
      ...(options.shouldStop ? { shouldStop: options.shouldStop } : {}),
    },
    facts,
  )
}

/** Prices a gram of the solids on the shelf, by formula as weighed, where pack and price are written. */
function pricesOf(d: Demonstration, matter: MatterFacts): Readonly<Record<string, Price>> {
  const out: Record<string, Price> = {}
  for (const bottle of d.bottles) {
    const price = bottle.price === undefined ? null : readPrice(bottle.price)
    const found = findSubstance(bottle.substance, bottle.hydrate, matter)
    if (!price || !found.ok || bottle.packSize?.kind !== 'mass' || !(bottle.packSize.value > 0)) continue
    out[found.value.formula] = { perG: price.value / bottle.packSize.value, currency: price.currency }
  }
  return out
}

/** A clearing plan from what may be left in a vessel of this day, under the limits of its place. */
export function planFor(
  prepared: Prepared,
  finished: readonly Inventory[],
  stoppedEarly: readonly Inventory[],
  options: ClearingOptions,
  facts: DayFacts,
): Outcome<ClearingPlan> {
  const { demonstration: d } = prepared
  const own: ClearingOptions = {
    enthalpyOf: (species) => formationEnthalpy(species, facts.matter),
    prices: pricesOf(d, facts.matter),
    ...(d.place === undefined ? {} : { place: d.place }),
  }
  return planClearing({ finished, stoppedEarly }, d.room, { ...own, ...options }, facts)
}

/** Clearing plan for one rehearsed vessel: the end, and "stopped early" at the rehearsal's own times. */
export function clearVessel(
  prepared: Prepared,
  rehearsal: Rehearsal,
  facts: DayFacts,
  options: ClearingOptions = {},
): Outcome<ClearingPlan> {
  return planFor(prepared, [rehearsal.end], [rehearsal.start, ...rehearsal.inventories], options, facts)
}
