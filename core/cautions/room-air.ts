/** Gases and vapours against the air of the room and published limits. */
import { ATMOSPHERE_PA, GAS_CONSTANT, formatNumber, formatQuantity } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import type { Caution, Severity } from './caution.ts'
import type { AirLimit } from './air-limits.ts'
import type { HazardFacts } from './hazard-facts.ts'

export interface Room {
  readonly temperatureK: number
  /** m3; null when the document does not say. */
  readonly volumeM3: number | null
  /** Fresh air in room volumes an hour; null or absent when the document does not say: then nothing leaves the room. */
  readonly airChangesPerH?: number | null
}

/** The room that stands in when none is stated: a classroom-sized 100 m3, said as an example (common practice, no source). */
export const EXAMPLE_ROOM_M3 = 100

/** Volume of a gas at the room's temperature and one standard atmosphere, L (ideal gas: under 2 % off for the gases here). */
export function gasVolumeL(amountMol: number, temperatureK: number): number {
  return ((amountMol * GAS_CONSTANT * temperatureK) / ATMOSPHERE_PA) * 1000
}

/** ppm by volume when `amountMol` is spread evenly through still air; no air change, no losses. */
export function ppmInRoom(amountMol: number, room: Room): number {
  return (gasVolumeL(amountMol, room.temperatureK) / 1000 / (room.volumeM3 ?? EXAMPLE_ROOM_M3)) * 1e6
}

const NAMES: Readonly<Record<string, string>> = {
  I2: 'iodine',
  Br2: 'bromine',
  SO2: 'sulfur dioxide',
  Cl2: 'chlorine',
  ClO2: 'chlorine dioxide',
  NH3: 'ammonia',
  CO2: 'carbon dioxide',
  NO2: 'nitrogen dioxide',
  O2: 'oxygen',
}

/** "iodine" for "I2"; the formula where no name is kept. */
export const gasName = (gas: string): string => NAMES[gas] ?? gas

/** If this share of a gas leaving the liquid fills the room to the level immediately dangerous to life, the plan is refused (our choice). */
const DEADLY_SHARE = 0.05
/** Carbon dioxide does not stay in the acid that frees it: all of it leaves. */
const LEAVES_WHOLLY: readonly string[] = ['CO2']

const SHORT = /ceiling|STEL|15 min/i
const NOT_A_LIMIT = /IDLH|odour|property|threshold|none/i
/** The strictest counts, also where its averaging time is doubtful (its row says so). */
const lowest = (limits: readonly AirLimit[]): AirLimit | undefined => [...limits].sort((a, b) => a.ppm - b.ppm)[0]

/** True for a limit of exposure, false for smells, lethal levels and "none set". */
export const isAirLimit = (l: AirLimit): boolean => !NOT_A_LIMIT.test(`${l.list} ${l.kind}`)

/** The lowest published short-term limit (ceiling, 15 min), else the lowest of all; undefined for a gas without one. */
export function shortLimit(gas: string, facts: HazardFacts): AirLimit | undefined {
  const all = facts.airLimits.filter((l) => l.gas === gas && isAirLimit(l))
  return lowest(all.filter((l) => SHORT.test(l.kind))) ?? lowest(all)
}

/**
 * A caution for `amountMol` of a gas held by or freed from `about`, in the honest wording "if all of it left the liquid",
 * with the share that is enough for the limit. Null when there is nothing, or when no limit is known and it is no known gas.
 */
