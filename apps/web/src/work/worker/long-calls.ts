/** Long work, one call at a time in a worker of its own, which is ended when it is cancelled. */
import { done, type Outcome } from '@beakertide/basis/problems'
import { worseCautions } from '@beakertide/core/cautions'
import { type Carpet, type CarpetRow, type CoastPoint, findAmount, type Observation } from '@beakertide/core/rehearsal'
import {
  aimOfVessel,
  aimOver,
  bandOfVessel,
  bandOver,
  bandRehearsal,
  carpetOver,
  coastOfVessel,
  coastOver,
  type DayOverPool,
  mistakesOfVessel,
  mistakesOver,
  type Prepared,
  reasonsOf,
  requestFor,
  type TaskPool,
  varyVessel,
} from '@beakertide/demonstration'
import type { AimAnswer, DocumentText, Work } from '../contract.ts'
import { dangerWords } from './danger-words.ts'
import { type House, vesselOf } from './house.ts'

export type LongName = Parameters<Work['cancel']>[0]
export type LongCalls = Pick<Work, LongName>

/** Pictures are told at most so often, ms: faster than an eye asks for, slower than a page would choke on. */
const TELL_EACH_MS = 80

/** Calls `tell` with the newest value at most every TELL_EACH_MS; `now` gives ms. */
function paced<Given extends readonly unknown[]>(tell: (...given: Given) => void, now: () => number): (...given: Given) => void {
  let last = Number.NEGATIVE_INFINITY
  return (...given) => {
    if (now() - last < TELL_EACH_MS) return
    last = now()
    tell(...given)
  }
}

/**
 * Without a `pool` everything runs here, one rehearsal after the other; with one the rehearsals are spread over its workers. The answers
 * are the same to the last bit (demonstration/work).
 */
export function longCalls(house: House, now: () => number, pool: TaskPool | null = null): LongCalls {
  const { day } = house.facts
  const over = (prepared: Prepared, document: DocumentText): DayOverPool | null =>
    pool === null ? null : { pool, head: { format: 'beakertide-job/1', document, name: 'document', mechanism: null }, prepared, facts: day }
  const withVessel = async <T>(
    document: Parameters<Work['band']>[0],
    vessel: string,
    then: (prepared: Prepared) => Outcome<T> | Promise<Outcome<T>>,
  ): Promise<Outcome<T>> => {
    const prepared = house.prepared(document)
    if (!prepared.ok) return prepared
    const there = vesselOf(prepared.value, vessel)
    return there.ok ? await then(prepared.value) : there
  }
  return {
    band: (document, vessel, samples, seed, onProgress) => {
      const onSample = paced(onProgress, now)
      return withVessel(document, vessel, (prepared) => {
        const all = over(prepared, document)
        return all ? bandOver(all, { vessel, samples, seed, onSample }) : bandOfVessel(prepared, vessel, day, { samples, seed, onSample })
      })
    },
    carpet: (document, wish, onCarpet) =>
      withVessel(document, wish.vessel, (prepared) => {
        const rows: CarpetRow[] = []
        const request = requestFor(prepared, wish.vessel, bandRehearsal)
        const amount = findAmount(wish.range.what, request, prepared.makeUp.portions)
        const head = varyVessel(prepared, { ...wish, rows: 1, shouldStop: () => true }, day)
        if (!amount.ok) return amount
        if (!head.ok) return head
        const tell = paced((soFar: Carpet) => onCarpet(soFar), now)
        const telling = {
          ...wish,
          onRow: (_n: number, _of: number, row: CarpetRow) => {
            rows.push(row)
            tell({ ...head.value, rows: [...rows], stopped: false })
          },
        }
        const all = over(prepared, document)
        return all ? carpetOver(all, telling) : varyVessel(prepared, telling, day)
      }),
    coast: (document, wish, onProgress, onPoints) =>
      withVessel(document, wish.vessel, (prepared) => {
        let since: CoastPoint[] = []
        const tell = paced((runs: number) => {
          onProgress(runs, wish.mostRuns)
          onPoints(since)
          since = []
        }, now)
        const telling = {
          ...wish,
          onPoint: (runs: number, point: CoastPoint) => {
            since.push(point)
            tell(runs)
          },
        }
        const all = over(prepared, document)
        return all ? coastOver(all, telling) : coastOfVessel(prepared, telling, day)
      }),
    aim: (document, wish, onProgress) => {
      const tell = paced(onProgress, now)
      return withVessel(document, wish.vessel, async (prepared): Promise<Outcome<AimAnswer>> => {
        const telling = { ...wish, onRun: (runs: number) => tell(runs, 0) }
        const all = over(prepared, document)
        const aimed = await (all ? aimOver(all, telling) : aimOfVessel(prepared, telling, day))
        if (!aimed.ok) return aimed
        const { cautions } = aimed.value
        const worse = cautions === null ? [] : worseCautions(prepared.cautions, cautions)
        return done({ ...aimed.value, danger: dangerWords(worse, prepared, house) }, aimed.warnings)
      })
    },
    mistakes: (document, vessel, seen, onProgress) => {
      const onMistake = paced(onProgress, now)
      const all: Observation = Object.assign({}, ...seen)
      return withVessel(document, vessel, (prepared) => {
        const wish = { vessel, seen: all, onMistake }
        const spread = over(prepared, document)
        return spread ? mistakesOver(spread, wish) : mistakesOfVessel(prepared, wish, day)
      })
    },
    answersTo: (document, vessel, constants, onProgress) => {
      const onStep = paced(onProgress, now)
      return withVessel(document, vessel, (prepared) => {
        const reasons = reasonsOf(prepared, { vessel, answersTo: constants ? 'everything' : 'ingredients', onStep }, day)
        return reasons.ok ? done({ rows: reasons.value.sensitivities, method: reasons.value.sensitivityMethod }, reasons.warnings) : reasons
      })
    },
  }
}
