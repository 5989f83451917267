/** What the cautions look at: bottles, solutions as made, what is poured where, and the room. Plain data. */
import { type Outcome, type Problem, done } from '@beakertide/basis/problems'
import { celsiusToKelvin } from '@beakertide/basis/units'
import { type SpeciesId, standsSolid, type Substance } from '../matter/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import type { Inventory, Vessel } from '../mixture/index.ts'
import type { Room } from './room-air.ts'

export interface SceneBottle {
  readonly id: string
  readonly substance: Substance
  /** Of the labelled formula in the bottle's content, 0..1. */
  readonly massFraction: number
  /** Of the substance in a liquid bottle; null for solids or when the density is not known. */
  readonly molPerL: number | null
  readonly solid: boolean
}

export interface SceneIngredient {
  readonly bottle: string
  readonly amountMol: number
}

export interface SceneSolution {
  readonly id: string
  readonly volumeL: number
  readonly massG: number
  /** Of the solution as it is poured; the room's when absent. */
  readonly temperatureK?: number
  /** As entered, before any equilibrium. */
  readonly amountsMol: Readonly<Record<SpeciesId, number>>
  readonly ingredients: readonly SceneIngredient[]
}

export interface ScenePour {
  readonly solution: string
  readonly volumeL: number
  readonly atS: number
  /** Warmed or cooled for this pour; the solution's own when absent. */
  readonly temperatureK?: number
}

export interface SceneVessel {
  readonly id: string
  /** Brim volume, L; null when not stated. */
  readonly capacityL: number | null
  readonly count: number
  readonly pours: readonly ScenePour[]
  /** Stoppered or lidded while it stands; false or absent: open. */
  readonly closed?: boolean
  /** Shaken by hand in front of people. */
  readonly shaken?: boolean
  /** Solutions or bottles that stood in it before, emptied and not rinsed. */
  readonly heldBefore?: readonly string[]
  /** From a rehearsal, when there was one: then vapours are those amounts and not the most that could form. */
  readonly inventories?: readonly Inventory[]
}

export interface CautionScene {
  readonly bottles: readonly SceneBottle[]
  readonly solutions: readonly SceneSolution[]
  readonly vessels: readonly SceneVessel[]
  readonly room: Room
  /** Of a document with problems: solutions that could not be made up, with the bottles that go into them. */
  readonly unmade?: readonly { readonly id: string; readonly bottles: readonly string[] }[]
  /** Of a document with problems: what its vessels hold is not known whole. */
  readonly poursUnknown?: boolean
  /** Control measures the document states: caution code -> sentence. */
  readonly controls: Readonly<Record<string, string>>
}

/** Of a document with problems: what could be read and made up of it. */
export interface InPart {
  readonly made: Pick<MakeUp, 'portions' | 'solutions'>
  /** Contents of bottles that could be understood, by bottle id: mass fraction, and mol/L of a liquid. */
  readonly strengths: Readonly<Record<string, { readonly massFraction: number; readonly molPerL: number | null }>>
  /** Solutions as they are written, with the bottles that go into them. */
  readonly written: readonly { readonly id: string; readonly bottles: readonly string[] }[]
  /** False where a pour could not be read. */
  readonly poursRead: boolean
}

/** A weighed bottle content poorer than this is a solution of a solid, not the solid (technical solids are 75 % and more; our choice). */
const SOLID_FROM = 0.5

/**
 * Strength in mol/L of a liquid bottle whose density is not known: the mass fraction on the density of water.
 * A lower bound for everything denser than water; good enough to tell strong from weak, not for a dose.
 */
const asIfWaterDense = (massFraction: number, molarMass: number): number => (massFraction * 1000) / molarMass

/**
 * The scene of a make-up: bottle strengths follow from what is taken of them (mass or volume against amount).
 * `substances` holds the substance of every bottle by bottle id. A bottle without its substance is a problem and no
 * scene comes out: cautions on an unknown bottle would be silence.
 */
