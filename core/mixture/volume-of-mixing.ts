/**
 * Volume after pouring together. Masses add; volumes do so only nearly. Rule: each solution brings its own volume;
 * every solute that has a density table then changes from the apparent volume it has at its own strength to the one
 * it has in all the water of the mix,
 *
 *   V = sum V_i + sum_s [phi_s(mix) - sum_i phi_s(i)] + 22 mL a mol of water formed from H+ and OH-,
 *   phi_s = (m_s + m_w)/rho_s(w) - m_w/rho_w,  w = m_s/(m_s + m_w).
 *
 * For one tabled solute and water this is the table itself; for dilute liquids the correction is below 0.3 %. Left out:
 * solutes without a table, and what tabled solutes do to one another (about 1 % when two concentrated ones meet).
 */
import { densityOf, type MatterFacts, type SpeciesId, waterDensity } from '../matter/index.ts'
import { type Solute, wholeSolutes } from './entered-solutes.ts'

/**
 * Growth when H+ and OH- become water, mL/mol: partial molar volumes 18.07 (H2O) + 4.04 (OH-) - 0 (H+) at 25 degC
 * (Millero, Chem. Rev. 71, 147 (1971); memory).
 */
const NEUTRALISATION_ML_PER_MOL = 22.1
/** Temperature of the density tables, degC. */
const TABLE_CELSIUS = 20
const WATER_G_PER_MOL = 18.015

/** One liquid poured. */
export interface PouredLiquid {
  readonly volumeL: number
  readonly temperatureC: number
  readonly amountsMol: Readonly<Record<SpeciesId, number>>
}

/** Volume, mL, that a solute adds to its water; null beyond what the tables can say. */
function apparentVolumeMl(solute: Solute, mol: number, waterG: number, facts: MatterFacts): number | null {
  const soluteG = mol * solute.molarMassGPerMol
  const found = densityOf(solute.formula, soluteG / (soluteG + waterG), TABLE_CELSIUS, facts)
  return found && (soluteG + waterG) / found.gPerMl - waterG / waterDensity(TABLE_CELSIUS, facts)
}

/** Mol of one species in one mol of a solute. */
const partOf = (solute: Solute, id: SpeciesId): number => solute.parts.find(([part]) => part === id)?.[1] ?? 0

/** Volume of the mix, L, at `temperatureC`. */
export function volumeOfMix(liquids: readonly PouredLiquid[], temperatureC: number, facts: MatterFacts): number {
  let volumeMl = 0
  for (const liquid of liquids) {
    volumeMl += (1000 * liquid.volumeL * waterDensity(liquid.temperatureC, facts)) / waterDensity(temperatureC, facts)
  }
  if (liquids.length < 2) return volumeMl / 1000

  const solutes = new Map<Solute, { mol: number; volumeMl: number }>()
  let waterMol = 0
  for (const liquid of liquids) {
    const ownWaterMol = liquid.amountsMol['H2O'] ?? 0
    waterMol += ownWaterMol
    for (const [solute, mol] of wholeSolutes(liquid.amountsMol, facts)) {
      const volume = apparentVolumeMl(solute, mol, ownWaterMol * WATER_G_PER_MOL, facts)
      if (volume === null) continue
      const sum = solutes.get(solute) ?? { mol: 0, volumeMl: 0 }
      solutes.set(solute, { mol: sum.mol + mol, volumeMl: sum.volumeMl + volume })
    }
  }
  let acid = 0
  let base = 0
  for (const [solute, { mol }] of solutes) {
    acid += mol * partOf(solute, 'H+')
    base += mol * partOf(solute, 'OH-')
  }
  const neutralised = Math.min(acid, base)
  let changeMl = neutralised * NEUTRALISATION_ML_PER_MOL
  for (const [solute, before] of solutes) {
    let share = 1
    if (partOf(solute, 'H+') > 0) share = 1 - neutralised / acid
    else if (partOf(solute, 'OH-') > 0) share = 1 - neutralised / base
    // What was neutralised keeps its volume: its ions are still there, as a salt.
    const mol = before.mol * share
    if (mol <= 0) continue
    const after = apparentVolumeMl(solute, mol, waterMol * WATER_G_PER_MOL, facts)
    if (after !== null) changeMl += after - before.volumeMl * share
  }
  // The tables' change is that at 20 degC; it expands with the rest.
  return (volumeMl + (changeMl * waterDensity(TABLE_CELSIUS, facts)) / waterDensity(temperatureC, facts)) / 1000
}
