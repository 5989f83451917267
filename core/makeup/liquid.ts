/** Density of a solution from what is in it, and with it the water that is in it: volumes never add up, masses do. */
import { distinctSources, type Source } from '@beakertide/basis/sources'
import { densityOf, type MatterFacts, type Substance, waterDensity } from '../matter/index.ts'
import { quadrature, rectangular } from './uncertainty.ts'

/** A dissolved substance, counted without its crystal water. */
export interface Solute {
  /** Formula of the anhydrous substance, as in the density tables. */
  readonly formula: string
  readonly massG: number
  readonly electrolyte: boolean
}

export interface LiquidDensity {
  readonly gPerMl: number
  /** Standard uncertainty, g/mL. */
  readonly uncertainty: number
  /** Where it comes from, in words. */
  readonly from: string
  readonly sources: readonly Source[]
}

/**
 * Rise of density a gram of dissolved substance a millilitre where no table exists. Tabulated acids, bases and salts at
 * 3-20 % lie between 0.49 and 1.09, molecular solids (urea, sugars, citric, oxalic acid) between 0.25 and 0.47:
 * computed from data/tables/solution_density; the middle is taken, the half-width covers them.
 */
export const DENSITY_RISE = { electrolyte: { value: 0.8, halfWidth: 0.3 }, molecular: { value: 0.36, halfWidth: 0.12 } } as const
/** Standard uncertainty of a tabulated density, g/mL: one unit of the fourth place and the temperature (assumed). */
const TABLE_UNCERTAINTY = 0.0005
/** Standard uncertainty of the sum rule, as a share of the density rise: assumed. */
const SUM_RULE_SHARE = 0.03

/** Formula without crystal water: "MnSO4·H2O" -> "MnSO4". */
export const anhydrousFormula = (substance: Substance): string => substance.formula.split('·')[0]!.trim()
/** True when the substance becomes ions in water. */
export const isElectrolyte = (substance: Substance): boolean => substance.entersWater.some((e) => /[+-]$/.test(e.species))

/** Solves w rho(w) = gamma for the mass fraction; `rho` in g/mL, `gPerL` in g/L. Contracts because density changes slower than w. */
export function massFractionAt(gPerL: number, rho: (massFraction: number) => number): number {
  let w = gPerL / 1000
  for (let i = 0; i < 200; i++) {
    const next = Math.min(1, gPerL / (1000 * rho(Math.min(1, w))))
    if (Math.abs(next - w) <= 1e-15 + 1e-14 * w) return next
    w = next
  }
  return w
}

interface Rise {
  readonly gPerMl: number
  readonly uncertainty: number
  readonly kind: 'table' | 'beyond-table' | 'estimate'
  readonly source: Source | null
}

/** What one solute at `gPerL` adds to the density of water. */
function densityRise(solute: Solute, gPerL: number, celsius: number, matter: MatterFacts): Rise {
  const pure = waterDensity(celsius, matter)
  if (gPerL <= 0) return { gPerMl: 0, uncertainty: 0, kind: 'table', source: null }
  if (densityOf(solute.formula, Math.min(1, gPerL / 1000), celsius, matter)) {
    const w = massFractionAt(gPerL, (x) => densityOf(solute.formula, x, celsius, matter)?.gPerMl ?? pure)
    const there = densityOf(solute.formula, w, celsius, matter)!
    const rise = there.gPerMl - pure
    return {
      gPerMl: rise,
      uncertainty: there.extrapolated ? quadrature([TABLE_UNCERTAINTY, 0.05 * rise]) : TABLE_UNCERTAINTY,
      kind: there.extrapolated ? 'beyond-table' : 'table',
      source: there.source,
    }
  }
  const rule = solute.electrolyte ? DENSITY_RISE.electrolyte : DENSITY_RISE.molecular
  return { gPerMl: (rule.value * gPerL) / 1000, uncertainty: rectangular((rule.halfWidth * gPerL) / 1000), kind: 'estimate', source: null }
}

function inWords(rises: readonly { readonly formula: string; readonly rise: Rise }[]): string {
  const of = (kind: Rise['kind']): string =>
    rises
      .filter((r) => r.rise.kind === kind)
      .map((r) => r.formula)
      .join(', ')
  const parts: string[] = []
  if (of('table')) parts.push(`density table of ${of('table')}`)
  if (of('beyond-table')) parts.push(`density table of ${of('beyond-table')}, stretched beyond its last row or temperature`)
  if (of('estimate')) parts.push(`estimate for ${of('estimate')} (no table)`)
  const sum = rises.length > 1 ? '; several solutes: their rises over water are added, each at its own concentration (approximation)' : ''
  return parts.length === 0 ? 'density of water' : `${parts.join('; ')}${sum}`
}

/**
 * Density, g/mL, of `volumeL` of water holding `solutes`. One tabulated solute: its table. Several: sum rule,
 * rho = rho(water) + sum of (rho of each alone at its concentration - rho(water)), stated as an approximation.
 * Without a table the rise is estimated and its uncertainty says so.
 */
export function solutionDensity(solutes: readonly Solute[], volumeL: number, celsius: number, matter: MatterFacts): LiquidDensity {
  // the same compound from two bottles is one solute
  const byFormula = new Map<string, Solute>()
  for (const s of solutes) {
    const before = byFormula.get(s.formula)
    byFormula.set(s.formula, before ? { ...s, massG: before.massG + s.massG } : s)
  }
  const rises = [...byFormula.values()].map((s) => ({ formula: s.formula, rise: densityRise(s, s.massG / volumeL, celsius, matter) }))
  const sum = rises.reduce((total, r) => total + r.rise.gPerMl, 0)
  const sumRule = rises.length > 1 ? SUM_RULE_SHARE * Math.abs(sum) : 0
  return {
    gPerMl: waterDensity(celsius, matter) + sum,
    uncertainty: quadrature([...rises.map((r) => r.rise.uncertainty), sumRule]),
    from: inWords(rises),
    sources: distinctSources(rises.flatMap((r) => (r.rise.source ? [r.rise.source] : []))),
  }
}
