/** The order of work at the bench, computed from what the ingredients are: water first, acid into water, peroxide last. */
import { formatNumber } from '@beakertide/basis/units'
import type { MatterFacts } from '../matter/index.ts'
import type { Composition, Part } from './composition.ts'
import { heatCapacityOf, type MakingHeat, partHeat } from './heat.ts'
import type { Portion, Solubility, WorkStep } from './make-up-result.ts'
import {
  isAcidLiquid,
  isConcentratedAcid,
  isFuming,
  isIodide,
  isIodine,
  isLightSensitive,
  isPeroxide,
  isSolidAlkali,
  isStarch,
  isSulfite,
  isSulfuricAcid,
  keepsBadly,
} from './nature.ts'
import { perishing } from './perishable.ts'

/** A solution ready to be written down as steps. */
export interface SolutionPlan {
  readonly id: string
  readonly celsius: number
  /** Smallest digit of the balance, g. */
  readonly filledUpIn: string
  readonly parts: readonly Part[]
  readonly portions: readonly Portion[]
  readonly flask: Composition
  readonly heat: MakingHeat
  readonly solubility: readonly Solubility[]
}

type Step = Omit<WorkStep, 'order'>

/** Share of the final volume that is put in as water before anything dissolves: common practice, no source. */
const WATER_FIRST_SHARE = 0.7
/** Warming by one addition that is still harmless, K: assumed. */
const STAGE_RISE_K = 15
/** A solution is cool enough to fill up when it is this near to the room, K: 2 K move the mark by 0.04 %. */
const COOL_ENOUGH_K = 2
/** Time constant of a beaker in a water bath, min: assumed, common experience with half a litre. */
const COOLING_MINUTES = 8
/** Cooling that makes filling up wrong unless it warms again, K. */
const COLD_K = -3
/** Sulfuric acid from this mass fraction on boils and spits where water runs onto it (as the limit in data/hazards/pair_rules.csv; ours). */
const SPITS_FROM = 0.5
/** Peroxide whitens and stings the skin from about here on (memory); from 8 % w/w it damages eyes for good (GHS specific limit, read). */
const BLEACHES_FROM = 0.12
const HURTS_EYES_FROM = 0.08
/** Acid at once that deserves the danger mark, K above the room. */
const HOT_K = 10

const mL = (volumeL: number): string => `${formatNumber(volumeL * 1000, 3)} mL`
const kelvins = (x: number): string => `${formatNumber(x, 2)} K`
const coolingMinutes = (riseK: number): number =>
  Math.abs(riseK) <= COOL_ENOUGH_K ? 0 : Math.ceil(COOLING_MINUTES * Math.log(Math.abs(riseK) / COOL_ENOUGH_K))

const take = (portion: Portion): string => `${portion.written} of "${portion.bottle}" (${portion.tool})`

/** Rise when one part goes at once into the first water, K; 0 when nothing is known. */
function riseInFirstWater(plan: SolutionPlan, part: Part, firstWaterG: number, matter: MatterFacts, waterMolarMass: number): number {
  const own = part.amountMol / part.content.molPerG.value
  const waterG = firstWaterG + (part.content.state === 'liquid' ? own - part.amountMol * part.content.substance.molarMassGPerMol : 0)
  const heat = partHeat(part, waterG, matter, waterMolarMass)
  return heat ? heat.heatJ / ((firstWaterG + own) * heatCapacityOf([part], firstWaterG + own, plan.celsius, matter)) : 0
}

function acidSteps(
  plan: SolutionPlan,
  part: Part,
  portion: Portion,
  firstWaterG: number,
  matter: MatterFacts,
  waterMolarMass: number,
): readonly Step[] {
  const { content } = part
  const say = (text: string, more: Partial<Step> = {}): Step => ({ solution: plan.id, text, ...more })
  const rise = riseInFirstWater(plan, part, firstWaterG, matter, waterMolarMass)
  // What spits is the strong acid; a diluted stock only burns, and neither needs an ice bath for a rise nobody feels.
  const spits = content.massFraction.value >= SPITS_FROM && isSulfuricAcid(content)
  const hot = spits || rise > HOT_K
  const fumes = isFuming(content) ? ' Under the hood: it fumes.' : ''
  if (!hot) {
    const burns = isConcentratedAcid(content) ? ' It burns skin and eyes: goggles and gloves.' : ''
    return [say(`Add ${take(portion)} to the water, not the other way round, stirring.${burns}${fumes}`)]
  }
  const stages = Math.max(1, Math.ceil(rise / STAGE_RISE_K))
  const howHot =
    rise > COOL_ENOUGH_K ? ` All at once it would warm by ${kelvins(rise)} to ${formatNumber(plan.celsius + rise, 2)} degC.` : ''
  const inStages =
    stages > 1
      ? ` Add ${take(portion)} slowly in ${stages} portions of about ${mL((portion.volumeShownL ?? portion.massShownG / 1000 / (content.density?.value ?? 1)) / stages)}, stirring, and cool to within 5 K of the room between them (ice-water bath).`
      : ` Add ${take(portion)} slowly, stirring.`
  const steps: Step[] = [
    say(`Acid into water, never water into acid: it boils and spits. Goggles, face shield, gloves.${inStages}${howHot}${fumes}`, {
      danger: true,
    }),
  ]
  if (stages > 1)
    steps.push(
      say('Wait between the portions until the liquid is cool.', {
        waitMinutes: (stages - 1) * coolingMinutes(Math.max(rise / stages, STAGE_RISE_K / 2)),
      }),
    )
  return steps
}

