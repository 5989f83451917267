/** Which single mistake explains what was seen of one vessel. */
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { colourWords } from '@beakertide/basis/colour'
import { cautionsFor, refusals, sceneOf } from '@beakertide/core/cautions'
import { mix } from '@beakertide/core/mixture'
import { explainBy, type MistakesFound, type MistakesRequest, type Observation, possibleMistakes } from '@beakertide/core/rehearsal'
import { bandRehearsal, type DayFacts, type Prepared, requestOfMany, substancesOf } from './day.ts'

export interface MistakesWish {
  readonly vessel: string
  readonly seen: Observation
  readonly onMistake?: (done: number, of: number) => void
  readonly shouldStop?: () => boolean
}

/** What was seen must lie well within the rehearsed time, or a slower mistake would not reach it. */
const ROOM_AFTER = 1.5
/** Watching longer than this is not rehearsed, s. */
const LONGEST_S = 86_400

/** The request behind a ranking. Problems: nothing was noted, a number that cannot be, a colour without a word of ours. */
export function mistakesRequest(prepared: Prepared, wish: Pick<MistakesWish, 'vessel' | 'seen'>): Outcome<MistakesRequest> {
  const { seen } = wish
  const where = `what was seen of vessel "${wish.vessel}"`
  const times = [seen.firstTurnS, seen.periodS, seen.lengthS, seen.nothingUntilS].filter((t) => t !== undefined)
  if (times.length === 0 && seen.cycles === undefined && seen.endColour === undefined) {
    return refuse({
      code: 'demonstration/nothing-noted',
      where,
      what: 'nothing is stated, so nothing can be explained',
      todo: 'state at least one: first change, period, cycles, length, colour at the end, or how long nothing came',
    })
  }
  if (times.some((t) => !(t > 0 && t <= LONGEST_S)) || (seen.cycles !== undefined && !(seen.cycles >= 0))) {
    return refuse({
      code: 'demonstration/noted-number',
      where,
      what: `times from above 0 to ${LONGEST_S} s and cycles from 0 on are taken; ${[...times, seen.cycles].join(', ')} are stated`,
      todo: 'state times in seconds',
    })
  }
  if (seen.nothingUntilS !== undefined && (seen.firstTurnS ?? seen.periodS ?? seen.lengthS) !== undefined) {
    return refuse({
      code: 'demonstration/noted-twice',
      where,
      what: 'nothing was seen, and something was seen',
      todo: 'state how long nothing came, or when something came',
    })
  }
  const words = seen.endColour?.toLowerCase().split(/[^a-z]+/) ?? []
  const known = new Set(colourWords.flatMap((w) => w.split(/[ -]/)))
  if (seen.endColour !== undefined && !words.some((w) => known.has(w))) {
    return refuse({
      code: 'demonstration/noted-colour',
      where,
      what: `"${seen.endColour.slice(0, 40)}" has none of the colour words in use`,
      todo: `use one of ${colourWords.join(', ')}`,
    })
  }
  const request = requestOfMany(prepared, wish.vessel, bandRehearsal)
  const lengthS = Math.max(request.lengthS, ...times.map((t) => ROOM_AFTER * t))
  return done({ ...request, lengthS, portions: prepared.makeUp.portions, seen })
}

/** A mistake that, had it happened, would have made something that cautions refuse. */
export interface DangerousMistake {
  readonly words: string
  readonly why: string
}
export interface CheckedMistakes extends MistakesFound {
  /** Of the mistakes among the explanations; empty when none is dangerous. */
  readonly dangers: readonly DangerousMistake[]
}

/** What cautions would refuse of each mistake's liquids: what explains a failed show may also have hurt somebody. */
export function withDangers(found: MistakesFound, request: MistakesRequest, prepared: Prepared, facts: DayFacts): CheckedMistakes {
  const { demonstration: d, makeUp } = prepared
  const told = new Set(found.explanations.flatMap((e) => e.mistakes.map((m) => m.words)))
  const dangers = possibleMistakes(request, request.portions, facts.matter).flatMap((mistake): readonly DangerousMistake[] => {
    if (!told.has(mistake.words) || mistake.kind === 'none') return []
    const room = { ...d.room, temperatureK: mistake.request.roomK }
    const changed = { ...makeUp, solutions: mistake.request.solutions }
    const scene = sceneOf(changed, substancesOf(d, facts.matter), [mistake.request.vessel], room, d.controls)
    const cautions = scene.ok ? cautionsFor(scene.value, facts.hazards) : null
    if (cautions === null || !cautions.ok) return []
    const mixed = mix(mistake.request.vessel, mistake.request.solutions, facts)
    const boils = mixed.ok ? mixed.warnings.filter((w) => w.danger === true && d.controls[w.code] === undefined) : []
    const refused = cautions.value.refused ? refusals(cautions.value) : []
    const [first] = [...refused, ...boils]
    return first ? [{ words: mistake.words, why: first.what }] : []
  })
  return { ...found, dangers }
}

/** The ranking, every mistake rehearsed here. Problems: as of `mistakesRequest`. */
export function mistakesOfVessel(prepared: Prepared, wish: MistakesWish, facts: DayFacts): Outcome<CheckedMistakes> {
  const request = mistakesRequest(prepared, wish)
  if (!request.ok) return request
  const found = explainBy(
    {
      ...request.value,
      ...(wish.onMistake ? { onMistake: wish.onMistake } : {}),
      ...(wish.shouldStop ? { shouldStop: wish.shouldStop } : {}),
    },
    facts,
  )
  return done(withDangers(found, request.value, prepared, facts))
}
