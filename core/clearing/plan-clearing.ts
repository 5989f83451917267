/** From the inventories left to a plan that makes them safe: reductant, heat, acid, metals, order of work, streams. */
import { type Outcome, type Problem, done } from '@beakertide/basis/problems'
import { type Source, distinctSources } from '@beakertide/basis/sources'
import { formatNumber, formatTime, kelvinToCelsius } from '@beakertide/basis/units'
import { type HazardFacts, type Room, VESSEL_OVER_LIQUID, gasVolumeL } from '../cautions/index.ts'
import type { MatterFacts } from '../matter/index.ts'
import type { EquilibriumFacts, Inventory } from '../mixture/index.ts'
import { clearingCautions } from './clearing-cautions.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import { alternativesOf, type Price } from './alternatives.ts'
import type { ClearingPlan, ReductantId } from './clearing-plan.ts'
import { FIRST_STAGE_PH, NEUTRAL_STAGE_PH, REDUCTANT_MOL_PER_L, clearingSteps } from './clearing-steps.ts'
import { compositionOf } from './composition.ts'
import { type EnthalpyOf, adiabaticRise, portionsUnder, waterCapacity } from './heat.ts'
import {
  type Case,
  type Kind,
  NEUTRAL_WITHIN,
  caseOf,
  collectOnlyIn,
  firstChoice,
  kindOf,
  organicsLeft,
  rangeOf,
  scaled,
} from './leftovers.ts'
import { leftLines } from './left-lines.ts'
import { counterIon, type Masters, settleLiquid, toMasters, withHalomalonates } from './liquid.ts'
import { metalCount, metalsLeft, targetPH } from './metals.ts'
import { judgePlace, measuredOf, type PlaceLimits, publishedLimits } from './place-limits.ts'
import { type Bound, reactByItself } from './reacting.ts'
import { REDUCTANTS, type Reductant, oxidantEquivalents, oxidantsIn } from './reduction.ts'
import { ALKALI_TO_PH, acidOf, alkaliOf, doseOf, oxidantsLeft } from './doses.ts'
import { LOCAL_RULE, streamsOf } from './streams.ts'
import { airedContents, treat, type Treated, type TreatRequest, type TreatWorld } from './treat.ts'
import { dissolvedG, type Masses, treatmentOver } from './treatment-summary.ts'

/** Peroxide before the first dose, mol/L: one hydrogensulfite dose then warms at most 14 K (cleanup notes, section 3). */
export const PEROXIDE_DILUTED_MOL_PER_L = 0.15
/** The liquid stays under this while it is reduced, K: 40 degC (cleanup notes, section 3). */
export const TEMPERATURE_LIMIT_K = 313.15

export interface ClearingOptions {
  /** Another reductant than the first choice. */
  readonly reductant?: ReductantId
  /** Default 40 degC. */
  readonly temperatureLimitK?: number
  /** Default 0.15 mol/L. */
  readonly peroxideDilutedMolPerL?: number
  /** The matter room's formation enthalpies; where they know every species of an equation they are taken. */
  readonly enthalpyOf?: EnthalpyOf
  /** The limits of the user's place. */
  readonly place?: PlaceLimits
  /** `chosen`: the ways out beside the chosen reductant are left out, for an answer that follows a click. Default `all`. */
  readonly alternatives?: 'all' | 'chosen'
  /** What a gram costs, by formula as weighed. */
  readonly prices?: Readonly<Record<string, Price>>
}

/** What clearing needs from the world. */
export interface ClearingWorld {
  readonly matter: MatterFacts
  readonly clearing: ClearingFacts
  readonly hazards: HazardFacts
  readonly equilibria: EquilibriumFacts
}

/** What may be left in one vessel: every number of the plan is a range over all of these. At least one. */
export interface LeftInVessel {
  /** At the end; several where it may have come more or less far. */
  readonly finished: readonly Inventory[]
  /** At times at which somebody may stop. */
  readonly stoppedEarly: readonly Inventory[]
}

