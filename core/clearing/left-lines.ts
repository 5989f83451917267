/** What is left, species by species with what it is there: finished, and at the times at which somebody may stop. */
import type { Inventory } from '../mixture/index.ts'
import type { SpeciesId } from '../matter/index.ts'
import { protonsReleased } from './acid.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import type { LeftLine, LeftRole, Range } from './clearing-plan.ts'
import { organicNames } from './leftovers.ts'

/** Two standard uncertainties stand in a range. */
const COVERAGE = 2
/** Less than this share of the largest amount is not listed (radicals, traces; our choice). */
const LISTED_SHARE = 1e-5
const NEUTRAL_PH = 7
/** A proton given up to pH 7 by at least this share makes an acid. */
const ACID_SHARE = 0.5

const REDUCING: readonly SpeciesId[] = [
  'S2O3^2-',
  'HS2O3-',
  'HSO3-',
  'SO3^2-',
  'H2SO3',
  'H2Asc',
  'HAsc-',
  'Asc^2-',
  'H2C2O4',
  'HC2O4-',
  'C2O4^2-',
  'I-',
  'Fe2+',
]

function rolesOf(species: SpeciesId, facts: ClearingFacts): readonly LeftRole[] {
  const roles: LeftRole[] = []
  if (facts.oxidants.some((o) => o.species === species)) roles.push('oxidant')
  if (REDUCING.includes(species)) roles.push('reductant')
  const acid = facts.acids.find((a) => a.species === species)
  const protons = acid ? protonsReleased(acid, NEUTRAL_PH) : 0
  if (protons >= ACID_SHARE) roles.push('acid')
  if (protons <= -ACID_SHARE) roles.push('base')
  if (facts.metals.some((m) => m.species.includes(species))) roles.push('metal')
  if (facts.collectOnly.some((c) => c.species.includes(species))) roles.push('collect only')
  if (organicNames[species] !== undefined) roles.push('organic')
  return roles
}

/** Dissolved and solid together, with the uncertainty of what was weighed and measured. */
function amountIn(i: Inventory, species: SpeciesId): Range {
  const mol = Math.max(0, i.amountsMol[species] ?? 0) + Math.max(0, i.solidsMol[species] ?? 0)
  const spread = COVERAGE * (i.relativeUncertainty[species] ?? 0)
  return { low: mol * Math.max(0, 1 - spread), high: mol * (1 + spread) }
}

function over(inventories: readonly Inventory[], species: SpeciesId): Range | null {
  if (inventories.length === 0) return null
  const each = inventories.map((i) => amountIn(i, species))
  return { low: Math.min(...each.map((r) => r.low)), high: Math.max(...each.map((r) => r.high)) }
}

const ROLE_ORDER: readonly LeftRole[] = ['collect only', 'oxidant', 'reductant', 'metal', 'acid', 'base', 'organic']

/** Every oxidant, reductant, acid, base, metal and organic, most telling role first, then by amount. Spectators are left out. */
export function leftLines(finished: readonly Inventory[], early: readonly Inventory[], facts: ClearingFacts): readonly LeftLine[] {
  const all = [...finished, ...early]
  const species = new Set(all.flatMap((i) => [...Object.keys(i.amountsMol), ...Object.keys(i.solidsMol)]))
  const most = (line: LeftLine): number => Math.max(line.finishedMol?.high ?? 0, line.earlyMol?.high ?? 0)
  const lines = [...species].flatMap((id): readonly LeftLine[] => {
    const roles = rolesOf(id, facts)
    return roles.length === 0 ? [] : [{ species: id, roles, finishedMol: over(finished, id), earlyMol: over(early, id) }]
  })
  const largest = Math.max(0, ...lines.map(most))
  const rank = (line: LeftLine): number => ROLE_ORDER.indexOf(line.roles[0]!)
  return lines.filter((l) => most(l) > LISTED_SHARE * largest).sort((a, b) => rank(a) - rank(b) || most(b) - most(a))
}