function solidSteps(
  plan: SolutionPlan,
  part: Part,
  portion: Portion,
  firstWaterG: number,
  matter: MatterFacts,
  waterMolarMass: number,
): readonly Step[] {
  const { content } = part
  const say = (text: string, more: Partial<Step> = {}): Step => ({ solution: plan.id, text, ...more })
  const rise = riseInFirstWater(plan, part, firstWaterG, matter, waterMolarMass)
  const line = plan.solubility.find((s) => s.substanceId === content.substance.id)
  if (isSolidAlkali(content)) {
    const stages = Math.max(1, Math.ceil(rise / STAGE_RISE_K))
    return [
      say(
        `Alkali into water, never water onto the pellets: they spit. Goggles and gloves. Add ${take(portion)}${stages > 1 ? ` in ${stages} portions` : ''}, stirring.${rise > COOL_ENOUGH_K ? ` All at once it would warm by ${kelvins(rise)}.` : ''}`,
        { danger: true, ...(stages > 1 ? { waitMinutes: (stages - 1) * coolingMinutes(rise / stages) } : {}) },
      ),
    ]
  }
  const warm =
    line?.verdict === 'too-much'
      ? line.dissolvesAboveCelsius === null
        ? ' It will not all dissolve: see the remark.'
        : ` It dissolves only above ${formatNumber(line.dissolvesAboveCelsius, 2)} degC: warm the water to ${formatNumber(line.dissolvesAboveCelsius + 5, 2)} degC.`
      : line?.verdict === 'near-limit'
        ? ' It is near its limit: warm gently and give it time.'
        : ''
  const felt =
    rise > HOT_K
      ? ` It warms the water by about ${kelvins(rise)}: add it in ${Math.ceil(rise / STAGE_RISE_K)} portions.`
      : rise < COLD_K
        ? ` It cools the water by about ${kelvins(-rise)}.`
        : ''
  return [say(`Add ${take(portion)} and stir until it is dissolved.${warm}${felt}`)]
}

function starchSteps(plan: SolutionPlan, portion: Portion, firstWaterL: number): readonly Step[] {
  const say = (text: string, more: Partial<Step> = {}): Step => ({ solution: plan.id, text, ...more })
  const paste = Math.min(0.1 * plan.flask.volumeL, Math.max(0.005, (portion.massShownG * 5) / 1000))
  return [
    say(`Rub ${take(portion)} with ${mL(paste)} of cold water to a smooth paste.`),
    say(
      `Bring ${mL(Math.max(firstWaterL, plan.flask.volumeL * WATER_FIRST_SHARE))} of water to the boil, pour the paste in, stirring, and boil for a minute until it is clear.`,
      { waitMinutes: 2 },
    ),
    say('Let it cool to room temperature before anything else goes in.', { waitMinutes: 30 }),
  ]
}

/** Alone in the flask, undiluted: nothing to make. */
const isAsItIs = (plan: SolutionPlan): boolean =>
  plan.parts.length === 1 && plan.flask.addedWaterG <= 0.01 * plan.flask.massG && plan.parts[0]!.content.state === 'liquid'

