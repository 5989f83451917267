/** Heat of making a solution: integral heats of acids, heats of solution of solids, and the rise of this batch. */
import { distinctSources, type Source } from '@beakertide/basis/sources'
import {
  heatOfDilutingHydrochloricAcid,
  heatOfSolution,
  integralHeatOfSulfuricAcid,
  type MatterFacts,
  reactionEnthalpy,
  solutionHeatCapacity,
  waterHeatCapacity,
} from '../matter/index.ts'
import { type Composition, massOf, type Part } from './composition.ts'
import { isElectrolyte } from './liquid.ts'

/** Heat of one ingredient going into solution. */
export interface PartHeat {
  readonly bottle: string
  /** Heat set free, J; below 0 when it cools. */
  readonly heatJ: number
  readonly from: string
  readonly source: Source
}

export interface MakingHeat {
  readonly parts: readonly PartHeat[]
  /** Bottles whose heat is not on file. */
  readonly unknown: readonly string[]
  /** Heat capacity of the finished solution, J/(g K). */
  readonly heatCapacityJPerGK: number
  /** Rise when everything is mixed at once and nothing is lost, K; null when no ingredient has a heat on file. */
  readonly riseK: number | null
  readonly sources: readonly Source[]
}

const J_PER_KJ = 1000
/** Partial heat capacity of molecular solids without a table, J/(g K), as sugars and urea (memory); of salts about 0: ions bind the water's motion. */
const MOLECULAR_SOLUTE = 1.5

/**
 * Heat set free by taking sulfuric acid from `waterBefore` to `waterAfter` mol of water a mol of acid, J a mol of acid:
 * difference of integral heats of solution at 25 degC.
 */
export function acidDilutionHeat(
  waterBefore: number,
  waterAfter: number,
  matter: MatterFacts,
): { readonly joulePerMol: number; readonly source: Source } {
  const after = integralHeatOfSulfuricAcid(waterAfter, matter)
  return { joulePerMol: J_PER_KJ * (integralHeatOfSulfuricAcid(waterBefore, matter).value - after.value), source: after }
}

/** Heat capacity of water with these solutes, J/(g K) near 25 degC: rises of the tables added; without a table salts count 0, molecules 1.5 J/(g K). */
export function heatCapacityOf(parts: readonly Part[], massG: number, celsius: number, matter: MatterFacts): number {
  const water = waterHeatCapacity(celsius, matter)
  let sum = water
  for (const { content, amountMol } of parts) {
    const w = Math.min(1, (amountMol * content.anhydrousMolarMass) / massG)
    const table = solutionHeatCapacity(content.anhydrous, w, matter)
    sum += table ? table.value - waterHeatCapacity(25, matter) : w * ((isElectrolyte(content.substance) ? 0 : MOLECULAR_SOLUTE) - water)
  }
  // several strong solutes could add up to nonsense: never below dry matter
  return Math.max(sum, 1)
}

/** Heat of one part when all `solventWaterG` is there; null when nothing is on file. */
export function partHeat(part: Part, solventWaterG: number, matter: MatterFacts, waterMolarMass: number): PartHeat | null {
  const { content, amountMol } = part
  const bottle = content.bottle.id
  const ownWaterG = massOf(part) - amountMol * content.substance.molarMassGPerMol
  if (content.state === 'liquid' && content.anhydrous === 'H2SO4') {
    const before = Math.max(0, ownWaterG / waterMolarMass / amountMol)
    const after = Math.max(before, solventWaterG / waterMolarMass / amountMol)
    const found = acidDilutionHeat(before, after, matter)
    const from = `integral heats of sulfuric acid, from ${before.toPrecision(3)} to ${after.toPrecision(3)} mol of water a mol of acid`
    return { bottle, heatJ: amountMol * found.joulePerMol, from, source: found.source }
  }
  if (content.state === 'liquid' && content.anhydrous === 'HCl') {
    const molality = (waterG: number): number => (1000 * amountMol) / waterG
    const found = heatOfDilutingHydrochloricAcid(molality(ownWaterG), molality(Math.max(ownWaterG, solventWaterG)), matter)
    return { bottle, heatJ: -J_PER_KJ * found.value * amountMol, from: 'heat of dilution of hydrochloric acid', source: found }
  }
  if (content.state !== 'solid') return null
  const found = heatOfSolution(content.substance, matter)
  return found
    ? { bottle, heatJ: -J_PER_KJ * found.value * amountMol, from: 'molar heat of solution at infinite dilution', source: found }
    : null
}

/** Strong acid and strong alkali in one flask: the smaller of the two amounts gives the heat of H+ + OH- -> H2O. */
function neutralisation(flask: Composition, matter: MatterFacts): PartHeat | null {
  const amount = Math.min(flask.amountsMol['H+'] ?? 0, flask.amountsMol['OH-'] ?? 0)
  if (amount <= 0) return null
  const one = (species: string): { readonly species: string; readonly coefficient: number } => ({ species, coefficient: 1 })
  const found = reactionEnthalpy([one('H+'), one('OH-')], [one('H2O')], matter)
  return found
    ? { bottle: 'acid and alkali', heatJ: -J_PER_KJ * found.value * amount, from: 'neutralisation H+ + OH- -> H2O', source: found }
    : null
}

/** Heat and temperature rise of making this flask at once from everything at one temperature; of reactions only neutralisation is counted. */
export function makingHeat(
  parts: readonly Part[],
  flask: Composition,
  celsius: number,
  matter: MatterFacts,
  waterMolarMass: number,
): MakingHeat {
  const found = parts.map((p) => partHeat(p, flask.solventWaterG, matter, waterMolarMass))
  const known = [...found, neutralisation(flask, matter)].filter((h) => h !== null)
  const heatCapacityJPerGK = heatCapacityOf(parts, flask.massG, celsius, matter)
  const total = known.reduce((sum, h) => sum + h.heatJ, 0)
  return {
    parts: known,
    unknown: parts.flatMap((p, i) => (found[i] === null ? [p.content.bottle.id] : [])),
    heatCapacityJPerGK,
    riseK: known.length === 0 ? null : total / (flask.massG * heatCapacityJPerGK),
    sources: distinctSources(known.map((h) => h.source)),
  }
}
