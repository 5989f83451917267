/** What instruments in the vessel would read: pure functions from concentrations to values, and the facts they need. */
import { invariant } from '@beakertide/basis/problems'
import { type Rows, type Source, type Sourced, seenFrom } from '@beakertide/basis/sources'
import { FARADAY_CONSTANT, GAS_CONSTANT } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import { type AbsorberFacts, molarAbsorptivityAt } from './absorbers.ts'

/** One side of a redox couple: species with its coefficient. */
export type RedoxSide = readonly (readonly [species: SpeciesId, coefficient: number])[]

export interface RedoxCouple {
  readonly name: string
  readonly oxidised: RedoxSide
  readonly reduced: RedoxSide
  readonly electrons: number
  /** Standard or formal potential against the standard hydrogen electrode at 25 °C, V. */
  readonly potential: Sourced
}

export interface ElectrodeFacts {
  /** AgI + e⁻ = Ag + I⁻, V against the standard hydrogen electrode. */
  readonly silverIodide: Sourced
  /** The reference electrode that readings are given against, V against the standard hydrogen electrode. */
  readonly reference: Sourced
  readonly referenceName: string
  readonly couples: readonly RedoxCouple[]
}

/** Rows of the table that a platinum electrode can follow in our mechanisms, by system, with the species of either side. */
const COUPLES: readonly (Omit<RedoxCouple, 'potential'> & { readonly system: string })[] = [
  {
    system: 'cerium, 1 mol/L H2SO4',
    name: 'Ce(IV)/Ce(III) in sulfuric acid',
    oxidised: [['Ce4+', 1]],
    reduced: [['Ce3+', 1]],
    electrons: 1,
  },
  { system: 'ferroin', name: 'ferriin/ferroin', oxidised: [['ferriin', 1]], reduced: [['ferroin', 1]], electrons: 1 },
  { system: 'iron', name: 'Fe3+/Fe2+', oxidised: [['Fe3+', 1]], reduced: [['Fe2+', 1]], electrons: 1 },
  { system: 'iodine (aq)', name: 'I2/I-', oxidised: [['I2', 1]], reduced: [['I-', 2]], electrons: 2 },
  { system: 'bromine', name: 'Br2/Br-', oxidised: [['Br2', 1]], reduced: [['Br-', 2]], electrons: 2 },
]

/** Electrode facts from `data/tables/equilibria.csv` (rows of kind E0). Tabulated between 0.005 and 0.01 V; formal potentials hold in their medium. */
export function readElectrodeFacts(equilibria: Rows): ElectrodeFacts {
  const potential = (system: string): Sourced => {
    const row = equilibria.find((r) => r.kind === 'E0' && r.system === system)
    invariant(row !== undefined && Number.isFinite(Number(row.value)), `no standard potential for ${system}`)
    return {
      value: Number(row.value),
      unit: 'V',
      uncertainty: Number(row.uncertainty) || 0.01,
      valid: row.remark ? `25 °C; ${row.remark}` : '25 °C',
      source: row.source ?? '',
      seen: seenFrom(row.read_or_memory ?? ''),
    }
  }
  return {
    silverIodide: potential('silver iodide'),
    reference: potential('silver/silver chloride electrode'),
    referenceName: 'Ag/AgCl in 3 mol/L KCl',
    couples: COUPLES.map(({ system, ...couple }) => ({ ...couple, potential: potential(system) })),
  }
}

/** Nernst slope RT ln 10 / F in mV a decade: 59.16 at 298.15 K. */
export function nernstSlopeMv(temperatureK: number): number {
  return ((GAS_CONSTANT * temperatureK * Math.LN10) / FARADAY_CONSTANT) * 1000
}

/** Below this a concentration stands for "none": signals stay finite. Far below anything an electrode can answer. */
const LEAST_MOL_PER_L = 1e-14

/**
 * Reading of a silver iodide electrode: pI = −lg([I⁻] γ) and E = E° − E_ref + S pI in mV against the reference electrode.
 * Concentrations under 1e-14 mol/L count as that. Real electrodes reach 54 to 59 mV a decade, and below about 1e-7 mol/L
 * in iodate–peroxide mixtures answer hypoiodous acid as well: there the reading is that of an ideal electrode only.
 */
