/** Heat, foam and overflow of a vessel against its capacity. */
import { ZERO_CELSIUS_K, formatNumber, formatQuantity } from '@beakertide/basis/units'
import type { Caution, Severity } from './caution.ts'
import { type Content, groupMolPerL } from './contents.ts'
import type { HazardFacts } from './hazard-facts.ts'
import { gasVolumeL } from './room-air.ts'
import type { SceneVessel } from './scene.ts'
import { VESSEL_OVER_LIQUID } from './standing.ts'

/** Specific heat capacity of water, J/(g K), taken for all these liquids (W2 of data/hazards/cleanup_worked_examples.csv; memory). */
export const WATER_HEAT_CAPACITY_J_PER_GK = 4.18
/** Boiling of a dilute aqueous liquid at one atmosphere. */
const BOILING_K = ZERO_CELSIUS_K + 100
/** Enthalpy of vaporisation of water at 100 degC, kJ/g (memory: 2257 J/g). */
const VAPORISATION_KJ_PER_G = 2.257
/** Moles of oxygen a mole of peroxide, 2 H2O2 -> 2 H2O + O2. */
const OXYGEN_PER_PEROXIDE = 0.5
/** 2 MnO4- + 5 H2C2O4 + 6 H+ -> 2 Mn2+ + 10 CO2 + 8 H2O. */
const CO2_PER_PERMANGANATE = 5
const CO2_PER_OXALATE = 2

export interface PeroxideHeat {
  readonly peroxideMol: number
  /** If all of it decomposed and nothing cooled. */
  readonly heatKJ: number
  readonly riseK: number
  readonly boils: boolean
  /** Water that the heat left over at the boiling point can turn into steam, g. */
  readonly steamG: number
  readonly oxygenL: number
}

/** Heat and oxygen of all peroxide in a liquid of that mass, starting at the room's temperature. Adiabatic: an upper bound. */
export function peroxideHeat(peroxideMol: number, massG: number, startK: number, facts: HazardFacts): PeroxideHeat {
  const heatKJ = -facts.peroxideDecompositionKJPerMol.value * peroxideMol
  const capacityKJPerK = (massG * WATER_HEAT_CAPACITY_J_PER_GK) / 1000
  const riseK = capacityKJPerK > 0 ? heatKJ / capacityKJPerK : 0
  const over = heatKJ - capacityKJPerK * (BOILING_K - startK)
  return {
    peroxideMol,
    heatKJ,
    riseK,
    boils: over > 0,
    steamG: Math.max(0, over / VAPORISATION_KJ_PER_G),
    oxygenL: gasVolumeL(peroxideMol * OXYGEN_PER_PEROXIDE, startK),
  }
}

/** A rise over which a hand on the glass is burnt and iodine fumes: warm to strong (our choice). */
const STRONG_RISE_K = 30

function peroxideCaution(vessel: SceneVessel, liquid: Content, roomK: number, facts: HazardFacts): Caution | null {
  const peroxideMol = groupMolPerL(liquid, 'peroxide', facts) * liquid.volumeL
  const catalysed = groupMolPerL(liquid, 'catalyst', facts) > 0
  const heat = peroxideHeat(peroxideMol, liquid.massG, roomK, facts)
  if (!catalysed || heat.oxygenL < liquid.volumeL) return null
  const severity: Severity = heat.boils ? 4 : heat.riseK > STRONG_RISE_K ? 3 : 2
  return {
    code: heat.boils ? 'cautions/peroxide-boils' : 'cautions/peroxide-foam',
    severity,
    about: `vessel "${vessel.id}"`,
    what: heat.boils
      ? `its peroxide can boil it: ${formatNumber(heat.heatKJ, 3)} kJ, enough for the boiling point and ${formatQuantity(heat.steamG, 'mass', 2)} of steam besides; hot spray`
      : `its peroxide can warm it by up to ${formatNumber(heat.riseK, 2)} K and foam it over`,
    instead: heat.boils
      ? 'Dilute the peroxide (below about 8 % w/w before mixing), make it smaller, or stand behind a shield in a hood with the control measure stated.'
      : `Open vessel at least ${VESSEL_OVER_LIQUID} times the liquid, in a tray; no lid, no narrow neck.`,
    numbers: `${formatQuantity(peroxideMol, 'amount', 3)} of peroxide, if all of it decomposed at once and nothing cooled: ${formatNumber(heat.heatKJ, 3)} kJ, ${formatNumber(heat.riseK, 3)} K, ${formatNumber(heat.oxygenL, 3)} L of oxygen`,
    ...(heat.boils ? { refuses: true as const } : {}),
    source: facts.peroxideDecompositionKJPerMol,
  }
}

