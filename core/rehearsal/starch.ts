import { invariant } from '@beakertide/basis/problems'
import { type Rows, type Source, type Sourced, seenFrom } from '@beakertide/basis/sources'
import { GAS_CONSTANT, ZERO_CELSIUS_K } from '@beakertide/basis/units'

/**
 * Iodine, iodide, triiodide and starch as one instantaneous equilibrium.
 *
 * I2 + I⁻ = I3⁻ is a measured equilibrium. The blue of starch is a stated approximation: every site of the starch binds one
 * I3⁻, all sites alike, I3⁻ + site = blue. Real binding is cooperative, differs from starch to starch, and whether iodide is
 * part of the complex is disputed; but the blue then needs iodine and iodide together, as it does in the show.
 */
export interface StarchFacts {
  /** ln K of I2 + I⁻ = I3⁻ (L/mol) at temperatures (K), ascending. */
  readonly triiodide: readonly { readonly temperatureK: number; readonly lnConstant: number }[]
  readonly triiodideSource: Source
  /** Free I3⁻ at which half the sites are taken at 25 °C, mol/L. */
  readonly halfSaturation: Sourced
  /** Enthalpy of I3⁻ + site, kJ/mol. */
  readonly bindingEnthalpy: Sourced
  /** Sites (each holds one I2 or I3⁻) a glucose unit of starch. */
  readonly sitesPerGlucose: Sourced
}

/** Iodine that pure amylose takes up, g/g. */
const amyloseIodineCapacity: Sourced = {
  value: 0.2,
  unit: 'g/g',
  uncertainty: 0.01,
  source: 'up to 20 % iodine by mass of amylose: read in a stored page on starch characterisation; titrations give 0.185 to 0.20',
  seen: 'read',
}
/** Heat of binding an I2 unit into the amylose helix, kJ/mol. */
const iodineInHelix: Sourced = {
  value: -110,
  unit: 'kJ/mol',
  uncertainty: 30,
  source: 'about -110 kJ a mole of I-I unit: abstract of Biopolymers 31, 57 (1991), read in a page',
  seen: 'read',
}
/** Enthalpy of I2 + I⁻ = I3⁻, kJ/mol. */
const triiodideEnthalpy: Sourced = {
  value: -17,
  unit: 'kJ/mol',
  uncertainty: 0.6,
  source: 'Palmer, Ramette, Mesmer, J. Solution Chem. 13, 673 (1984); abstract read in a page',
  seen: 'read',
}
/** Molar masses that turn g of iodine a g of amylose into sites a glucose unit (atomic weights 2021; C6H10O5, I2). */
const GLUCOSE_UNIT_G_PER_MOL = 162.141
const IODINE_G_PER_MOL = 253.809

/** Two numbers "1e-6 to 1e-5" or "15-25" in a remark of a table. */
function rangeIn(text: string, pattern: RegExp): readonly [number, number] {
  const met = pattern.exec(text)
  invariant(met !== null, `no range found in "${text}"`)
  return [Number(met[1]), Number(met[2])]
}

/** Starch facts from `data/tables/equilibria.csv` (triiodide, starch rows) and `data/tables/substances.csv` (amylose content). */
export function readStarchFacts(equilibria: Rows, substances: Rows): StarchFacts {
  const triiodide = equilibria
    .filter((row) => row.system === 'triiodide' && row.quantity === 'K')
    .map((row) => ({ temperatureK: Number(row.temperature_c) + ZERO_CELSIUS_K, lnConstant: Math.log(Number(row.value)) }))
    .sort((a, b) => a.temperatureK - b.temperatureK)
  const measured = equilibria.find((row) => row.system === 'triiodide' && row.quantity === 'K' && row.temperature_c === '25')
  const binding = equilibria.find((row) => row.system === 'starch (amylose)-triiodide')
  const starch = substances.find((row) => (row.name ?? '').startsWith('starch'))
  invariant(triiodide.length > 1 && measured !== undefined, 'no triiodide constants in the equilibria')
  invariant(binding !== undefined && starch !== undefined, 'no starch in the facts')
  const [low, high] = rangeIn(binding.remark ?? '', /half-saturation at about ([\d.e+-]+) to ([\d.e+-]+) mol\/L/)
  const [least, most] = rangeIn(Object.values(starch).join(' '), /amylose content (\d+)-(\d+) %/)
  const amyloseShare = (least + most) / 200
  return {
    triiodide,
    triiodideSource: { source: measured.source ?? '', seen: seenFrom(measured.read_or_memory ?? '') },
    halfSaturation: {
      value: Math.sqrt(low * high),
      unit: 'mol/L',
      valid: '25 degC; geometric mean of the range given',
      source: `${binding.source ?? ''}: ${binding.remark ?? ''}`,
      seen: seenFrom(binding.read_or_memory ?? ''),
    },
    bindingEnthalpy: {
      value: iodineInHelix.value - triiodideEnthalpy.value,
      unit: 'kJ/mol',
      source: `${iodineInHelix.source}; less that of triiodide`,
      seen: 'computed',
    },
    sitesPerGlucose: {
      value: (amyloseShare * amyloseIodineCapacity.value * GLUCOSE_UNIT_G_PER_MOL) / IODINE_G_PER_MOL,
      unit: '1',
      source: `amylose ${least}-${most} % of starch (memory), ${amyloseIodineCapacity.source}`,
      seen: 'memory',
    },
  }
}