export function airCaution(gas: string, amountMol: number, about: string, from: string, room: Room, facts: HazardFacts): Caution | null {
  if (!(amountMol > 0)) return null
  const limit = shortLimit(gas, facts)
  if (!limit) return null
  const name = gasName(gas)
  const ppm = ppmInRoom(amountMol, room)
  const share = limit.ppm / ppm
  const idlh = lowest(facts.airLimits.filter((l) => l.gas === gas && /IDLH/i.test(l.kind)))
  const odour = facts.airLimits.find((l) => l.gas === gas && /odour/i.test(l.list))
  // So much of it that a small leak from the liquid is a danger to life: not without a stated measure.
  const leaving = LEAVES_WHOLLY.includes(gas) ? 1 : DEADLY_SHARE
  const deadly = idlh !== undefined && ppm * leaving >= idlh.ppm
  const severity: Severity = share > 1 ? 1 : deadly ? 4 : idlh && ppm >= idlh.ppm ? 3 : 2
  const where =
    room.volumeM3 === null
      ? `${EXAMPLE_ROOM_M3} m3 of still air (an example: no room volume is stated)`
      : `the ${formatNumber(room.volumeM3, 3)} m3 of still air in the room`
  const limitText = `${formatNumber(limit.ppm, 2)} ppm (${limit.list}, ${limit.kind})`
  const compared =
    share > 1
      ? `below the limit of ${limitText} even then`
      : `${formatNumber(ppm / limit.ppm, 2)} times the limit of ${limitText}; a share of ${formatNumber(100 * share, 2)} % is enough to reach it${deadly && idlh ? `, ${formatNumber((100 * idlh.ppm) / ppm, 2)} % to reach the ${formatNumber(idlh.ppm, 2)} ppm that endanger life at once` : ''}`
  return {
    code: `cautions/vapour-${name.replace(/ /g, '-')}`,
    severity,
    about,
    what: `${from}: ${formatQuantity(amountMol, 'amount', 2)} of ${name}. If all of it left the liquid, ${where} would hold ${formatNumber(ppm, 2)} ppm, ${compared}`,
    instead:
      gas === 'CO2' || gas === 'O2'
        ? 'Open doors and windows, or a smaller scale; nobody bends over the vessel, no flame near it.'
        : severity === 1
          ? 'Keep the vessel covered with glass or plastic film, and air the room.'
          : 'Hood or strong ventilation, smaller scale, vessel covered with glass or plastic film (no aluminium), and reduce it at once afterwards.',
    numbers: [
      `limit: ${limit.list} ${limit.kind}, ${limit.edition}`,
      `${formatNumber(limit.ppm, 2)} ppm here is ${formatQuantity((limit.ppm / ppm) * amountMol, 'amount', 2)}`,
      idlh ? `immediately dangerous at ${formatNumber(idlh.ppm, 2)} ppm (${idlh.edition})` : '',
      odour
        ? `smelled from about ${formatNumber(odour.ppm, 2)} ppm${odour.ppm > limit.ppm ? ': ABOVE the limit, so smell is no guard' : ''}`
        : '',
    ]
      .filter((t) => t !== '')
      .join('; '),
    ...(deadly ? { refuses: true as const } : {}),
    source: limit.source,
  }
}

const sum = (amounts: Readonly<Record<SpeciesId, number>>, counts: Readonly<Record<SpeciesId, number>>): number =>
  Object.entries(counts).reduce((n, [species, count]) => n + count * Math.max(0, amounts[species] ?? 0), 0)

const IODINE_ATOMS = { 'I-': 1, I2: 2, 'I3-': 3, 'IO3-': 1, HOI: 1, HIO2: 1, 'IO4-': 1, HIO3: 1, 'I2(s)': 2 }
const BROMINE_ATOMS = { 'Br-': 1, Br2: 2, 'BrO3-': 1, HOBr: 1, HBrO2: 1 }
const OXIDANTS = ['IO3-', 'IO4-', 'H2O2', 'BrO3-', 'S2O8^2-', 'MnO4-', 'Ce4+', 'OCl-', 'ClO-', 'ClO2-', 'ClO3-', 'Cr2O7^2-', 'Fe3+', 'HIO3']

/** Chlorine a mole of oxidant can free from chloride in acid: half its electrons. Iodate and peroxide do it only in strong acid and are left out. */
const CHLORINE_PER_OXIDANT = { 'MnO4-': 2.5, 'BrO3-': 3, 'ClO3-': 3, 'Cr2O7^2-': 3, 'CrO4^2-': 1.5 }
/** 2 H2O2 -> 2 H2O + O2. */
const OXYGEN_PER_PEROXIDE = 0.5
/** 3 HNO2 -> HNO3 + 2 NO + H2O, and NO turns into NO2 in air. */
const NITROUS_PER_NITRITE = 2 / 3

/**
 * The most of each gas that the entered amounts can give, mol: all iodine as I2 where an oxidant and acid are there, bromine
 * likewise, one SO2 a thiosulfate or sulfite in acid, chlorine from hypochlorite or from chloride with an oxidant, NO2 from nitrite, four ClO2 a five chlorite, ammonia as it
 * stands or freed by alkali. Upper bounds by atoms; the real amount is less.
 */
