/**
 * Heat of pouring together: enthalpy of the settled mix less that of the settled solutions. Counted are the fast
 * equilibria (neutralisation, hydrogensulfate, carbonate, complexes, solids, gas) with their reaction enthalpies, and
 * the dilution of sulfuric and hydrochloric acid from tables. Slow reactions belong to the mechanism.
 */
import { densityOf, heatOfDilutingHydrochloricAcid, integralHeatOfSulfuricAcid, type MatterFacts, type SpeciesId } from '../matter/index.ts'
import { enthalpyOf } from './constants-at-temperature.ts'
import { type Solute, wholeSolutes } from './entered-solutes.ts'
import type { EquilibriumFacts } from './reactions.ts'
import { bringToRest } from './settle.ts'
import type { Totals } from './settle-input.ts'
import { phaseAmounts } from './settle-report.ts'
import { type Expansion, expandSpecies } from './species-system.ts'

const WATER_G_PER_MOL = 18.015
const SULFURIC_ACID = 'H2SO4'
const HYDROCHLORIC_ACID = 'HCl'
/** Stronger than this, mol/kg water, dilution is felt. */
const STRONG_MOLALITY = 4
/** A change smaller than this, mol, is not worth a word about its unknown heat. */
const NOTICEABLE_MOL = 1e-3
/** Table temperature of densities, degC. */
const TABLE_CELSIUS = 20

export interface LiquidEnthalpy {
  /** Relative to the same masters (ions) at infinite dilution and 25 degC, kJ. */
  readonly kJ: number
  /** Amounts, mol, whose heat is not known: of species by id and of strong solutes by name. */
  readonly unknownMol: Readonly<Record<string, number>>
}

/** Expansions are plain data that never change, so remembering is invisible. */
const formations = new WeakMap<Expansion, { readonly kJ: number | null }>()

/** Enthalpy of forming one mole from the masters, kJ/mol; null when a reaction enthalpy is missing. */
function formationFromMasters(expansion: Expansion): number | null {
  let kept = formations.get(expansion)
  if (kept === undefined) formations.set(expansion, (kept = { kJ: summedFormation(expansion) }))
  return kept.kJ
}

function summedFormation(expansion: Expansion): number | null {
  let sum = 0
  for (const [reaction, factor] of expansion.terms) {
    const enthalpy = enthalpyOf(reaction)
    if (enthalpy === null) return null
    sum += factor * enthalpy
  }
  return sum
}

/** A species, solid or gas as the list makes it of independent ones: for balances over complexes and protonation states. */
export interface OverMasters {
  /** [independent species, how many]; water is left out. */
  readonly masters: readonly (readonly [SpeciesId, number])[]
  /** Enthalpy of forming a mole of it from them, 25 degC, kJ; null: not known. */
  readonly kJ: number | null
}

/** One species over the independent species of the list; a species that the list does not know stands for itself. */
export function overMasters(id: SpeciesId, facts: EquilibriumFacts): OverMasters {
  const expansion = expandSpecies(id, facts)
  return { masters: expansion.masters, kJ: formationFromMasters(expansion) }
}

/** Enthalpy of what the settled species are, against their masters. */
function speciesEnthalpy(totals: Totals, temperatureK: number, facts: EquilibriumFacts): LiquidEnthalpy | null {
  const outcome = bringToRest(totals, temperatureK, facts)
  if (!outcome.ok) return null
  const { system, prepared } = outcome.value
  const { solidsMol, gasesMol } = phaseAmounts(outcome.value)
  let kJ = 0
  const unknownMol: Record<string, number> = {}
  const add = (id: SpeciesId, expansion: Expansion, mol: number): void => {
    if (!(mol > 0)) return
    const enthalpy = formationFromMasters(expansion)
    if (enthalpy !== null) kJ += mol * enthalpy
    else unknownMol[id] = mol
  }
  system.species.forEach((s, j) => add(s.id, s, prepared.state.concentrations[j]! * totals.volumeL))
  for (const [id, mol] of [...Object.entries(solidsMol), ...Object.entries(gasesMol)]) add(id, system.expansionOf(id), mol)
  return { kJ, unknownMol }
}

