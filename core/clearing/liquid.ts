/**
 * A liquid on its way from leftovers to an empty bench: its contents over independent species, so that every atom and
 * charge is counted once whatever complex or protonation state it is in, and its fast equilibria settled by the mixture room.
 */
import {
  type Equilibrium,
  type EquilibriumFacts,
  type EquilibriumReaction,
  chargeFromName,
  overMasters,
  settle,
  type SettleOptions,
} from '../mixture/index.ts'
import type { SpeciesId } from '../matter/index.ts'
import { protonsReleased } from './acid.ts'
import type { ClearingFacts } from './clearing-facts.ts'

/** mol by species; H+ may be negative (that much hydroxide). Water is not listed. */
export type Masters = Readonly<Record<SpeciesId, number>>

const PROTON = 'H+'
const HYDROXIDE = 'OH-'
/** Less than this a litre is the rounding of whoever made it, mol/L. */
const NOTHING_MOL_PER_L = 1e-12

/**
 * Constants for waste in place of those of the list: a fresh precipitate of manganese carbonate dissolves up to four times
 * better than an old one (tables/equilibria, textbook row of MnCO3; remark of solid-mnco3 in equilibrium_reactions).
 */
export const WASTE_CONSTANTS: Readonly<Record<string, number>> = { 'solid-mnco3': -10.06 }

/** Halogenated malonic acids as their species are called with two, one and no proton. */
const LIKE_MALONIC: readonly (readonly [SpeciesId, SpeciesId, SpeciesId])[] = [
  ['IMA', 'HIMA-', 'IMA^2-'],
  ['I2MA', 'HI2MA-', 'I2MA^2-'],
  ['BrMA', 'HBrMA-', 'BrMA^2-'],
  ['Br2MA', 'HBr2MA-', 'Br2MA^2-'],
]
const MALONIC: readonly [SpeciesId, SpeciesId, SpeciesId] = ['MA', 'HMA-', 'MA^2-']

const extended = new WeakMap<EquilibriumFacts, EquilibriumFacts>()

/**
 * The list of equilibria with iodo- and bromomalonic acids, which it does not hold: taken to bind protons and metals like
 * malonic acid (assumed; they are a little stronger, and at pH 8 both protons are gone either way).
 */
export function withHalomalonates(facts: EquilibriumFacts): EquilibriumFacts {
  const known = extended.get(facts)
  if (known) return known
  const defined = new Set(facts.reactions.map((r) => r.defines))
  const more: EquilibriumReaction[] = []
  for (const names of LIKE_MALONIC) {
    const renamed = (id: SpeciesId): SpeciesId => {
      const i = MALONIC.indexOf(id)
      return i >= 0 ? names[i]! : id.endsWith('MA') && id !== 'MA' ? id.replace(/MA$/, names[0]) : id
    }
    for (const r of facts.reactions) {
      if (r.kind === 'solid' || r.kind === 'gas' || !MALONIC.some((id) => r.numbers[id] !== undefined)) continue
      const defines = renamed(r.defines)
      if (defined.has(defines)) continue
      more.push({
        ...r,
        id: `${r.id}-${names[0]}`,
        defines,
        numbers: Object.fromEntries(Object.entries(r.numbers).map(([id, n]) => [renamed(id), n])),
        seen: 'assumed',
        source: `taken over from malonic acid: ${r.source}`,
      })
    }
  }
  const all: EquilibriumFacts = { ...facts, reactions: [...facts.reactions, ...more] }
  extended.set(facts, all)
  return all
}

export function chargeOf(id: SpeciesId, facts: EquilibriumFacts): number {
  return facts.charges[id] ?? chargeFromName(id)
}

/** `target` with `amountMol` of a species more, over independent species; water is not counted. */
export function addSpecies(target: Record<SpeciesId, number>, id: SpeciesId, amountMol: number, facts: EquilibriumFacts): void {
  if (id === 'H2O' || amountMol === 0) return
  for (const [master, count] of overMasters(id, facts).masters) target[master] = (target[master] ?? 0) + count * amountMol
}

/** Amounts by species (free, bound, solid) over independent species. */
export function toMasters(amounts: Readonly<Record<SpeciesId, number>>, facts: EquilibriumFacts): Record<SpeciesId, number> {
  const out: Record<SpeciesId, number> = {}
  for (const [id, n] of Object.entries(amounts)) addSpecies(out, id, n, facts)
  return out
}

/** Net charge, mol. */
export function netCharge(masters: Masters, facts: EquilibriumFacts): number {
  return Object.entries(masters).reduce((sum, [id, n]) => sum + n * chargeOf(id, facts), 0)
}

/** The counter-ion that a liquid lacks: sodium or chloride, mol. A model that keeps no book of spectators leaves them out. */
export function counterIon(masters: Masters, facts: EquilibriumFacts): Masters {
  const net = netCharge(masters, facts)
  return net === 0 ? {} : net > 0 ? { 'Cl-': net } : { 'Na+': -net }
}

