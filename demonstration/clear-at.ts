/** Clearing at a chosen moment: what is left along a course is computed once a vessel, a plan from it takes milliseconds. */
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { formatTime } from '@beakertide/basis/units'
import type { ClearingOptions, ClearingPlan } from '@beakertide/core/clearing'
import type { Inventory } from '@beakertide/core/mixture'
import { type Band, vesselCourse } from '@beakertide/core/rehearsal'
import { bandRehearsal, type DayFacts, type Prepared, planFor, requestFor } from './day.ts'

/** What is left in one vessel at many moments, by growing time: plain data, for as many plans as wanted. */
export interface Leftovers {
  readonly vessel: string
  /** The complete mixture, before it reacts. */
  readonly start: Inventory
  /** From the complete mixture to the end of the rehearsed time. */
  readonly along: readonly Inventory[]
}

export interface ClearWish extends ClearingOptions {
  /** s on the document's clock; null: let it finish (the end of the rehearsed time). */
  readonly stopAtS: number | null
  /** The rehearsal's band, if one was made: the reaction may then be as far as its slowest and its fastest run. */
  readonly band?: Band | null
}

/** Moments kept along a course: between two of them a straight line is within the digits of a clearing plan. */
const MOMENTS = 400

/** Inventories along the course of one vessel; takes as long as a quick rehearsal. */
export function leftoversAlong(prepared: Prepared, vesselId: string, facts: DayFacts): Outcome<Leftovers> {
  const run = vesselCourse(requestFor(prepared, vesselId, bandRehearsal), facts)
  if (!run.ok) return run
  const course = run.value
  const last = course.timesS.length - 1
  const step = Math.max(1, Math.floor((last - course.startSample) / MOMENTS))
  const samples: number[] = []
  for (let k = course.startSample; k < last; k += step) samples.push(k)
  const along = [...samples, last].map((k) => course.inventoryAt(k))
  return done({ vessel: vesselId, start: course.start, along }, run.warnings)
}

function between(a: Inventory, b: Inventory, atS: number): Inventory {
  const share = b.atS > a.atS ? Math.min(1, Math.max(0, (atS - a.atS) / (b.atS - a.atS))) : 0
  const line = (x: number, y: number): number => x + share * (y - x)
  const amounts = (x: Readonly<Record<string, number>>, y: Readonly<Record<string, number>>): Readonly<Record<string, number>> =>
    Object.fromEntries([...new Set([...Object.keys(x), ...Object.keys(y)])].map((s) => [s, line(x[s] ?? 0, y[s] ?? 0)]))
  return {
    ...a,
    atS,
    volumeL: line(a.volumeL, b.volumeL),
    massG: line(a.massG, b.massG),
    temperatureK: line(a.temperatureK, b.temperatureK),
    heatCapacityJPerK: line(a.heatCapacityJPerK, b.heatCapacityJPerK),
    amountsMol: amounts(a.amountsMol, b.amountsMol),
    solidsMol: amounts(a.solidsMol, b.solidsMol),
    gasesMol: amounts(a.gasesMol, b.gasesMol),
  }
}

/** The liquid as the model has it at a time; its ends outside the computed time. */
function leftAt(left: Leftovers, atS: number): Inventory {
  const after = left.along.findIndex((i) => i.atS >= atS)
  if (after === 0) return left.along[0]!
  if (after < 0) return left.along.at(-1)!
  return between(left.along[after - 1]!, left.along[after]!, atS)
}

/** How many times longer the slowest and the fastest run of a band take than the middle one; null without a feature to tell. */
function paces(band: Band | null | undefined): { readonly slow: number; readonly fast: number } | null {
  const told = band ? [band.lengthS, band.firstTurnS].find((v) => v.low !== null && v.middle !== null && v.high !== null) : undefined
  if (!told?.middle || !told.low || !told.high) return null
  return { slow: Math.max(1, told.high / told.middle), fast: Math.min(1, told.low / told.middle) }
}

/**
 * The plan for a vessel at a chosen stop (or for the end), with a chosen reductant, temperature limit and the limits of a
 * place. With a band the ranges run from the liquid of the slowest run to that of the fastest one at that moment. Pure and
 * quick (some 50 ms with `alternatives: 'chosen'`, several times that with all ways out): it asks only `left`, made once by `leftoversAlong`. A stop before the mixture is complete is refused: liquids
 * that were not all poured are cleared one by one, as they were made up.
 */
export function clearAt(prepared: Prepared, left: Leftovers, wish: ClearWish, facts: DayFacts): Outcome<ClearingPlan> {
  const { stopAtS, band, ...options } = wish
  const startS = left.along[0]?.atS ?? 0
  const endS = left.along.at(-1)?.atS ?? startS
  if (stopAtS !== null && !(stopAtS >= startS && stopAtS <= endS)) {
    return refuse({
      code: 'clearing/stop-outside',
      where: `vessel "${left.vessel}"`,
      what: `${Number.isFinite(stopAtS) ? formatTime(stopAtS) : 'the stop'} is outside ${formatTime(startS)} to ${formatTime(endS)}, the time in which the whole mixture stands there`,
      todo: 'choose a time after the last pour and within the rehearsed time',
    })
  }
  const atS = stopAtS ?? endS
  const pace = paces(band)
  const moments = pace ? [atS, startS + (atS - startS) / pace.slow, startS + (atS - startS) / pace.fast] : [atS]
  const liquids = moments.map((t) => ({ ...leftAt(left, t), atS }))
  return stopAtS === null ? planFor(prepared, liquids, [], options, facts) : planFor(prepared, [], liquids, options, facts)
}
