/** All cautions of a demonstration: bottles, solutions, what meets, vapours, heat; go or no-go. */
import { type Outcome, type Problem, done, suggestion } from '@beakertide/basis/problems'
import type { EquilibriumFacts } from '../mixture/index.ts'
import { airCourse, courseWords } from './air-course.ts'
import type { AirCourse } from './air-limits.ts'
import { type Caution, type Cautions, isInForce } from './caution.ts'
import { type Content, bareFormula, clearingReagent, contentOfBottle, contentOfSolution, together } from './contents.ts'
import { extremePh } from './extreme-ph.ts'
import type { HazardFacts } from './hazard-facts.ts'
import { onceEach, pairCautions } from './pairs.ts'
import { protectionLines } from './protection.ts'
import { EXAMPLE_ROOM_M3, airCaution, gasesNow, mostGases } from './room-air.ts'
import type { CautionScene, SceneVessel } from './scene.ts'
import { standingLines } from './standing.ts'
import { bottleHazards, liquidHazard, solutionHazards } from './substance-hazards.ts'
import { vesselStory } from './vessel-story.ts'

/** A control measure shorter than this says nothing that could be checked (our choice). */
const SHORTEST_CONTROL = 12

function wrongNumbers(scene: CautionScene): readonly Problem[] {
  const problems: Problem[] = []
  const must = (holds: boolean, where: string, what: string, todo: string): void => {
    if (!holds) problems.push({ code: 'cautions/not-an-amount', where, what, todo, danger: true })
  }
  const { volumeM3, temperatureK } = scene.room
  must(
    volumeM3 === null || (Number.isFinite(volumeM3) && volumeM3 > 0),
    'room',
    `its volume is ${volumeM3} m3`,
    'state a volume above 0, or leave it out',
  )
  must(
    Number.isFinite(temperatureK) && temperatureK > 200 && temperatureK < 400,
    'room',
    `its temperature is ${temperatureK} K`,
    'state a room temperature, as in "21 degC"',
  )
  for (const b of scene.bottles) {
    must(
      b.massFraction > 0 && b.massFraction <= 1,
      `bottle "${b.id}"`,
      `its mass fraction is ${b.massFraction}`,
      'state a strength above 0 and at most 100 %',
    )
  }
  for (const s of scene.solutions) {
    const good = s.volumeL > 0 && s.massG > 0 && Object.values(s.amountsMol).every((n) => Number.isFinite(n))
    must(
      good && Number.isFinite(s.volumeL) && Number.isFinite(s.massG),
      `solution "${s.id}"`,
      'its volume, mass or amounts are not numbers above 0',
      'check its recipe',
    )
  }
  const known = scene.solutions.map((s) => s.id)
  for (const v of scene.vessels) {
    for (const p of v.pours) {
      must(
        Number.isFinite(p.volumeL) && p.volumeL > 0,
        `vessel "${v.id}"`,
        `a pour of ${p.volumeL} L of "${p.solution}"`,
        'pour a volume above 0',
      )
      if (!known.includes(p.solution)) {
        problems.push({
          code: 'cautions/unknown-solution',
          where: `vessel "${v.id}"`,
          what: `solution "${p.solution}" is poured but not made`,
          todo: suggestion(p.solution, known) || 'make it, or take the pour out',
        })
      }
    }
  }
  return problems
}

/** Reagents that stand on the bench when a surplus bottle or stock is cleared away. */
const BENCH_REAGENTS: readonly (readonly [string, string])[] = [
  ['thiosulfate', 'solid sodium thiosulfate'],
  ['bisulfite', 'solid sodium hydrogensulfite'],
  ['ascorbic', 'solid ascorbic acid'],
  ['carbonate', 'sodium carbonate'],
]
/** Milder pairs are said where the leftovers are cleared, with their amounts. */
const WORTH_SAYING = 3

/** What a bottle's own content would do with a clearing reagent; what the reagent does alone is not repeated here. */
function crateCautions(bottles: readonly Content[], solutions: readonly Content[], facts: HazardFacts): readonly Caution[] {
  // What goes to the hall is what was made, and bottles only where nothing was made of them.
  return pairCautions(
    { place: 'crate', about: 'one crate on the way', contents: [...solutions, ...bottles.filter((b) => b.solid)], mixed: null },
    facts,
  )
}

function surplusAgainstReagents(bottles: Iterable<Content>, facts: HazardFacts): readonly Caution[] {
  const about = 'surplus from the bottles with clearing reagents'
  const contents = [...bottles]
  return BENCH_REAGENTS.flatMap(([id, name]) => {
    const reagent = clearingReagent(id, name)
    const alone = new Set(pairCautions({ place: 'clearing', about, contents: [reagent], mixed: null }, facts).map((c) => c.code))
    return contents
      .flatMap((bottle) => pairCautions({ place: 'clearing', about, contents: [bottle, reagent], mixed: null }, facts))
      .filter((c) => c.severity >= WORTH_SAYING && !alone.has(c.code))
      .map((c) => ({ ...c, hypothetical: true as const }))
  })
}