export function sceneOf(
  makeUp: Pick<MakeUp, 'portions' | 'solutions'>,
  substances: Readonly<Record<string, Substance>>,
  vessels: readonly Vessel[],
  room: CautionScene['room'],
  controls: Readonly<Record<string, string>>,
): Outcome<CautionScene> {
  const problems: Problem[] = []
  const bottles = new Map<string, SceneBottle>()
  for (const portion of makeUp.portions) {
    if (bottles.has(portion.bottle)) continue
    const substance = substances[portion.bottle]
    if (!substance) {
      problems.push({
        code: 'cautions/unknown-substance',
        where: `bottle "${portion.bottle}"`,
        what: `nothing is known of "${portion.substanceName}", so its hazards cannot be said`,
        todo: 'name the substance as it stands in the substance table, or add it there with its hazards',
        danger: true,
      })
      continue
    }
    // The amount is that of the mass as shown; where the balance shows nothing the exact mass stands in.
    const takenG = portion.massShownG > 0 ? portion.massShownG : portion.massG
    const massFraction = Math.min(1, (portion.amountMol * substance.molarMassGPerMol) / takenG)
    const solid = standsSolid(substance) && portion.volumeL === null && massFraction > SOLID_FROM
    const molPerL =
      portion.volumeShownL !== null ? portion.amountMol / portion.volumeShownL : asIfWaterDense(massFraction, substance.molarMassGPerMol)
    bottles.set(portion.bottle, { id: portion.bottle, substance, massFraction, molPerL: solid ? null : molPerL, solid })
  }
  for (const [id, substance] of Object.entries(substances)) {
    // An unused solid stands on the shelf all the same. The strength of an unused liquid is not known here: make-up names it as unused.
    if (!bottles.has(id) && standsSolid(substance)) bottles.set(id, { id, substance, massFraction: 1, molPerL: null, solid: true })
  }
  if (problems.length > 0) return { ok: false, problems }
  return done({
    bottles: [...bottles.values()],
    solutions: makeUp.solutions.map((s) => ({
      id: s.id,
      volumeL: s.volumeL,
      massG: s.massG,
      temperatureK: celsiusToKelvin(s.temperatureC),
      amountsMol: s.amountsMol,
      ingredients: makeUp.portions.filter((p) => p.solution === s.id).map((p) => ({ bottle: p.bottle, amountMol: p.amountMol })),
    })),
    vessels: vessels.map((v) => ({
      id: v.id,
      capacityL: v.capacityL,
      count: v.count,
      pours: v.pours.map((p) => ({
        solution: p.solution,
        volumeL: p.volumeL,
        atS: p.atS,
        ...(p.temperatureK === undefined ? {} : { temperatureK: p.temperatureK }),
      })),
      closed: v.closed ?? false,
      shaken: v.shaken ?? false,
      heldBefore: v.heldBefore ?? [],
    })),
    room,
    controls,
  })
}

/** The pours that can be looked at: of solutions that were made, of an amount that makes sense; vessels without any are left out. */
export function poursOfMade(vessels: readonly Vessel[], solutions: readonly { readonly id: string }[]): readonly Vessel[] {
  const isMade = (id: string): boolean => solutions.some((s) => s.id === id)
  return vessels
    .map((v) => ({ ...v, pours: v.pours.filter((p) => isMade(p.solution) && p.volumeL > 0 && Number.isFinite(p.volumeL)) }))
    .filter((v) => v.pours.length > 0)
}

/**
 * The scene of what could be read of a document with problems: every bottle whose substance is known stands in it, used or not, and one
 * whose strength could not be read is taken for the substance itself. Pours of solutions that could not be made are left out and told
 * by `unmade` and `poursUnknown`, so that the bottles themselves are asked what they do together.
 */
export function sceneInPart(
  part: InPart,
  substances: Readonly<Record<string, Substance>>,
  vessels: readonly Vessel[],
  room: CautionScene['room'],
  controls: Readonly<Record<string, string>>,
): Outcome<CautionScene> {
  const { made, strengths, written } = part
  const ingredients = (id: string): readonly string[] => made.portions.filter((p) => p.solution === id).map((p) => p.bottle)
  const isMade = (id: string): boolean => made.solutions.some((s) => s.id === id)
  const isWhole = (id: string, bottles: readonly string[]): boolean => isMade(id) && bottles.every((b) => ingredients(id).includes(b))
  const unmade = written.filter((w) => !isWhole(w.id, w.bottles))
  const held = (name: string): boolean => isMade(name) || substances[name] !== undefined
  const scene = sceneOf(
    made,
    substances,
    poursOfMade(vessels, made.solutions).map((v) => ({ ...v, heldBefore: (v.heldBefore ?? []).filter(held) })),
    room,
    controls,
  )
  if (!scene.ok) return scene
  const bottles = [...scene.value.bottles]
  for (const [id, substance] of Object.entries(substances)) {
    if (bottles.some((b) => b.id === id)) continue
    const known = strengths[id]
    const massFraction = Math.min(1, known?.massFraction ?? 1)
    bottles.push({
      id,
      substance,
      massFraction,
      molPerL: known?.molPerL ?? asIfWaterDense(massFraction, substance.molarMassGPerMol),
      solid: false,
    })
  }
  return done({ ...scene.value, bottles, unmade, poursUnknown: unmade.length > 0 || !part.poursRead })
}
