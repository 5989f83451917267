/** The rehearsal of one vessel: its course, what is seen of it, its signals and why it ends. */
import { colourName } from '@beakertide/basis/colour'
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { distinctSources, type Source } from '@beakertide/basis/sources'
import { ATMOSPHERE_PA, GAS_CONSTANT, kelvinToCelsius } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import { type Mechanism, temperatureWarnings } from '../mechanism/index.ts'
import { usualAbsorbers } from './absorbers.ts'
import { causeOfEnd } from './cause.ts'
import { type Cycles, cyclesOf, dutyOf, inductionOf } from './cycles.ts'
import { type Features, featuresOf } from './features.ts'
import type { Rehearsal, StripSample, Trace, Turn, View } from './rehearsal.ts'
import { prepareSeeing, type Course, type Seeing, type SeeingFacts, stripOf } from './seeing.ts'
import { electrodeTraces } from './electrode-traces.ts'
import type { ElectrodeFacts } from './signals.ts'
import { isLumped } from './state-of-liquid.ts'
import { findTurns } from './turns.ts'
import { type CourseFacts, type CourseRequest, type VesselCourse, vesselCourse } from './vessel-course.ts'
import { gasExchangeStill, gasExchangeStirred, heatLoss, solidExchange } from './vessel-facts.ts'

export interface RehearsalFacts extends CourseFacts {
  readonly seeing: SeeingFacts
  readonly electrodes: ElectrodeFacts
}

export interface RehearseRequest extends CourseRequest {
  readonly view: View
}

/** What an eye sees of a course. */
export interface Seen {
  readonly turns: readonly Turn[]
  readonly cycles: Cycles
  readonly strip: readonly StripSample[]
  readonly features: Features
}

/** Litres of gas a mole at 1 atm. */
export function gasLitresPerMol(temperatureK: number): number {
  return (GAS_CONSTANT * temperatureK * 1000) / ATMOSPHERE_PA
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
  const ids = new Set(course.spectators.flatMap((s) => Object.keys(s.molPerL)))
  for (const id of ids) {
    if (course.spectators.length === 1) {
      molPerL[id] = [course.spectators[0]!.molPerL[id] ?? 0]
      continue
    }
    const values = new Float64Array(course.timesS.length)
    course.spectators.forEach((s, i) =>
      values.fill(s.molPerL[id] ?? 0, s.fromSample, course.spectators[i + 1]?.fromSample ?? values.length),
    )
    molPerL[id] = values
  }
  return { timesS: course.timesS, molPerL, temperatureK }
}

/** Looking at a course; turns that are the pour itself (before the reaction is complete) are left out of the features. */
export function seenOf(course: VesselCourse, seeing: Seeing): Seen {
  const colours = seeing.colours(columnsOf(course))
  const found = findTurns(course.timesS, colours.lab)
  const kept = found.turns.map((t, i) => ({ t, i })).filter(({ t }) => t.timeS > course.startS + AFTER_POUR_S)
  const firstKept = kept[0]?.i ?? found.turns.length
  const turns = kept.map(({ t }) => t)
  const cycles = cyclesOf({ turns: found.turns.slice(firstKept), settled: found.settled.slice(firstKept) })
  return { turns, cycles, strip: stripOf(colours), features: featuresOf(course.startS, turns, cycles.periodsS, cycles.cycles) }
}

/** A change of colour this soon after the last pour is the mixing, s. */
const AFTER_POUR_S = 1e-6
/** Lines drawn need no more points than a wide screen has. */
const TRACE_POINTS = 600

/** Every n-th sample, the last one always, so that a trace has about TRACE_POINTS points. */
function thinned(samples: number): readonly number[] {
  const step = Math.max(1, Math.floor(samples / TRACE_POINTS))
  const out: number[] = []
  for (let i = 0; i < samples; i += step) out.push(i)
  if (out.at(-1) !== samples - 1 && samples > 0) out.push(samples - 1)
  return out
}

function traceOf(
  name: string,
  unit: string,
  timesS: readonly number[],
  picks: readonly number[],
  value: (k: number) => number,
  note?: string,
): Trace {
  return { name, unit, timesS: picks.map((k) => timesS[k]!), values: picks.map(value), ...(note === undefined ? {} : { note }) }
}

/** Families of a mechanism: species whose fast equilibria keep them together are judged as one reactant. */
function familiesOf(mechanism: Mechanism): Readonly<Record<string, readonly string[]>> {
  const out: Record<string, readonly string[]> = {}
  for (const s of mechanism.species) {
    const ion = mechanism.species.find(
      (o) =>
        o.id !== s.id && o.composition !== null && s.composition !== null && isProtonAway(s.composition, s.charge, o.composition, o.charge),
    )
    if (ion) out[s.id] = [s.id, ion.id]
  }
  return out
}

function isProtonAway(a: Readonly<Record<string, number>>, chargeA: number, b: Readonly<Record<string, number>>, chargeB: number): boolean {
  const protons = (a.H ?? 0) - (b.H ?? 0)
  if (Math.abs(protons) !== 1 || chargeA - chargeB !== protons) return false
  const elements = new Set([...Object.keys(a), ...Object.keys(b)])
  elements.delete('H')
  return elements.size > 0 && [...elements].every((e) => (a[e] ?? 0) === (b[e] ?? 0))
}

