/**
 * One case treated step by step: every addition is put into the liquid, reactions run to their end, the fast equilibria are
 * settled, gas leaves, solids fall. Nothing is lost to the room within a step; between steps the liquid cools back to it.
 */
import { type EquilibriumFacts, overMasters } from '../mixture/index.ts'
import type { Source } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'
import { protonsReleased } from './acid.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import { adiabaticRise, type EnthalpyOf, reactionHeat, waterCapacity } from './heat.ts'
import { parseEquation } from './half-reactions.ts'
import type { Case } from './leftovers.ts'
import {
  addSpecies,
  baseNeeded,
  counterIon,
  type Masters,
  settleLiquid,
  type SettledLiquid,
  toMasters,
  withHalomalonates,
  withoutCarbonate,
} from './liquid.ts'
import { type Bound, react, reactByItself, type Reaction, type ReactingWorld } from './reacting.ts'
import type { Reductant } from './reduction.ts'

/** Something weighed and put in. */
export interface Reagent {
  readonly name: string
  /** As weighed. */
  readonly formula: string
  /** What a mole brings into the liquid. */
  readonly brings: Masters
  /** Strength of the solution it is added as, mol/L; null: as a solid. */
  readonly molPerL: number | null
  /** "X(s) -> ions", for the heat of a solid; unknown heats count as none. */
  readonly dissolving?: string
}

/** Half a spoon of solid in a cup: sodium hydrogencarbonate dissolves to about 1.1 mol/L at 20 degC (solubility table); taken rounder. */
const BICARBONATE_MOL_PER_L = 1
const BICARBONATE = { name: 'sodium hydrogencarbonate', formula: 'NaHCO3', brings: { 'Na+': 1, 'HCO3-': 1 } }
export const BICARBONATE_SOLUTION: Reagent = { ...BICARBONATE, molPerL: BICARBONATE_MOL_PER_L }
export const BICARBONATE_SOLID: Reagent = { ...BICARBONATE, molPerL: null, dissolving: 'NaHCO3(s) -> Na+ + HCO3-' }
export const SODA_ASH: Reagent = {
  name: 'sodium carbonate',
  formula: 'Na2CO3',
  brings: { 'Na+': 2, 'CO3^2-': 1 },
  molPerL: null,
  dissolving: 'Na2CO3(s) -> 2 Na+ + CO3^2-',
}
export const CITRIC_ACID: Reagent = { name: 'citric acid (anhydrous)', formula: 'C6H8O7', brings: { H3Cit: 1 }, molPerL: 1 }
export const LYE: Reagent = { name: 'sodium hydroxide', formula: 'NaOH', brings: { 'Na+': 1, 'OH-': 1 }, molPerL: 1 }

export interface Addition {
  readonly reagent: Reagent
  readonly amountMol: number
  /** Water that comes with it, L. */
  readonly waterL: number
}

export type StageName = 'by itself' | 'water' | 'first pH' | 'reduce' | 'neutralise' | 'stand' | 'precipitate' | 'decant' | 'back'

/** One step of one case. Before + added = after + gas (+ solids taken out), species by species over independent ones, water aside. */
export interface Stage {
  readonly name: StageName
  readonly before: Masters
  readonly after: Masters
  readonly additions: readonly Addition[]
  readonly waterL: number
  readonly reactions: readonly Reaction[]
  readonly gasMol: Masters
  readonly takenOutMol: Masters
  readonly volumeL: number
  readonly pHBefore: number | null
  /** As soon as it is stirred in: carbon dioxide up to saturation is still dissolved. */
  readonly pHAfter: number | null
  /** What lies on the bottom. */
  readonly solidsMol: Masters
  readonly settled: SettledLiquid | null
  /** Positive: comes out. */
  readonly heatKJ: number
  readonly riseK: number
  readonly heatUnknown: readonly SpeciesId[]
  /** False above the limit of the activity formula: pH to about 0.2. */
  readonly withinActivityLimit: boolean
}

export interface TreatWorld {
  readonly clearing: ClearingFacts
  readonly equilibria: EquilibriumFacts
  readonly enthalpyOf: EnthalpyOf | null
  readonly temperatureK: number
}