export function iodideElectrode(
  iodideMolPerL: number,
  temperatureK: number,
  facts: ElectrodeFacts,
  activityCoefficient = 1,
): { readonly pI: number; readonly millivolts: number } {
  const pI = -Math.log10(Math.max(LEAST_MOL_PER_L, iodideMolPerL * activityCoefficient))
  const millivolts = 1000 * (facts.silverIodide.value - facts.reference.value) + nernstSlopeMv(temperatureK) * pI
  return { pI, millivolts }
}

/** Note that belongs beside every iodide trace. */
export const IODIDE_NOTE =
  'ideal silver iodide electrode; a real one gives 54 to 59 mV a decade and below about 1e-7 mol/L answers hypoiodous acid as well'

/** mV of one couple against the reference: E = E° − E_ref + S/n lg(Π ox^ν / Π red^ν), activities taken as concentrations in mol/L. */
export function coupleMillivolts(
  couple: RedoxCouple,
  molPerL: Readonly<Record<SpeciesId, number>>,
  temperatureK: number,
  facts: ElectrodeFacts,
): number {
  const logOf = (side: RedoxSide): number =>
    side.reduce((sum, [species, coefficient]) => sum + coefficient * Math.log10(Math.max(LEAST_MOL_PER_L, molPerL[species] ?? 0)), 0)
  const quotient = logOf(couple.oxidised) - logOf(couple.reduced)
  return 1000 * (couple.potential.value - facts.reference.value) + (nernstSlopeMv(temperatureK) / couple.electrons) * quotient
}

/** A couple poises platinum only when both its sides are there; less than this is a trace. */
const LEAST_POISING_MOL_PER_L = 1e-9

/** The scarcest species of a couple, mol/L: how firmly it holds a platinum electrode. */
function poise(couple: RedoxCouple, molPerL: Readonly<Record<SpeciesId, number>>): number {
  return Math.min(...[...couple.oxidised, ...couple.reduced].map(([species]) => molPerL[species] ?? 0))
}

/**
 * The couple that a platinum electrode follows: of all whose two sides are known, the one whose scarcer side is most abundant.
 * To judge a whole run, give the greatest concentrations met in it, so that the couple does not change on the way; null when none is there.
 */
export function rulingCouple(molPerL: Readonly<Record<SpeciesId, number>>, facts: ElectrodeFacts): RedoxCouple | null {
  let best: RedoxCouple | null = null
  let most = LEAST_POISING_MOL_PER_L
  for (const couple of facts.couples) {
    const held = poise(couple, molPerL)
    if (held > most) [best, most] = [couple, held]
  }
  return best
}

/** Sum of ε c d over the species that absorb, decadic; null when a species that is there has no known ε at this wavelength. */
export function absorbanceAt(
  wavelengthNm: number,
  molPerL: Readonly<Record<SpeciesId, number>>,
  depthCm: number,
  absorbers: Readonly<Record<SpeciesId, string>>,
  facts: AbsorberFacts,
): number | null {
  let sum = 0
  for (const [species, name] of Object.entries(absorbers)) {
    const concentration = molPerL[species] ?? 0
    if (!(concentration > 0)) continue
    const epsilon = molarAbsorptivityAt(facts, name, wavelengthNm)
    if (epsilon === null) return null
    sum += epsilon * concentration * depthCm
  }
  return sum
}

/**
 * Volume of gas in litres, V = n R T / (p − p_w), at the room's temperature and pressure; `waterVapourPa` is the vapour pressure
 * of water when it is caught over water, 0 when dry. Not a number when the vapour pressure reaches the room's.
 */
export function gasVolumeL(amountMol: number, temperatureK: number, pressurePa: number, waterVapourPa = 0): number {
  const dryPa = pressurePa - waterVapourPa
  // 1 m³ is 1000 L.
  return dryPa > 0 ? (1000 * amountMol * GAS_CONSTANT * temperatureK) / dryPa : Number.NaN
}

/** Everything an electrode trace rests on. */
export function electrodeSources(facts: ElectrodeFacts, couple: RedoxCouple | null): readonly Source[] {
  return [facts.silverIodide, facts.reference, ...(couple ? [couple.potential] : [])].map(({ source, seen }) => ({ source, seen }))
}
