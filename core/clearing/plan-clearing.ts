/** From the inventories left to a plan that makes them safe: reductant, heat, acid, metals, order of work, streams. */
import { type Outcome, type Problem, done } from '@beakertide/basis/problems'
import { type Source, distinctSources } from '@beakertide/basis/sources'
import { formatNumber, formatTime } from '@beakertide/basis/units'
import { type HazardFacts, type Room, VESSEL_OVER_LIQUID, gasVolumeL } from '../cautions/index.ts'
import type { EquilibriumFacts, Inventory } from '../mixture/index.ts'
import { acidToNeutralise, protonsReleased } from './acid.ts'
import { clearingCautions } from './clearing-cautions.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import type { ClearingPlan, OxidantLeft, Range, ReductantChoice, ReductantId } from './clearing-plan.ts'
import { FIRST_STAGE_PH, NEUTRAL_STAGE_PH, REDUCTANT_MOL_PER_L, clearingSteps } from './clearing-steps.ts'
import { compositionOf } from './composition.ts'
import { type EnthalpyOf, adiabaticRise, portionsUnder, waterCapacity } from './heat.ts'
import { type Case, NEUTRAL_WITHIN, caseOf, collectOnlyIn, firstChoice, kindOf, organicsLeft, rangeOf, scaled } from './leftovers.ts'
import { metalsLeft, targetPH } from './metals.ts'
import { REDUCTANTS, type Reductant, type Treatment, oxidantEquivalents, oxidantsIn, reduce } from './reduction.ts'
import { settledMetals } from './settled-metals.ts'
import { LOCAL_RULE, streamsOf } from './streams.ts'

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
}

