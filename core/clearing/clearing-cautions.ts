/** Cautions of clearing itself: what the reagents do with the leftovers, heat, air, closed bottles. */
import { formatNumber, formatQuantity, kelvinToCelsius } from '@beakertide/basis/units'
import {
  type Caution,
  type Content,
  type HazardFacts,
  type Room,
  airCaution,
  clearingReagent,
  gasVolumeL,
  onceEach,
  pairCautions,
} from '../cautions/index.ts'
import type { CollectOnly } from './clearing-facts.ts'
import type { ReductantChoice } from './clearing-plan.ts'
import { HEADSPACE_A_LITRE, closedBottleBar } from './heat.ts'
import type { Case } from './leftovers.ts'

export interface ClearingScene {
  readonly vessel: string
  readonly cases: readonly Case[]
  readonly room: Room
  readonly dose: ReductantChoice | null
  readonly collectOnly: readonly CollectOnly[]
  /** Carbonate or hydrogencarbonate is used. */
  readonly base: boolean
  /** The leftovers are alkaline: a sulfite frees no gas there. */
  readonly alkaline: boolean
}

/** Share of the sulfur reductant taken as overshoot that acid turns into SO2: one tenth, an example (our choice). */
const OVERSHOOT = 0.1
/** A laboratory bottle stands this much at most, bar over atmospheric (W16 speaks of 3 bar; memory). */
const BOTTLE_BAR = 3
const BOILING_C = 100

const most = (cases: readonly Case[], species: readonly string[]): number =>
  Math.max(...cases.map((c) => species.reduce((n, s) => n + (c.amounts[s] ?? 0), 0)))

function closedBottle(scene: ClearingScene, hazards: HazardFacts): Caution | null {
  const worst = Math.max(...scene.cases.map((c) => ((c.amounts['H2O2'] ?? 0) + (c.amounts['HO2-'] ?? 0)) / c.volumeL))
  if (worst <= 0) return null
  const bar = closedBottleBar(worst / 2, HEADSPACE_A_LITRE, scene.room.temperatureK)
  if (bar < BOTTLE_BAR / 10) return null
  return {
    code: 'cautions/closed-bottle',
    severity: bar > BOTTLE_BAR ? 4 : 3,
    about: `leftovers of vessel "${scene.vessel}"`,
    what: `peroxide is left: 1 L of it closed in a 1.25 L bottle can reach ${formatNumber(bar, 2)} bar over atmospheric`,
    instead: hazards.incompatibilities['perox-closed']?.instead ?? 'Vented cap, two thirds full at most.',
    numbers: `${formatNumber(worst, 2)} mol/L peroxide, all decomposed, ideal gas; ${BOTTLE_BAR} bar after ${formatNumber((100 * BOTTLE_BAR) / bar, 2)} %`,
    source: { source: 'ideal gas; worked example W16 of data/hazards/cleanup_worked_examples.csv', seen: 'computed' },
  }
}

function atOnce(scene: ClearingScene): Caution | null {
  const dose = scene.dose
  if (!dose) return null
  const end = kelvinToCelsius(scene.room.temperatureK) + dose.temperatureRiseK.high
  if (end < 60) return null
  const boils = end >= BOILING_C
  return {
    code: 'cautions/reductant-at-once',
    severity: boils ? 4 : 3,
    about: `leftovers of vessel "${scene.vessel}"`,
    what: `all of the ${dose.name} at once, undiluted, would ${boils ? 'boil it over' : `bring it to ${formatNumber(end, 2)} degC`}, seconds after it is added`,
    instead: 'Dilute first, add it as a solution in portions, stop at the temperature limit.',
    numbers: `${formatNumber(dose.heatKJ.high, 3)} kJ, rise up to ${formatNumber(dose.temperatureRiseK.high, 2)} K, nothing lost`,
    source: { source: 'reaction enthalpies of this plan; delay by data/hazards/critical_reaction_delay.csv', seen: 'computed' },
  }
}

function air(scene: ClearingScene, hazards: HazardFacts): readonly (Caution | null)[] {
  const about = `leftovers of vessel "${scene.vessel}"`
  const iodine = most(scene.cases, ['I2', 'I3-', 'I2(s)'])
  const sulfur =
    scene.dose && scene.dose.id !== 'ascorbic' && !scene.alkaline
      ? scene.dose.amountMol.high * OVERSHOOT * (scene.dose.id === 'metabisulfite' ? 2 : 1)
      : 0
  return [
    airCaution('I2', iodine, about, 'most iodine that is left', scene.room, hazards),
    airCaution('Br2', most(scene.cases, ['Br2']), about, 'most bromine that is left', scene.room, hazards),
    airCaution('SO2', sulfur, about, `a tenth too much ${scene.dose?.name ?? ''} in liquid that is still acid`, scene.room, hazards),
    airCaution('NH3', scene.base ? most(scene.cases, ['NH4+', 'NH3']) : 0, about, 'ammonium in liquid made alkaline', scene.room, hazards),
  ]
}

/** Everything to be said before the first step, most severe first. */
export function clearingCautions(scene: ClearingScene, hazards: HazardFacts): readonly Caution[] {
  const about = `leftovers of vessel "${scene.vessel}"`
  const reagents: Content[] = []
  if (scene.dose) reagents.push(clearingReagent(scene.dose.id, `solid ${scene.dose.name}`))
  if (scene.base) reagents.push(clearingReagent('carbonate', 'sodium carbonate or hydrogencarbonate'))
  const pairs = scene.cases.flatMap((c) => {
    const liquid: Content = {
      name: 'the liquid',
      solid: false,
      volumeL: c.volumeL,
      massG: 0,
      temperatureK: scene.room.temperatureK,
      molPerL: Object.fromEntries(Object.entries(c.amounts).map(([s, n]) => [s, n / c.volumeL])),
      shares: [],
    }
    // One reagent at a time: they are never added together.
    return reagents.flatMap((reagent) => pairCautions({ place: 'clearing', about, contents: [liquid, reagent], mixed: null }, hazards))
  })
  const collect = scene.collectOnly.map(
    (c): Caution => ({
      code: `cautions/collect-${c.name.split(/[\s,]/)[0]}`,
      severity: c.severity,
      about,
      what: `${c.name} in it${c.never === '' ? '' : `: ${c.never}`}`,
      instead: `${c.collect}.`,
      source: c.source,
    }),
  )
  const foam = most(scene.cases, ['H2O2'])
  const open: Caution | null =
    foam > 0 && gasVolumeL(foam / 2, scene.room.temperatureK) > 0.1
      ? {
          code: 'cautions/oxygen-still-comes',
          severity: 2,
          about,
          what: `up to ${formatQuantity(foam, 'amount', 2)} of peroxide can still give ${formatNumber(gasVolumeL(foam / 2, scene.room.temperatureK), 2)} L of oxygen`,
          instead: 'Open vessel three times the volume, in a tray.',
          source: hazards.incompatibilities['perox-metal']?.source ?? { source: 'cleanup notes', seen: 'memory' },
        }
      : null
  const all = [...pairs, ...collect, closedBottle(scene, hazards), atOnce(scene), open, ...air(scene, hazards)].filter((c) => c !== null)
  // A warning and no refusal: what is left has to be cleared, whatever it is.
  return onceEach(all)
    .map(({ refuses, ...said }): Caution => (refuses === undefined ? said : { ...said, severity: 4 }))
    .sort((a, b) => b.severity - a.severity)
}
