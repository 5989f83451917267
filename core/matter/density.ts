import { invariant } from '@beakertide/basis/problems'
import type { Rows, Seen, Source } from '@beakertide/basis/sources'
import { soluteKey } from './composition-key.ts'
import { along, curveThrough, isWithin } from './curve.ts'
import type { DensityTable, DensityTables, MatterFacts } from './matter-facts.ts'
import { molarMass } from './molar-mass.ts'
import { cell, groupRows, numberCell, own, sourceOf } from './table-cells.ts'
import { waterDensity } from './water.ts'

/** All density tables are at this temperature. */
const TABLE_CELSIUS = 20
/** Water's own expansion is trusted for a solution within this distance from the table's temperature … */
const EXPANSION_TRUSTED_K = 20
/** … and, above this mass fraction, where the solution expands unlike water, only this near. */
const CONCENTRATED_FROM = 0.5
const EXPANSION_TRUSTED_CONCENTRATED_K = 5

export interface DensityFound {
  readonly gPerMl: number
  /** Beyond the table's mass fractions, or farther from its temperature than the correction is good for. */
  readonly extrapolated: boolean
  readonly source: Source
}

/** Reads solution_density.csv; water at mass fraction 0 comes from the water table. */
export function readDensities(rows: Rows, facts: Pick<MatterFacts, 'water' | 'weights'>): DensityTables {
  const tables: Record<string, DensityTable> = {}
  for (const [formula, group] of groupRows(rows, (row) => cell(row, 'formula'))) {
    const first = group[0]!
    const key = soluteKey(formula)
    const mass = molarMass(formula, facts.weights)
    invariant(key !== null && mass.ok, `solution_density.csv: "${formula}" does not parse`)
    const points = new Map<number, number>([[0, waterDensity(TABLE_CELSIUS, facts)]])
    for (const row of group) points.set(numberCell(row, 'mass_percent') / 100, numberCell(row, 'density_g_per_ml'))
    const all = group.map(sourceOf)
    const texts = [...new Set(all.map((s) => s.source))]
    const seen: Seen = all.every((s) => s.seen === all[0]!.seen) ? all[0]!.seen : 'mixed'
    tables[key] = {
      solute: cell(first, 'solute'),
      formula,
      molarMassGPerMol: mass.value.value,
      curve: curveThrough([...points]),
      source: texts.join('; '),
      seen,
    }
  }
  return tables
}

type DensityFacts = Pick<MatterFacts, 'densities' | 'water'>

function tableOf(formula: string, facts: Pick<MatterFacts, 'densities'>): DensityTable | undefined {
  const key = soluteKey(formula)
  return key === null ? undefined : own(facts.densities, key)
}

/**
 * Density of an aqueous solution, g/mL, by mass fraction (0..1) of the anhydrous solute: monotone cubic through the 20 degC table,
 * moved to other temperatures by water's own expansion rho(t) = rho(20) rho_w(t)/rho_w(20), which the source line then says.
 * Null without a table for the solute, or for a mass fraction outside 0..1 or a temperature outside 0..100 degC.
 * Beyond the last table row the curve goes on straight and `extrapolated` is set.
 */
export function densityOf(formula: string, massFraction: number, celsius: number, facts: DensityFacts): DensityFound | null {
  const table = tableOf(formula, facts)
  if (!table || !(massFraction >= 0 && massFraction <= 1) || !(celsius >= 0 && celsius <= 100)) return null
  const at20 = along(table.curve, massFraction)
  const away = Math.abs(celsius - TABLE_CELSIUS)
  const trusted = massFraction > CONCENTRATED_FROM ? EXPANSION_TRUSTED_CONCENTRATED_K : EXPANSION_TRUSTED_K
  const correction = away === 0 ? 1 : waterDensity(celsius, facts) / waterDensity(TABLE_CELSIUS, facts)
  const note = away === 0 ? '' : `; moved from ${TABLE_CELSIUS} to ${Number(celsius.toFixed(2))} degC with the expansion of water`
  return {
    gPerMl: at20 * correction,
    extrapolated: !isWithin(table.curve, massFraction) || away > trusted,
    source: { source: table.source + note, seen: away === 0 ? table.seen : 'computed' },
  }
}

export interface StrengthFound extends DensityFound {
  readonly massFraction: number
  readonly molPerL: number
  readonly gPerL: number
}

const ML_A_LITRE = 1000

function strength(table: DensityTable, found: DensityFound, massFraction: number): StrengthFound {
  const gPerL = massFraction * found.gPerMl * ML_A_LITRE
  return { ...found, massFraction, gPerL, molPerL: gPerL / table.molarMassGPerMol }
}

/** Amount concentration c = w rho / M of a solution of the anhydrous solute; null as `densityOf`. */
export function concentrationFromMassFraction(
  formula: string,
  massFraction: number,
  celsius: number,
  facts: DensityFacts,
): StrengthFound | null {
  const table = tableOf(formula, facts)
  const found = densityOf(formula, massFraction, celsius, facts)
  return table && found ? strength(table, found, massFraction) : null
}

/**
 * Mass fraction of a solution of amount concentration c (mol/L at `celsius`), by bisection of w rho(w) / M = c over 0..1;
 * w rho(w) rises with w in every table (tested). Null without a table or when not even w = 1 reaches c.
 */
export function massFractionFromConcentration(
  formula: string,
  molPerL: number,
  celsius: number,
  facts: DensityFacts,
): StrengthFound | null {
  const pure = concentrationFromMassFraction(formula, 1, celsius, facts)
  if (!pure || !(molPerL >= 0) || molPerL > pure.molPerL) return null
  let low = 0
  let high = 1
  // 60 halvings reach the last bit of a double near 1.
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2
    const there = concentrationFromMassFraction(formula, middle, celsius, facts)
    if (there && there.molPerL < molPerL) low = middle
    else high = middle
  }
  return concentrationFromMassFraction(formula, (low + high) / 2, celsius, facts)
}
