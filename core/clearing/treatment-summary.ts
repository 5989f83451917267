/** Treatments of all cases as ranges: what a plan prints of them. */
import { gasVolumeL } from '../cautions/index.ts'
import { type MatterFacts, parseFormula, type SpeciesId } from '../matter/index.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import type { Range, TreatmentStage } from './clearing-plan.ts'
import { rangeOf } from './leftovers.ts'
import type { Masters } from './liquid.ts'
import type { Reaction } from './reacting.ts'
import type { Stage, StageName, Treated } from './treat.ts'

export interface Masses {
  readonly matter: MatterFacts
  readonly clearing: ClearingFacts
}

const sumOf = (elements: Readonly<Record<string, number>>, clearing: ClearingFacts): number =>
  Object.entries(elements).reduce((m, [e, n]) => m + n * (clearing.atomicMass[e] ?? Number.NaN), 0)

/** g/mol of a species or a solid; of the anion of a halomalonic acid that of the acid (within 1 %); 0 for what has no formula (starch). */
export function speciesMass(id: SpeciesId, { matter, clearing }: Masses): number {
  const known = matter.species[id] ?? matter.species[id.replace(/^H?(I2MA|IMA|Br2MA|BrMA)(\^2)?-$/, '$1')]
  if (known) return sumOf(known.composition, clearing)
  const parsed = parseFormula(id.replace(/\([sg]\)$/, ''))
  const mass = parsed.ok ? sumOf(parsed.value.elements, clearing) : 0
  return Number.isFinite(mass) ? mass : 0
}

/** Mass of what is dissolved, water and protons aside, g. */
export function dissolvedG(masters: Masters, masses: Masses): number {
  return Object.entries(masters).reduce(
    (sum, [id, n]) => (id === 'H+' || id.endsWith('(s)') ? sum : sum + Math.max(0, n) * speciesMass(id, masses)),
    0,
  )
}

const STAGE_ORDER: readonly StageName[] = [
  'by itself',
  'water',
  'first pH',
  'reduce',
  'neutralise',
  'stand',
  'precipitate',
  'decant',
  'back',
]
/** What a stage is called in a plan. */
export const STAGE_TITLES: Readonly<Record<StageName, string>> = {
  'by itself': 'what is left, once it has reacted with itself',
  water: 'cold water',
  'first pH': 'to pH 4 to 5',
  reduce: 'reductant solution, with what holds the pH',
  neutralise: 'neutralise',
  stand: 'stir and let stand open: carbon dioxide leaves',
  precipitate: 'precipitate',
  decant: 'decant or filter',
  back: 'clear liquid back towards neutral',
}
/** Less of a solid or a gas is not listed, g and L: nothing that a bench can show. */
const NOTHING = 1e-3

function rangeOrNull(values: readonly (number | null)[]): Range | null {
  const known = values.filter((v) => v !== null)
  return known.length === 0 ? null : { low: Math.min(...known), high: Math.max(...known) }
}

function stageOver(name: StageName, stages: readonly (Stage | undefined)[], temperatureK: number, masses: Masses): TreatmentStage {
  const there = stages.filter((s) => s !== undefined)
  const reagents = new Map(there.flatMap((s) => s.additions.map((a) => [a.reagent.formula, a.reagent] as const)))
  const listed = (pick: (s: Stage) => Masters): readonly SpeciesId[] => [...new Set(there.flatMap((s) => Object.keys(pick(s))))]
  return {
    name: STAGE_TITLES[name],
    additions: [...reagents].map(([formula, reagent]) => {
      const each = stages.map((s) => s?.additions.find((a) => a.reagent.formula === formula))
      return {
        name: reagent.name,
        formula,
        massG: rangeOf(each.map((a) => (a?.amountMol ?? 0) * (masses.clearing.molarMass[formula] ?? Number.NaN))),
        waterL: rangeOf(each.map((a) => a?.waterL ?? 0)),
      }
    }),
    waterL: rangeOf(stages.map((s) => (s ? s.waterL - s.additions.reduce((sum, a) => sum + a.waterL, 0) : 0))),
    volumeL: rangeOf(there.map((s) => s.volumeL)),
    pHBefore: rangeOrNull(there.map((s) => s.pHBefore)),
    pHAfter: rangeOrNull(there.map((s) => s.pHAfter)),
    heatKJ: signedRange(stages.map((s) => s?.heatKJ ?? 0)),
    riseK: signedRange(stages.map((s) => s?.riseK ?? 0)),
    gas: listed((s) => s.gasMol).flatMap((species) => {
      const litres = rangeOf(stages.map((s) => gasVolumeL(s?.gasMol[species] ?? 0, temperatureK)))
      return litres.high >= NOTHING ? [{ species, litres }] : []
    }),
    solids: listed((s) => ({ ...s.solidsMol, ...s.takenOutMol })).flatMap((species) => {
      const massG = rangeOf(stages.map((s) => (s?.solidsMol[species] ?? s?.takenOutMol[species] ?? 0) * speciesMass(species, masses)))
      return massG.high >= NOTHING ? [{ species, massG }] : []
    }),
    equations: [...new Set(there.flatMap((s) => namedReactions(s.reactions)))],
  }
}

/** A range that may lie below zero; adding 0 turns -0 into 0, which JSON knows. */
const signedRange = (values: readonly number[]): Range => ({ low: Math.min(...values) + 0, high: Math.max(...values) + 0 })

/** Less than this share of the electrons that a step moves is not printed: radicals of the mechanisms. */
const PRINTED_SHARE = 1e-4

/** Equations of reactions that matter. */
export function namedReactions(reactions: readonly Reaction[]): readonly string[] {
  const electrons = (r: Reaction): number => r.extentMol * (r.equation.reactants[r.oxidant.species] ?? 0) * r.oxidant.electrons
  const all = reactions.reduce((sum, r) => sum + electrons(r), 0)
  return reactions.filter((r) => electrons(r) >= PRINTED_SHARE * all).map((r) => r.equation.text)
}

/** The stages that any case goes through, in order; a case that skips one counts with nothing put in. */
export function treatmentOver(treated: readonly Treated[], temperatureK: number, masses: Masses): readonly TreatmentStage[] {
  return STAGE_ORDER.flatMap((name): readonly TreatmentStage[] => {
    const stages = treated.map((t) => t.stages.find((s) => s.name === name))
    return stages.some((s) => s !== undefined) ? [stageOver(name, stages, temperatureK, masses)] : []
  })
}