export interface TreatRequest {
  readonly case: Case
  /** Null: nothing is reduced. */
  readonly reductant: Reductant | null
  readonly reductantMolPerL: number
  readonly bound: Bound
  readonly dilution: number
  /** pH of the first stage; null: none is needed. */
  readonly firstPH: number | null
  readonly neutralPH: number
  readonly alkaliToPH: number
  /** Net acid or alkali a litre below which nothing is neutralised. */
  readonly neutralWithin: number
  /** Null: no metal. */
  readonly metalPH: number | null
  /** The metal needs lye, not carbonate. */
  readonly lye: boolean
  readonly backPH: number
}

export interface Treated {
  readonly of: Case
  readonly stages: readonly Stage[]
  /** Sodium or chloride put in because the inventory carries charge, mol. */
  readonly counterIonMol: number
  /** The reductant, mol as weighed, beyond what was there. */
  readonly doseMol: number
  /** Oxidants that it does not meet at the pH of this plan. */
  readonly unmet: Masters
  /** The treated liquid. */
  readonly final: Masters
  readonly volumeL: number
  /** pH once it has stood open to room air; null when it could not be settled. */
  readonly agedPH: number | null
  /** mg/L of metals need the liquid after precipitation. */
  readonly precipitated: Stage | null
  /** Soda ash for the metals: from all carbon dioxide gone with the air to none gone, mol; null: none is used. */
  readonly sodaAshMol: { readonly low: number; readonly high: number } | null
  readonly sources: readonly Source[]
}

/** Carbon dioxide of room air, atm (420 ppm; memory, as in the rehearsal). */
export const AIR_CO2_ATM = 0.00042
/** Carbon dioxide over a liquid that has been stirred and has stood open for some hours, atm (assumed; the soda ash is given from none lost to all). */
const STOOD_CO2_ATM = 0.01
/** Portions in which a reductant that moves the pH is followed at most; a portion is an eighth of what is still needed, or less. */
const PORTIONS_FOLLOWED = 16
const LARGEST_SHARE = 8
/** A portion may move the pH by this much, and is halved so often at most. */
const PH_AT_ONCE = 1
/** The clear liquid hardly buffers: a drop of acid brings it back, mol/L. */
/**
 * Hydrogencarbonate left over when it is neutralised, mol/L: without any, a liquid that nothing else buffers turns sour again in
 * air (pure water: pH 5.6); with metals more, so that their carbonate falls (both assumed).
 */
const SPARE_MOL_PER_L = 2e-3
const SPARE_FOR_METALS_MOL_PER_L = 0.01
/** Carbon dioxide up to saturation sours an unbuffered liquid: so much hydrogencarbonate beside it is pH 4.5 (6.35 + lg(0.0005/0.034)). */
const SPARE_AT_FIRST_MOL_PER_L = 5e-4
const BACK_MOL_PER_L = 1e-6
const MOST_HALVED = 6

interface Bench {
  readonly world: TreatWorld & ReactingWorld
  masters: Masters
  volumeL: number
  capacityKJPerK: number
  settled: SettledLiquid | null
  readonly stages: Stage[]
}

const mastersOf = (part: Masters, bench: Bench): Masters => toMasters(part, bench.world.equilibria)

function minus(a: Masters, b: Masters): Record<SpeciesId, number> {
  const out: Record<SpeciesId, number> = { ...a }
  for (const [id, n] of Object.entries(b)) out[id] = (out[id] ?? 0) - n
  return out
}

const settleNow = (masters: Masters, volumeL: number, bench: Bench, options: Parameters<typeof settleLiquid>[4] = {}) =>
  settleLiquid(masters, volumeL, bench.world.temperatureK, bench.world.equilibria, options)

/** What a step of these additions would make of the liquid, before anything is decided. */
function withAdditions(masters: Masters, additions: readonly Addition[], bench: Bench): Record<SpeciesId, number> {
  const out: Record<SpeciesId, number> = { ...masters }
  for (const { reagent, amountMol } of additions) {
    for (const [id, n] of Object.entries(reagent.brings)) addSpecies(out, id, n * amountMol, bench.world.equilibria)
  }
  return out
}

