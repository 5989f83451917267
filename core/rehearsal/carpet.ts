/** The carpet: colour strips of one recipe, stacked over one varied amount, on one time axis. Plain data. */
import { linearGrid, logGrid } from '@beakertide/basis/numerics'
import { done, invariant, type Outcome, type Problem } from '@beakertide/basis/problems'
import type { Portion } from '../makeup/index.ts'
import { usualAbsorbers } from './absorbers.ts'
import { amountText, amountUnit, type AmountUnit, presentValue, type VariedAmount, withAmount } from './carpet-amount.ts'
import type { Features } from './features.ts'
import type { StripSample, Turn } from './rehearsal.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'
import { prepareSeeing } from './seeing.ts'
import { seenOf } from './seen.ts'
import { vesselCourse } from './vessel-course.ts'

export interface CarpetRow {
  /** In the carpet's `unit`. */
  readonly value: number
  readonly text: string
  /** Null where the mixture could not be rehearsed; `problems` say why. */
  readonly features: Features | null
  /** The pour that sets it off, s on the document's clock. */
  readonly startS: number | null
  readonly turns: readonly Turn[]
  /** The settled colour at the end, in a word; null without a strip. */
  readonly endColour: string | null
  /** Only the samples at which the colour changes, and the last: each holds until the next. */
  readonly strip: readonly StripSample[]
  readonly problems: readonly Problem[]
}

export interface Carpet {
  readonly vessel: string
  readonly mechanism: string
  /** Name of the amount, as it was asked for. */
  readonly varied: string
  readonly unit: AmountUnit
  /** The value that leaves the recipe as it is. */
  readonly present: number
  /** Ends of the time axis all rows share, s. */
  readonly fromS: number
  readonly toS: number
  /** In the order of the values asked for. */
  readonly rows: readonly CarpetRow[]
  /** It was stopped before all rows were there. */
  readonly stopped: boolean
}

export interface CarpetRequest extends RehearseRequest {
  readonly portions: readonly Portion[]
  readonly amount: VariedAmount
  readonly values: readonly number[]
  /** `row`: the one just made, so that a picture can fill in. */
  readonly onRow?: (done: number, of: number, row: CarpetRow) => void
}

/** `count` values from `from` to `to`, in equal steps or in equal ratios (then both must be above 0). One value: `from`. */
export function carpetValues(from: number, to: number, count: number, steps: 'linear' | 'log'): readonly number[] {
  invariant(count >= 1, 'a carpet has a row')
  if (count === 1) return [from]
  return [...(steps === 'log' ? logGrid(from, to, count) : linearGrid(from, to, count))]
}

/** A strip without the samples that repeat the colour and word before them; the last one stays, for the length. */
export function foldedStrip(strip: readonly StripSample[]): readonly StripSample[] {
  return strip.filter((s, i) => {
    const before = strip[i - 1]
    return before === undefined || i === strip.length - 1 || s.hex !== before.hex || s.name !== before.name
  })
}

/** A row in which nothing was rehearsed. */
export const emptyRow = { features: null, startS: null, turns: [], endColour: null, strip: [] } as const

/** The row of one value: what is seen there, or the problems that prevent it. Problem: a view that cannot be prepared. */
export function carpetRow(request: Omit<CarpetRequest, 'values'>, value: number, facts: RehearsalFacts): Outcome<CarpetRow> {
  const { amount, portions } = request
  const varied = withAmount(request, portions, amount, value, facts.matter)
  const seeing = prepareSeeing(varied.view, { ...usualAbsorbers, ...varied.mechanism.absorbers }, facts.seeing)
  if (!seeing.ok) return seeing
  const head = { value, text: amountText(amount, value) }
  const run = vesselCourse(varied, facts)
  if (!run.ok) return done({ ...head, ...emptyRow, problems: run.problems })
  if (run.value.ending.how === 'stopped-short') return done({ ...head, ...emptyRow, problems: run.value.remarks })
  const seen = seenOf(run.value, seeing.value)
  return done({
    ...head,
    features: seen.features,
    startS: seen.startS,
    turns: seen.turns,
    endColour: seen.turns.at(-1)?.to ?? seen.strip.at(-1)?.name ?? null,
    strip: foldedStrip(seen.strip),
    problems: [],
  })
}

/** The carpet around its rows, which may be fewer than the values when it was stopped. */
export function carpetAround(request: CarpetRequest, rows: readonly CarpetRow[]): Carpet {
  const { amount } = request
  const atS = request.vessel.pours.map((p) => p.atS)
  return {
    vessel: request.vessel.id,
    mechanism: request.mechanism.name,
    varied: amount.name,
    unit: amountUnit(amount),
    present: presentValue(amount, request),
    fromS: Math.min(...atS),
    toS: Math.max(...atS) + request.lengthS,
    rows,
    stopped: rows.length < request.values.length,
  }
}

/**
 * One rehearsal a value. Rows that cannot be rehearsed stay in the carpet with their problems; only a view that cannot be
 * prepared prevents the whole.
 */
export function carpetOf(request: CarpetRequest, facts: RehearsalFacts): Outcome<Carpet> {
  const rows: CarpetRow[] = []
  for (const value of request.values) {
    if (request.shouldStop?.() === true) break
    const row = carpetRow(request, value, facts)
    if (!row.ok) return row
    // Cut short in its middle, it is no row.
    if (row.value.features === null && request.shouldStop?.() === true) break
    rows.push(row.value)
    request.onRow?.(rows.length, request.values.length, row.value)
  }
  return done(carpetAround(request, rows))
}