/** H+ + OH- -> H2O, kJ/mol (tables: -55.8 at 25 degC; as in the thermochemistry table). */
const NEUTRALISATION_KJ_PER_MOL = 55.8

/**
 * Acid and alkali that meet in one pour: heat of neutralisation, if it all came at once and nothing cooled. `before` stands
 * in the vessel, `part` is poured in. Null below a rise that burns.
 */
export function neutralisationCaution(about: string, before: Content, part: Content, roomK: number, facts: HazardFacts): Caution | null {
  const mol = (c: Content, group: string): number => groupMolPerL(c, group, facts) * c.volumeL
  const metMol = Math.max(Math.min(mol(before, 'acid'), mol(part, 'alkali')), Math.min(mol(before, 'alkali'), mol(part, 'acid')))
  const heatKJ = NEUTRALISATION_KJ_PER_MOL * metMol
  const riseK = (heatKJ * 1000) / ((before.massG + part.massG) * WATER_HEAT_CAPACITY_J_PER_GK)
  if (!(riseK > STRONG_RISE_K)) return null
  const sprays = roomK + riseK > SPRAYING_K
  const celsius = formatNumber(roomK + riseK - ZERO_CELSIUS_K, 2)
  return {
    code: 'cautions/neutralisation-heat',
    severity: sprays ? 4 : 3,
    about,
    what: sprays
      ? `strong acid and strong alkali meet: ${formatNumber(heatKJ, 3)} kJ bring it to ${celsius} degC and more, and hot caustic spray comes out`
      : `acid and alkali meet and warm it by up to ${formatNumber(riseK, 2)} K`,
    instead: 'Dilute both beforehand, pour slowly, stir, cool.',
    numbers: `${formatQuantity(metMol, 'amount', 3)} neutralised, ${formatNumber(riseK, 3)} K if nothing cooled`,
    ...(sprays ? { refuses: true as const } : {}),
    source: { source: 'enthalpy of neutralisation, -55.8 kJ/mol at 25 degC', seen: 'memory' },
  }
}

/** Where acid meets alkali so hot, it boils in places and spits; heat of dilution comes on top of what is counted (our choice). */
const SPRAYING_K = ZERO_CELSIUS_K + 70

/** A vessel filled over this share, with more gas to come than it holds liquid, foams over (our choice). */
const FULL_FROM = 0.8

const VESSEL_RULE = { source: 'hazards facts, section 2: open vessel three times the volume', seen: 'practice' as const }

