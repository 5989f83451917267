/** Bottles and recipe -> what to weigh and measure, and the true strength of every solution. */
import { done, inReadingOrder, invariant, type Outcome, type Problem } from '@beakertide/basis/problems'
import { distinctSources, type Source } from '@beakertide/basis/sources'
import { formatNumber, kelvinToCelsius } from '@beakertide/basis/units'
import { type MatterFacts, molarMass } from '../matter/index.ts'
import { inputFaults, unusedBottles } from './checks.ts'
import { type Composition, compose, type Part } from './composition.ts'
import { solubilities, solubilityRemarks } from './dissolving.ts'
import type { Glassware } from './glassware.ts'
import { makingHeat } from './heat.ts'
import type { MadeSolution, MakeUp, Portion, Solubility, Strength } from './make-up-result.ts'
import { fillUp, type FillUp } from './measuring.ts'
import { type MixShare, pourProblems } from './mix-share.ts'
import { type Bench, measuringWith, portionOf, waterExpansion } from './portion.ts'
import type { BalanceAndGlass, Bottle, SolutionRecipe } from './recipe.ts'
import { shoppingList } from './shopping.ts'
import { type BottleContent, readBottle } from './strength.ts'
import { contradictions, type Entry, wantedAmounts } from './target.ts'
import { quadrature } from './uncertainty.ts'
import { balanceWith } from './weighing.ts'
import { orderOfWork, type SolutionPlan } from './work-order.ts'

/** What make-up needs to know of the world. */
export interface MakeUpFacts {
  readonly matter: MatterFacts
  readonly glassware: Glassware
}

export interface MakeUpOptions {
  /** Wanted to spare beyond the pours, as a share of them; default 0.1 (common practice, no source). */
  readonly spareShare?: number
  /** Relative standard uncertainty above which an amount is called doubtful; default 0.02 (assumed). */
  readonly doubtfulAbove?: number
  /** Amounts as wanted, not rounded to what the tools show, without advice on tools: for recipes found, not made. */
  readonly exact?: boolean
}

/** Rise from which making a solution is dangerous without cooling, K: 20 degC becomes 45 degC, and the acid's own drop is far hotter (assumed). */
const DANGEROUS_RISE_K = 25
const DEFAULT_SPARE = 0.1
const DEFAULT_DOUBTFUL = 0.02
/** Temperatures nearer than this are one, K. */
const SAME_TEMPERATURE_K = 0.5

/** Molar mass of water by the atomic weights in use, g/mol. */
export function waterMolarMass(matter: MatterFacts): number {
  const found = molarMass('H2O', matter.weights)
  invariant(found.ok, 'the atomic weights hold hydrogen and oxygen')
  return found.value.value
}

interface Made {
  readonly plan: SolutionPlan
  readonly made: MadeSolution
  readonly strengths: readonly Strength[]
  readonly solubility: readonly Solubility[]
  readonly remarks: readonly Problem[]
  readonly sources: readonly Source[]
}

/** Relative standard uncertainty of each species' concentration: its portions, root of squares, and the volume. */
function speciesUncertainty(
  parts: readonly Part[],
  portions: readonly Portion[],
  flask: Composition,
  volumeShare: number,
): Record<string, number> {
  const squares: Record<string, number> = {}
  parts.forEach((part, i) => {
    for (const { species, count } of part.content.substance.entersWater) {
      squares[species] = (squares[species] ?? 0) + (count * part.amountMol * portions[i]!.relativeUncertainty) ** 2
    }
  })
  const shares: Record<string, number> = {}
  for (const [species, square] of Object.entries(squares)) {
    const amount = flask.amountsMol[species] ?? 0
    shares[species] = quadrature([amount === 0 ? 0 : Math.sqrt(square) / Math.abs(amount), volumeShare])
  }
  // water is what the density leaves over
  shares['H2O'] = flask.density.uncertainty / flask.density.gPerMl
  return shares
}

function volumeRemarks(solution: SolutionRecipe, filled: FillUp, bench: Bench): readonly Problem[] {
  const share = filled.uncertaintyL / solution.volume.value
  if (bench.exact || share <= bench.doubtfulAbove) return []
  return [
    {
      code: 'makeup/coarse-volume',
      where: `solution "${solution.id}"`,
      what: `${solution.volume.text} in a ${filled.tool} is known only to ${formatNumber(100 * share, 2)} %`,
      todo: filled.better[0] ?? 'fill up in a volumetric flask or measuring cylinder',
      ...(solution.span ? { span: solution.span } : {}),
    },
  ]
}