function wrongInput(inventories: readonly Inventory[], room: Room, options: ClearingOptions): readonly Problem[] {
  const problems: Problem[] = []
  const must = (holds: boolean, where: string, what: string, todo: string): void => {
    if (!holds) problems.push({ code: 'clearing/not-an-amount', where, what, todo, danger: true })
  }
  for (const i of inventories) {
    const where = `inventory of vessel "${i.vessel}" at ${formatTime(i.atS)}`
    must(Number.isFinite(i.volumeL) && i.volumeL > 0, where, `its volume is ${i.volumeL} L`, 'give a volume above 0')
    must(i.heatCapacityJPerK > 0 || i.massG > 0, where, 'it has neither mass nor heat capacity', 'give its mass')
    const bad = Object.entries({ ...i.amountsMol, ...i.solidsMol }).filter(([, n]) => !Number.isFinite(n))
    must(bad.length === 0, where, `amounts of ${bad.map(([s]) => s).join(', ')} are not numbers`, 'run the rehearsal again and report this')
  }
  must(
    room.temperatureK > 200 && room.temperatureK < 400,
    'room',
    `its temperature is ${room.temperatureK} K`,
    'state the temperature of the room',
  )
  const limit = options.temperatureLimitK ?? TEMPERATURE_LIMIT_K
  must(
    limit > room.temperatureK + 1,
    'temperature limit',
    `${limit} K is not above the room's ${room.temperatureK} K`,
    'state a limit at least a few kelvin above the room',
  )
  const peroxide = options.peroxideDilutedMolPerL ?? PEROXIDE_DILUTED_MOL_PER_L
  must(peroxide > 0, 'peroxide after dilution', `${peroxide} mol/L`, 'state a strength above 0')
  return problems
}

function harmlessLine(plan: Pick<ClearingPlan, 'oxidantEquivalentsMol' | 'metals' | 'acid' | 'alkali'>, collect: number): string | null {
  if (plan.oxidantEquivalentsMol.high > 0 || plan.metals.length > 0 || collect > 0) return null
  if (plan.acid.amountMol.high > 0 || plan.alkali.amountMol.high > 0) {
    return 'No oxidant and no metal of these tables is in it: once neutralised it is a liquid of ordinary salts and organics. That says nothing of dyes, of sugar or of what the tables do not hold, and is no permission to pour it away.'
  }
  return 'No oxidant, no metal, no acid or alkali of these tables is in it. That says nothing of dyes, of sugar or of what the tables do not hold, and is no permission to pour it away.'
}

/** What a case still holds once its own reductants have taken their oxidants: the dose is reckoned from that. */
function afterItself(of: Case, world: TreatWorld): Case {
  const equilibria = withHalomalonates(world.equilibria)
  const masters = toMasters(of.amounts, equilibria)
  const pH = settleLiquid({ ...masters, ...withIons(masters, equilibria) }, of.volumeL, world.temperatureK, equilibria)?.pH
  const own = reactByItself(masters, pH ?? NEUTRAL_STAGE_PH, { ...world, equilibria })
  if (own.reactions.length === 0) return of
  const { 'H+': protons = 0, ...rest } = own.masters
  return { ...of, amounts: { ...rest, ...(protons >= 0 ? { 'H+': protons } : { 'OH-': -protons }) } }
}

function withIons(masters: Masters, equilibria: EquilibriumFacts): Masters {
  return Object.fromEntries(Object.entries(counterIon(masters, equilibria)).map(([id, n]) => [id, (masters[id] ?? 0) + n]))
}

/** The metals of these need lye, for their carbonate does not fall far enough. */
const NEEDS_LYE = 'Ni'
const METALS_BACK_TO_PH = 7.5
const HEAT_ASSUMPTION =
  "Heats and temperatures take it that nothing is lost to the room while a portion is added and that the liquid cools back to the room's temperature before the next: the most that can be. They do not depend on the size of the batch; a small vessel loses more and stays cooler."

/** Dissolved metal after precipitation, mg/L, for metals of which a solid has formed; null: read the table. */
function floorsOf(t: Treated | undefined, facts: ClearingFacts): Readonly<Record<string, number>> | null {
  const stage = t?.precipitated
  if (!stage?.settled) return null
  const { dissolvedMol, solidsMol } = stage.settled
  const fallen = facts.metals.filter((m) => Object.entries(solidsMol).some(([s, n]) => n > 0 && metalCount(s, m.metal) > 0))
  return Object.fromEntries(
    fallen.map((m) => [
      m.metal,
      (Object.entries(dissolvedMol).reduce((sum, [s, n]) => sum + n * metalCount(s, m.metal), 0) * m.atomicMass * 1000) / stage.volumeL,
    ]),
  )
}

/**
 * The plan for one vessel: every number is a range over all the cases. Fails only on numbers that are none. What cannot be
 * treated is collected, and says so. Heats are adiabatic upper bounds. Amounts scale with the batch, temperatures do not.
 */
