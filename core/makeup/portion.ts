/** One ingredient on the bench: what the balance or the glass must show, how far it is trusted, what to do when it is too little. */
import type { Problem } from '@beakertide/basis/problems'
import { formatNumber, formatQuantity } from '@beakertide/basis/units'
import { type MatterFacts, solubilityAt, waterDensity } from '../matter/index.ts'
import { massOf, type Part, volumeOf } from './composition.ts'
import type { Glassware } from './glassware.ts'
import type { Portion } from './make-up-result.ts'
import { type Measuring, measure, writtenByTool } from './measuring.ts'
import { isCorrosiveLiquid } from './nature.ts'
import { perishing } from './perishable.ts'
import type { BalanceAndGlass, SolutionRecipe } from './recipe.ts'
import type { BottleContent } from './strength.ts'
import type { Entry } from './target.ts'
import { combined, relative, type UncertaintyPart } from './uncertainty.ts'
import { balanceWith, smallestWeighingG, weigh, writtenByBalance } from './weighing.ts'

export interface Bench {
  readonly tools: BalanceAndGlass
  readonly ware: Glassware
  readonly matter: MatterFacts
  readonly celsius: number
  /** Relative standard uncertainty above which a number is called doubtful. */
  readonly doubtfulAbove: number
  /** Take amounts as wanted, without rounding to what can be shown (for recipes found, not made). */
  readonly exact: boolean
}

export interface Portioned {
  readonly portion: Portion
  /** Amount that is really there, mol: from what was weighed, else from what the tool shows. */
  readonly part: Part
  readonly warnings: readonly Problem[]
}

/** A back-entered amount this far from the wanted one is named, relative (assumed). */
const WEIGHED_DIFFERS = 0.05
/** A share of the doubtful uncertainty that a tool may use up. */
const TOOL_SHARE = 0.25
/** Volumes of flasks and pipettes for a stock that makes a weighing large enough, L. */
const STOCK_FLASKS_L = [0.1, 0.25, 0.5, 1] as const
const STOCK_PIPETTES_L = [0.025, 0.02, 0.01, 0.005, 0.002, 0.001] as const
/** A stock keeps this far below its solubility. */
const STOCK_OF_SOLUBILITY = 0.7

const mL = (volumeL: number, digits = 4): string => `${formatNumber(volumeL * 1000, digits)} mL`
const g = (massG: number, digits = 4): string => formatQuantity(massG, 'mass', digits)
const percent = (x: number): string => `${formatNumber(100 * x, 2)} %`

/** Expansion of water at the temperature, 1/K, from its density one degree up and down. */
export function waterExpansion(celsius: number, matter: MatterFacts): number {
  return (waterDensity(celsius - 1, matter) - waterDensity(celsius + 1, matter)) / (2 * waterDensity(celsius, matter))
}

export const measuringWith = (bench: Bench, corrosive: boolean): Measuring => ({
  glassClass: bench.tools.glassClass,
  ware: bench.ware,
  expansionPerK: Math.abs(waterExpansion(bench.celsius, bench.matter)),
  enoughRelative: TOOL_SHARE * bench.doubtfulAbove,
  corrosive,
})

/** A stock from which a small amount can be taken: mass (or volume) to take for it, flask, pipette; null when none fits. */
export function stockFor(
  neededG: number,
  leastG: number,
  solutionL: number,
  content: BottleContent,
  celsius: number,
  matter: MatterFacts,
): { readonly massG: number; readonly flaskL: number; readonly takeL: number } | null {
  const limit = content.state === 'solid' ? solubilityAt(content.anhydrous, celsius, matter)?.gPer100gWater : undefined
  for (const flaskL of STOCK_FLASKS_L) {
    for (const takeL of STOCK_PIPETTES_L) {
      const massG = (neededG * flaskL) / takeL
      if (massG < leastG || takeL > solutionL / 2) continue
      if (limit !== undefined && (massG * content.massFraction.value) / (flaskL * 10) > STOCK_OF_SOLUBILITY * limit) continue
      return { massG, flaskL, takeL }
    }
  }
  return null
}