/**
 * What the bottles do together where amounts are not known: in the making of a solution they meet as they are; in a vessel only if
 * nothing is diluted before, so that is told as what holds only if.
 */
function neatCautions(scene: CautionScene, neat: ReadonlyMap<string, Content>, facts: HazardFacts): readonly Caution[] {
  const making = (scene.unmade ?? []).flatMap(({ id, bottles }) => {
    const contents = bottles.map((b) => neat.get(b)).filter((c) => c !== undefined)
    return pairCautions({ place: 'making', about: `solution "${id}"`, contents, mixed: null }, facts)
  })
  if (scene.poursUnknown !== true) return making
  const about = 'the bottles, poured together as they are'
  const meeting = pairCautions({ place: 'vessel', about, contents: [...neat.values()], mixed: null }, facts)
  return [...making, ...meeting.map(asHypothetical)]
}

/** The same of what nobody plans: it refuses nothing. */
function asHypothetical({ code, severity, about, what, instead, numbers, source }: Caution): Caution {
  return { code, severity, about, what, instead, ...(numbers === undefined ? {} : { numbers }), hypothetical: true, source }
}

/** Carbon dioxide and oxygen are told from this share of their limit on: below it a room does not notice them (our choice). */
const NOTICED_SHARE = 0.01

interface Air {
  readonly caution: Caution
  readonly course: AirCourse
}

function vapours(vessel: SceneVessel, liquid: Content, scene: CautionScene, facts: HazardFacts): readonly Air[] {
  const scale = liquid.volumeL * vessel.count
  const entered = Object.fromEntries(Object.entries(liquid.molPerL).map(([s, c]) => [s, c * scale]))
  const rehearsed = vessel.inventories ?? []
  const gases: Record<string, number> = { ...(rehearsed.length > 0 ? {} : mostGases(entered)) }
  for (const inventory of rehearsed) {
    for (const [gas, n] of Object.entries(gasesNow({ ...inventory.amountsMol, ...inventory.solidsMol }))) {
      gases[gas] = Math.max(gases[gas] ?? 0, n * vessel.count)
    }
  }
  const from = rehearsed.length > 0 ? 'most that the rehearsal shows at one time' : 'the most that can form from what is poured'
  const about = vessel.count > 1 ? `${vessel.count} vessels "${vessel.id}"` : `vessel "${vessel.id}"`
  return Object.entries(gases).flatMap(([gas, n]) => {
    const caution = airCaution(gas, n, about, from, scene.room, facts)
    if (!caution) return []
    const course = airCourse(gas, n, about, 0, scene.room, EXAMPLE_ROOM_M3, facts)
    const worst = course.held[0]?.ratio ?? 0
    if ((gas === 'CO2' || gas === 'O2') && worst < NOTICED_SHARE) return []
    const numbers = [caution.numbers, courseWords(course)].filter((t) => t !== undefined && t !== '').join('; ')
    return [{ caution: { ...caution, numbers }, course }]
  })
}

function withControl(caution: Caution, controls: Readonly<Record<string, string>>): Caution {
  const control = controls[caution.code]?.trim()
  return caution.refuses && control && control.length >= SHORTEST_CONTROL ? { ...caution, control } : caution
}

function controlRemarks(list: readonly Caution[], controls: Readonly<Record<string, string>>): readonly Problem[] {
  const refusing = list.filter((c) => c.refuses)
  return Object.entries(controls).flatMap(([code, sentence]): readonly Problem[] => {
    const caution = refusing.find((c) => c.code === code)
    if (!caution) {
      return [
        {
          code: 'cautions/control-for-nothing',
          where: `control measure "${code}"`,
          what: 'no refusal of that name is raised here',
          todo: suggestion(code, [...new Set(refusing.map((c) => c.code))]) || 'take it out',
        },
      ]
    }
    if (caution.neverLifted !== undefined) {
      return [
        {
          code: 'cautions/control-cannot-lift',
          where: `control measure "${code}"`,
          what: `no control measure lifts this refusal: ${caution.neverLifted}`,
          todo: caution.instead,
          danger: true,
        },
      ]
    }
    if (sentence.trim().length >= SHORTEST_CONTROL) return []
    return [
      {
        code: 'cautions/control-says-nothing',
        where: `control measure "${code}"`,
        what: `"${sentence}" is no measure that somebody could check`,
        todo: 'say who does what, where and with which protection, in one sentence',
        danger: true,
      },
    ]
  })
}