/** What clearing needs from the world. */
export interface ClearingWorld {
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

/** An oxidant with less than this share of all equivalents is counted and not listed: radicals, traces (our choice). */
const LISTED_SHARE = 1e-4

function oxidantsLeft(cases: readonly Case[], facts: ClearingFacts): readonly OxidantLeft[] {
  const listed = listedOxidants(cases, facts)
  return facts.oxidants.flatMap((half): readonly OxidantLeft[] => {
    const amountMol = rangeOf(cases.map((c) => c.amounts[half.species] ?? 0))
    if (amountMol.high <= 0 || !listed.has(half.species)) return []
    const equivalentsMol = scaled(amountMol, half.electrons)
    const note = half.note === '' ? {} : { note: half.note }
    return [{ species: half.species, amountMol, electrons: half.electrons, equivalentsMol, ...note }]
  })
}

function listedOxidants(cases: readonly Case[], facts: ClearingFacts): ReadonlySet<string> {
  const most = Math.max(...cases.map((c) => oxidantEquivalents(c.amounts, facts)))
  const worth = facts.oxidants.filter(
    (half) => Math.max(...cases.map((c) => (c.amounts[half.species] ?? 0) * half.electrons)) >= LISTED_SHARE * most,
  )
  return new Set(worth.map((half) => half.species))
}

interface Dose {
  readonly reductant: Reductant
  /** Every case on every route. */
  readonly treatments: readonly (Treatment & { readonly of: Case })[]
  readonly choice: ReductantChoice
}

function doseOf(
  cases: readonly Case[],
  reductant: Reductant,
  chosen: ReductantId,
  facts: ClearingFacts,
  enthalpyOf: EnthalpyOf | null,
): Dose {
  const treatments = cases.flatMap((of) =>
    reductant.routes.map((route) => ({ ...reduce(of.amounts, reductant, route, facts, enthalpyOf), of })),
  )
  const amountMol = rangeOf(treatments.map((t) => t.needMol))
  const listed = listedOxidants(cases, facts)
  const unknown = [...new Set(treatments.flatMap((t) => t.heatUnknown))].filter((species) => listed.has(species))
  return {
    reductant,
    treatments,
    choice: {
      id: reductant.id,
      name: reductant.name,
      formula: reductant.formula,
      amountMol,
      massG: scaled(amountMol, facts.molarMass[reductant.formula] ?? Number.NaN),
      heatKJ: rangeOf(treatments.map((t) => t.heatKJ)),
      temperatureRiseK: rangeOf(treatments.map((t) => adiabaticRise(t.heatKJ, t.of.capacityKJPerK))),
      acidMadeMol: rangeOf(treatments.map((t) => t.acidMadeMol)),
      equations: [...new Set(treatments.flatMap((t) => t.used.filter((u) => listed.has(u.oxidant.species)).map((u) => u.equation.text)))],
      chosen: reductant.id === chosen,
      note: unknown.length > 0 ? `${reductant.note}; heat of ${unknown.join(', ')} not known, taken high` : reductant.note,
    },
  }
}

/** Acid or alkali so little that the liquid counts as neutral is none. */
function worthNeutralising(amountMol: Range, cases: readonly Case[]): Range {
  return amountMol.high > NEUTRAL_WITHIN * Math.max(...cases.map((c) => c.volumeL)) ? amountMol : { low: 0, high: 0 }
}

function acidOf(
  dose: Dose | null,
  cases: readonly Case[],
  room: Room,
  facts: ClearingFacts,
): ClearingPlan['acid'] & { readonly net: readonly number[] } {
  const after = dose ? dose.treatments.map((t) => t.after) : cases.map((c) => c.amounts)
  const net = after.map((amounts) => acidToNeutralise(amounts, NEUTRAL_STAGE_PH, facts))
  const amountMol = worthNeutralising(rangeOf(net.map((n) => Math.max(0, n))), cases)
  return {
    net,
    amountMol,
    bicarbonateG: scaled(amountMol, facts.molarMass['NaHCO3'] ?? Number.NaN),
    carbonateG: scaled(amountMol, (facts.molarMass['Na2CO3'] ?? Number.NaN) / 2),
    co2L: scaled(amountMol, gasVolumeL(1, room.temperatureK)),
    toPH: NEUTRAL_STAGE_PH,
    madeMol: dose?.choice.acidMadeMol ?? { low: 0, high: 0 },
  }
}

/** Middle of "pH 6 to 9" to which alkaline leftovers are brought. */
const ALKALI_TO_PH = 7.5

function alkaliOf(dose: Dose | null, cases: readonly Case[], facts: ClearingFacts): ClearingPlan['alkali'] {
  const after = dose ? dose.treatments.map((t) => t.after) : cases.map((c) => c.amounts)
  const amountMol = worthNeutralising(rangeOf(after.map((a) => Math.max(0, -acidToNeutralise(a, ALKALI_TO_PH, facts)))), cases)
  const citric = facts.acids.find((a) => a.species === 'H3Cit')
  const perMol = citric ? protonsReleased(citric, ALKALI_TO_PH) : Number.NaN
  return { amountMol, citricAcidG: scaled(amountMol, (facts.molarMass['C6H8O7'] ?? Number.NaN) / perMol) }
}

function harmlessLine(plan: Pick<ClearingPlan, 'oxidantEquivalentsMol' | 'metals' | 'acid' | 'alkali'>, collect: number): string | null {
  if (plan.oxidantEquivalentsMol.high > 0 || plan.metals.length > 0 || collect > 0) return null
  if (plan.acid.amountMol.high > 0 || plan.alkali.amountMol.high > 0) {
    return 'No oxidant and no metal of these tables is in it: once neutralised it is a liquid of ordinary salts and organics. That says nothing of dyes, of sugar or of what the tables do not hold, and is no permission to pour it away.'
  }
  return 'No oxidant, no metal, no acid or alkali of these tables is in it. That says nothing of dyes, of sugar or of what the tables do not hold, and is no permission to pour it away.'
}

/**
 * The plan for one vessel. `finish` is the inventory at the end, `stoppedEarly` those at times at which somebody may stop;
 * every number is a range over all of them. Fails only on numbers that are none. What cannot be treated is collected, and
 * says so. Heats are adiabatic upper bounds. Amounts scale with the batch, temperatures do not.
 */
export function planClearing(left: LeftInVessel, room: Room, options: ClearingOptions, world: ClearingWorld): Outcome<ClearingPlan> {
  const { clearing: facts, hazards, equilibria } = world
  const inventories = [...left.finished, ...left.stoppedEarly]
  const problems = wrongInput(inventories, room, options)
  if (problems.length > 0) return { ok: false, problems }
  const vessel = inventories[0]?.vessel ?? ''
  const cases = inventories.map((i, n) =>
    caseOf(i, n < left.finished.length ? `finished at ${formatTime(i.atS)}` : `stopped early at ${formatTime(i.atS)}`),
  )
  const kind = kindOf(cases, facts)
  const equivalents = rangeOf(cases.map((c) => oxidantEquivalents(c.amounts, facts)))
  const chosenId = options.reductant ?? firstChoice(cases, kind, facts)
  const enthalpyOf = options.enthalpyOf ?? null
  const doses = equivalents.high > 0 ? REDUCTANTS.map((r) => doseOf(cases, r, chosenId, facts, enthalpyOf)) : []
  const dose = doses.find((d) => d.choice.chosen) ?? null
  const limitK = options.temperatureLimitK ?? TEMPERATURE_LIMIT_K

  const volumeL = Math.max(...cases.map((c) => c.volumeL))
  const peroxide = Math.max(...cases.map((c) => ((c.amounts['H2O2'] ?? 0) + (c.amounts['HO2-'] ?? 0)) / c.volumeL))
  const factor = dose ? Math.max(1, peroxide / (options.peroxideDilutedMolPerL ?? PEROXIDE_DILUTED_MOL_PER_L)) : 1
  const totalL = factor * volumeL
  const dilution = { factor, waterL: totalL - volumeL, totalL, vesselL: VESSEL_OVER_LIQUID * totalL }
  const reductantL = dose ? dose.choice.amountMol.high / REDUCTANT_MOL_PER_L : 0
  const treatedL = totalL + reductantL
  const riseDilutedK = rangeOf(
    dose?.treatments.map((t) =>
      adiabaticRise(
        t.heatKJ,
        t.of.capacityKJPerK + waterCapacity((factor - 1) * t.of.volumeL + (t.needMol * dose.reductant.perMol) / REDUCTANT_MOL_PER_L),
      ),
    ) ?? [],
  )
  const portions = portionsUnder(limitK, room.temperatureK, riseDilutedK.high)

  const { net, ...acid } = acidOf(dose, cases, room, facts)
  const alkali = alkaliOf(dose, cases, facts)
  const richest = mostMetal(cases)
  const finalPH = targetPH(richest.amounts, facts) ?? NEUTRAL_STAGE_PH
  const reduced = dose?.treatments.find((t) => t.of === richest)?.after ?? richest.amounts
  const floors = settledMetals(reduced, treatedL, finalPH, room.temperatureK, equilibria, facts)
  const metals = metalsLeft(richest.amounts, richest.volumeL, treatedL, finalPH, facts, floors)
  const organics = organicsLeft(cases, treatedL, facts)
  const collectOnly = collectOnlyIn(cases, facts)
  const treated = (dose?.treatments ?? cases.map((of) => ({ after: of.amounts, of, needMol: 0 }))).map((t, i) => ({
    amounts: { ...t.after, 'Na+': (t.after['Na+'] ?? 0) + Math.max(0, net[i] ?? 0) },
    volumeL: factor * t.of.volumeL + t.needMol / REDUCTANT_MOL_PER_L,
  }))
  const composition = compositionOf(treated, facts)
  const firstStage = worthNeutralising(rangeOf(cases.map((c) => Math.max(0, acidToNeutralise(c.amounts, FIRST_STAGE_PH, facts)))), cases)
  const oxygenL = scaled(rangeOf(cases.map((c) => c.amounts['H2O2'] ?? 0)), gasVolumeL(0.5, room.temperatureK))
  const steps = clearingSteps(
    {
      kind,
      choice: dose?.choice ?? null,
      dilution,
      firstStageAcidMol: firstStage,
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
      bicarbonateGPerMol: facts.molarMass['NaHCO3'] ?? Number.NaN,
    },
    facts,
  )
  const plan: ClearingPlan = {
    vessel: vessel,
    cases: [...new Set(cases.map((c) => c.name))],
    cautions: clearingCautions(
      {
        vessel: vessel,
        cases,
        room,
        dose: dose?.choice ?? null,
        collectOnly,
        base: acid.amountMol.high > 0 || metals.length > 0,
        alkaline: kind.alkaline,
      },
      hazards,
    ),
    oxidants: oxidantsLeft(cases, facts),
    oxidantEquivalentsMol: equivalents,
    organics,
    reductants: doses.map((d) => d.choice),
    acid,
    alkali,
    dilution,
    metals,
    steps,
    streams: streamsOf(
      {
        metals,
        organics,
        composition,
        collectOnly,
        reductantLeft: kind.reductantLeft,
        volumeL: treatedL,
        finalPH: metals.length > 0 ? [7, 8] : [6, 9],
      },
      facts,
    ),
    composition,
    harmless: kind.reductantLeft ? null : harmlessLine({ oxidantEquivalentsMol: equivalents, metals, acid, alkali }, collectOnly.length),
    localRule: LOCAL_RULE,
    sources: distinctSources([
      ...cases.flatMap((c) => oxidantsIn(c.amounts, facts).map((o) => o.half.source)),
      ...(dose?.treatments.flatMap((t) => t.sources) ?? []),
      ...metals.map((m) => m.source),
      ...collectOnly.map((c) => c.source),
      ...acidSources(cases, facts),
    ]),
  }
  return done(plan, remarks(plan, limitK))
}

function acidSources(cases: readonly Case[], facts: ClearingFacts): readonly Source[] {
  return facts.acids.filter((a) => a.pKas.length > 0 && cases.some((c) => (c.amounts[a.species] ?? 0) > 0)).map((a) => a.source)
}

/** The case with the most dissolved and solid metal: transition metals do not leave the vessel, so the cases agree but for rounding. */
function mostMetal(cases: readonly Case[]): Case {
  const metal = (c: Case): number => Object.entries(c.amounts).reduce((n, [s, x]) => (/^(Mn|Cu|Co|Ni|Ce|Fe)/.test(s) ? n + x : n), 0)
  return cases.reduce((most, c) => (metal(c) > metal(most) ? c : most))
}

function remarks(plan: ClearingPlan, limitK: number): readonly Problem[] {
  const found: Problem[] = []
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