/** What is settled: totals in, free species, solids and gas out. */
export interface SettledLiquid {
  readonly pH: number
  readonly ionicStrengthMolPerL: number
  readonly withinActivityLimit: boolean
  /** mol of every dissolved species. */
  readonly dissolvedMol: Masters
  readonly solidsMol: Masters
  /** Gas that leaves (negative: taken up from the air). */
  readonly gasMol: Masters
  /** Enthalpy against the independent species, kJ, gas and solids included. */
  readonly kJ: number
  /** Species above 1 mmol whose heat of forming is not known: counted as none. */
  readonly heatUnknown: readonly SpeciesId[]
  readonly acidAddedMol: number | null
}

const NOTICEABLE_MOL_PER_L = 1e-3

/** As the mixture room takes it: no negative protons, no traces. */
function asTotals(masters: Masters, volumeL: number): { readonly volumeL: number; readonly amountsMol: Record<SpeciesId, number> } {
  const amountsMol: Record<SpeciesId, number> = {}
  for (const [id, n] of Object.entries(masters)) {
    if (id === PROTON && n < 0) amountsMol[HYDROXIDE] = (amountsMol[HYDROXIDE] ?? 0) - n
    else if (n > NOTHING_MOL_PER_L * volumeL) amountsMol[id] = (amountsMol[id] ?? 0) + n
  }
  return { volumeL, amountsMol }
}

const settledBefore = new WeakMap<Masters, Map<string, SettledLiquid | null>>()

/** Settles a liquid; null when the mixture room refuses it (rounding, or more than it can say). `facts` with halomalonates. */
export function settleLiquid(
  masters: Masters,
  volumeL: number,
  temperatureK: number,
  facts: EquilibriumFacts,
  options: Pick<SettleOptions, 'pH' | 'gases' | 'solids' | 'openGasesAtm'> = {},
): SettledLiquid | null {
  const key = JSON.stringify([volumeL, temperatureK, options])
  const kept = settledBefore.get(masters) ?? new Map<string, SettledLiquid | null>()
  settledBefore.set(masters, kept)
  const before = kept.get(key)
  if (before !== undefined) return before
  const totals = asTotals(masters, volumeL)
  const solid = (id: SpeciesId): boolean => id.endsWith('(s)')
  const dissolved = Object.fromEntries(Object.entries(totals.amountsMol).filter(([id]) => !solid(id)))
  const solids = Object.fromEntries(Object.entries(totals.amountsMol).filter(([id]) => solid(id)))
  const outcome = settle({ volumeL, amountsMol: dissolved, solidsMol: solids }, temperatureK, facts, {
    ...options,
    constants: WASTE_CONSTANTS,
  })
  const made = outcome.ok ? settledFrom(outcome.value, volumeL, facts) : null
  kept.set(key, made)
  return made
}

function settledFrom(e: Equilibrium, volumeL: number, facts: EquilibriumFacts): SettledLiquid {
  const dissolvedMol = Object.fromEntries(Object.entries(e.concentrationsMolPerL).map(([id, c]) => [id, c * volumeL]))
  let kJ = 0
  const heatUnknown: SpeciesId[] = []
  for (const part of [dissolvedMol, e.solidsMol, e.gasesMol]) {
    for (const [id, n] of Object.entries(part)) {
      const formed = overMasters(id, facts).kJ
      if (formed !== null) kJ += n * formed
      else if (Math.abs(n) > NOTICEABLE_MOL_PER_L * volumeL) heatUnknown.push(id)
    }
  }
  return {
    pH: e.pH,
    ionicStrengthMolPerL: e.ionicStrengthMolPerL,
    withinActivityLimit: e.withinActivityLimit,
    dissolvedMol,
    solidsMol: e.solidsMol,
    gasMol: e.gasesMol,
    kJ,
    heatUnknown,
    acidAddedMol: e.acidAddedMol ?? null,
  }
}

const CARBONATE = 'CO3^2-'

/** The liquid once all its carbon dioxide has left: each carbonate takes two protons with it. */
export function withoutCarbonate(masters: Masters): Masters {
  const { [CARBONATE]: carbonate = 0, [PROTON]: protons = 0, ...rest } = masters
  return { ...rest, [PROTON]: protons - 2 * carbonate }
}

/**
 * Base that brings a liquid to a pH with activities, mol of protons taken up (negative: acid that it takes), once its carbon
 * dioxide has left; what metals take beside it belongs to their precipitation. Null when the liquid cannot be settled.
 */
export function baseNeeded(
  masters: Masters,
  volumeL: number,
  pH: number,
  temperatureK: number,
  facts: EquilibriumFacts,
  clearing: ClearingFacts,
): number | null {
  const metals = new Set(clearing.metals.flatMap((m) => m.species))
  const open = Object.fromEntries(Object.entries(withoutCarbonate(masters)).filter(([id]) => !metals.has(id)))
  const settled = settleLiquid(open, volumeL, temperatureK, facts, { pH, gases: 'stay', solids: 'none' })
  if (settled?.acidAddedMol == null) return null
  // Metals whose hydroxide falls before carbonate can: counted as in acid_counts.csv.
  const hydroxides = clearing.acids.reduce(
    (sum, a) => (metals.has(a.species) ? sum + Math.max(0, masters[a.species] ?? 0) * protonsReleased(a, pH) : sum),
    0,
  )
  return -settled.acidAddedMol + hydroxides
}