/** What a mole of sulfuric acid in r mol of water holds beyond what its sulfate and hydrogensulfate ions account for, kJ/mol. */
function excessOfSulfuricAcid(solute: Solute, r: number, temperatureK: number, equilibria: EquilibriumFacts, matter: MatterFacts): number {
  const massG = solute.molarMassGPerMol + r * WATER_G_PER_MOL
  const density = densityOf(solute.formula, solute.molarMassGPerMol / massG, TABLE_CELSIUS, matter)
  if (density === null) return 0
  const alone = { volumeL: massG / density.gPerMl / 1000, amountsMol: { 'H+': 2, 'SO4^2-': 1 } }
  const ions = speciesEnthalpy(alone, temperatureK, equilibria)
  const tabulated = integralHeatOfSulfuricAcid(r, matter).value - integralHeatOfSulfuricAcid(Infinity, matter).value
  return tabulated - (ions?.kJ ?? 0)
}

/** Enthalpy of one liquid; null when its equilibria do not settle. `solutes` is what the liquid's strong solutes are. */
export function liquidEnthalpy(
  totals: Totals,
  solutes: ReadonlyMap<Solute, number>,
  temperatureK: number,
  equilibria: EquilibriumFacts,
  matter: MatterFacts,
): LiquidEnthalpy | null {
  const ions = speciesEnthalpy(totals, temperatureK, equilibria)
  if (ions === null) return null
  const waterMol = totals.amountsMol['H2O'] ?? 0
  const waterKg = (waterMol * WATER_G_PER_MOL) / 1000
  let { kJ } = ions
  const unknownMol: Record<string, number> = { ...ions.unknownMol }
  for (const [solute, mol] of solutes) {
    if (solute.formula === SULFURIC_ACID) kJ += mol * excessOfSulfuricAcid(solute, waterMol / mol, temperatureK, equilibria, matter)
    else if (solute.formula === HYDROCHLORIC_ACID) kJ -= mol * heatOfDilutingHydrochloricAcid(mol / waterKg, 0, matter).value
    else if (mol > STRONG_MOLALITY * waterKg) unknownMol[solute.name] = mol
  }
  return { kJ, unknownMol }
}

export interface HeatOfMixing {
  /** Heat taken up by the change, kJ; negative warms. */
  readonly kJ: number
  /** What changed with an unknown heat. */
  readonly unknown: readonly string[]
}

/** Change of enthalpy from the liquids to their mix at one temperature; null when a liquid does not settle. */
export function heatOfMixing(
  liquids: readonly Totals[],
  mixed: Totals,
  temperatureK: number,
  equilibria: EquilibriumFacts,
  matter: MatterFacts,
): HeatOfMixing | null {
  const after = liquidEnthalpy(mixed, neutralisedSolutes(mixed, matter), temperatureK, equilibria, matter)
  if (after === null) return null
  let { kJ } = after
  const changed: Record<string, number> = { ...after.unknownMol }
  for (const liquid of liquids) {
    const before = liquidEnthalpy(liquid, wholeSolutes(liquid.amountsMol, matter), temperatureK, equilibria, matter)
    if (before === null) return null
    kJ -= before.kJ
    for (const [name, mol] of Object.entries(before.unknownMol)) changed[name] = (changed[name] ?? 0) - mol
  }
  return { kJ, unknown: Object.keys(changed).filter((name) => Math.abs(changed[name]!) > NOTICEABLE_MOL) }
}

/** Whole solutes of a mix once its H+ and OH- have met. */
function neutralisedSolutes(mixed: Totals, matter: MatterFacts): ReadonlyMap<Solute, number> {
  const { 'H+': acid = 0, 'OH-': base = 0 } = mixed.amountsMol
  const met = Math.min(acid, base)
  return wholeSolutes({ ...mixed.amountsMol, 'H+': acid - met, 'OH-': base - met }, matter)
}