export function planClearing(left: LeftInVessel, room: Room, options: ClearingOptions, world: ClearingWorld): Outcome<ClearingPlan> {
  const { clearing: facts, hazards, equilibria } = world
  const inventories = [...left.finished, ...left.stoppedEarly]
  const problems = wrongInput(inventories, room, options)
  if (problems.length > 0) return { ok: false, problems }
  const vessel = inventories[0]?.vessel ?? ''
  const cases = distinctCases(
    inventories.map((i, n) =>
      caseOf(i, n < left.finished.length ? `finished at ${formatTime(i.atS)}` : `stopped early at ${formatTime(i.atS)}`),
    ),
  )
  const kind = kindOf(cases, facts)
  const equivalents = rangeOf(cases.map((c) => oxidantEquivalents(c.amounts, facts)))
  const chosenId = options.reductant ?? firstChoice(cases, kind, facts)
  const enthalpyOf = options.enthalpyOf ?? null
  const treating: TreatWorld = { clearing: facts, equilibria, enthalpyOf, temperatureK: room.temperatureK }
  const masses: Masses = { matter: world.matter, clearing: facts }
  const owned = cases.map((c) => afterItself(c, treating))
  const needsDose = owned.some((c) => oxidantEquivalents(c.amounts, facts) > 0)
  const collectOnly = collectOnlyIn(cases, facts)
  const mayTreat = collectOnly.every((c) => c.severity < 4)
  const limitK = options.temperatureLimitK ?? TEMPERATURE_LIMIT_K

  const volumeL = Math.max(...cases.map((c) => c.volumeL))
  const peroxide = Math.max(...owned.map((c) => ((c.amounts['H2O2'] ?? 0) + (c.amounts['HO2-'] ?? 0)) / c.volumeL))
  const factor = needsDose ? Math.max(1, peroxide / (options.peroxideDilutedMolPerL ?? PEROXIDE_DILUTED_MOL_PER_L)) : 1
  const totalL = factor * volumeL
  const dilution = { factor, waterL: totalL - volumeL, totalL, vesselL: VESSEL_OVER_LIQUID * totalL }

  const richest = mostMetal(cases)
  const metalPH = targetPH(richest.amounts, facts)
  const finalPH = metalPH ?? NEUTRAL_STAGE_PH
  const requestFor = (of: Case, reductant: Reductant | null, bound: Bound, diluted: number, withMetals: boolean): TreatRequest => ({
    case: of,
    reductant,
    reductantMolPerL: REDUCTANT_MOL_PER_L,
    bound,
    dilution: diluted,
    firstPH: needsFirstStage(kind, reductant) ? FIRST_STAGE_PH : null,
    neutralPH: NEUTRAL_STAGE_PH,
    alkaliToPH: ALKALI_TO_PH,
    neutralWithin: NEUTRAL_WITHIN,
    metalPH: withMetals ? metalPH : null,
    lye: facts.metals.some((m) => m.metal === NEEDS_LYE && m.species.some((s) => (richest.amounts[s] ?? 0) > 0)),
    backPH: METALS_BACK_TO_PH,
  })
  const chosenReductant = needsDose ? (REDUCTANTS.find((r) => r.id === chosenId) ?? null) : null
  const treated = mayTreat ? cases.map((of) => treat(requestFor(of, chosenReductant, 'usual', factor, true), treating)) : []
  const bySteps = treated.length > 0 ? treatmentOver(treated, room.temperatureK, masses) : []

  const worst = cases.reduce((most, c) => (oxidantEquivalents(c.amounts, facts) > oxidantEquivalents(most.amounts, facts) ? c : most))
  const finishedCases = cases.slice(0, Math.max(1, Math.min(left.finished.length, cases.length)))
  const beside = worst === finishedCases[0] ? [worst] : [worst, finishedCases[0]!]
  const doses = needsDose ? REDUCTANTS.map((r) => doseOf(owned, r, chosenId, facts, enthalpyOf)) : []
  const doseMade = doses.find((d) => d.choice.chosen) ?? null
  const reductantL = doseMade ? doseMade.choice.amountMol.high / REDUCTANT_MOL_PER_L : 0
  const riseDilutedK = rangeOf(
    doseMade?.treatments.map((t) =>
      adiabaticRise(
        t.heatKJ,
        t.of.capacityKJPerK + waterCapacity((factor - 1) * t.of.volumeL + (t.needMol * doseMade.reductant.perMol) / REDUCTANT_MOL_PER_L),
      ),
    ) ?? [],
  )
  const portions = portionsUnder(limitK, room.temperatureK, riseDilutedK.high)

  const acid = acidOf(doseMade, owned, factor, treating, room)
  const alkali = alkaliOf(doseMade, owned, factor, treating)
  const treatedL = treated.length > 0 ? rangeOf(treated.map((t) => t.volumeL)) : rangeOf([totalL + reductantL])
  const metals = metalsLeft(
    richest.amounts,
    richest.volumeL,
    treatedL.high,
    finalPH,
    facts,
    floorsOf(
      treated.find((t) => t.of === richest),
      facts,
    ),
  )
  const alternatives = alternativesOf({
    cases: beside,
    finished: finishedCases.slice(0, 1),
    chosen: needsDose && mayTreat ? chosenId : null,
    dilution: factor,
    requestFor: (of, reductant, bound, diluted) => requestFor(of, reductant, bound, diluted, false),
    metals,
    world: treating,
    masses,
    prices: options.prices ?? {},
    collectOnly: !mayTreat,
    onlyChosen: options.alternatives === 'chosen',
  })
  const reductants = doses.map((d) => ({
    ...d.choice,
    likelyG: alternatives.find((a) => a.id === d.choice.id)?.reductantG ?? d.choice.massG,
  }))
  const dose = doseMade ? { ...doseMade, choice: reductants.find((r) => r.chosen)! } : null

  const organics = organicsLeft(cases, treatedL.low, facts)
  const finals = treated.map((t) => ({ amounts: airedContents(t), volumeL: t.volumeL }))
  const composition = compositionOf(
    finals.length > 0 ? finals : cases.map((c) => ({ amounts: toMasters(c.amounts, withHalomalonates(equilibria)), volumeL: c.volumeL })),
    facts,
  )
  const pHs = treated.flatMap((t) => [t.stages.at(-1)?.pHAfter ?? null, t.agedPH]).filter((pH) => pH !== null)
  const strengths = treated.flatMap((t) => t.stages.at(-1)?.settled?.ionicStrengthMolPerL ?? [])
  const liquid: ClearingPlan['liquid'] = {
    volumeL: treatedL,
    pH: pHs.length > 0 ? { low: Math.min(...pHs), high: Math.max(...pHs) } : null,
    ionicStrengthMolPerL: strengths.length > 0 ? rangeOf(strengths) : null,
    dissolvedMgPerL: rangeOf(finals.map((f) => (1000 * dissolvedG(f.amounts, masses)) / f.volumeL)),
  }
  const oxygenL = scaled(rangeOf(cases.map((c) => c.amounts['H2O2'] ?? 0)), gasVolumeL(0.5, room.temperatureK))
  const oxidantLeftMol = rangeOf(treated.map((t) => oxidantEquivalents(t.final, facts)))
  const measured = measuredOf({ composition, metals, organics, liquid }, kelvinToCelsius(room.temperatureK))
  const published = publishedLimits(measured, facts)
  const place = options.place ? judgePlace(options.place, measured) : null
  const steps = clearingSteps(
    {
      kind,
      choice: dose?.choice ?? null,
      dilution,
      acid,
      alkali,
      metals,
      finalPH,
      riseDilutedK,
      portions,
      limitK,
      collectOnly,
      oxygenL,
      litresAMol: gasVolumeL(1, room.temperatureK),
      treated,
      treatment: bySteps,
      sodaAshG: scaled(
        rangeOf(treated.flatMap((t) => (t.sodaAshMol ? [t.sodaAshMol.low, t.sodaAshMol.high] : []))),
        facts.molarMass['Na2CO3'] ?? Number.NaN,
      ),
    },
    facts,
  )
  const plan: ClearingPlan = {
    vessel,
    cases: [...new Set(inventories.map((i, n) => `${n < left.finished.length ? 'finished' : 'stopped early'} at ${formatTime(i.atS)}`))],
    cautions: clearingCautions(
      {
        vessel,
        cases,
        room,
        dose: dose?.choice ?? null,
        collectOnly,
        base: acid.amountMol.high > 0 || metals.length > 0,
        alkaline: kind.alkaline,
      },
      hazards,
    ),
    left: leftLines(left.finished, left.stoppedEarly, facts),
    oxidants: oxidantsLeft(cases, facts),
    oxidantEquivalentsMol: equivalents,
    oxidantLeftMol,
    organics,
    reductants,
    acid,
    alkali,
    dilution,
    metals,
    treatment: bySteps,
    alternatives,
    liquid,
    steps,
    streams: streamsOf({
      metals,
      organics,
      composition,
      collectOnly,
      reductantLeft: kind.reductantLeft,
      liquid,
      oxidantLeftMol,
      place,
      published,
    }),
    composition,
    place,
    publishedLimits: published,
    heatAssumption: HEAT_ASSUMPTION,
    harmless: kind.reductantLeft ? null : harmlessLine({ oxidantEquivalentsMol: equivalents, metals, acid, alkali }, collectOnly.length),
    localRule: LOCAL_RULE,
    sources: distinctSources([
      ...cases.flatMap((c) => oxidantsIn(c.amounts, facts).map((o) => o.half.source)),
      ...(dose?.treatments.flatMap((t) => t.sources) ?? []),
      ...treated.flatMap((t) => t.sources),
      ...metals.map((m) => m.source),
      ...collectOnly.map((c) => c.source),
      ...acidSources(cases, facts),
    ]),
  }
  return done(plan, remarks(plan, limitK, treated))
}

