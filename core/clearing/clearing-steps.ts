/** The order of work, each step with its reason; the order itself is what keeps SO2, foam and hidden iodine away. */
import { formatNumber, formatQuantity, kelvinToCelsius } from '@beakertide/basis/units'
import type { ClearingFacts, CollectOnly } from './clearing-facts.ts'
import type { ClearingPlan, ClearingStep, MetalLeft, Range, ReductantChoice, TreatmentStage } from './clearing-plan.ts'
import type { Kind } from './leftovers.ts'
import { scaled } from './leftovers.ts'
import type { StageName, Treated } from './treat.ts'
import { namedReactions, STAGE_TITLES } from './treatment-summary.ts'

/** pH of the first stage: thiosulfate no longer splits, bisulfite hardly smells, manganese does not turn brown (cleanup notes, section 3). */
export const FIRST_STAGE_PH = 4.5
/** End of neutralising without metals. */
export const NEUTRAL_STAGE_PH = 8
/** Waiting after the colour has gone: peroxide and iodate bring it back (cleanup notes, section 3; memory). */
export const WATCH_MINUTES = 15
/** A second look: iodate without iodide brings the colour back late (our choice). */
export const LOOK_AGAIN_MINUTES = 30
/** Stirred and standing open until most carbon dioxide has left (assumed). */
const STANDING_MINUTES = 4 * 60
/** Carbonate taken for the metal over the stoichiometric amount (W9: 1.5 to 2 times). */
const CARBONATE_EXCESS: Range = { low: 1.5, high: 2 }
/** Strength at which the reductant is added: not as a solid, which sinks and then reacts all at once. */
export const REDUCTANT_MOL_PER_L = 1

/** Everything the steps are told of. */
export interface StepInput {
  readonly kind: Kind
  readonly choice: ReductantChoice | null
  readonly dilution: ClearingPlan['dilution']
  readonly acid: ClearingPlan['acid']
  readonly alkali: ClearingPlan['alkali']
  readonly metals: readonly MetalLeft[]
  readonly finalPH: number
  readonly riseDilutedK: Range
  readonly portions: number
  readonly limitK: number
  readonly collectOnly: readonly CollectOnly[]
  readonly oxygenL: Range
  readonly litresAMol: number
  readonly treated: readonly Treated[]
  readonly treatment: readonly TreatmentStage[]
  /** From all carbon dioxide gone to none gone. */
  readonly sodaAshG: Range
}

type Draft = Omit<ClearingStep, 'order'>

const range = (r: Range, unit: string, digits = 2): string => {
  const [low, high] = [formatNumber(r.low, digits), formatNumber(r.high, digits)]
  return low === high ? `${high} ${unit}` : `${low} to ${high} ${unit}`
}

const stageOf = (input: StepInput, name: StageName): TreatmentStage | undefined =>
  input.treatment.find((t) => t.name === STAGE_TITLES[name])
const massIn = (stage: TreatmentStage | undefined, formula: string): Range =>
  stage?.additions.find((a) => a.formula === formula)?.massG ?? { low: 0, high: 0 }
const gasIn = (stage: TreatmentStage | undefined): Range =>
  (stage?.gas ?? []).reduce((sum, g) => ({ low: sum.low + g.litres.low, high: sum.high + g.litres.high }), { low: 0, high: 0 })
const withPH = (stage: TreatmentStage | undefined): Pick<Draft, 'pH'> => (stage?.pHAfter ? { pH: stage.pHAfter } : {})
const withGas = (gasL: Range): Pick<Draft, 'gasL'> => (gasL.high > 0 ? { gasL } : {})

/** Hydrogencarbonate of all steps together, with what is left over so that the liquid does not turn sour again; at least what the acid asks for. */
function bicarbonateInAll(input: StepInput): Range {
  const stages = (['first pH', 'reduce', 'neutralise'] as const).map((name) => massIn(stageOf(input, name), 'NaHCO3'))
  const sum = stages.reduce((a, b) => ({ low: a.low + b.low, high: a.high + b.high }), { low: 0, high: 0 })
  return { low: Math.max(sum.low, input.acid.bicarbonateG.low), high: Math.max(sum.high, input.acid.bicarbonateG.high) }
}

/** Equations by which what is left uses itself up, where that is a part worth a word. */
function byItself(input: StepInput): readonly string[] {
  return [...new Set(input.treated.flatMap((t) => namedReactions(t.stages.find((s) => s.name === 'by itself')?.reactions ?? [])))]
}