const addition = (reagent: Reagent, amountMol: number): Addition => ({
  reagent,
  amountMol,
  waterL: reagent.molPerL === null ? 0 : amountMol / reagent.molPerL,
})

interface StageInput {
  readonly name: StageName
  readonly additions?: readonly Addition[]
  readonly waterL?: number
  /** Reductions once everything is in. */
  readonly reactions?: readonly Reaction[]
  /** Contents after additions and reactions, before settling; default: the additions alone. */
  readonly contents?: Masters
  readonly redoxKJ?: number
  readonly heatUnknown?: readonly SpeciesId[]
}

/** Heat of dissolving solids, kJ, and of the species as they come in from their solutions against the independent ones. */
function broughtKJ(additions: readonly Addition[], bench: Bench): { readonly dissolving: number; readonly brought: number } {
  let dissolving = 0
  let brought = 0
  for (const { reagent, amountMol } of additions) {
    if (reagent.dissolving !== undefined) {
      const { kJ } = reactionHeat(parseEquation(reagent.dissolving), bench.world.clearing, null)
      dissolving += (kJ ?? 0) * amountMol
    }
    for (const [id, n] of Object.entries(reagent.brings)) brought += n * amountMol * (overMasters(id, bench.world.equilibria).kJ ?? 0)
  }
  return { dissolving, brought }
}

function take(input: StageInput, bench: Bench): void {
  const before = bench.masters
  const additions = input.additions ?? []
  const waterL = (input.waterL ?? 0) + additions.reduce((sum, a) => sum + a.waterL, 0)
  const contents = input.contents ?? withAdditions(before, additions, bench)
  const volumeL = bench.volumeL + waterL
  const settled = settleNow(contents, volumeL, bench)
  const gasMol = Object.fromEntries(Object.entries(settled?.gasMol ?? {}).filter(([, n]) => n > 0))
  const after = minus(contents, mastersOf(gasMol, bench))
  const capacityKJPerK = bench.capacityKJPerK + waterCapacity(waterL)
  const { dissolving, brought } = broughtKJ(additions, bench)
  const settling = settled && bench.settled ? settled.kJ - bench.settled.kJ - brought : 0
  const heatKJ = -((input.redoxKJ ?? 0) + dissolving + settling)
  bench.stages.push({
    name: input.name,
    before,
    after,
    additions,
    waterL,
    reactions: input.reactions ?? [],
    gasMol,
    takenOutMol: {},
    volumeL,
    pHBefore: bench.settled?.pH ?? null,
    pHAfter: settled?.pH ?? null,
    solidsMol: settled?.solidsMol ?? {},
    settled,
    heatKJ,
    riseK: adiabaticRise(heatKJ, capacityKJPerK),
    heatUnknown: [...new Set([...(input.heatUnknown ?? []), ...(settled?.heatUnknown ?? [])])],
    withinActivityLimit: settled?.withinActivityLimit ?? false,
  })
  bench.masters = after
  bench.volumeL = volumeL
  bench.capacityKJPerK = capacityKJPerK
  // The gas has left: what stays is compared with the next step without it.
  bench.settled = settled && Object.keys(gasMol).length > 0 ? settleNow(after, volumeL, bench) : settled
}

const baseTo = (pH: number, masters: Masters, volumeL: number, bench: Bench): number =>
  baseNeeded(masters, volumeL, pH, bench.world.temperatureK, bench.world.equilibria, bench.world.clearing) ?? 0

interface Portioned {
  readonly doseMol: number
  readonly masters: Masters
  readonly reactions: readonly Reaction[]
  readonly kJ: number
  readonly heatUnknown: readonly SpeciesId[]
  readonly unmet: Masters
  readonly sources: readonly Source[]
}

/** One portion of the reductant in the liquid, reacted. */
function onePortion(masters: Masters, pH: number, portionMol: number, request: TreatRequest, reductant: Reductant, bench: Bench) {
  const brought = { name: reductant.name, formula: reductant.formula, brings: reductant.enters, molPerL: request.reductantMolPerL }
  const contents = withAdditions(masters, [addition(brought, portionMol)], bench)
  return react(contents, reductant.family, pH, request.bound, 'what is there', bench.world)
}

