/** The make-up as cards in the order of work: what stands on each. Free of the framework. */
import type { MadeSolution, MakeUp, Portion, Solubility, Strength, WorkStep } from '@beakertide/core/makeup'

export interface CardPortion {
  readonly portion: Portion
  readonly strength: Strength | null
  /** How far the strength is from the wanted one, as a share; null when nothing was wanted in mol/L. */
  readonly off: number | null
}

export interface BenchCardData {
  readonly solution: MadeSolution
  readonly portions: readonly CardPortion[]
  readonly steps: readonly WorkStep[]
  readonly solubility: readonly Solubility[]
  readonly waitMinutes: number
  readonly isDangerous: boolean
}

export interface BenchWork {
  readonly cards: readonly BenchCardData[]
  /** Steps that belong to no one solution: before, between and after. */
  readonly shared: readonly WorkStep[]
}

/** Cards in the order in which their work begins. */
export function benchWork(made: MakeUp): BenchWork {
  const steps = [...made.work].sort((a, b) => a.order - b.order)
  const beginning = (id: string): number => steps.find((s) => s.solution === id)?.order ?? Number.POSITIVE_INFINITY
  const cards = made.solutions.map((solution): BenchCardData => {
    const own = steps.filter((s) => s.solution === solution.id)
    return {
      solution,
      portions: made.portions.filter((p) => p.solution === solution.id).map((p) => cardPortion(made, p)),
      steps: own,
      solubility: made.solubility.filter((s) => s.solution === solution.id),
      waitMinutes: own.reduce((sum, s) => sum + (s.waitMinutes ?? 0), 0),
      isDangerous: own.some((s) => s.danger === true),
    }
  })
  return {
    cards: cards.sort((a, b) => beginning(a.solution.id) - beginning(b.solution.id)),
    shared: steps.filter((s) => s.solution === null),
  }
}

function cardPortion(made: MakeUp, portion: Portion): CardPortion {
  const strength = made.strengths.find((s) => s.solution === portion.solution && s.bottle === portion.bottle) ?? null
  const wanted = strength?.wantedMolPerL ?? null
  const off = strength === null || wanted === null || !(wanted > 0) ? null : strength.trueMolPerL / wanted - 1
  return { portion, strength, off }
}

/** Share of what water holds that is in it; null when nobody knows. */
export function fullness(s: Solubility): number | null {
  const holds = s.commonIonGPer100gWater ?? s.holdsGPer100gWater
  return holds === null || !(holds > 0) ? null : s.needsGPer100gWater / holds
}

/** Strengths nearer than this to the wanted one are called right, whatever the tools (our choice). */
const RIGHT_WITHIN = 0.005

/** Off by more than the tools can tell (two standard uncertainties) and by more than matters. */
export function isOff({ off, strength }: CardPortion): boolean {
  if (off === null || strength === null || !(strength.trueMolPerL > 0)) return false
  return Math.abs(off) > Math.max(RIGHT_WITHIN, (2 * strength.uncertaintyMolPerL) / strength.trueMolPerL)
}

/** What to ask for so that so many performances can be given, with so much to spare. */
export function spareFor(performances: number, spareShare: number): number {
  return performances * (1 + spareShare) - 1
}
