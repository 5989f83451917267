/** What kind of thing an ingredient is, seen from its species and its strength, never from a recipe's name. */
import type { SpeciesId } from '../matter/index.ts'
import type { BottleContent } from './strength.ts'

/** Liquids above this mass fraction of a strong acid burn skin at once and heat up in water (GHS: sulfuric acid is Skin Corr. 1A from 15 %; memory). */
const CONCENTRATED_ACID = 0.15

const has = (content: BottleContent, ...species: readonly SpeciesId[]): boolean =>
  content.substance.entersWater.some((e) => species.includes(e.species))

export const isPeroxide = (content: BottleContent): boolean => has(content, 'H2O2')
export const isStarch = (content: BottleContent): boolean => has(content, 'starch')
export const isSulfite = (content: BottleContent): boolean => has(content, 'HSO3-', 'SO3^2-', 'H2SO3', 'S2O4^2-')
export const isIodine = (content: BottleContent): boolean => has(content, 'I2')
export const isIodide = (content: BottleContent): boolean => has(content, 'I-')
export const isPermanganate = (content: BottleContent): boolean => has(content, 'MnO4-')
/** Goes bad within a day or so once dissolved. */
export const keepsBadly = (content: BottleContent): boolean =>
  isSulfite(content) || isStarch(content) || isPeroxide(content) || has(content, 'H2Asc', 'Fe2+')
/** Fades or darkens in light. */
export const isLightSensitive = (content: BottleContent): boolean =>
  isPermanganate(content) || has(content, 'Ag+', 'I2', 'H2O2', 'ferroin', 'I-')
/** An acid that comes as a liquid and gives hydrogen ions. */
export const isAcidLiquid = (content: BottleContent): boolean => content.state === 'liquid' && has(content, 'H+')
/** Concentrated enough that the order of mixing matters. */
export const isConcentratedAcid = (content: BottleContent): boolean =>
  isAcidLiquid(content) && content.massFraction.value >= CONCENTRATED_ACID
export const isSulfuricAcid = (content: BottleContent): boolean => content.anhydrous === 'H2SO4' && content.state === 'liquid'
/** A solid alkali whose pellets spit when they meet little water. */
export const isSolidAlkali = (content: BottleContent): boolean => content.state === 'solid' && has(content, 'OH-')
/** Smells or harms by its vapour when concentrated. */
export const isFuming = (content: BottleContent): boolean =>
  content.state === 'liquid' &&
  (/fuming|volatile/.test(content.substance.form) || has(content, 'NH3', 'Br2', 'NO3-')) &&
  content.massFraction.value >= 0.1
/** No burette tap, no tool sucked by mouth. */
export const isCorrosiveLiquid = (content: BottleContent): boolean =>
  content.state === 'liquid' &&
  content.massFraction.value >= CONCENTRATED_ACID &&
  (isAcidLiquid(content) || /corrosive/.test(content.substance.restriction))