function makeOne(
  solution: SolutionRecipe,
  entries: readonly Entry[],
  vessels: readonly MixShare[],
  bench: Bench,
  water: number,
): Outcome<Made> {
  const celsius = solution.temperature ? kelvinToCelsius(solution.temperature.value) : bench.celsius
  const { matter } = bench
  const wanted = wantedAmounts(solution, entries, vessels, celsius, matter, water)
  if (!wanted.ok) return wanted
  const there: Bench = { ...bench, celsius }
  const portioned = entries.map((entry, i) => portionOf(solution, entry, wanted.value.parts[i]!, there))
  const parts = portioned.map((p) => p.part)
  const portions = portioned.map((p) => p.portion)
  const volumeL = solution.volume.value
  const flask = compose(parts, volumeL, celsius, matter, water)
  if (entries.some((e) => e.ingredient.weighed)) {
    const impossible = contradictions(solution, entries, parts, flask, 'as-weighed')
    if (impossible.length > 0) return { ok: false, problems: impossible }
  }
  const filled = fillUp(volumeL, measuringWith(there, false))
  const volumeShare = solution.volume.uncertainty !== undefined ? solution.volume.uncertainty / volumeL : filled.uncertaintyL / volumeL
  const heat = makingHeat(parts, flask, celsius, matter, water)
  const now = solubilities(solution.id, parts, flask, celsius, matter)
  const stored = solution.storedAt ? kelvinToCelsius(solution.storedAt.value) : celsius
  const later = Math.abs(stored - celsius) > SAME_TEMPERATURE_K ? solubilities(solution.id, parts, flask, stored, matter) : []
  const where = { where: `solution "${solution.id}"`, ...(solution.span ? { span: solution.span } : {}) }
  const remarks = [
    ...portioned.flatMap((p) => p.warnings),
    ...volumeRemarks(solution, filled, bench),
    ...now.flatMap((line) => solubilityRemarks(line, where, false)),
    ...later.flatMap((line) => solubilityRemarks(line, where, true)),
  ]
  if (heat.riseK !== null && heat.riseK > DANGEROUS_RISE_K) {
    remarks.push({
      code: 'makeup/heats-up',
      ...where,
      what: `making ${solution.volume.text} at once warms it by ${formatNumber(heat.riseK, 2)} K to ${formatNumber(celsius + heat.riseK, 2)} degC`,
      todo: 'follow the order of work: in portions, with cooling between',
      danger: true,
    })
  }
  const strengths = parts.map((part, i): Strength => {
    const trueMolPerL = part.amountMol / volumeL
    return {
      solution: solution.id,
      bottle: part.content.bottle.id,
      substanceId: part.content.substance.id,
      wantedMolPerL: wanted.value.parts[i]!.amountMol / volumeL,
      trueMolPerL,
      uncertaintyMolPerL: trueMolPerL * quadrature([portions[i]!.relativeUncertainty, volumeShare]),
    }
  })
  const roomForWater = Math.max(0, flask.addedWaterG)
  const made: MadeSolution = {
    id: solution.id,
    volumeL,
    massG: flask.massG,
    densityGPerMl: flask.density.gPerMl,
    densityFrom: flask.density.from,
    amountsMol: flask.amountsMol,
    relativeUncertainty: speciesUncertainty(parts, portions, flask, volumeShare),
    addedWaterG: roomForWater,
    inertG: flask.inertG,
    filledUpIn: filled.tool,
    temperatureC: celsius,
    heatCapacityJPerGK: heat.heatCapacityJPerGK,
    heatOfMakingK: heat.riseK,
    heatUnknownFor: heat.unknown,
  }
  return done({
    plan: {
      id: solution.id,
      celsius,
      filledUpIn: filled.tool,
      parts,
      portions,
      flask,
      heat,
      solubility: now,
    },
    made,
    strengths,
    solubility: [...now, ...later],
    remarks,
    sources: [...flask.density.sources, ...heat.sources, ...now.flatMap((s) => (s.source ? [s.source] : [])), filled.piece.source],
  })
}

function readBottles(
  bottles: readonly Bottle[],
  bench: Bench,
  water: number,
): { readonly contents: ReadonlyMap<string, BottleContent>; readonly problems: readonly Problem[]; readonly warnings: readonly Problem[] } {
  const contents = new Map<string, BottleContent>()
  const problems: Problem[] = []
  const warnings: Problem[] = []
  const room = {
    matter: bench.matter,
    ware: bench.ware,
    tools: bench.tools,
    expansionPerK: Math.abs(waterExpansion(bench.celsius, bench.matter)),
  }
  for (const bottle of bottles) {
    const read = readBottle(bottle, bench.celsius, room, water)
    if (!read.ok) problems.push(...read.problems)
    else {
      contents.set(bottle.id, read.value)
      warnings.push(...read.warnings)
    }
  }
  return { contents, problems, warnings }
}

/**
 * Every solution that can be computed, and what is wrong with the others. One whose own numbers are refused, or with a bottle that could not
 * be read, is passed over: its problem is said already.
 */
function makeAll(
  solutions: readonly SolutionRecipe[],
  faults: readonly Problem[],
  contents: ReadonlyMap<string, BottleContent>,
  vessels: readonly MixShare[],
  bench: Bench,
  water: number,
): { readonly made: readonly Made[]; readonly problems: readonly Problem[] } {
  const made: Made[] = []
  const problems: Problem[] = []
  for (const solution of solutions) {
    if (faults.some((f) => f.where.startsWith(`solution "${solution.id}"`))) continue
    const entries = solution.ingredients.flatMap((ingredient): readonly Entry[] => {
      const content = contents.get(ingredient.bottle)
      return content ? [{ ingredient, content }] : []
    })
    if (entries.length < solution.ingredients.length) continue
    const one = makeOne(solution, entries, vessels, bench, water)
    if (one.ok) made.push(one.value)
    else problems.push(...one.problems)
  }
  return { made, problems }
}

