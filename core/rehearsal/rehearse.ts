/** The rehearsal of one vessel: its course, what is seen of it, its signals and why it ends. */
import { colourName } from '@beakertide/basis/colour'
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { distinctSources, type Source } from '@beakertide/basis/sources'
import { ATMOSPHERE_PA, kelvinToCelsius } from '@beakertide/basis/units'
import { type Mechanism, temperatureWarnings } from '../mechanism/index.ts'
import { usualAbsorbers } from './absorbers.ts'
import { GAS } from './books.ts'
import { causeOfEnd } from './cause.ts'
import { dutyOf, inductionOf } from './cycles.ts'
import { electrodeTraces } from './electrode-traces.ts'
import type { Rehearsal, Trace, View } from './rehearsal.ts'
import { prepareSeeing, type SeeingFacts } from './seeing.ts'
import { columnsOf, seenOf } from './seen.ts'
import { type ElectrodeFacts, gasVolumeL } from './signals.ts'
import { isLumped } from './state-of-liquid.ts'
import { type CourseFacts, type CourseRequest, type VesselCourse, vesselCourse } from './vessel-course.ts'
import { airShare, gasBubblesStill, gasExchangeStirred, heatLoss, solidExchange } from './vessel-facts.ts'

export interface RehearsalFacts extends CourseFacts {
  readonly seeing: SeeingFacts
  readonly electrodes: ElectrodeFacts
}

export interface RehearseRequest extends CourseRequest {
  readonly view: View
}

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

/** Temperature and gas of a course at a sample. */
function readingsOf(course: VesselCourse, roomK: number) {
  const n = course.names.length
  const temperature = course.names.indexOf('temperature')
  const gasStates = course.names.flatMap((name, i) => (name.endsWith(GAS) ? [i] : []))
  const volumeAt = (k: number): number => course.stretches.findLast((s) => s.fromSample <= k)?.volumeL ?? course.start.volumeL
  return {
    setsGasFree: gasStates.length > 0,
    temperatureK: (k: number): number => (temperature < 0 ? course.start.temperatureK : course.states[k * n + temperature]!),
    /** Dry, at the room's temperature and 1 atm, L. */
    gasL: (k: number): number => {
      const molPerL = gasStates.reduce((sum, i) => sum + Math.max(0, course.states[k * n + i]!), 0)
      return gasVolumeL(molPerL * volumeAt(k), roomK, ATMOSPHERE_PA)
    },
  }
}

/** Remarks that the mechanism's own gaps call for. */
function modelRemarks(course: VesselCourse, mechanism: Mechanism, request: RehearseRequest): readonly Problem[] {
  const where = `mechanism ${mechanism.name}`
  const remarks: Problem[] = []
  if (course.stepsWithoutHeat.length > 0) {
    remarks.push({
      code: 'rehearsal/heat-incomplete',
      where,
      what: `the heat of ${course.stepsWithoutHeat.length} of ${mechanism.steps.length} steps is not known and counts as none`,
      todo: 'measure the temperature in a trial; the predicted change of temperature leaves these steps out',
    })
  }
  if (isLumped(mechanism)) {
    remarks.push({
      code: 'rehearsal/leftovers-unknown',
      where,
      what: 'its steps are lumped, so what is left at the end cannot be computed from it',
      todo: 'plan the clearing as if everything poured were still there',
    })
  }
  if (!request.vessel.stirred) {
    remarks.push({
      code: 'rehearsal/not-stirred',
      where: `vessel ${request.vessel.id}`,
      what: 'it is not stirred; the rehearsal takes every liquid as evenly mixed, and gas as leaving in bubbles only',
      todo: 'expect streaks, layers and other times than these, or stir',
    })
  }
  return remarks
}

/** One of each: what is said at every pour is said once. */
function distinctProblems(problems: readonly Problem[]): readonly Problem[] {
  const seen = new Set<string>()
  return problems.filter((p) => {
    const key = `${p.code}|${p.where}|${p.what}`
    if (seen.has(key)) return false
    seen.add(key)
    return true
  })
}

/** What a screen shows of a rehearsal; the rest of it is for papers and for the leftovers. */
export type ShownRehearsal = Omit<Rehearsal, 'sources' | 'inventories' | 'duty'>

/** A rehearsal with what it was made of. */
interface Looked {
  readonly shown: ShownRehearsal
  readonly course: VesselCourse
  readonly sources: () => readonly Source[]
}

/**
 * Everything except the band. Times are those of the document's clock, unless a name says otherwise (`inductionS`, `lastsS`
 * count from `startS`, the pour that sets it off). Problems: no such light or absorber, nothing poured, a mixture that cannot be settled.
 */
export function rehearse(request: RehearseRequest, facts: RehearsalFacts): Outcome<Rehearsal> {
  const looked = look(request, facts)
  if (!looked.ok) return looked
  const { shown, course, sources } = looked.value
  return done(
    {
      ...shown,
      duty: dutyOf(shown.strip),
      inventories: earlyStops(course, shown.endS).map((k) => course.inventoryAt(k)),
      sources: sources(),
    },
    shown.remarks,
  )
}