/** K of I2 + I⁻ = I3⁻, L/mol: ln K straight in 1/T between the table's temperatures, on along the last stretch outside them. */
export function triiodideConstant(facts: StarchFacts, temperatureK: number): number {
  const table = facts.triiodide
  const after = table.findIndex((entry) => entry.temperatureK >= temperatureK)
  const high = Math.max(1, after === -1 ? table.length - 1 : after)
  const [a, b] = [table[high - 1]!, table[high]!]
  const along = (1 / temperatureK - 1 / a.temperatureK) / (1 / b.temperatureK - 1 / a.temperatureK)
  return Math.exp(a.lnConstant + (b.lnConstant - a.lnConstant) * along)
}

/** K of I3⁻ + site = blue, L/mol, by van 't Hoff from half-saturation at 25 °C: warm starch loses its blue. */
export function bindingConstant(facts: StarchFacts, temperatureK: number): number {
  const inverseDifference = 1 / temperatureK - 1 / (25 + ZERO_CELSIUS_K)
  return Math.exp((-facts.bindingEnthalpy.value * 1000 * inverseDifference) / GAS_CONSTANT) / facts.halfSaturation.value
}

/** Free and bound iodine, mol/L. */
export interface IodineForms {
  iodine: number
  iodide: number
  triiodide: number
  blue: number
}

/** Enough halvings or Newton steps for any bracket; ten are usual. */
const MOST_STEPS = 80
const CLOSE_ENOUGH = 1e-12

/**
 * Fills `out` with the equilibrium of iodine (I2, I3⁻ and blue together), iodide (I⁻, I3⁻ and blue together) and starch sites,
 * all mol/L, at the two constants (L/mol). Exact for the two equilibria; amounts below zero count as none.
 * One unknown, u = [I3⁻]: u = K₃ (iodine − u − b)(iodide − u − b), b = sites K u / (1 + K u); the left side grows and the
 * right side falls with u, so the root is the only one and is always bracketed.
 */
export function settleIodine(
  iodineTotal: number,
  iodideTotal: number,
  sites: number,
  triiodideK: number,
  bindingK: number,
  out: IodineForms,
): void {
  const iodine = Math.max(0, iodineTotal)
  const iodide = Math.max(0, iodideTotal)
  const held = Math.max(0, sites)
  const least = Math.min(iodine, iodide)
  const bound = (u: number): number => (held * bindingK * u) / (1 + bindingK * u)
  // Largest u: all of the scarcer partner in I3⁻ and blue, K u² + (1 + K sites − K least) u − least = 0.
  const half = (1 + bindingK * (held - least)) / 2
  const radical = Math.sqrt(half * half + bindingK * least)
  let high = half > 0 ? least / (half + radical) : (radical - half) / bindingK
  let low = 0
  let u = high / 2
  for (let step = 0; step < MOST_STEPS && high - low > CLOSE_ENOUGH * high; step++) {
    const taken = u + bound(u)
    const error = u - triiodideK * (iodine - taken) * (iodide - taken)
    if (error > 0) high = u
    else low = u
    const steeper = 1 + (held * bindingK) / (1 + bindingK * u) ** 2
    const slope = 1 + triiodideK * steeper * (iodine + iodide - 2 * taken)
    const next = u - error / slope
    if (Math.abs(next - u) <= CLOSE_ENOUGH * u) break
    u = next > low && next < high ? next : (low + high) / 2
  }
  out.triiodide = u
  out.blue = bound(u)
  out.iodine = Math.max(0, iodine - u - out.blue)
  out.iodide = Math.max(0, iodide - u - out.blue)
}