export function mostGases(amountsMol: Readonly<Record<SpeciesId, number>>): Readonly<Record<string, number>> {
  const acid =
    sum(amountsMol, { 'H+': 1, 'HSO4-': 1, MA: 1, H2C2O4: 1, CH3COOH: 1 }) - sum(amountsMol, { 'OH-': 1, 'HCO3-': 1, 'CO3^2-': 2 })
  const oxidant = OXIDANTS.some((s) => (amountsMol[s] ?? 0) > 0)
  const gases: Record<string, number> = {}
  const elemental = sum(amountsMol, { I2: 1, 'I3-': 1, 'I2(s)': 1 })
  gases['I2'] = oxidant ? sum(amountsMol, IODINE_ATOMS) / 2 : elemental
  const bromineMade = (amountsMol['BrO3-'] ?? 0) > 0 && acid > 0
  gases['Br2'] = bromineMade ? sum(amountsMol, BROMINE_ATOMS) / 2 : sum(amountsMol, { Br2: 1 })
  if (acid > 0) {
    gases['SO2'] = sum(amountsMol, { 'S2O3^2-': 1, 'HSO3-': 1, 'SO3^2-': 1, H2SO3: 1, 'S2O5^2-': 2 })
    gases['Cl2'] = sum(amountsMol, { 'OCl-': 1, 'ClO-': 1, HOCl: 1 })
    gases['Cl2'] += Math.min((amountsMol['Cl-'] ?? 0) / 2, sum(amountsMol, CHLORINE_PER_OXIDANT))
    gases['NO2'] = NITROUS_PER_NITRITE * sum(amountsMol, { 'NO2-': 1, HNO2: 1 })
    gases['ClO2'] = 0.8 * sum(amountsMol, { 'ClO2-': 1 })
  }
  gases['O2'] = OXYGEN_PER_PEROXIDE * sum(amountsMol, { H2O2: 1 })
  gases['CO2'] = carbonDioxide(amountsMol, acid)
  gases['NH3'] = sum(amountsMol, { NH3: 1 }) + (acid < 0 ? Math.min(-acid, sum(amountsMol, { 'NH4+': 1 })) : 0)
  return gases
}

/** An oxidised organic acid gives at most its carbon; malonic acid three, oxalic acid two. */
const ORGANIC_CARBON = { MA: 3, 'HMA-': 3, 'MA^2-': 3, H2C2O4: 2, 'HC2O4-': 2, 'C2O4^2-': 2, BrMA: 3, IMA: 3 }
const OXIDISES_CARBON = ['MnO4-', 'BrO3-', 'Ce4+', 'IO3-', 'IO4-', 'Cr2O7^2-']

/** Carbonate that acid can free, and the carbon of organic acids where a strong oxidant stands with them. */
function carbonDioxide(amountsMol: Readonly<Record<SpeciesId, number>>, netAcidMol: number): number {
  const carbonate = sum(amountsMol, { 'CO3^2-': 1, 'HCO3-': 1 })
  const acid = netAcidMol + sum(amountsMol, { 'HCO3-': 1, 'CO3^2-': 2 })
  const fromCarbonate = Math.min(carbonate, Math.max(0, acid))
  const burnt = OXIDISES_CARBON.some((s) => (amountsMol[s] ?? 0) > 0) ? sum(amountsMol, ORGANIC_CARBON) : 0
  return fromCarbonate + burnt
}

/** Gases that stand in the liquid now, mol: for an inventory that a rehearsal computed. */
export function gasesNow(amountsMol: Readonly<Record<SpeciesId, number>>): Readonly<Record<string, number>> {
  return {
    I2: sum(amountsMol, { I2: 1, 'I3-': 1, 'I2(s)': 1 }),
    Br2: sum(amountsMol, { Br2: 1 }),
    SO2: sum(amountsMol, { H2SO3: 1 }),
    Cl2: sum(amountsMol, { Cl2: 1 }),
    ClO2: sum(amountsMol, { ClO2: 1 }),
    NH3: sum(amountsMol, { NH3: 1 }),
  }
}
