/** The answer of settle() in the names of species. */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { distinctSources, type Source } from '@beakertide/basis/sources'
import { kelvinToCelsius } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import { DAVIES_LIMIT_MOL_PER_L } from './activity.ts'
import { amountOf } from './balance.ts'
import { isKnownAt } from './constants-at-temperature.ts'
import type { Equilibrium } from './inventory.ts'
import type { Prepared } from './ionic-strength.ts'
import type { NamedPhase } from './phases.ts'
import type { EquilibriumReaction } from './reactions.ts'
import type { Totals } from './settle-input.ts'
import { type Expansion, PROTON, type SpeciesSystem } from './species-system.ts'

/** Concentration, mol/L, from which on a species counts as mattering for the list of sources. */
const MATTERS_MOL_PER_L = 1e-9

/** What is needed to write the answer. */
export interface Settled {
  readonly totals: Totals
  readonly temperatureK: number
  readonly system: SpeciesSystem
  readonly phases: readonly NamedPhase[]
  readonly prepared: Prepared
  readonly strength: number
  readonly usesActivity: boolean
  readonly inertSolids: Readonly<Record<SpeciesId, number>>
  /** Largest relative residual found so far. */
  readonly residual: number
  /** ln K of forming a species, solid or gas from the masters. */
  readonly lnFormed: (expansion: Expansion) => number
}

/** Solids, gases and acid of a settled liquid, mol. */
export function phaseAmounts({
  totals,
  phases,
  prepared,
  inertSolids,
}: Settled): Pick<Equilibrium, 'solidsMol' | 'gasesMol' | 'acidAddedMol'> {
  const solidsMol: Record<SpeciesId, number> = { ...inertSolids }
  const gasesMol: Record<SpeciesId, number> = {}
  let acidAddedMol: number | undefined
  phases.forEach((phase, s) => {
    const amount = amountOf(phase, prepared.state.uptake[s]!) * totals.volumeL
    if (phase.kind === 'pH') acidAddedMol = -amount
    else if (phase.kind === 'solid' && amount > 0) solidsMol[phase.id] = amount
    else if (phase.kind === 'gas' && amount !== 0) gasesMol[phase.id] = amount
  })
  return { solidsMol, gasesMol, ...(acidAddedMol === undefined ? {} : { acidAddedMol }) }
}

/** The answer, with the sources of what mattered and what to beware of. */
export function report(settled: Settled): Outcome<Equilibrium> {
  const { totals, temperatureK, system, phases, prepared, strength, usesActivity } = settled
  const { state } = prepared
  const unit = prepared.lnGamma(strength)
  const concentrations: Record<SpeciesId, number> = {}
  const coefficients: Record<SpeciesId, number> = {}
  let net = 0
  let turnover = 0
  system.species.forEach((s, j) => {
    const c = state.concentrations[j]!
    concentrations[s.id] = c
    coefficients[s.id] = Math.exp(unit * s.charge ** 2)
    net += s.charge * c
    turnover += Math.abs(s.charge) * c
  })
  const { solidsMol, gasesMol, acidAddedMol } = phaseAmounts(settled)
  const saturationIndices: Record<SpeciesId, number> = {}
  for (const phase of [...system.solids, ...system.gases]) {
    let sum = settled.lnFormed(phase)
    for (const [master, count] of phase.masters) sum += count * state.x[system.columnOf(master)]!
    saturationIndices[phase.id] = sum / Math.LN10
  }

  // Whatever charge was handed in by rounding must come out again, no more and no less; a held pH is balanced by its acid.
  let entered = 0
  for (const [id, amount] of Object.entries(totals.amountsMol)) {
    if (!(amount > 0)) continue
    const charge = (system.expansionOf(id).charge * amount) / totals.volumeL
    entered += charge
    turnover += Math.abs(charge)
  }
  let exchanged = (acidAddedMol ?? 0) / totals.volumeL
  phases.forEach((phase, s) => {
    if (phase.kind === 'pH') return
    phase.coefficients.forEach((b, i) => {
      exchanged -= b * system.species[i]!.charge * state.uptake[s]!
    })
  })
  const chargeResidual = turnover > 0 ? Math.abs(net - entered - exchanged) / turnover : 0
  const withinActivityLimit = !usesActivity || strength <= DAVIES_LIMIT_MOL_PER_L

  const isUsed = new Set<EquilibriumReaction>()
  system.species.forEach((s, j) => {
    if (state.concentrations[j]! > MATTERS_MOL_PER_L) for (const [r] of s.terms) isUsed.add(r)
  })
  for (const phase of [...system.solids, ...system.gases]) {
    if (solidsMol[phase.id] !== undefined || gasesMol[phase.id] !== undefined) for (const [r] of phase.terms) isUsed.add(r)
  }
  const sources: Source[] = [...isUsed].map((r) => ({ source: r.source, seen: r.seen }))
  return done(
    {
      pH: -state.x[system.columnOf(PROTON)]! / Math.LN10,
      ionicStrengthMolPerL: strength,
      concentrationsMolPerL: concentrations,
      activityCoefficients: coefficients,
      solidsMol,
      gasesMol,
      saturationIndices,
      ...(acidAddedMol === undefined ? {} : { acidAddedMol }),
      withinActivityLimit,
      residual: Math.max(chargeResidual, settled.residual),
      iterations: state.iterations,
      sources: distinctSources(sources),
    },
    warningsOf([...isUsed], temperatureK, strength, withinActivityLimit),
  )
}

function warningsOf(used: readonly EquilibriumReaction[], temperatureK: number, strength: number, isWithin: boolean): Problem[] {
  const warnings: Problem[] = []
  if (!isWithin) {
    warnings.push({
      code: 'mixture/beyond-activity-limit',
      where: 'the liquid',
      what: `its ionic strength is ${strength.toPrecision(2)} mol/L; activity coefficients are known up to ${DAVIES_LIMIT_MOL_PER_L} mol/L and held above`,
      todo: 'read pH and free concentrations as indications: pH to about 0.2, complexes to a factor of two',
    })
  }
  const unknown = used.filter((r) => !isKnownAt(r, temperatureK)).map((r) => r.id)
  if (unknown.length > 0) {
    warnings.push({
      code: 'mixture/constant-at-other-temperature',
      where: 'the list of equilibria',
      what: `no value at ${kelvinToCelsius(temperatureK).toFixed(1)} degC for ${unknown.join(', ')}: the nearest known was used`,
      todo: 'expect some tenths of a unit in the constant for each 20 K',
    })
  }
  return warnings
}
