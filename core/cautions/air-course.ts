/**
 * A gas in the air of a room over time, as one well-mixed box: dC/dt = E/V - n C, with the source E, the room's volume V and n air
 * changes in unit time. Nothing sticks to walls, and beside the vessel there is far more than the mean of the room.
 */
import { formatNumber } from '@beakertide/basis/units'
import type { AirCourse, AirLimit, HeldLimit } from './air-limits.ts'
import type { HazardFacts } from './hazard-facts.ts'
import { isAirLimit, ppmInRoom, type Room } from './room-air.ts'

/** How long a published limit averages over, s; a ceiling is held against the peak. */
export const SHORT_TERM_S = 15 * 60
export const WORKDAY_S = 8 * 3600

/** Below so many air changes in the time asked for the balance cancels out; without fresh air it is right to as much. */
const TOO_LITTLE_AIR = 1e-7

/** ppm at a time after the release began; `stillPpm`: all of it in still air. */
export function ppmAt(timeS: number, stillPpm: number, releasedOverS: number, changesPerS: number): number {
  if (timeS < 0) return 0
  if (changesPerS === 0) return releasedOverS > 0 ? stillPpm * Math.min(1, timeS / releasedOverS) : stillPpm
  const decay = (t: number): number => Math.exp(-changesPerS * t)
  if (releasedOverS === 0) return stillPpm * decay(timeS)
  const during = Math.min(timeS, releasedOverS)
  const gone = changesPerS * during
  const keptS = gone > TOO_LITTLE_AIR ? -Math.expm1(-gone) / changesPerS : during
  const atEnd = (stillPpm / releasedOverS) * keptS
  return atEnd * decay(timeS - during)
}

/** Mean ppm from the start to `untilS`, exact: what came in less what is left and gone stays in balance, n ∫C dt = in - C. */
export function meanPpm(untilS: number, stillPpm: number, releasedOverS: number, changesPerS: number): number {
  if (untilS <= 0) return 0
  const came = stillPpm * (releasedOverS > 0 ? Math.min(1, untilS / releasedOverS) : 1)
  if (changesPerS * untilS > TOO_LITTLE_AIR) return (came - ppmAt(untilS, stillPpm, releasedOverS, changesPerS)) / (changesPerS * untilS)
  if (releasedOverS === 0) return stillPpm
  const rising = Math.min(untilS, releasedOverS)
  return ((stillPpm * rising * rising) / (2 * releasedOverS) + stillPpm * Math.max(0, untilS - releasedOverS)) / untilS
}

const against = (limit: AirLimit): HeldLimit['against'] =>
  /8 ?h|8-10 h|TWA/.test(limit.kind)
    ? 'mean of 8 h'
    : /STEL|15 min/.test(limit.kind) && !/ceiling/.test(limit.kind)
      ? 'mean of 15 min'
      : 'peak'

const SAMPLE_MINUTES = [0, 1, 2, 5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 360, 480]

/**
 * The course of `amountMol` of a gas that leaves the liquid evenly over `releasedOverS` (0: at once, the upper bound), and every
 * published limit held against the peak or mean that it speaks of. The short-term mean is the first quarter hour, the worst one for a
 * release at once.
 */
export function airCourse(
  gas: string,
  amountMol: number,
  about: string,
  releasedOverS: number,
  room: Room,
  exampleRoomM3: number,
  facts: HazardFacts,
): AirCourse {
  const still = ppmInRoom(amountMol, room)
  const changesPerH = room.airChangesPerH ?? 0
  const perS = changesPerH / 3600
  const at = (t: number): number => ppmAt(t, still, releasedOverS, perS)
  const peakPpm = at(releasedOverS)
  const mean15MinPpm = meanPpm(SHORT_TERM_S, still, releasedOverS, perS)
  const mean8HPpm = meanPpm(WORKDAY_S, still, releasedOverS, perS)
  const held = facts.airLimits
    .filter((l) => l.gas === gas && isAirLimit(l))
    .map((limit): HeldLimit => {
      const kind = against(limit)
      const ppm = kind === 'peak' ? peakPpm : kind === 'mean of 15 min' ? mean15MinPpm : mean8HPpm
      return { limit, against: kind, ppm, ratio: ppm / limit.ppm }
    })
    .sort((a, b) => b.ratio - a.ratio)
  const shortest = Math.min(...held.filter((h) => h.against !== 'mean of 8 h').map((h) => h.limit.ppm))
  const strictest = Number.isFinite(shortest) ? shortest : Math.min(...held.map((h) => h.limit.ppm))
  const underLimitAfterS =
    held.length === 0 || peakPpm <= strictest ? 0 : perS > 0 ? releasedOverS + Math.log(peakPpm / strictest) / perS : null
  return {
    about,
    gas,
    amountMol,
    releasedOverS,
    roomM3: room.volumeM3 ?? exampleRoomM3,
    isExampleRoom: room.volumeM3 === null,
    airChangesPerH: changesPerH,
    peakPpm,
    mean15MinPpm,
    mean8HPpm,
    held,
    underLimitAfterS,
    samples: SAMPLE_MINUTES.map((m) => ({ timeS: 60 * m, ppm: at(60 * m) })),
  }
}

const minutes = (seconds: number): string => `${formatNumber(seconds / 60, 2)} min`

/** The course in words: what the numbers mean, and under which model. */
export function courseWords(course: AirCourse): string {
  const ppm = (v: number): string => `${formatNumber(v, 2)} ppm`
  const passed = course.held.filter((h) => h.ratio > 1)
  const air =
    course.airChangesPerH > 0
      ? `one well-mixed box with ${formatNumber(course.airChangesPerH, 2)} air changes an hour: mean of the first 15 min ${ppm(course.mean15MinPpm)}, of 8 h ${ppm(course.mean8HPpm)}${course.underLimitAfterS === null || course.underLimitAfterS === 0 ? '' : `, under the short-term limit after ${minutes(course.underLimitAfterS)}`}`
      : 'one well-mixed box without fresh air (no air change is stated): the mean stays until somebody opens a window'
  const limits = passed
    .map((h) => `${h.limit.list} ${formatNumber(h.limit.ppm, 2)} ppm (${h.against}) ${formatNumber(h.ratio, 2)} times`)
    .slice(0, 3)
  return `${air}; beside the vessel it is many times the mean${limits.length > 0 ? `; passed: ${limits.join(', ')}` : ''}`
}