/**
 * The dose in portions. A reductant that moves the pH (thiosulfate takes acid up) is followed: a portion that would carry
 * the pH too far at once is halved, because beyond it the reductant goes another way.
 */
function portioned(request: TreatRequest, reductant: Reductant, bench: Bench): Portioned {
  const { family } = reductant
  const mostPortions = family === 'thiosulfate' ? PORTIONS_FOLLOWED : 1
  let masters: Masters = bench.masters
  let pH = bench.settled?.pH ?? request.firstPH ?? request.neutralPH
  let doseMol = 0
  let kJ = 0
  const reactions: Reaction[] = []
  const heatUnknown: SpeciesId[] = []
  let unmet: Masters = {}
  const sources: Source[] = []
  for (let left = mostPortions; left > 0; left--) {
    const needed = react(masters, family, pH, request.bound, 'as needed', bench.world)
    unmet = needed.unmet
    let portionMol = needed.takenMol / reductant.perMol / Math.min(left, LARGEST_SHARE)
    if (!(portionMol > 0)) break
    let reacted = onePortion(masters, pH, portionMol, request, reductant, bench)
    let reachedPH = pH
    const halvings = left === 1 ? -1 : MOST_HALVED
    for (let halved = 0; halved <= halvings; halved++) {
      const volumeL = bench.volumeL + (doseMol + portionMol) / request.reductantMolPerL
      reachedPH = settleNow(reacted.masters, volumeL, bench)?.pH ?? pH
      if (Math.abs(reachedPH - pH) <= PH_AT_ONCE || halved === halvings) break
      portionMol /= 2
      reacted = onePortion(masters, pH, portionMol, request, reductant, bench)
    }
    pH = reachedPH
    masters = reacted.masters
    doseMol += portionMol
    kJ += reacted.kJ
    reactions.push(...reacted.reactions)
    heatUnknown.push(...reacted.heatUnknown)
    sources.push(...reacted.sources)
  }
  return { doseMol, masters, reactions: joined(reactions), kJ, heatUnknown, unmet, sources }
}

/** The same equation of several portions once. */
function joined(reactions: readonly Reaction[]): readonly Reaction[] {
  const by = new Map<string, Reaction>()
  for (const r of reactions) {
    const before = by.get(r.equation.text)
    by.set(r.equation.text, before ? { ...before, extentMol: before.extentMol + r.extentMol } : r)
  }
  return [...by.values()]
}

function reduceWith(request: TreatRequest, reductant: Reductant, bench: Bench): Pick<Portioned, 'doseMol' | 'unmet' | 'sources'> {
  const { doseMol, masters, reactions, kJ, heatUnknown, unmet, sources } = portioned(request, reductant, bench)
  if (!(doseMol > 0)) return { doseMol: 0, unmet, sources }
  const dose = addition(
    { name: reductant.name, formula: reductant.formula, brings: reductant.enters, molPerL: request.reductantMolPerL },
    doseMol,
  )
  const volumeL = bench.volumeL + dose.waterL
  const base = request.firstPH === null ? 0 : Math.max(0, baseTo(request.firstPH, masters, volumeL, bench))
  const hold = base > request.neutralWithin * volumeL ? [addition(BICARBONATE_SOLUTION, base + SPARE_AT_FIRST_MOL_PER_L * volumeL)] : []
  const contents = withAdditions(masters, hold, bench)
  take({ name: 'reduce', additions: [dose, ...hold], reactions, contents, redoxKJ: kJ, heatUnknown }, bench)
  return { doseMol, unmet, sources }
}

/** Soda ash that brings the liquid to a pH, its dissolved carbon dioxide included, mol; by secants on the acid that would hold it there. */
function sodaAshTo(pH: number, masters: Masters, bench: Bench): number {
  const lacking = (amountMol: number): number => {
    const contents = withAdditions(masters, [addition(SODA_ASH, amountMol)], bench)
    return settleNow(contents, bench.volumeL, bench, { pH, gases: 'stay' })?.acidAddedMol ?? 0
  }
  const first = lacking(0)
  if (first >= 0) return 0
  let [a, b] = [0, -first]
  let [fa, fb] = [first, lacking(b)]
  for (let round = 0; round < 6 && Math.abs(fb) > 1e-6 * Math.abs(first) && fb !== fa; round++) {
    const next = Math.max(0, b - (fb * (b - a)) / (fb - fa))
    ;[a, fa] = [b, fb]
    b = next
    fb = lacking(b)
  }
  return b
}

