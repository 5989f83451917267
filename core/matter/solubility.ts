import { invariant } from '@beakertide/basis/problems'
import { seenFrom, type Rows, type Source } from '@beakertide/basis/sources'
import { hillText, anhydrousElements, soluteKey } from './composition-key.ts'
import { along, curveThrough, isWithin } from './curve.ts'
import { splitHydrateName } from './hydrates.ts'
import type { MatterFacts, SolubilityTable, SolubilityTables } from './matter-facts.ts'
import { type AtomicWeights, molarMass } from './molar-mass.ts'
import { parseFormula } from './parse-formula.ts'
import { cell, groupRows, numberCell, optionalNumberCell, own, type Row, sourceOf } from './table-cells.ts'

export interface SolubilityFound {
  readonly gPer100gWater: number
  readonly extrapolated: boolean
  readonly source: Source
}

/** A single value of substances.csv is used this far from its temperature before it counts as extrapolated. */
const SINGLE_VALUE_TRUSTED_K = 5

/** Reads solubility_vs_temperature.csv, and for substances that are not there the single value of substances.csv. */
export function readSolubilities(rows: Rows, substances: Rows, weights: AtomicWeights): SolubilityTables {
  const tables: Record<string, SolubilityTable> = {}
  for (const [formula, group] of groupRows(rows, (row) => cell(row, 'formula'))) {
    const first = group[0]!
    const key = soluteKey(formula)
    invariant(key !== null, `solubility_vs_temperature.csv: "${formula}" does not parse`)
    const basis = cell(first, 'basis')
    const waters = basis.startsWith('dihydrate') ? 2 : 0
    const points = group.map((row): [number, number] => [
      numberCell(row, 'temperature_c'),
      anhydrousPer100g(numberCell(row, 'solubility_g_per_100g_water'), formula, waters, weights),
    ])
    const remarks = [...new Set(group.map((row) => cell(row, 'remark')).filter((r) => r !== ''))]
    tables[key] = {
      substance: cell(first, 'substance'),
      formula,
      curve: curveThrough(points),
      hasPhaseChange: remarks.some((r) => r.includes('phase changes')),
      remark: remarks.filter((r) => !r.includes('phase changes')).join('; '),
      ...sourceOf(first),
    }
  }
  for (const row of substances) addSingleValue(row, tables, weights)
  return tables
}

function addSingleValue(row: Row, tables: Record<string, SolubilityTable>, weights: AtomicWeights): void {
  const value = optionalNumberCell(row, 'solubility_g_per_100g_water')
  const formula = parseFormula(cell(row, 'formula'))
  if (value === null || !formula.ok) return
  const key = hillText(anhydrousElements(formula.value))
  if (own(tables, key)) return
  const remark = cell(row, 'solubility_basis_or_remark')
  const onHydrateBasis = splitHydrateName(remark).waters === formula.value.waters && formula.value.waters > 0
  const bare = formula.value.text.split('·')[0]!
  const anhydrous = anhydrousPer100g(value, bare, onHydrateBasis ? formula.value.waters : 0, weights)
  tables[key] = {
    substance: cell(row, 'name'),
    formula: bare,
    curve: curveThrough([[numberCell(row, 'solubility_temperature_c'), anhydrous]]),
    hasPhaseChange: false,
    remark: `one value only; ${remark}`,
    source: cell(row, 'solubility_source'),
    seen: seenFrom(cell(row, 'solubility_read_or_memory')),
  }
}

/**
 * Grams of a hydrate that dissolve in 100 g of added water where the anhydrous salt has solubility S (g per 100 g of all water):
 * the crystal water counts as solvent, x = 100 S / (100 a - S (1 - a)), a = M(anhydrous)/M(hydrate).
 * Null: the hydrate dissolves in its own water without limit.
 */
export function hydratePer100gWater(anhydrousPer100gWater: number, formula: string, waters: number, weights: AtomicWeights): number | null {
  const a = anhydrousShare(formula, waters, weights)
  const below = 100 * a - anhydrousPer100gWater * (1 - a)
  return below > 0 ? (100 * anhydrousPer100gWater) / below : null
}

