/**
 * Liquids so acid or alkaline that the pH alone would class them (rules PH-1 to PH-5 of data/hazards/ghs_rules.csv). The limits of the
 * ingredients decide the class; this says what the pH and the reserve say, and that the eye is to be kept from it.
 */
import { formatNumber } from '@beakertide/basis/units'
import { type EquilibriumFacts, settle } from '../mixture/index.ts'
import type { Caution } from './caution.ts'
import { type Content, groupMolPerL } from './contents.ts'
import type { HazardFacts } from './hazard-facts.ts'

/** PH-1, PH-2: extreme at these and beyond. */
export const EXTREME_PH = { acid: 2, alkaline: 11.5 } as const
/** Reserves are counted to these, PH-3 and PH-4. */
const RESERVE_TO = { acid: 4, alkaline: 10 } as const
const NAOH_G_PER_MOL = 39.997

export interface PhAndReserve {
  readonly pH: number
  /** g NaOH (or its like of acid) a 100 g to pH 4 or 10. */
  readonly reserveG: number
  /** False where it is strong acid less strong base only. */
  readonly isSettled: boolean
}

/** Verdict of the reserve method: PH-3 pH - R/12 <= -0.5, PH-4 pH + R/12 >= 14.5, PH-5 with R/6 against 1 and 13. */
export function reserveVerdict(pH: number, reserveG: number): 'corrosive' | 'irritant' | 'neither' {
  if (pH < 7) return pH - reserveG / 12 <= -0.5 ? 'corrosive' : pH - reserveG / 6 <= 1 ? 'irritant' : 'neither'
  return pH + reserveG / 12 >= 14.5 ? 'corrosive' : pH + reserveG / 6 >= 13 ? 'irritant' : 'neither'
}

/** pKw at 25 degC, for the estimate without equilibria. */
const PKW = 14

function estimated(liquid: Content, facts: HazardFacts): PhAndReserve {
  const acid = groupMolPerL(liquid, 'strong-acid', facts)
  const alkali = groupMolPerL(liquid, 'alkali', facts)
  const perMass = liquid.massG > 0 ? (100 * liquid.volumeL) / liquid.massG : 0
  const pH = acid > 0 ? -Math.log10(acid) : alkali > 0 ? PKW + Math.log10(alkali) : 7
  return { pH, reserveG: Math.max(acid, alkali) * NAOH_G_PER_MOL * perMass, isSettled: false }
}

/** pH and reserve of a liquid as entered: by its equilibria where they settle, else by strong acid and base alone. */
export function phAndReserve(liquid: Content, roomK: number, facts: HazardFacts, equilibria?: EquilibriumFacts): PhAndReserve {
  const rough = estimated(liquid, facts)
  if (!equilibria || !(liquid.volumeL > 0)) return rough
  const amountsMol = Object.fromEntries(Object.entries(liquid.molPerL).map(([id, c]) => [id, c * liquid.volumeL]))
  const totals = { volumeL: liquid.volumeL, amountsMol }
  const kelvin = liquid.temperatureK ?? roomK
  const found = settle(totals, kelvin, equilibria, { solids: 'none', gases: 'stay' })
  if (!found.ok) return rough
  const { pH } = found.value
  if (pH > EXTREME_PH.acid && pH < EXTREME_PH.alkaline) return { pH, reserveG: 0, isSettled: true }
  const to = pH < 7 ? RESERVE_TO.acid : RESERVE_TO.alkaline
  const titrated = settle(totals, kelvin, equilibria, { solids: 'none', gases: 'stay', pH: to })
  const addedMol = titrated.ok ? Math.abs(titrated.value.acidAddedMol ?? 0) : null
  const reserveG = addedMol === null || !(liquid.massG > 0) ? rough.reserveG : (100 * addedMol * NAOH_G_PER_MOL) / liquid.massG
  return { pH, reserveG, isSettled: true }
}

/** A caution for a liquid of extreme pH; null between pH 2 and 11.5, and where its classes say already that it burns. */
export function extremePh(
  about: string,
  liquid: Content,
  statements: readonly string[],
  roomK: number,
  facts: HazardFacts,
  equilibria?: EquilibriumFacts,
): Caution | null {
  if (statements.includes('H314')) return null
  const { pH, reserveG, isSettled } = phAndReserve(liquid, roomK, facts, equilibria)
  const isAcid = pH <= EXTREME_PH.acid
  if (!isAcid && pH < EXTREME_PH.alkaline) return null
  const verdict = reserveVerdict(pH, reserveG)
  const rules = isAcid ? 'PH-1, PH-2, PH-3, PH-5' : 'PH-1, PH-2, PH-4, PH-5'
  const score = (part: number): string =>
    `${formatNumber(pH, 3)} ${isAcid ? '-' : '+'} ${formatNumber(reserveG, 2)}/${part} = ${formatNumber(isAcid ? pH - reserveG / part : pH + reserveG / part, 3)}`
  const limits = isAcid ? ['-0.5', '1', 'at most'] : ['14.5', '13', 'at least']
  const paragraph = facts.mixtureRules['PH-1']?.paragraph ?? ''
  return {
    code: 'cautions/extreme-ph',
    severity: verdict === 'corrosive' ? 3 : 2,
    about,
    what: `pH ${formatNumber(pH, 2)}: by the pH alone it would count as burning skin and eye; by the limits of what is in it, it does not. ${
      verdict === 'corrosive'
        ? 'Its reserve says it burns'
        : verdict === 'irritant'
          ? 'Its reserve says it irritates'
          : 'Its reserve is small'
    }`,
    instead:
      verdict === 'corrosive'
        ? 'Treat it as burning: goggles and gloves.'
        : 'Treat it as a danger to the eye: goggles; rinse splashes at once.',
    numbers: `rules ${rules} (${paragraph}): pH ${isAcid ? 'at or below 2' : 'at or above 11.5'}; reserve ${formatNumber(reserveG, 2)} g NaOH a 100 g to pH ${isAcid ? RESERVE_TO.acid : RESERVE_TO.alkaline}; ${score(12)}, corrosive at ${limits[2]} ${limits[0]}; ${score(6)}, irritant at ${limits[2]} ${limits[1]}${isSettled ? '' : '; strong acid and base only, weak ones not counted'}`,
    source: { source: 'GHS extreme pH; reserve method of Young, How, Walker and Worth, Toxicol. in Vitro 1988, 2, 19', seen: 'memory' },
  }
}