/** The liquid with the carbon dioxide that it keeps under so much of it in the air; it takes none up. */
function standing(
  atm: number,
  bench: Bench,
): { readonly masters: Masters; readonly gasMol: Masters; readonly settled: SettledLiquid | null } {
  const settled = settleNow(bench.masters, bench.volumeL, bench, { openGasesAtm: { 'CO2(g)': atm } })
  const left = settled?.gasMol['CO2(g)'] ?? 0
  if (settled === null || !(left > 0)) return { masters: bench.masters, gasMol: {}, settled: bench.settled }
  const gasMol = { 'CO2(g)': left }
  const masters = minus(bench.masters, mastersOf(gasMol, bench))
  return { masters, gasMol, settled: settleNow(masters, bench.volumeL, bench) }
}

function stand(bench: Bench): void {
  const { masters, gasMol, settled } = standing(STOOD_CO2_ATM, bench)
  if (Object.keys(gasMol).length === 0) return
  bench.stages.push({
    name: 'stand',
    before: bench.masters,
    after: masters,
    additions: [],
    waterL: 0,
    reactions: [],
    gasMol,
    takenOutMol: {},
    volumeL: bench.volumeL,
    pHBefore: bench.settled?.pH ?? null,
    pHAfter: settled?.pH ?? null,
    solidsMol: settled?.solidsMol ?? {},
    settled,
    heatKJ: 0,
    riseK: 0,
    heatUnknown: [],
    withinActivityLimit: settled?.withinActivityLimit ?? false,
  })
  bench.masters = masters
  bench.settled = settled
}

function precipitateMetals(request: TreatRequest, metalPH: number, bench: Bench): Stage | null {
  let addend: Addition
  if (request.lye) {
    const base = -(settleNow(bench.masters, bench.volumeL, bench, { pH: metalPH, gases: 'stay' })?.acidAddedMol ?? 0)
    addend = addition(LYE, Math.max(0, base))
  } else addend = addition(SODA_ASH, sodaAshTo(metalPH, bench.masters, bench))
  take({ name: 'precipitate', additions: addend.amountMol > 0 ? [addend] : [] }, bench)
  const stage = bench.stages.at(-1) ?? null
  const solids = stage?.settled?.solidsMol ?? {}
  const taken = mastersOf(solids, bench)
  const before = bench.masters
  bench.masters = minus(before, taken)
  bench.settled = settleNow(bench.masters, bench.volumeL, bench)
  bench.stages.push({
    name: 'decant',
    before,
    after: bench.masters,
    additions: [],
    waterL: 0,
    reactions: [],
    gasMol: {},
    takenOutMol: solids,
    volumeL: bench.volumeL,
    pHBefore: stage?.pHAfter ?? null,
    pHAfter: bench.settled?.pH ?? null,
    solidsMol: {},
    settled: bench.settled,
    heatKJ: 0,
    riseK: 0,
    heatUnknown: [],
    withinActivityLimit: bench.settled?.withinActivityLimit ?? false,
  })
  const acid = settleNow(bench.masters, bench.volumeL, bench, { pH: request.backPH, gases: 'stay' })?.acidAddedMol ?? 0
  const citric = bench.world.clearing.acids.find((a) => a.species === 'H3Cit')
  const perMol = citric ? protonsReleased(citric, request.backPH) : Number.NaN
  if (acid > BACK_MOL_PER_L * bench.volumeL) take({ name: 'back', additions: [addition(CITRIC_ACID, acid / perMol)] }, bench)
  return stage
}