/** NaHCO3, g/mol (standard atomic weights). */
const BICARBONATE_G_PER_MOL = 84.01
const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`

const BICARBONATE_EQUATION = 'HCO3- + H+ -> CO2 + H2O'
const CARBONATE_EQUATION = 'CO3^2- + 2 H+ -> CO2 + H2O'

function before(input: StepInput): readonly Draft[] {
  const { dilution, kind } = input
  const own = byItself(input)
  const drafts: Draft[] = [
    {
      what: `Let it finish and cool to the room's temperature in a tall open vessel of at least ${formatQuantity(dilution.vesselL, 'volume', 2)}, in a hood or by an open window, in a tray. Goggles, gloves, a second person.${kind.reductantEarly && !kind.reductantLeft ? ' Stopped early it still holds sulfite or thiosulfate: no acid into it, or wait until its colour has turned.' : ''}`,
      why: kind.peroxide
        ? `${kind.iodine ? 'Iodine and oxygen go' : 'Oxygen goes'} on for an hour or more after the show; warm liquid fumes and foams, and a smaller vessel overflows.`
        : `Every step that follows may foam or warm it.${own.length > 0 ? ' What is left of reductant and oxidant takes one another meanwhile; the dose below is for what stays.' : ''}`,
      equations: [...(kind.peroxide ? ['2 H2O2 -> 2 H2O + O2'] : []), ...own],
      ...(kind.peroxide ? { gasL: input.oxygenL } : {}),
    },
  ]
  if (dilution.factor > 1) {
    drafts.push({
      what: `Add ${formatQuantity(dilution.waterL, 'volume', 2)} of cold water (${formatQuantity(dilution.totalL, 'volume', 2)} in all).`,
      why: 'At 0.15 mol/L of peroxide or less one dose of sulfite or hydrogensulfite warms it by at most 14 K; stronger liquid would boil. This is for the heat: dilution destroys nothing.',
      equations: [],
      test: 'peroxide strip (dilute a drop if the top of the range is passed): 5000 mg/L or less',
    })
  }
  if (kind.reductantLeft) {
    drafts.push({
      what: 'It still holds sulfite or thiosulfate: never acidify it. If it is acid now, bring it to pH 6 to 8 with hydrogencarbonate solution before anything else, in the hood.',
      why: 'Acid turns both into sulfur dioxide, thiosulfate into sulfur as well.',
      equations: ['S2O3^2- + 2 H+ -> S(s) + H2SO3', 'HSO3- + H+ -> H2SO3'],
      test: 'an iodine drop is decolourised: reductant is left',
    })
  }
  return drafts
}

function toFirstStage(input: StepInput): readonly Draft[] {
  const { choice, kind } = input
  const stage = stageOf(input, 'first pH')
  if (!choice || !stage) return []
  return [
    {
      what: `Bring it to pH 4 to 5 with a solution of sodium hydrogencarbonate, in small portions${kind.manganeseAndPeroxide ? '; not above pH 6 while peroxide and manganese are together' : ''}.`,
      why: `Above pH 4 thiosulfate no longer splits into sulfur and SO2 and hydrogensulfite hardly smells; the oxidants still react there.${kind.manganeseAndPeroxide ? ' Above pH 6 manganese turns into a brown solid that decomposes the peroxide violently.' : ''}${kind.iodine ? ' Above pH 9 iodine would only hide: 3 I2 + 6 OH- -> 5 I- + IO3- + 3 H2O.' : ''}`,
      equations: [BICARBONATE_EQUATION],
      substance: 'sodium hydrogencarbonate, for this stage',
      massG: massIn(stage, 'NaHCO3'),
      // Less is set free here than acid was there: the liquid keeps carbon dioxide up to saturation.
      gasL: { low: 0, high: (massIn(stage, 'NaHCO3').high / BICARBONATE_G_PER_MOL) * input.litresAMol },
      ...withPH(stage),
      test: `pH paper 4 to 5 (spot a drop${kind.iodine ? '; iodine hides the colour' : ''})`,
    },
  ]
}