/** The other way: anhydrous grams per 100 g of all water when x g of hydrate go into 100 g of added water. */
export function anhydrousPer100g(hydratePer100g: number, formula: string, waters: number, weights: AtomicWeights): number {
  const a = anhydrousShare(formula, waters, weights)
  return (100 * a * hydratePer100g) / (100 + (1 - a) * hydratePer100g)
}

function anhydrousShare(formula: string, waters: number, weights: AtomicWeights): number {
  const bare = molarMass(formula.split('·')[0]!, weights)
  const water = molarMass('H2O', weights)
  if (!bare.ok || !water.ok) return 1
  return bare.value.value / (bare.value.value + waters * water.value.value)
}

function tableOf(formula: string, facts: Pick<MatterFacts, 'solubilities'>): SolubilityTable | undefined {
  const key = soluteKey(formula)
  return key === null ? undefined : own(facts.solubilities, key)
}

/**
 * Solubility in water, g of the anhydrous substance per 100 g of water, by formula (crystal water in it is ignored), degC.
 * Monotone cubic between table temperatures; outside them the end value, flagged. Null: nothing is known, or it mixes in all proportions.
 */
export function solubilityAt(formula: string, celsius: number, facts: Pick<MatterFacts, 'solubilities'>): SolubilityFound | null {
  const table = tableOf(formula, facts)
  if (!table || !Number.isFinite(celsius)) return null
  const { x } = table.curve
  const inside = Math.min(Math.max(celsius, x[0]!), x.at(-1)!)
  const isSingle = x.length === 1
  const remark = table.remark === '' ? '' : `; ${table.remark}`
  return {
    gPer100gWater: along(table.curve, inside),
    extrapolated: isSingle ? Math.abs(celsius - x[0]!) > SINGLE_VALUE_TRUSTED_K : !isWithin(table.curve, celsius),
    source: { source: table.source + remark, seen: table.seen },
  }
}

/** Temperature spans (degC, within the table) in which `gPer100gWater` of the anhydrous substance dissolves, coldest first; null without a table. */
export function dissolvesWithin(
  formula: string,
  gPer100gWater: number,
  facts: Pick<MatterFacts, 'solubilities'>,
): readonly { readonly fromCelsius: number; readonly toCelsius: number }[] | null {
  const table = tableOf(formula, facts)
  if (!table) return null
  const { x } = table.curve
  const fits = (celsius: number): boolean => along(table.curve, celsius) >= gPer100gWater
  const spans: { fromCelsius: number; toCelsius: number }[] = []
  // Between two table temperatures the curve is monotone, so it crosses the wanted value at most once.
  for (const [i, here] of x.entries()) {
    const before = x[i - 1]
    if (fits(here) && (before === undefined || !fits(before))) {
      spans.push({ fromCelsius: before === undefined ? here : crossing(before, here, fits), toCelsius: here })
    } else if (fits(here)) spans.at(-1)!.toCelsius = here
    else if (before !== undefined && fits(before)) spans.at(-1)!.toCelsius = crossing(here, before, fits)
  }
  return spans
}

/** Border on the fitting side, by bisection to far below a thermometer's reading. */
function crossing(outside: number, inside: number, fits: (celsius: number) => boolean): number {
  let out = outside
  let fit = inside
  for (let i = 0; i < 50; i++) {
    const middle = (out + fit) / 2
    if (fits(middle)) fit = middle
    else out = middle
  }
  return fit
}

/**
 * Lowest temperature (degC, within the table) at which `gPer100gWater` of the anhydrous substance dissolves; the table's first
 * temperature when it fits there. Null: nowhere in the table, or no table. For salts whose solubility falls on heating (manganese
 * sulfate above 27 degC, cerium(III) sulfate) it need not dissolve at a higher temperature: `dissolvesWithin` gives the spans.
 */
export function dissolvesAbove(formula: string, gPer100gWater: number, facts: Pick<MatterFacts, 'solubilities'>): number | null {
  return dissolvesWithin(formula, gPer100gWater, facts)?.[0]?.fromCelsius ?? null
}