/** The whole treatment of one case with the stoichiometric dose; a bench adds until the end point holds. */
export function treat(request: TreatRequest, given: TreatWorld): Treated {
  const equilibria = withHalomalonates(given.equilibria)
  const world = { ...given, equilibria }
  const entered = toMasters(request.case.amounts, equilibria)
  const ions = counterIon(entered, equilibria)
  const masters: Record<SpeciesId, number> = { ...entered }
  for (const [id, n] of Object.entries(ions)) masters[id] = (masters[id] ?? 0) + n
  const bench: Bench = {
    world,
    masters,
    volumeL: request.case.volumeL,
    capacityKJPerK: request.case.capacityKJPerK,
    settled: settleLiquid(masters, request.case.volumeL, world.temperatureK, equilibria),
    stages: [],
  }
  const own = reactByItself(masters, bench.settled?.pH ?? request.neutralPH, world)
  take({ name: 'by itself', reactions: own.reactions, contents: own.masters, redoxKJ: own.kJ, heatUnknown: own.heatUnknown }, bench)
  if (request.dilution > 1) take({ name: 'water', waterL: (request.dilution - 1) * bench.volumeL }, bench)
  if (request.firstPH !== null) {
    const base = baseTo(request.firstPH, bench.masters, bench.volumeL, bench)
    if (base > request.neutralWithin * bench.volumeL) {
      take({ name: 'first pH', additions: [addition(BICARBONATE_SOLUTION, base + SPARE_AT_FIRST_MOL_PER_L * bench.volumeL)] }, bench)
    }
  }
  const reducing = request.reductant ? reduceWith(request, request.reductant, bench) : { doseMol: 0, unmet: {}, sources: [] }
  const { doseMol, unmet } = reducing
  const base = baseTo(request.neutralPH, bench.masters, bench.volumeL, bench)
  if (base > request.neutralWithin * bench.volumeL) {
    const spare = (request.metalPH === null ? SPARE_MOL_PER_L : SPARE_FOR_METALS_MOL_PER_L) * bench.volumeL
    take({ name: 'neutralise', additions: [addition(BICARBONATE_SOLID, base + spare)] }, bench)
  } else {
    const acid = -baseTo(request.alkaliToPH, bench.masters, bench.volumeL, bench)
    const citric = world.clearing.acids.find((a) => a.species === 'H3Cit')
    const perMol = citric ? protonsReleased(citric, request.alkaliToPH) : Number.NaN
    if (acid > request.neutralWithin * bench.volumeL) {
      take({ name: 'neutralise', additions: [addition(CITRIC_ACID, acid / perMol)] }, bench)
    }
  }
  let sodaAshMol: Treated['sodaAshMol'] = null
  if (request.metalPH !== null) {
    if (!request.lye) {
      const [fresh, aired] = [bench.masters, standing(AIR_CO2_ATM, bench).masters]
      const [a, b] = [sodaAshTo(request.metalPH, aired, bench), sodaAshTo(request.metalPH, fresh, bench)]
      sodaAshMol = { low: Math.min(a, b), high: Math.max(a, b) }
    }
  }
  stand(bench)
  const precipitated = request.metalPH === null ? null : precipitateMetals(request, request.metalPH, bench)
  const aged = settleNow(bench.masters, bench.volumeL, bench, { openGasesAtm: { 'CO2(g)': AIR_CO2_ATM } })
  return {
    of: request.case,
    stages: bench.stages,
    counterIonMol: Object.values(ions).reduce((sum, n) => sum + Math.abs(n), 0),
    doseMol,
    unmet: worthNaming(unmet, entered, world.clearing),
    final: bench.masters,
    volumeL: bench.volumeL,
    agedPH: aged?.pH ?? null,
    precipitated,
    sodaAshMol,
    sources: [...own.sources, ...reducing.sources],
  }
}

/** Radicals and traces are not named among what stays: less than this share of all electrons (as in the list of oxidants). */
const NAMED_SHARE = 1e-4

function worthNaming(unmet: Masters, entered: Masters, clearing: ClearingFacts): Masters {
  const electrons = (id: SpeciesId): number => clearing.oxidants.find((o) => o.species === id)?.electrons ?? 0
  const all = Object.entries(entered).reduce((sum, [id, n]) => sum + Math.max(0, n) * electrons(id), 0)
  return Object.fromEntries(Object.entries(unmet).filter(([id, n]) => n * electrons(id) >= NAMED_SHARE * all))
}

/** The liquid once its carbon dioxide is gone, for what a label or an authority asks of it. */
export const airedContents = (t: Treated): Masters => withoutCarbonate(t.final)