/** The part of a rehearsal that a screen shows, for where many are looked at one after the other. */
export function rehearseForShow(request: RehearseRequest, facts: RehearsalFacts): Outcome<ShownRehearsal> {
  const looked = look(request, facts)
  return looked.ok ? done(looked.value.shown, looked.warnings) : looked
}

function look(request: RehearseRequest, facts: RehearsalFacts): Outcome<Looked> {
  const { mechanism } = request
  const seeing = prepareSeeing(request.view, { ...usualAbsorbers, ...mechanism.absorbers }, facts.seeing)
  if (!seeing.ok) return seeing
  const run = vesselCourse(request, facts)
  if (!run.ok) return run
  const course = run.value
  const columns = columnsOf(course)
  const seen = seenOf(course, seeing.value, columns)
  const n = course.names.length
  const samples = course.timesS.length
  const picks = thinned(samples)
  const readings = readingsOf(course, request.roomK)
  const signals = electrodeTraces(columns, picks, facts.electrodes)
  const pickedS = picks.map((k) => course.timesS[k]!)
  const gasTrace: Trace = {
    name: 'gas set free',
    unit: 'L',
    timesS: pickedS,
    values: picks.map(readings.gasL),
    note: 'dry gas at room temperature and 1 atm',
  }
  const traces: Trace[] = [
    ...signals.traces,
    { name: 'temperature', unit: '°C', timesS: pickedS, values: picks.map((k) => kelvinToCelsius(readings.temperatureK(k))) },
    ...(readings.setsGasFree ? [gasTrace] : []),
  ]
  let lowK = Number.POSITIVE_INFINITY
  let highK = Number.NEGATIVE_INFINITY
  for (let k = 0; k < samples; k++) {
    lowK = Math.min(lowK, readings.temperatureK(k))
    highK = Math.max(highK, readings.temperatureK(k))
  }
  const remarks = distinctProblems([
    ...course.remarks,
    ...seeing.value.remarksFor(columns),
    ...temperatureWarnings(mechanism, lowK, highK),
    ...modelRemarks(course, mechanism, request),
  ])
  const { turns, startS, startSample } = seen
  const cause = causeOfEnd({
    mechanism,
    names: course.names,
    timesS: course.timesS.slice(startSample),
    value: (k, i) => course.states[(k + startSample) * n + i]!,
    turns,
    cycles: seen.cycles.cycles,
    stillGoing: seen.features.stillGoing,
    startS,
    ending: course.ending,
  })
  const lastTurnS = turns.at(-1)?.timeS ?? null
  const last = seen.strip.at(-1)
  const shown: ShownRehearsal = {
    vessel: request.vessel.id,
    mechanism: mechanism.name,
    grade: mechanism.grade,
    startS,
    turns,
    inductionS: inductionOf(turns, startS),
    periodsS: seen.cycles.periodsS,
    cycles: seen.cycles.cycles,
    endS: lastTurnS,
    lastsS: lastTurnS === null ? null : lastTurnS - startS,
    stillGoing: seen.features.stillGoing,
    cause,
    finalColour: { hex: last?.hex ?? '#ffffff', name: last ? colourName(last.lab) : 'colourless' },
    strip: seen.strip,
    traces,
    balance: { elementDriftMax: course.elementDriftMax, chargeDriftMax: course.chargeDriftMax },
    band: null,
    start: course.start,
    end: course.end,
    temperatureRangeK: [lowK, highK],
    gasL: readings.gasL(samples - 1),
    ending: course.ending,
    statistics: course.statistics,
    faults: mechanism.faults,
    remarks,
  }
  const sources = () =>
    sourcesOf(mechanism, [
      ...seeing.value.sourcesFor(columns),
      ...signals.sources,
      ...course.startEquilibrium.sources,
      ...course.heatSources,
    ])
  return done({ shown, course, sources }, remarks)
}

/** Share of the show at which "stopped early" inventories are taken. */
const EARLY_SHARES = [0, 0.25, 0.5, 1]

/** Samples of those shares, from the complete mixture to the last turn (without one: to the end of the course). */
function earlyStops(course: VesselCourse, lastTurnS: number | null): readonly number[] {
  const last = course.timesS.length - 1
  const from = course.startSample
  const untilS = Math.max(course.startS, lastTurnS ?? course.timesS[last] ?? course.startS)
  const sampleAt = (share: number): number => {
    const t = course.startS + share * (untilS - course.startS)
    let k = from
    while (k < last && course.timesS[k]! < t) k++
    return k
  }
  return [...new Set(EARLY_SHARES.map(sampleAt))]
}

/** Every source a rehearsal rests on: constants of the steps first, then what is seen and measured, then our own assumptions. */
function sourcesOf(mechanism: Mechanism, others: readonly Source[]): readonly Source[] {
  const own: Source[] = []
  for (const c of mechanism.steps.flatMap((s) => s.constants)) {
    for (const key of c.sources) {
      const source = mechanism.sources[key]
      if (source) own.push({ source: `${source.cite}${source.doi ? `, doi ${source.doi}` : ''} (${source.access})`, seen: c.seen })
    }
  }
  const assumed = [gasExchangeStirred, gasBubblesStill, solidExchange, heatLoss, ...Object.values(airShare)]
  return distinctSources([...own, ...others, ...assumed])
}
