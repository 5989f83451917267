/** One vessel from what stood in it before to the last pour: what meets, what the mixture is classed as, heat, gas, pressure. */
import { formatQuantity, kelvinToCelsius } from '@beakertide/basis/units'
import type { EquilibriumFacts } from '../mixture/index.ts'
import type { Caution } from './caution.ts'
import { closedAndShaken } from './closed-and-shaken.ts'
import { type Content, takeVolume, together } from './contents.ts'
import { extremePh } from './extreme-ph.ts'
import type { HazardFacts } from './hazard-facts.ts'
import { gasThatCanForm, heatAndFoam, neutralisationCaution } from './heat-and-foam.ts'
import { pairCautions } from './pairs.ts'
import type { ScenePour, SceneVessel } from './scene.ts'
import { liquidHazard } from './substance-hazards.ts'

/** What clings to a vessel that is emptied and not rinsed, as a share of the first pour (our choice: drops and film, on the large side). */
export const RESIDUE_SHARE = 0.02
/** A liquid this warm scalds within seconds; at the second at once (our choice, after common advice on hot water). */
const SCALDS_K = 328.15
const BURNS_K = 343.15

export interface StoryScene {
  readonly solutions: ReadonlyMap<string, Content>
  readonly bottles: ReadonlyMap<string, Content>
  /** Formula without crystal water -> name. */
  readonly names: ReadonlyMap<string, string>
  readonly roomK: number
  readonly equilibria?: EquilibriumFacts
}

export interface VesselStory {
  readonly liquid: Content | null
  readonly cautions: readonly Caution[]
}

/** Liquid that stays of what the vessel held before; a solid bottle leaves crystals, strengths as in the bottle. */
function residues(vessel: SceneVessel, firstL: number, scene: StoryScene): readonly Content[] {
  return (vessel.heldBefore ?? []).flatMap((name) => {
    const held = scene.solutions.get(name) ?? scene.bottles.get(name)
    if (!held) return []
    const volumeL = RESIDUE_SHARE * firstL
    const called = `what is left of ${held.name} in the vessel`
    return [
      held.volumeL > 0
        ? { ...takeVolume(held, volumeL), name: called }
        : { ...held, volumeL: held.solid ? 0 : volumeL, massG: held.solid ? 0 : 1000 * volumeL, name: called },
    ]
  })
}

/** Of an unrinsed vessel water is the answer, not another reagent. */
const RINSE_FIRST = 'Rinse the vessel out with much water before anything is poured in; never pour onto what clings to it.'

/** The cautions of the first pour; those that come of what clung to the vessel alone say that it is rinsed first. */
function rinsedFirst(
  pairs: readonly Caution[],
  pour: { readonly about: string; readonly part: Content; readonly temperatureK: number },
  facts: HazardFacts,
): readonly Caution[] {
  const { about, part, temperatureK } = pour
  const alone = new Set(pairCautions({ place: 'vessel', about, contents: [part], mixed: part, temperatureK }, facts).map((c) => c.code))
  return pairs.map((c) => (alone.has(c.code) ? c : { ...c, instead: RINSE_FIRST }))
}

function hotCaution(about: string, liquid: Content, roomK: number): Caution | null {
  const kelvin = liquid.temperatureK ?? roomK
  if (kelvin < SCALDS_K) return null
  return {
    code: 'cautions/hot-liquid',
    severity: kelvin >= BURNS_K ? 3 : 2,
    about,
    what: `it is ${kelvinToCelsius(kelvin).toFixed(0)} degC when poured: it scalds, steams, and everything in it goes faster than at room temperature`,
    instead: 'Gloves against heat, a glass that stands heat, nobody near; better let it cool to 40 degC.',
    source: { source: 'common practice, no source', seen: 'practice' },
  }
}

const statementsOf = (caution: Caution | null | undefined): readonly string[] => caution?.label?.classes.map((c) => c.statement) ?? []
const pourWords = (pour: ScenePour): string => `${formatQuantity(pour.volumeL, 'volume', 3)} of ${pour.solution}`

/** Everything about one vessel, pour by pour. Pours in order of time. */
export function vesselStory(vessel: SceneVessel, scene: StoryScene, facts: HazardFacts): VesselStory {
  const about = `vessel "${vessel.id}"`
  const cautions: Caution[] = []
  const add = (caution: Caution | null): void => {
    if (caution) cautions.push(caution)
  }
  let liquid: Content | null = null
  const stages: Caution[] = []
  const pours = [...vessel.pours].sort((a, b) => a.atS - b.atS)
  for (const [i, pour] of pours.entries()) {
    const solution = scene.solutions.get(pour.solution)
    if (!solution) continue
    const taken = takeVolume(solution, pour.volumeL)
    const part: Content = pour.temperatureK === undefined ? taken : { ...taken, temperatureK: pour.temperatureK }
    const before: readonly Content[] = liquid
      ? [{ ...liquid, name: `what stands in vessel "${vessel.id}"` }]
      : residues(vessel, pour.volumeL, scene)
    const clings = liquid === null && before.length > 0
    const liquids = before.filter((c) => !c.solid)
    if (liquid) add(neutralisationCaution(about, liquid, part, scene.roomK, facts))
    liquid = together(about, [...liquids, part])
    const temperatureK = Math.max(liquid.temperatureK ?? scene.roomK, part.temperatureK ?? scene.roomK)
    const pairs = pairCautions({ place: 'vessel', about, contents: [...before, part], mixed: liquid, temperatureK }, facts)
    cautions.push(...(clings ? rinsedFirst(pairs, { about, part, temperatureK }, facts) : pairs))
    add(hotCaution(about, part, scene.roomK))
    const isLast = i === pours.length - 1
    const where = isLast ? about : `${about} after ${pourWords(pour)}`
    const said = isLast ? 'all of it together, before it reacts' : 'until the next pour'
    const hazard = liquidHazard('cautions/mixture-hazard', where, said, liquid, scene.names, facts)
    if (hazard) stages.push(hazard)
    const statements = statementsOf(hazard)
    if (isLast) add(extremePh(about, liquid, statements, scene.roomK, facts, scene.equilibria))
  }
  if (!liquid) return { liquid, cautions }
  // A stage is told where it has a class that the last one lacks: the classes of the whole are told once.
  const last = stages.at(-1)
  const atLast = last?.about === about ? statementsOf(last) : []
  cautions.push(...stages.filter((c) => c === last || statementsOf(c).some((code) => !atLast.includes(code))))
  const startK = liquid.temperatureK ?? scene.roomK
  cautions.push(...heatAndFoam(vessel, liquid, startK, facts))
  cautions.push(...closedAndShaken(vessel, liquid, gasThatCanForm(liquid, startK, facts, 'in time').gasL, scene.roomK, facts))
  return { liquid, cautions }
}
