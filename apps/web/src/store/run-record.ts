/** One performance as the browser keeps it: what was done and seen, on which text of the document. Plain data, in the collection "runs". */
import type { RunToPrint } from '@beakertide/core/papers'
import type { Observation } from '@beakertide/core/rehearsal'
import type { DocumentText } from '../work/contract.ts'

export interface RunNote {
  readonly atS: number
  readonly text: string
}

export interface RunRecord {
  readonly id: string
  readonly version: 1
  /** Key of the demonstration. */
  readonly of: string
  readonly title: string
  readonly vessel: string
  /** The text that was performed: a later change of the document changes no record. */
  readonly document: DocumentText
  /** ms since 1970, at 0 s of the clock. */
  readonly startedAt: number
  /** s on the clock; null: the clock was still going when this was written. */
  readonly stoppedS: number | null
  /** When the pours were really made, s on the clock, by their place among the vessel's pours; missing: as planned or not noted. */
  readonly pouredS: Readonly<Record<number, number>>
  /** The turns seen, s on the clock, in order. */
  readonly turnsSeenS: readonly number[]
  readonly notes: readonly RunNote[]
  /** Cautions that were read before the clock could start, by code and place. */
  readonly cautionsRead: readonly string[]
  /** What was predicted then. */
  readonly predicted: {
    /** When the pour that sets it off was planned. */
    readonly startS: number
    /** The first period; null where nothing swings. */
    readonly periodS: number | null
    readonly turns: readonly {
      readonly timeS: number
      readonly lowS: number | null
      readonly highS: number | null
      readonly from: string
      readonly to: string
    }[]
  }
}

const isList = (x: unknown): x is readonly unknown[] => Array.isArray(x)
const isMap = (x: unknown): x is Readonly<Record<string, unknown>> => typeof x === 'object' && x !== null && !isList(x)
const isTime = (x: unknown): x is number => typeof x === 'number' && Number.isFinite(x)

/** A record read back, or null when it is not one of ours: what lies in a browser's storage is not to be trusted. */
export function readRunRecord(x: unknown): RunRecord | null {
  if (!isMap(x) || x['version'] !== 1) return null
  const texts = ['id', 'of', 'title', 'vessel'].every((key) => typeof x[key] === 'string')
  const document = x['document']
  const predicted = x['predicted']
  const isWhole =
    texts &&
    isMap(document) &&
    typeof document['text'] === 'string' &&
    isMap(document['beside']) &&
    isTime(x['startedAt']) &&
    (x['stoppedS'] === null || isTime(x['stoppedS'])) &&
    isMap(x['pouredS']) &&
    Object.values(x['pouredS']).every(isTime) &&
    isList(x['turnsSeenS']) &&
    x['turnsSeenS'].every(isTime) &&
    isList(x['notes']) &&
    x['notes'].every((n) => isMap(n) && isTime(n['atS']) && typeof n['text'] === 'string') &&
    isList(x['cautionsRead']) &&
    isMap(predicted) &&
    isTime(predicted['startS']) &&
    (predicted['periodS'] === null || isTime(predicted['periodS'])) &&
    isList(predicted['turns']) &&
    predicted['turns'].every((t) => isMap(t) && isTime(t['timeS']))
  return isWhole ? (x as unknown as RunRecord) : null
}

/** How much later than planned the pour that sets it off was made, s. `planned`: times of the vessel's pours. */
export function lateness(planned: readonly number[], pouredS: RunRecord['pouredS'], startS: number): number {
  const at = planned.findIndex((s) => s === startS)
  const really = at < 0 ? undefined : pouredS[at]
  return really === undefined ? 0 : really - startS
}

/** What was seen as the rehearsal counts it: times from the pour that set it off. Cycles are not counted by taps alone. */
export function observationOf(run: RunRecord, lateS: number): Observation {
  const start = run.predicted.startS + lateS
  const first = run.turnsSeenS[0]
  if (first === undefined) return run.stoppedS === null ? {} : { nothingUntilS: Math.max(0, run.stoppedS - start) }
  const period = periodOf(run)
  const last = run.turnsSeenS.at(-1)!
  // Stopped in the middle: the last tap is no end of the show.
  const predictedEnd = run.predicted.turns.at(-1)?.timeS
  const hasEnded = predictedEnd !== undefined && run.stoppedS !== null && run.stoppedS - last > 2 * (period ?? last - start)
  return {
    firstTurnS: Math.max(0, first - start),
    ...(period === null ? {} : { periodS: period }),
    ...(hasEnded && run.turnsSeenS.length > 1 ? { lengthS: last - start } : {}),
  }
}

/** Turns that make one predicted cycle; null where nothing swings. */
export function turnsACycle(predicted: RunRecord['predicted']): number | null {
  const { periodS, turns } = predicted
  const [first] = turns
  if (periodS === null || !first || turns.length < 3) return null
  const miss = (n: number): number => Math.abs(turns[n]!.timeS - first.timeS - periodS)
  let best = 1
  for (let n = 2; n < turns.length; n++) if (miss(n) < miss(best)) best = n
  return best
}

/** Time of the first cycle seen, s: from the first tap to the one a cycle later. Null with too few taps. */
function periodOf(run: RunRecord): number | null {
  const n = turnsACycle(run.predicted)
  const [first] = run.turnsSeenS
  const later = n === null ? undefined : run.turnsSeenS[n]
  return first === undefined || later === undefined ? null : later - first
}

/** For the write-up. `when`: date and time as the place writes them. */
export function runToPrint(run: RunRecord, when: (ms: number) => string): RunToPrint {
  return { vessel: run.vessel, startedAt: when(run.startedAt), turnsSeenS: run.turnsSeenS, notes: run.notes.map((n) => n.text) }
}