/** Everything except the band. Problems: no such light or absorber, nothing poured, a mixture that cannot be settled. */
export function rehearse(request: RehearseRequest, facts: RehearsalFacts): Outcome<Rehearsal> {
  const { mechanism } = request
  const seeing = prepareSeeing(request.view, { ...usualAbsorbers, ...mechanism.absorbers }, facts.seeing)
  if (!seeing.ok) return seeing
  const run = vesselCourse(request, facts)
  if (!run.ok) return run
  const course = run.value
  const seen = seenOf(course, seeing.value)
  const columns = columnsOf(course)
  const n = course.names.length
  const picks = thinned(course.timesS.length)
  const temperature = course.names.indexOf('temperature')
  const gasStates = course.names.map((name, i) => ({ name, i })).filter(({ name }) => name.endsWith('(g)'))
  const volumeAt = (k: number): number => course.spectators.filter((s) => s.fromSample <= k).at(-1)?.volumeL ?? course.start.volumeL
  const temperatureAt = (k: number): number => (temperature < 0 ? course.start.temperatureK : course.states[k * n + temperature]!)
  const gasAt = (k: number): number =>
    gasStates.reduce((sum, g) => sum + course.states[k * n + g.i]!, 0) * volumeAt(k) * gasLitresPerMol(request.roomK)
  const signals = electrodeTraces(columns, picks, facts.electrodes)
  const traces: Trace[] = [
    ...signals.traces,
    traceOf('temperature', '°C', course.timesS, picks, (k) => kelvinToCelsius(temperatureAt(k))),
    ...(gasStates.length > 0 ? [traceOf('gas set free', 'L', course.timesS, picks, gasAt, 'dry gas at room temperature and 1 atm')] : []),
  ]
  let lowK = Number.POSITIVE_INFINITY
  let highK = Number.NEGATIVE_INFINITY
  for (let k = 0; k < course.timesS.length; k++) {
    lowK = Math.min(lowK, temperatureAt(k))
    highK = Math.max(highK, temperatureAt(k))
  }
  const lastTurn = seen.turns.at(-1)
  const endsAtS = course.timesS.at(-1) ?? course.startS
  const last = seen.strip.at(-1)
  const startSample = course.timesS.findIndex((t) => t >= course.startS)
  const later = course.timesS.slice(startSample)
  const remarks: Problem[] = [...course.remarks, ...seeing.value.remarksFor(columns), ...temperatureWarnings(mechanism, lowK, highK)]
  if (course.stepsWithoutHeat.length > 0) {
    remarks.push({
      code: 'rehearsal/heat-incomplete',
      where: `mechanism ${mechanism.name}`,
      what: `the heat of ${course.stepsWithoutHeat.length} of ${mechanism.steps.length} steps is not known and counts as none`,
      todo: 'measure the temperature in a trial; the predicted rise is a lower bound',
    })
  }
  if (isLumped(mechanism)) {
    remarks.push({
      code: 'rehearsal/leftovers-unknown',
      where: `mechanism ${mechanism.name}`,
      what: 'its steps are lumped, so what is left at the end cannot be computed from it',
      todo: 'plan the clearing as if everything poured were still there',
    })
  }
  const cause = causeOfEnd({
    mechanism,
    names: course.names,
    timesS: later,
    value: (k, i) => course.states[(k + startSample) * n + i]!,
    turns: seen.turns,
    cycles: seen.cycles.cycles,
    startS: course.startS,
    lengthS: endsAtS - course.startS,
    families: familiesOf(mechanism),
  })
  const picksForClearing = earlyStops(course, lastTurn?.timeS ?? endsAtS)
  return done(
    {
      vessel: request.vessel.id,
      mechanism: mechanism.name,
      grade: mechanism.grade,
      turns: seen.turns,
      inductionS: inductionOf(seen.turns, course.startS),
      periodsS: seen.cycles.periodsS,
      cycles: seen.cycles.cycles,
      endS: lastTurn?.timeS ?? null,
      lastsS: lastTurn ? lastTurn.timeS - course.startS : null,
      cause,
      finalColour: { hex: last?.hex ?? '#ffffff', name: last ? colourName(last.lab) : 'colourless' },
      duty: dutyOf(seen.strip),
      strip: seen.strip,
      traces,
      balance: { elementDriftMax: course.elementDriftMax, chargeDriftMax: course.chargeDriftMax },
      band: null,
      start: course.start,
      end: course.end,
      inventories: picksForClearing.map((k) => course.inventoryAt(k)),
      temperatureRangeK: [lowK, highK],
      gasL: gasAt(course.timesS.length - 1),
      ending: course.ending,
      statistics: course.statistics,
      faults: mechanism.faults,
      remarks,
      sources: sourcesOf(mechanism, [...seeing.value.sourcesFor(columns), ...signals.sources, ...course.startEquilibrium.sources]),
    },
    remarks,
  )
}

/** Share of the show at which "stopped early" inventories are taken. */
const EARLY_SHARES = [0, 0.25, 0.5, 1]

function earlyStops(course: VesselCourse, lastTurnS: number): readonly number[] {
  return [
    ...new Set(
      EARLY_SHARES.map((share) => {
        const t = course.startS + share * (lastTurnS - course.startS)
        const k = course.timesS.findIndex((time) => time >= t)
        return k < 0 ? course.timesS.length - 1 : k
      }),
    ),
  ]
}

function sourcesOf(mechanism: Mechanism, others: readonly Source[]): readonly Source[] {
  const used = new Set(mechanism.steps.flatMap((s) => s.constants.flatMap((c) => c.sources)))
  const own: Source[] = []
  for (const key of used) {
    const source = mechanism.sources[key]
    if (!source) continue
    const constants = mechanism.steps.flatMap((s) => s.constants).filter((c) => c.sources.includes(key))
    own.push({
      source: `${source.cite}${source.doi ? `, doi ${source.doi}` : ''} (${source.access})`,
      seen: constants[0]?.seen ?? 'memory',
    })
  }
  const assumed = [gasExchangeStirred, gasExchangeStill, solidExchange, heatLoss]
  return distinctSources([...own, ...others, ...assumed])
}