/** Refusals in force first, then severity, then the order met. */
function inOrder(list: readonly Caution[]): readonly Caution[] {
  return [...list].sort((a, b) => Number(isInForce(b)) - Number(isInForce(a)) || b.severity - a.severity)
}

/** What the room of hazards may be told besides the scene. */
export interface CautionOptions {
  /** Settles pH and reserve of extreme liquids; without it strong acid and base alone are counted. */
  readonly equilibria?: EquilibriumFacts
  /** Cautions of other rooms about the same plan, such as a mixture that boils on pouring; they refuse and are controlled like all others. */
  readonly more?: readonly Caution[]
}

/**
 * Everything that can hurt somebody in this scene. The outcome fails only for numbers that make no sense; a dangerous
 * plan is a good outcome with `refused: true` and its reasons first in the list. Nothing switches a caution off: a stated
 * control measure lifts a refusal where that is allowed, and the caution stays, with the measure beside it.
 */
export function cautionsFor(scene: CautionScene, facts: HazardFacts, options: CautionOptions = {}): Outcome<Cautions> {
  const problems = wrongNumbers(scene)
  if (problems.length > 0) return { ok: false, problems }
  const bottles = new Map(scene.bottles.map((b) => [b.id, b]))
  const neat = new Map(scene.bottles.map((b) => [b.id, contentOfBottle(b)]))
  const solutions = new Map(scene.solutions.map((s) => [s.id, contentOfSolution(s, bottles)]))
  const names = new Map(scene.bottles.map((b) => [bareFormula(b.substance.formula), b.substance.name]))
  const roomK = scene.room.temperatureK
  const { equilibria } = options
  const all: Caution[] = []
  for (const bottle of scene.bottles) all.push(...bottleHazards(bottle, facts))
  all.push(...pairCautions({ place: 'shelf', about: 'the bottles side by side', contents: [...neat.values()], mixed: null }, facts))
  all.push(...crateCautions([...neat.values()], [...solutions.values()], facts))
  all.push(...surplusAgainstReagents(neat.values(), facts))
  all.push(...neatCautions(scene, neat, facts))
  for (const solution of scene.solutions) {
    const made = solutions.get(solution.id)!
    const parts = solution.ingredients.map((i) => neat.get(i.bottle)).filter((c) => c !== undefined)
    const temperatureK = made.temperatureK ?? roomK
    all.push(...pairCautions({ place: 'making', about: made.name, contents: parts, mixed: made, temperatureK }, facts))
    const hazards = solutionHazards(made, names, facts)
    all.push(...hazards)
    const ph = extremePh(
      made.name,
      made,
      hazards.flatMap((c) => c.label?.classes.map((x) => x.statement) ?? []),
      roomK,
      facts,
      equilibria,
    )
    if (ph) all.push(ph)
  }
  const finals: Content[] = []
  const air: AirCourse[] = []
  for (const vessel of scene.vessels) {
    const story = vesselStory(vessel, { solutions, bottles: neat, names, roomK, ...(equilibria ? { equilibria } : {}) }, facts)
    all.push(...story.cautions)
    if (!story.liquid) continue
    finals.push(story.liquid)
    for (const { caution, course } of vapours(vessel, story.liquid, scene, facts)) {
      all.push(caution)
      air.push(course)
    }
  }
  if (finals.length > 1) {
    const jug = together('all leftovers in one jug', finals)
    all.push(...pairCautions({ place: 'jug', about: 'one jug for all leftovers', contents: finals, mixed: jug }, facts))
    const hazard = liquidHazard('cautions/jug-hazard', 'one jug for all leftovers', 'if nothing had reacted', jug, names, facts)
    if (hazard) all.push(hazard)
  }
  all.push(...(options.more ?? []))
  const list = inOrder(onceEach(all).map((c) => withControl(c, scene.controls)))
  const met = { contents: [...neat.values(), ...solutions.values(), ...finals], cautions: list, gases: air.map((a) => a.gas) }
  air.sort((a, b) => (b.held[0]?.ratio ?? 0) - (a.held[0]?.ratio ?? 0))
  return done(
    { list, standing: [...standingLines, ...protectionLines(met, facts)], refused: list.some(isInForce), air },
    controlRemarks(list, scene.controls),
  )
}

/** The refusals in force as problems that a door prints before it stops; empty when the plan may be shown. */
export function refusals(cautions: Cautions): readonly Problem[] {
  return cautions.list.filter(isInForce).map((c) => ({
    code: c.code,
    where: c.about,
    what: c.neverLifted === undefined ? `refused: ${c.what}` : `refused, and no control measure lifts it (${c.neverLifted}): ${c.what}`,
    todo:
      c.neverLifted === undefined
        ? `${c.instead} To go on, state the control measure in the document under controls, "${c.code}".`
        : c.instead,
    danger: true as const,
  }))
}