function stepsFor(plan: SolutionPlan, matter: MatterFacts, waterMolarMass: number): readonly Step[] {
  const say = (text: string, more: Partial<Step> = {}): Step => ({ solution: plan.id, text, ...more })
  const pairs = plan.parts.map((part, i) => ({ part, portion: plan.portions[i]! }))
  if (pairs.length === 0) return [say(`Measure ${mL(plan.flask.volumeL)} of water. Label it.`)]
  if (isAsItIs(plan)) return [say(`Use "${pairs[0]!.part.content.bottle.id}" as it is: ${mL(plan.flask.volumeL)}. Label the vessel.`)]
  const steps: Step[] = []
  const firstWaterL = Math.max(0, Math.min(WATER_FIRST_SHARE * plan.flask.volumeL, (0.95 * plan.flask.addedWaterG) / 1000))
  const firstWaterG = firstWaterL * 1000
  const starch = pairs.filter((x) => isStarch(x.part.content))
  const peroxide = pairs.filter((x) => isPeroxide(x.part.content))
  const acids = pairs.filter((x) => isAcidLiquid(x.part.content))
  const solids = pairs.filter((x) => x.part.content.state === 'solid' && !isStarch(x.part.content))
  const others = pairs.filter((x) => x.part.content.state === 'liquid' && !isPeroxide(x.part.content) && !isAcidLiquid(x.part.content))
  for (const x of starch) steps.push(...starchSteps(plan, x.portion, firstWaterL))
  if (starch.length === 0)
    steps.push(say(`Put ${mL(firstWaterL)} of distilled water into a clean beaker (at least ${mL(plan.flask.volumeL * 1.5)}).`))
  for (const x of acids) steps.push(...acidSteps(plan, x.part, x.portion, firstWaterG, matter, waterMolarMass))
  // iodide before iodine: iodine dissolves only as triiodide
  const rank = (x: { readonly part: Part }): number => (isIodide(x.part.content) ? 0 : isIodine(x.part.content) ? 2 : 1)
  for (const x of [...solids].sort((a, b) => rank(a) - rank(b))) {
    steps.push(...solidSteps(plan, x.part, x.portion, firstWaterG, matter, waterMolarMass))
    if (isIodine(x.part.content))
      steps.push(
        say('Iodine goes in slowly and gives off a harmful vapour: keep the vessel covered, stir until no crystal is left.', {
          waitMinutes: 15,
        }),
      )
  }
  for (const x of others)
    steps.push(say(`Add ${take(x.portion)}, stirring.${isFuming(x.part.content) ? ' Under the hood: its vapour stings.' : ''}`))
  // what was added in cooled portions is warm only from its last one
  const staged = steps.some((s) => s.danger && / in \d+ portions/.test(s.text))
  const rise = staged ? Math.min(plan.heat.riseK ?? 0, STAGE_RISE_K) : (plan.heat.riseK ?? 0)
  if (rise > COOL_ENOUGH_K)
    steps.push(
      say(
        `Cool to ${formatNumber(plan.celsius, 3)} degC (${staged ? 'the last portion warmed it again' : `it warmed by about ${kelvins(rise)}`}); warm glass and warm liquid show a wrong volume.`,
        { waitMinutes: coolingMinutes(rise) },
      ),
    )
  else if (rise < COLD_K)
    steps.push(
      say(`Let it warm up to ${formatNumber(plan.celsius, 3)} degC (it cooled by about ${kelvins(-rise)}).`, {
        waitMinutes: coolingMinutes(rise),
      }),
    )
  for (const x of peroxide) {
    const strength = x.part.content.massFraction.value
    const strong = strength >= BLEACHES_FROM
    steps.push(
      say(
        `Peroxide last, into the cool solution: add ${take(x.portion)}. Clean glass only; never pour back into the bottle; close with a vented cap.${strong ? ' It bleaches and burns the skin: goggles and gloves.' : strength >= HURTS_EYES_FROM ? ' It can blind: goggles.' : ''}`,
        strong ? { danger: true } : {},
      ),
    )
  }
  steps.push(
    say(
      `Rinse everything over into the ${plan.filledUpIn}, fill up with water to ${mL(plan.flask.volumeL)} (about ${mL(Math.max(0, plan.flask.addedWaterG / 1000))} of water in all) and mix.`,
    ),
  )
  const dark = pairs.some((x) => isLightSensitive(x.part.content)) ? ' Keep it in the dark.' : ''
  const fresh = pairs.some((x) => keepsBadly(x.part.content)) ? ' Use it the same day.' : ''
  const closed = pairs.some((x) => isSulfite(x.part.content)) ? ' Keep it stoppered and away from acid.' : ''
  steps.push(say(`Label it: "${plan.id}", contents, strength, date, your name.${dark}${fresh}${closed}`))
  return steps
}

/** What must cool or boil first; what goes bad last; peroxide at the very end. */
function turn(plan: SolutionPlan): number {
  const contents = plan.parts.map((p) => p.content)
  if (contents.some(isPeroxide)) return 4
  if (contents.some(isSulfite) || contents.some((c) => keepsBadly(c) && !isStarch(c))) return 3
  const slow =
    contents.some(isStarch) ||
    Math.abs(plan.heat.riseK ?? 0) > COOL_ENOUGH_K ||
    plan.solubility.some((s) => s.verdict === 'near-limit' || s.verdict === 'too-much')
  return slow ? 1 : 2
}

/** All steps in the order of work, numbered from 1. Assays of perishable bottles come first, peroxide solutions last. */
export function orderOfWork(plans: readonly SolutionPlan[], matter: MatterFacts, waterMolarMass: number): readonly WorkStep[] {
  const steps: Step[] = []
  const asked = new Set<string>()
  for (const content of plans.flatMap((p) => p.parts.map((x) => x.content))) {
    const doubt = content.assayed ? null : perishing(content.substance, content.state)
    if (!doubt || asked.has(content.bottle.id)) continue
    asked.add(content.bottle.id)
    steps.push({ solution: null, text: `Before anything else check "${content.bottle.id}": ${doubt.why}; ${doubt.assay}.` })
  }
  const inTurn = plans.map((plan, i) => ({ plan, i })).sort((a, b) => turn(a.plan) - turn(b.plan) || a.i - b.i)
  for (const { plan } of inTurn) steps.push(...stepsFor(plan, matter, waterMolarMass))
  return steps.map((s, i) => ({ order: i + 1, ...s }))
}