function reducing(input: StepInput, facts: ClearingFacts): readonly Draft[] {
  const { choice, kind } = input
  if (!choice) return []
  const celsius = formatNumber(kelvinToCelsius(input.limitK), 2)
  const portions =
    input.portions > 1
      ? ` In ${Number.isFinite(input.portions) ? `at least ${input.portions}` : 'small'} equal portions, cooled back to the room's temperature between them.`
      : ''
  const stage = stageOf(input, 'reduce')
  const holding = massIn(stage, 'NaHCO3')
  const hold =
    holding.high > 0
      ? ` It makes acid: keep hydrogencarbonate in the pot, ${range(holding, 'g')} in all as a solution of 1 mol/L, so that the pH stays at 4 to 6, else the rest leaves as SO2.`
      : ''
  const doseG = choice.likelyG.high > 0 ? choice.likelyG : choice.massG
  const leaves = [...new Set(input.treated.flatMap((t) => Object.keys(t.unmet)))]
  const starch = facts.endTests['starch-iodide paper']
  return [
    {
      what: `${kind.alkaline ? 'While it is still alkaline, add' : 'Add'} the ${choice.name} as a solution of about ${REDUCTANT_MOL_PER_L} mol/L, slowly, stirring, thermometer in it, until the colour is gone and a strip reads no oxidant; stop at ${celsius} degC and let it cool.${portions}${hold}`,
      why: `${!kind.alkaline ? '' : kind.acidFreesGas ? 'Acid first would free chlorine, chlorine dioxide or hydrogen cyanide. ' : 'There it makes no sulfur dioxide. '}As a solid it sinks and then reacts all at once, with half the heat within seconds. ${capital(choice.note)}.${leaves.length > 0 ? ` At this pH it does not reach ${leaves.join(', ')}: the liquid stays an oxidiser. Take another reductant.` : ''}`,
      equations: stage && stage.equations.length > 0 ? stage.equations : choice.equations,
      substance: `${choice.name} (${choice.formula})`,
      massG: doseG,
      ...withPH(stage),
      ...withGas(gasIn(stage)),
      heatKJ: choice.heatKJ,
      temperatureRiseK: input.riseDilutedK,
      portions: input.portions,
      test: `thermometer below ${celsius} degC`,
      ...(input.portions > 1 || leaves.length > 0 ? { danger: true as const } : {}),
    },
    {
      what: `Wait ${WATCH_MINUTES} min with the vessel open${kind.persulfate ? '; persulfate: warm to 40 degC with extra reductant for an hour first' : ''}. If any colour returns, add more reductant and wait again; look once more after ${LOOK_AGAIN_MINUTES} min.`,
      ...comingBack(input),
      waitMinutes: WATCH_MINUTES,
      test: 'colour stays away',
    },
    {
      what: 'Test a drop.',
      why: starch ? `${starch.limits}.` : 'Smell and colour are no tests.',
      equations: [],
      test: `starch-iodide paper, ${starch?.how ?? 'made acid'}${kind.starch ? ' (starch is in it already: a crystal of potassium iodide in an acidified sample does the same)' : ''}; peroxide strip below 5 mg/L; both negative`,
    },
  ]
}

/** Why one waits: what brings the colour back, in the liquid that is there. */
function comingBack({ kind, choice }: StepInput): Pick<Draft, 'why' | 'equations'> {
  const used = choice?.equations.join(' ') ?? ''
  if (kind.iodine) {
    const peroxide = kind.peroxide || /H2O2/.test(used)
    const iodate = /IO3-/.test(used)
    const left = [peroxide ? 'peroxide' : '', iodate ? 'iodate' : ''].filter((t) => t !== '')
    return {
      why:
        left.length > 0
          ? `${left.join(' and ')} that ${left.length > 1 ? 'are' : 'is'} left turn${left.length > 1 ? '' : 's'} iodide back into iodine: the mixture is its own indicator. Colourless is not done, for ${left.join(' and ')} ${left.length > 1 ? 'are' : 'is'} colourless.`
          : 'An oxidant that is left turns iodide back into iodine: the mixture is its own indicator.',
      equations: [...(peroxide ? ['H2O2 + 2 I- + 2 H+ -> I2 + 2 H2O'] : []), ...(iodate ? ['IO3- + 5 I- + 6 H+ -> 3 I2 + 3 H2O'] : [])],
    }
  }
  if (kind.bromate) {
    return {
      why: 'bromate that is left turns bromide back into yellow bromine, slowly so near neutral. Colourless is not done, for bromate is colourless.',
      equations: ['BrO3- + 5 Br- + 6 H+ -> 3 Br2 + 3 H2O'],
    }
  }
  return { why: 'What reacts slowly shows late.', equations: [] }
}