/** What could be made up of a recipe that has faults; never a base for weighing. */
export interface MadeInPart extends Pick<MakeUp, 'portions' | 'solutions'> {
  /** Of the bottles that could be understood, by bottle id. */
  readonly contents: ReadonlyMap<string, BottleContent>
}

/**
 * As much of a faulty recipe as can be computed, so that its dangers can be told: bottles that are understood, and solutions of them,
 * without the ingredients that are not. What is wrong is told by `makeUp`. Nothing comes out for a room or a balance that makes no sense.
 */
export function makeInPart(
  bottles: readonly Bottle[],
  solutions: readonly SolutionRecipe[],
  vessels: readonly MixShare[],
  room: { readonly temperatureK: number },
  tools: BalanceAndGlass,
  facts: MakeUpFacts,
): MadeInPart {
  const outside = inputFaults([], [], room.temperatureK, tools)
  if (outside.length > 0) return { portions: [], solutions: [], contents: new Map() }
  const bench = benchOf(room, tools, facts, {})
  const water = waterMolarMass(facts.matter)
  const { contents } = readBottles(bottles, bench, water)
  const known = solutions.map((s) => ({ ...s, ingredients: s.ingredients.filter((i) => contents.has(i.bottle)) }))
  const faults = inputFaults(bottles, known, room.temperatureK, tools)
  const { made } = makeAll(known, faults, contents, vessels, bench, water)
  return { portions: made.flatMap((m) => m.plan.portions), solutions: made.map((m) => m.made), contents }
}

const benchOf = (room: { readonly temperatureK: number }, tools: BalanceAndGlass, facts: MakeUpFacts, options: MakeUpOptions): Bench => ({
  tools,
  ware: facts.glassware,
  matter: facts.matter,
  celsius: kelvinToCelsius(room.temperatureK),
  doubtfulAbove: options.doubtfulAbove ?? DEFAULT_DOUBTFUL,
  exact: options.exact ?? false,
})

/**
 * Plans the make-up: portions to weigh or measure as the tools show them, true strengths with their standard uncertainty,
 * the liquids as made, solubility here and in the store, order of work, shopping list, and everything worth a look.
 *
 * Volumes are what the flask says; water is found from density and mass. Contradictions are refused, all at once.
 * `vessels` may be those of core/mixture; they are needed for strengths in the final mix and for "more poured than made".
 */
export function makeUp(
  bottles: readonly Bottle[],
  solutions: readonly SolutionRecipe[],
  vessels: readonly MixShare[],
  room: { readonly temperatureK: number },
  tools: BalanceAndGlass,
  facts: MakeUpFacts,
  options: MakeUpOptions = {},
): Outcome<MakeUp> {
  const faults = inputFaults(bottles, solutions, room.temperatureK, tools)
  const pours = pourProblems(
    solutions.filter((s) => s.volume.kind === 'volume'),
    vessels,
    options.spareShare ?? DEFAULT_SPARE,
  )
  // more poured than made is no contradiction in a recipe that is only read
  const unmade = options.exact ? pours.problems.filter((p) => p.code === 'makeup/more-poured-than-made') : []
  const pourFaults = pours.problems.filter((p) => !unmade.includes(p))
  const fatal =
    faults.some((f) => f.code === 'makeup/temperature-range' && f.where === 'room') || faults.some((f) => f.code === 'makeup/balance')
  if (fatal) return { ok: false, problems: inReadingOrder([...faults, ...pourFaults]) }
  const bench = benchOf(room, tools, facts, options)
  const water = waterMolarMass(facts.matter)
  const read = readBottles(bottles, bench, water)
  const { made, problems: ofMaking } = makeAll(solutions, faults, read.contents, vessels, bench, water)
  const problems: Problem[] = [...faults, ...read.problems, ...pourFaults, ...ofMaking]
  if (problems.length > 0) return { ok: false, problems: inReadingOrder(problems) }
  const portions = made.flatMap((m) => m.plan.portions)
  const remarks = inReadingOrder([
    ...read.warnings,
    ...made.flatMap((m) => m.remarks),
    ...unmade,
    ...pours.warnings,
    ...unusedBottles(bottles, solutions),
  ])
  const plans = made.map((m) => m.plan)
  return done({
    portions,
    strengths: made.flatMap((m) => m.strengths),
    solutions: made.map((m) => m.made),
    solubility: made.flatMap((m) => m.solubility),
    work: orderOfWork(plans, facts.matter, water),
    shopping: shoppingList(bottles, portions),
    remarks,
    sources: distinctSources([
      ...[...read.contents.values()].flatMap((c) => [...c.sources, { source: c.substance.source, seen: c.substance.seen }]),
      ...made.flatMap((m) => m.sources),
      balanceWith(tools.balanceReadabilityG, facts.glassware).source,
    ]),
  })
}