interface Taken {
  readonly shownG: number
  readonly shownL: number | null
  /** As the tool shows it. */
  readonly written: string
  readonly tool: string
  readonly toolPart: UncertaintyPart
  readonly notes: readonly string[]
  readonly tooSmall: string | null
}

function byBalance(massG: number, entry: Entry, solutionL: number, bench: Bench): Taken {
  const balance = balanceWith(bench.tools.balanceReadabilityG, bench.ware)
  const weighing = weigh(massG, balance)
  const rel = weighing.uncertaintyG / massG
  let tooSmall: string | null = null
  if (rel > bench.doubtfulAbove) {
    const least = smallestWeighingG(balance, bench.doubtfulAbove / 2)
    const stock = stockFor(massG, least, solutionL, entry.content, bench.celsius, bench.matter)
    tooSmall = stock
      ? `make a stock of ${g(stock.massG, 3)} in ${mL(stock.flaskL, 3)} and take ${mL(stock.takeL, 3)} of it instead`
      : `weigh at least ${g(least, 2)} into a larger batch, or use a finer balance`
  }
  const shown = bench.exact || weighing.shownG <= 0 ? massG : weighing.shownG
  return {
    shownG: shown,
    shownL: null,
    written: shown < balance.readabilityG ? g(shown, 3) : writtenByBalance(shown, balance.readabilityG),
    tool: weighing.tool,
    toolPart: { what: weighing.tool, shape: 'rectangular', relative: rel },
    notes: [],
    tooSmall,
  }
}

function byVolume(volumeL: number, entry: Entry, solutionL: number, bench: Bench): Taken {
  const { content } = entry
  const measured = measure(volumeL, measuringWith(bench, isCorrosiveLiquid(content)))
  const rel = measured.uncertaintyL / volumeL
  const density = content.density?.value ?? 1
  let tooSmall: string | null = null
  if (rel > bench.doubtfulAbove) {
    // a dilution is a stock by volume: the pipette for the bottle must itself be good enough
    const stock = stockFor(volumeL * density * 1000, density * 1, solutionL, content, bench.celsius, bench.matter)
    if (stock && volumeL < 5e-3)
      tooSmall = `dilute ${mL(stock.massG / density / 1000, 3)} to ${mL(stock.flaskL, 3)} and take ${mL(stock.takeL, 3)} of it instead${isCorrosiveLiquid(content) ? ' (into water, slowly)' : ''}`
  }
  // nobody fits a strong acid to a pipette
  const notes = isCorrosiveLiquid(content) ? [] : [...measured.better]
  notes.push(`${mL(volumeL)} weighs ${g(volumeL * density * 1000)} (${content.densityFrom})`)
  const shown = bench.exact ? volumeL : measured.shownL
  return {
    shownG: shown * density * 1000,
    shownL: shown,
    written: writtenByTool(shown, measured.stepL),
    tool: measured.tool,
    toolPart: { what: measured.tool, shape: 'triangular', relative: rel },
    notes,
    tooSmall,
  }
}

/** Amount of substance in a mass or volume of a bottle's content, mol. */
function amountIn(content: BottleContent, q: { readonly kind: string; readonly value: number }): number {
  return q.kind === 'volume' ? q.value * (content.molPerL?.value ?? 0) : q.value * content.molPerG.value
}

/** The budget of one amount: strength of the bottle, its density where it counts, the tool. */
function budgetOf(content: BottleContent, byVol: boolean, toolPart: UncertaintyPart): readonly UncertaintyPart[] {
  const total = relative(byVol && content.molPerL ? content.molPerL : content.molPerG)
  const listed = combined(content.budget)
  const density = Math.sqrt(Math.max(0, total * total - listed * listed))
  return [
    ...content.budget,
    ...(density > 1e-9 ? [{ what: 'density of the bottle', shape: 'normal' as const, relative: density }] : []),
    toolPart,
  ].sort((a, b) => b.relative - a.relative)
}

