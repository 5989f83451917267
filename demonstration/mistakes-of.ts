/** Which single mistake explains what was seen of one vessel. */
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { colourWords } from '@beakertide/basis/colour'
import { explainBy, type MistakesFound, type Observation } from '@beakertide/core/rehearsal'
import { bandRehearsal, type DayFacts, type Prepared, requestFor } from './day.ts'

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

/** The ranking. Problems: nothing was noted, a number that cannot be, a colour without a word of ours. */
export function mistakesOfVessel(prepared: Prepared, wish: MistakesWish, facts: DayFacts): Outcome<MistakesFound> {
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
  const request = requestFor(prepared, wish.vessel, bandRehearsal)
  const lengthS = Math.max(request.lengthS, ...times.map((t) => ROOM_AFTER * t))
  return done(
    explainBy(
      {
        ...request,
        lengthS,
        portions: prepared.makeUp.portions,
        seen,
        ...(wish.onMistake ? { onMistake: wish.onMistake } : {}),
        ...(wish.shouldStop ? { shouldStop: wish.shouldStop } : {}),
      },
      facts,
    ),
  )
}