function roomCaution(vessel: SceneVessel, liquid: Content, gasL: number): Caution | null {
  const capacity = vessel.capacityL
  const about = `vessel "${vessel.id}"`
  if (capacity !== null && liquid.volumeL > capacity) {
    return {
      code: 'cautions/vessel-overflows',
      severity: 3,
      about,
      what: `${formatQuantity(liquid.volumeL, 'volume')} are poured into ${formatQuantity(capacity, 'volume')}`,
      instead: `Take a vessel of at least ${formatQuantity(VESSEL_OVER_LIQUID * liquid.volumeL, 'volume')}, or pour less.`,
      source: VESSEL_RULE,
    }
  }
  if (gasL <= 0) return null
  if (capacity !== null && capacity >= VESSEL_OVER_LIQUID * liquid.volumeL) return null
  const foamsOver = capacity !== null && liquid.volumeL > FULL_FROM * capacity && gasL > liquid.volumeL
  return {
    code: foamsOver ? 'cautions/foams-over' : 'cautions/vessel-small-for-foam',
    severity: foamsOver ? 3 : 2,
    about,
    what:
      capacity === null
        ? `gas forms (up to ${formatNumber(gasL, 2)} L) and the size of the vessel is not stated`
        : `gas forms (up to ${formatNumber(gasL, 2)} L) and ${formatQuantity(liquid.volumeL, 'volume')} stand in a vessel of ${formatQuantity(capacity, 'volume')}${foamsOver ? ': it foams over and sprays' : ''}`,
    instead: `Open vessel of at least ${formatQuantity(VESSEL_OVER_LIQUID * liquid.volumeL, 'volume')}, in a tray.`,
    // Decided: what foams over carries the whole liquid over table and hands, so how it is caught must be said.
    ...(foamsOver ? { refuses: true as const } : {}),
    source: VESSEL_RULE,
  }
}

export interface GasToCome {
  readonly oxygenL: number
  readonly carbonDioxideL: number
  readonly gasL: number
}

/**
 * Gas that a liquid can give, L at that temperature and one atmosphere: oxygen of its peroxide (`at once`: only with a catalyst;
 * `in time`: all peroxide decomposes in a closed bottle, in days or months), carbon dioxide of carbonate with acid and of oxalate with
 * permanganate.
 */
export function gasThatCanForm(liquid: Content, kelvin: number, facts: HazardFacts, when: 'at once' | 'in time'): GasToCome {
  const peroxide = groupMolPerL(liquid, 'peroxide', facts) * liquid.volumeL
  const acid = groupMolPerL(liquid, 'acid', facts) * liquid.volumeL
  const carbonate = groupMolPerL(liquid, 'carbonate', facts) * liquid.volumeL
  const decomposes = when === 'in time' || groupMolPerL(liquid, 'catalyst', facts) > 0
  const oxygenL = decomposes ? gasVolumeL(peroxide * OXYGEN_PER_PEROXIDE, kelvin) : 0
  const entered = (...species: readonly string[]): number => species.reduce((n, s) => n + (liquid.molPerL[s] ?? 0), 0) * liquid.volumeL
  const oxalate = entered('H2C2O4', 'HC2O4-', 'C2O4^2-')
  const fromOxalate = Math.min(CO2_PER_PERMANGANATE * entered('MnO4-'), CO2_PER_OXALATE * oxalate)
  const carbonDioxideL = gasVolumeL(Math.min(acid, carbonate) + fromOxalate, kelvin)
  return { oxygenL, carbonDioxideL, gasL: oxygenL + carbonDioxideL }
}

/** Heat, foam, overflow and what must stay open, for the liquid that finally stands in a vessel; `startK`: as poured. */
export function heatAndFoam(vessel: SceneVessel, liquid: Content, startK: number, facts: HazardFacts): readonly Caution[] {
  const { gasL } = gasThatCanForm(liquid, startK, facts, 'at once')
  const closed: Caution | null =
    gasL > 0
      ? {
          code: 'cautions/never-close',
          severity: 3,
          about: `vessel "${vessel.id}"`,
          what: `gas forms in it (up to ${formatNumber(gasL, 2)} L), also hours later: closed, it bursts`,
          instead: 'Leave it open; leftovers go into a vented bottle only, two thirds full at most.',
          source: facts.incompatibilities['perox-closed']?.source ?? facts.peroxideDecompositionKJPerMol,
        }
      : null
  return [peroxideCaution(vessel, liquid, startK, facts), roomCaution(vessel, liquid, gasL), closed].filter((c) => c !== null)
}
