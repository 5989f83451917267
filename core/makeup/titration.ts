/**
 * Stoichiometry of titrations by equivalents: n(sample) z(sample) = n(titrant) z(titrant), where z is the number of
 * electrons (redox) or protons (acid-base) that one formula unit gives or takes in the reaction.
 */
import type { SpeciesId, Substance } from '../matter/index.ts'

/** Electrons that one permanganate takes in acid: MnO4- + 8 H+ + 5 e- -> Mn2+ + 4 H2O. */
export const PERMANGANATE_ELECTRONS = 5
/** Electrons that one thiosulfate gives to iodine: 2 S2O3^2- + I2 -> S4O6^2- + 2 I-. */
export const THIOSULFATE_ELECTRONS = 1

/** Electrons given to permanganate in acid, from the balanced half-reactions: H2O2 -> O2 + 2 H+ + 2 e-; C2O4^2- -> 2 CO2 + 2 e-; Fe2+ -> Fe3+ + e-. */
const givenToPermanganate: Readonly<Record<SpeciesId, number>> = { H2O2: 2, H2C2O4: 2, 'HC2O4-': 2, 'C2O4^2-': 2, 'Fe2+': 1 }

/**
 * Electrons taken from excess iodide in acid, from the balanced half-reactions, e.g. IO3- + 6 H+ + 6 e- -> I- + 3 H2O.
 * Copper(II) stops at CuI: one electron.
 */
const takenFromIodide: Readonly<Record<SpeciesId, number>> = {
  H2O2: 2,
  'IO3-': 6,
  HIO3: 6,
  'IO4-': 8,
  'BrO3-': 6,
  Br2: 2,
  I2: 2,
  'I3-': 2,
  'ClO-': 2,
  HOCl: 2,
  'ClO2-': 4,
  'S2O8^2-': 2,
  'MnO4-': 5,
  'Ce4+': 1,
  'Cr2O7^2-': 6,
  'CrO4^2-': 3,
  'Cu2+': 1,
}

const count = (substance: Substance, table: Readonly<Record<SpeciesId, number>>): number =>
  substance.entersWater.reduce((sum, e) => sum + e.count * (table[e.species] ?? 0), 0)

/** Electrons that one formula unit of `substance` exchanges in the assay; 0 when the assay does not see it. */
export function electronsInAssay(substance: Substance, by: 'permanganate' | 'iodometric'): number {
  return count(substance, by === 'permanganate' ? givenToPermanganate : takenFromIodide)
}

/** Amount of sample, mol, that `titrantMol` of titrant meets: n z(titrant) / z(sample). Equivalents must be above 0. */
export const amountAtEquivalence = (titrantMol: number, titrantEquivalents: number, sampleEquivalents: number): number =>
  (titrantMol * titrantEquivalents) / sampleEquivalents

/** Volume of titrant, L, that `sampleMol` needs: what the burette should show before the assay is believed. */
export const titrantVolumeL = (sampleMol: number, sampleEquivalents: number, titrantMolPerL: number, titrantEquivalents: number): number =>
  (sampleMol * sampleEquivalents) / (titrantEquivalents * titrantMolPerL)

/** Strength of a titrant, mol/L, from the amount of a primary standard that `usedL` of it met. */
export const titrantStrength = (standardMol: number, standardEquivalents: number, usedL: number, titrantEquivalents: number): number =>
  (standardMol * standardEquivalents) / (titrantEquivalents * usedL)
