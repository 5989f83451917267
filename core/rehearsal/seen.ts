/** What an eye sees of a vessel's course: colours, turns and rounds from the pour that sets it going. */
import type { SpeciesId } from '../matter/index.ts'
import { type Cycles, cyclesOf } from './cycles.ts'
import { type Features, featuresOf } from './features.ts'
import type { StripSample, Turn } from './rehearsal.ts'
import { type Course, type Seeing, stripOf } from './seeing.ts'
import { findTurns, usualTurnRules } from './turns.ts'
import type { Stretch, VesselCourse } from './vessel-course.ts'

export interface Seen {
  /** Time of the pour that sets off what is seen, s: inductions and lengths count from it. */
  readonly startS: number
  /** Sample just after that pour. */
  readonly startSample: number
  /** Turns after that pour; a later pour that changes the colour at once is one of them. */
  readonly turns: readonly Turn[]
  readonly cycles: Cycles
  /** The whole course, the pouring included. */
  readonly strip: readonly StripSample[]
  readonly features: Features
}

/** One state along the samples. */
function column(course: VesselCourse, index: number): Float64Array {
  const n = course.names.length
  const out = new Float64Array(course.timesS.length)
  for (let k = 0; k < out.length; k++) out[k] = course.states[k * n + index]!
  return out
}

/** A vessel course as columns for looking at; spectators are constant between pours. */
export function columnsOf(course: VesselCourse): Course {
  const molPerL: Record<SpeciesId, ArrayLike<number>> = {}
  let temperatureK: ArrayLike<number> = [course.start.temperatureK]
  course.names.forEach((name, i) => {
    if (name === 'temperature') temperatureK = column(course, i)
    else molPerL[name] = column(course, i)
  })
  const { stretches } = course
  for (const id of new Set(stretches.flatMap((s) => Object.keys(s.spectatorsMolPerL)))) {
    if (stretches.length === 1) {
      molPerL[id] = [stretches[0]!.spectatorsMolPerL[id] ?? 0]
      continue
    }
    const values = new Float64Array(course.timesS.length)
    stretches.forEach((s, i) => values.fill(s.spectatorsMolPerL[id] ?? 0, s.fromSample, stretches[i + 1]?.fromSample ?? values.length))
    molPerL[id] = values
  }
  return { timesS: course.timesS, molPerL, temperatureK }
}

/**
 * The pour after which the first change comes that is not the pouring itself. Without any such change: the last pour.
 * So a pour into a vessel that is already at work does not put the clock back.
 */
function settingOff(course: VesselCourse, turns: readonly Turn[]): Stretch {
  const { stretches } = course
  const isPouring = (t: Turn): boolean => stretches.some((s) => Math.abs(t.timeS - s.fromS) < usualTurnRules.restS)
  const first = turns.find((t) => !isPouring(t))
  const last = stretches.at(-1)!
  return first === undefined ? last : (stretches.findLast((s) => s.fromS <= first.timeS) ?? last)
}

/** A colour that moves less than this before the pour that sets it off, L*a*b*: the path passes over as much without a point. */
const STILL = 0.4

/** Does the colour stand still from the first sample to this one? */
function restsUntil(lab: Float64Array, sample: number): boolean {
  for (let k = 0; k < 3 * sample; k++) if (Math.abs(lab[k]! - lab[3 * sample + (k % 3)]!) > STILL) return false
  return true
}

/** Looking at a course; `columns` is the course as `columnsOf` gives it. */
export function seenOf(course: VesselCourse, seeing: Seeing, columns: Course = columnsOf(course)): Seen {
  const colours = seeing.colours(columns)
  const whole = findTurns(course.timesS, colours.lab)
  const start = settingOff(course, whole.turns)
  const found = restsUntil(colours.lab, start.fromSample)
    ? whole
    : findTurns(course.timesS.slice(start.fromSample), colours.lab.subarray(3 * start.fromSample))
  const cycles = cyclesOf(found)
  const endS = course.timesS.at(-1) ?? start.fromS
  return {
    startS: start.fromS,
    startSample: start.fromSample,
    turns: found.turns,
    cycles,
    strip: stripOf(colours),
    features: featuresOf(start.fromS, endS, found.turns, cycles.periodsS, cycles.cycles),
  }
}
