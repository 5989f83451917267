/** Vessels that are stoppered or shaken: pressure of the gas that can form, and what comes out when it is shaken. */
import { ATMOSPHERE_PA, formatNumber, formatQuantity, kelvinToCelsius } from '@beakertide/basis/units'
import type { Caution } from './caution.ts'
import { type Content, groupMolPerL } from './contents.ts'
import type { HazardFacts } from './hazard-facts.ts'
import type { SceneVessel } from './scene.ts'

/** Gauge pressures, bar (our choice): a stopper lifts or flies from about the first; glass of unknown make is not trusted above the second. */
export const STOPPER_FLIES_BAR = 0.05
export const GLASS_BURSTS_BAR = 0.5
const BAR_PER_ATM = ATMOSPHERE_PA / 1e5
/** Room over the liquid when the vessel's size is not stated: as much as the liquid (our choice). */
const ASSUMED_HEADSPACE = 1
/** A closed vessel has at least this share of the liquid as room over it: even full to the brim a little is left. */
const LEAST_HEADSPACE = 0.02
/** Alkali or acid of this strength hurts when it comes past a stopper, mol/L. */
const HURTS_MOL_PER_L = 0.1
const BODY_WARM_K = 313.15

/** Gauge pressure when so much gas forms in a closed vessel, bar (ideal gas, nothing dissolves). */
export function gaugeBar(gasL: number, liquidL: number, capacityL: number | null): number {
  const headspaceL = Math.max(capacityL === null ? ASSUMED_HEADSPACE * liquidL : capacityL - liquidL, LEAST_HEADSPACE * liquidL)
  return headspaceL > 0 ? (gasL / headspaceL) * BAR_PER_ATM : 0
}

/** `gasL`: all gas that can form from what is in it, also slowly, at the temperature of the room. */
export function closedAndShaken(vessel: SceneVessel, liquid: Content, gasL: number, roomK: number, facts: HazardFacts): readonly Caution[] {
  const about = `vessel "${vessel.id}"`
  const found: Caution[] = []
  const source = facts.incompatibilities['perox-closed']?.source ?? facts.peroxideDecompositionKJPerMol
  if (vessel.closed) {
    const bar = gaugeBar(gasL, liquid.volumeL, vessel.capacityL)
    const numbers = `${formatNumber(gasL, 3)} L of gas into ${vessel.capacityL === null ? 'as much room as liquid (no size is stated)' : `${formatQuantity(Math.max(0, vessel.capacityL - liquid.volumeL), 'volume', 3)} of room`}: ${formatNumber(bar, 3)} bar above the air's, if all of it forms and none dissolves`
    if (bar > STOPPER_FLIES_BAR) {
      const bursts = bar > GLASS_BURSTS_BAR
      found.push({
        code: bursts ? 'cautions/closed-vessel-bursts' : 'cautions/closed-vessel-pressure',
        severity: 4,
        about,
        what: bursts
          ? `it is closed and can come to ${formatNumber(bar, 2)} bar above the air's: it bursts, also hours later`
          : `it is closed and can come to ${formatNumber(bar, 2)} bar above the air's: the stopper flies`,
        instead: 'Leave it open; leftovers go into a vented bottle only, two thirds full at most.',
        numbers,
        refuses: true,
        ...(bursts
          ? {
              neverLifted:
                'glass under gas pressure fails without warning, and a closed vessel that makes gas has no safe moment to be opened',
            }
          : {}),
        source,
      })
    }
    if ((liquid.temperatureK ?? roomK) > BODY_WARM_K) {
      found.push({
        code: 'cautions/closed-warm',
        severity: 3,
        about,
        what: `it is closed while warm (${formatNumber(kelvinToCelsius(liquid.temperatureK ?? roomK), 2)} degC): vapour pushes the stopper out, and cooling sucks it in`,
        instead: 'Close it only at room temperature.',
        source: { source: 'vapour pressure of water; common practice', seen: 'practice' },
      })
    }
  }
  if (vessel.shaken) {
    const alkali = groupMolPerL(liquid, 'alkali', facts)
    const acid = groupMolPerL(liquid, 'strong-acid', facts)
    const hurts = Math.max(alkali, acid) >= HURTS_MOL_PER_L
    found.push({
      code: vessel.closed ? 'cautions/shaken-closed' : 'cautions/shaken-open',
      severity: vessel.closed && !hurts ? 2 : 3,
      about,
      what: vessel.closed
        ? `it is shaken by hand: what leaks past the stopper${hurts ? ` (${alkali >= acid ? 'alkali' : 'acid'}, ${formatNumber(Math.max(alkali, acid), 2)} mol/L)` : ''} runs over hand and face`
        : 'it is shaken while open: it splashes whoever holds it and the first row',
      instead: vessel.closed
        ? 'A stopper that sits tight and is held with the palm, gloves and goggles; open it away from faces after every shaking.'
        : 'Close it with a tight stopper for the shaking, if no gas forms in it; else swirl.',
      source: { source: 'common practice, no source', seen: 'practice' },
    })
  }
  return found
}
