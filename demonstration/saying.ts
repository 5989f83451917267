/** What a run says of its own colour, for the sentences of a cue sheet: which species it is, what hid it, when there is more of it. */
import { done, type Outcome } from '@beakertide/basis/problems'
import { mostMade, usedUp } from '@beakertide/core/mechanism'
import type { Saying } from '@beakertide/core/papers'
import { type Rehearsal, type VesselCourse, vesselCourse } from '@beakertide/core/rehearsal'
import { bandRehearsal, type DayFacts, type Prepared, requestFor } from './day.ts'
import { reignsOfCourse } from './reasons-of.ts'

/** For one rehearsed vessel; one more run of band accuracy. Problems: whatever prevents that. */
export function sayingOf(prepared: Prepared, rehearsal: Rehearsal, facts: DayFacts): Outcome<Saying> {
  const run = vesselCourse(requestFor(prepared, rehearsal.vessel, bandRehearsal), facts)
  if (!run.ok) return run
  const course = run.value
  const species = mostMade(reignsOfCourse(prepared.mechanism, course))
  const strengthsAt = (timeS: number) => (id: string) => strengthAt(course, id, timeS)
  const { turns } = rehearsal
  const first = turns[0]
  const lastS = course.timesS.at(-1) ?? course.startS
  /** Middle of the phase before turn `i`. */
  const middle = (i: number): number => ((turns[i - 1]?.timeS ?? course.startS) + (turns[i]?.timeS ?? lastS)) / 2
  const rises =
    species === null ? [] : turns.map((_, i) => strengthAt(course, species, middle(i + 1)) > strengthAt(course, species, middle(i)))
  return done({
    vessel: rehearsal.vessel,
    species,
    gone: first === undefined ? null : usedUp(prepared.mechanism.netReactions, strengthsAt(course.startS), strengthsAt(first.timeS)),
    rises,
  })
}

/** mol/L at the sample before a time; 0 for a species that is not followed. */
function strengthAt(course: VesselCourse, species: string, atS: number): number {
  const i = course.names.indexOf(species)
  const after = course.timesS.findIndex((t) => t > atS)
  const k = Math.max(course.startSample, after < 0 ? course.timesS.length - 1 : after - 1)
  return i < 0 ? 0 : (course.states[k * course.names.length + i] ?? 0)
}