function neutralising(input: StepInput): readonly Draft[] {
  const drafts: Draft[] = []
  const { acid, alkali, metals, finalPH } = input
  if (alkali.amountMol.high > 0) {
    drafts.push({
      what: 'Neutralise with citric acid solution, slowly, stirring, to pH 6 to 9.',
      why: `${input.choice ? 'Only now, with no oxidant left. ' : ''}It warms (56 kJ a mole of alkali).`,
      equations: ['H+ + OH- -> H2O'],
      substance: 'citric acid (anhydrous)',
      massG: alkali.citricAcidG,
      ...withPH(stageOf(input, 'neutralise')),
      test: 'pH paper 6 to 9 (dyes hide the colour: use a meter)',
    })
  }
  if (acid.amountMol.high > 0) {
    const inAll = bicarbonateInAll(input)
    drafts.push({
      what: `Neutralise to pH ${formatNumber(acid.toPH, 2)} with sodium hydrogencarbonate in small portions, open vessel; the whole of it, earlier portions included, takes ${range(inAll, 'g')} (or ${range(acid.carbonateG, 'g')} of soda ash, which warms, gives half the gas and can overshoot).`,
      why: `${input.choice ? 'Only now, with no oxidant left. ' : ''}Organic acids count with every proton${input.choice ? '; so does the acid that the reduction made' : ''}.`,
      equations: [BICARBONATE_EQUATION, CARBONATE_EQUATION],
      substance: 'sodium hydrogencarbonate, in all',
      massG: inAll,
      gasL: acid.co2L,
      ...withPH(stageOf(input, 'neutralise')),
      test: 'pH paper; no more fizzing (at first it reads 5 to 7: the liquid is full of carbon dioxide, and the pH rises as that leaves)',
    })
  }
  const standing = stageOf(input, 'stand')
  if (standing) {
    drafts.push({
      what: 'Stir until it no longer fizzes, then let it stand open for some hours.',
      why:
        input.sodaAshG.high > 0
          ? `The carbon dioxide that is still dissolved would take soda ash: ${range(input.sodaAshG, 'g')} from none left to all still there.`
          : 'The carbon dioxide that is still dissolved keeps it sour; as it leaves, the pH rises by itself.',
      equations: [],
      ...withGas(gasIn(standing)),
      ...withPH(standing),
      waitMinutes: STANDING_MINUTES,
      test: 'no bubbles on shaking a little of it',
    })
  }
  const excess = metals.reduce((sum, m) => sum + m.carbonateG, 0)
  const freed = metals.reduce((sum, m) => sum + m.co2Mol, 0)
  if (metals.length > 0) {
    const names = metals.map((m) => m.metal).join(', ')
    drafts.push(
      {
        what: `Raise to pH ${formatNumber(finalPH, 2)} with soda ash${metals.some((m) => m.metal === 'Ni') ? ' and dilute sodium hydroxide' : ''} so that ${names} fall${metals.length > 1 ? '' : 's'} out; stir, then stand cold and open overnight.`,
        why: `${oxalateFirst(input)}${input.kind.peroxide ? 'Now that the peroxide is gone nothing foams. ' : ''}${metals.map((m) => `${m.metal}: floor ${formatNumber(m.floorMgPerL, 2)} mg/L, expect ${range(m.expectMgPerL, 'mg/L')} (${m.note})`).join('. ')}.${input.kind.ammonium ? ' Ammonium is there: above pH 8 it frees ammonia, so hood.' : ''}`,
        equations: metals.map((m) => metalEquation(m.metal)).filter((e) => e !== ''),
        ...baseFor(input, excess),
        ...withPH(stageOf(input, 'precipitate')),
        ...(freed > 0 ? { gasL: { low: 0, high: freed * input.litresAMol } } : {}),
        waitMinutes: 12 * 60,
        test: 'solid has settled, liquid above is clear',
      },
      {
        what: `Decant or filter by gravity when it is cold, below 30 degC. Keep the solid wet: ${metals.map((m) => `${m.solid} ${formatQuantity(m.dryG, 'mass', 3)} dry, ${range(m.wetG, 'g')} wet`).join('; ')}.`,
        why: 'Hot filtering sprays and fumes; dried, ground cakes make dust that must not be breathed.',
        equations: [],
        test: 'metal strip in the clear liquid, acidified as its maker says',
      },
      {
        what: 'Bring the clear liquid back to pH 7 to 8 with a little citric acid and test it again for oxidant.',
        why: 'Local limits of pH differ; what was hidden in alkali shows now. Open to the air it creeps up again as carbon dioxide leaves.',
        equations: [],
        ...(massIn(stageOf(input, 'back'), 'C6H8O7').high > 0
          ? { substance: 'citric acid (anhydrous), as a solution', massG: massIn(stageOf(input, 'back'), 'C6H8O7') }
          : {}),
        ...withPH(stageOf(input, 'back') ?? stageOf(input, 'decant')),
        test: 'pH paper; starch-iodide paper made acid; both as before',
      },
    )
  }
  return drafts
}