/** Inventories that say the same are treated once: the complete mixture and the first early stop, most often. */
function distinctCases(cases: readonly Case[]): readonly Case[] {
  const seen = new Set<string>()
  return cases.filter((c) => {
    const key = JSON.stringify([c.volumeL, c.amounts])
    if (seen.has(key)) return false
    seen.add(key)
    return true
  })
}

/** A sulfur reductant in acid, or manganese beside peroxide, asks for pH 4 to 5 first; alkaline leftovers and those that hold sulfite do not. */
function needsFirstStage(kind: Kind, reductant: Reductant | null): boolean {
  if (!reductant || kind.alkaline || kind.reductantLeft) return false
  return reductant.family !== 'ascorbic' || kind.manganeseAndPeroxide
}

function acidSources(cases: readonly Case[], facts: ClearingFacts): readonly Source[] {
  return facts.acids.filter((a) => a.pKas.length > 0 && cases.some((c) => (c.amounts[a.species] ?? 0) > 0)).map((a) => a.source)
}

/** The case with the most dissolved and solid metal: transition metals do not leave the vessel, so the cases agree but for rounding. */
function mostMetal(cases: readonly Case[]): Case {
  const metal = (c: Case): number => Object.entries(c.amounts).reduce((n, [s, x]) => (/^(Mn|Cu|Co|Ni|Ce|Fe)/.test(s) ? n + x : n), 0)
  return cases.reduce((most, c) => (metal(c) > metal(most) ? c : most))
}