/** Turns a wanted amount into something to weigh or measure. */
export function portionOf(solution: SolutionRecipe, entry: Entry, wanted: Part, bench: Bench): Portioned {
  const { content, ingredient } = entry
  const span = ingredient.span ?? solution.span
  const place = { where: `solution "${solution.id}", ingredient "${ingredient.bottle}"`, ...(span ? { span } : {}) }
  const warnings: Problem[] = []
  const massG = massOf(wanted)
  const volumeL = volumeOf(wanted)
  const byVol = volumeL !== null && ingredient.target.state !== 'mass' && ingredient.weighed?.kind !== 'mass'
  const taken = byVol ? byVolume(volumeL, entry, solution.volume.value, bench) : byBalance(massG, entry, solution.volume.value, bench)
  const budget = budgetOf(content, byVol, taken.toolPart)
  const u = combined(budget)
  const notes = [...taken.notes]
  let amountMol = wanted.amountMol
  let shownG = taken.shownG
  let shownL = taken.shownL
  if (ingredient.weighed) {
    amountMol = amountIn(content, ingredient.weighed)
    shownG = ingredient.weighed.kind === 'mass' ? ingredient.weighed.value : ingredient.weighed.value * 1000 * (content.density?.value ?? 1)
    shownL = ingredient.weighed.kind === 'volume' ? ingredient.weighed.value : null
    notes.push(`back-entered: ${ingredient.weighed.text}`)
    const off = amountMol / wanted.amountMol - 1
    if (Math.abs(off) > WEIGHED_DIFFERS) {
      warnings.push({
        code: 'makeup/weighed-differs',
        ...place,
        what: `${ingredient.weighed.text} was taken where ${byVol ? mL(volumeL) : g(massG)} is wanted: ${formatNumber(100 * off, 2)} %`,
        todo: 'all numbers below follow what was taken; add or dilute if the show needs the wanted strength',
      })
    }
  } else
    amountMol =
      byVol && shownL !== null ? amountIn(content, { kind: 'volume', value: shownL }) : amountIn(content, { kind: 'mass', value: shownG })
  if (taken.tooSmall && !ingredient.weighed && !bench.exact) {
    warnings.push({
      code: byVol ? 'makeup/volume-too-small' : 'makeup/weighing-too-small',
      ...place,
      what: `${byVol ? mL(volumeL) : g(massG)} on the ${taken.tool} is known only to ${percent(taken.toolPart.relative)}`,
      todo: taken.tooSmall,
    })
  } else if (u > bench.doubtfulAbove && !bench.exact && budget[0]!.what !== perishing(content.substance, content.state)?.why) {
    // a bottle that perishes has its own remark already
    const largest = budget[0]!
    warnings.push({
      code: 'makeup/uncertain-amount',
      ...place,
      what: `the amount is known to ${percent(u)} (one standard uncertainty), more than ${percent(bench.doubtfulAbove)}; most of it comes from: ${largest.what}`,
      todo:
        largest === taken.toolPart ? (taken.notes[0] ?? 'use a finer tool') : 'assay the bottle, or copy its strength with its uncertainty',
    })
  }
  const portion: Portion = {
    solution: solution.id,
    bottle: content.bottle.id,
    substanceId: content.substance.id,
    substanceName: content.substance.name,
    formula: content.substance.formula,
    measure: byVol ? 'measure-volume' : 'weigh',
    massG,
    massShownG: shownG,
    volumeL,
    volumeShownL: shownL,
    written: ingredient.weighed?.text ?? taken.written,
    tool: taken.tool,
    amountMol,
    relativeUncertainty: u,
    budget,
    notes,
  }
  return { portion, part: { content, amountMol }, warnings }
}