/** What brings the metals down, and how much: as computed for this liquid; at least what the metals themselves take. */
function baseFor(input: StepInput, stoichiometricG: number): Pick<Draft, 'substance' | 'massG'> {
  const lye = massIn(stageOf(input, 'precipitate'), 'NaOH')
  if (lye.high > 0) return { substance: 'sodium hydroxide, as a solution of 1 mol/L', massG: lye }
  const least = scaled(CARBONATE_EXCESS, stoichiometricG)
  return {
    substance: 'sodium carbonate beyond the acid',
    massG: { low: Math.max(least.low, input.sodaAshG.low), high: Math.max(least.high, input.sodaAshG.high) },
  }
}

/** Oxalate that is there takes manganese or copper down before carbonate does. */
function oxalateFirst(input: StepInput): string {
  const fallen = input.treated.flatMap((t) => t.stages.flatMap((s) => Object.keys(s.solidsMol))).filter((id) => id.includes('C2O4'))
  return fallen.length === 0
    ? ''
    : `Oxalate is there: ${[...new Set(fallen)].map((id) => id.replace('(s)', '')).join(', ')} falls first and is kept with the rest. `
}

/** Equations of precipitation, by the solid that falls (data/hazards/cleanup_reactions.csv). */
export function metalEquation(metal: string): string {
  const equations: Readonly<Record<string, string>> = {
    Mn: 'Mn2+ + CO3^2- -> MnCO3(s)',
    Cu: '2 Cu2+ + 2 CO3^2- + H2O -> Cu2(OH)2CO3(s) + CO2',
    Co: 'Co2+ + CO3^2- -> CoCO3(s)',
    Ni: 'Ni2+ + 2 OH- -> Ni(OH)2(s)',
    Ce: 'Ce3+ + 3 OH- -> Ce(OH)3(s)',
    Fe: 'Fe3+ + 3 OH- -> Fe(OH)3(s)',
  }
  return equations[metal] ?? ''
}

/** All steps in order. With something that must only be collected, the plan ends after cooling: nothing is added to it. */
export function clearingSteps(input: StepInput, facts: ClearingFacts): readonly ClearingStep[] {
  const forbidding = input.collectOnly.filter((c) => c.severity === 4)
  const collect: readonly Draft[] = input.collectOnly.map((c) => ({
    what: `${c.name}: ${c.collect}.`,
    why: `${c.never === '' ? '' : `${c.never}. `}${c.severity === 4 ? 'It is not treated here.' : 'The steps below make the rest of the liquid safe to keep; this stays in it and is collected with it.'}`,
    equations: [],
    ...(c.severity === 4 ? { danger: true as const } : {}),
  }))
  const last: Draft = {
    what: 'Into a plastic bottle with a vented cap, two thirds full at most, in a tray; label with contents in words, strengths, pH, hazards, date and name. One class of leftovers a bottle.',
    why: `${input.kind.peroxide ? 'Carbon dioxide and oxygen go on for hours' : input.acid.amountMol.high > 0 ? 'Carbon dioxide goes on for hours' : 'Leftovers that nobody is sure of may still give gas'}; closed bottles have burst days later, and mixed jugs make iodine, bromine or SO2.`,
    equations: [],
    test: 'no bubbles before the cap goes on',
  }
  const treat = forbidding.length > 0 ? [] : [...toFirstStage(input), ...reducing(input, facts), ...neutralising(input)]
  const drafts = [
    ...collect,
    ...before(forbidding.length > 0 ? { ...input, dilution: { ...input.dilution, factor: 1 } } : input),
    ...treat,
    last,
  ]
  return drafts.map((d, i) => ({ order: i + 1, ...d }))
}