/** Charge that an inventory may lack by rounding or lumped steps before it is worth a word, as a share of its salts. */
const CHARGE_SHARE = 0.01

function remarks(plan: ClearingPlan, limitK: number, treated: readonly Treated[]): readonly Problem[] {
  const found: Problem[] = []
  const lacking = treated.filter((t) => t.counterIonMol > CHARGE_SHARE * Object.values(t.final).reduce((sum, n) => sum + Math.abs(n), 0))
  if (lacking.length > 0) {
    found.push({
      code: 'clearing/not-neutral',
      where: `vessel "${plan.vessel}"`,
      what: 'the model keeps no book of some ions; sodium or chloride was put in their place',
      todo: 'read the salt load and the pH as indications',
    })
  }
  const chosen = plan.reductants.find((r) => r.chosen)
  if (chosen?.id === 'thiosulfate' && plan.oxidants.some((o) => o.species === 'IO3-')) {
    found.push({
      code: 'clearing/thiosulfate-leaves-iodate',
      where: `vessel "${plan.vessel}"`,
      what: 'thiosulfate reduces iodate only below pH 4, where it also splits into sulfur and SO2; at pH 4 to 5 the iodate stays, colourless',
      todo: 'take sodium hydrogensulfite or ascorbic acid',
      danger: true,
    })
  }
  const staged = plan.steps.find((s) => s.portions !== undefined && s.portions > 1)
  if (chosen && staged) {
    found.push({
      code: 'clearing/staged',
      where: `vessel "${plan.vessel}"`,
      what: `all of the ${chosen.name} at once would warm it by up to ${formatNumber(chosen.temperatureRiseK.high, 2)} K; ${staged.portions} portions keep it under ${formatNumber(limitK - 273.15, 2)} degC`,
      todo: 'add it in portions, with a thermometer, and cool between them',
      danger: true,
    })
  }
  return found
}
