/** Long work, one call at a time in a worker of its own, which is ended when it is cancelled. */
import { done, type Outcome } from '@beakertide/basis/problems'
import { type Carpet, type CarpetRow, type CoastPoint, findAmount, type Observation } from '@beakertide/core/rehearsal'
import {
  aimOfVessel,
  bandOfVessel,
  bandRehearsal,
  coastOfVessel,
  mistakesOfVessel,
  type Prepared,
  reasonsOf,
  requestFor,
  varyVessel,
} from '@beakertide/demonstration'
import type { Work } from '../contract.ts'
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

export function longCalls(house: House, now: () => number): LongCalls {
  const { day } = house.facts
  const withVessel = async <T>(
    document: Parameters<Work['band']>[0],
    vessel: string,
    then: (prepared: Prepared) => Outcome<T>,
  ): Promise<Outcome<T>> => {
    const prepared = house.prepared(document)
    if (!prepared.ok) return prepared
    const there = vesselOf(prepared.value, vessel)
    return there.ok ? then(prepared.value) : there
  }
  return {
    band: (document, vessel, samples, seed, onProgress) => {
      const onSample = paced(onProgress, now)
      return withVessel(document, vessel, (prepared) => bandOfVessel(prepared, vessel, day, { samples, seed, onSample }))
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
        return varyVessel(
          prepared,
          {
            ...wish,
            onRow: (_n, _of, row) => {
              rows.push(row)
              tell({ ...head.value, rows: [...rows], stopped: false })
            },
          },
          day,
        )
      }),
    coast: (document, wish, onProgress, onPoints) =>
      withVessel(document, wish.vessel, (prepared) => {
        let since: CoastPoint[] = []
        const tell = paced((runs: number) => {
          onProgress(runs, wish.mostRuns)
          onPoints(since)
          since = []
        }, now)
        return coastOfVessel(
          prepared,
          {
            ...wish,
            onPoint: (runs, point) => {
              since.push(point)
              tell(runs)
            },
          },
          day,
        )
      }),
    aim: (document, wish, onProgress) => {
      const tell = paced(onProgress, now)
      return withVessel(document, wish.vessel, (prepared) => aimOfVessel(prepared, { ...wish, onRun: (runs) => tell(runs, 0) }, day))
    },
    mistakes: (document, vessel, seen, onProgress) => {
      const onMistake = paced(onProgress, now)
      const all: Observation = Object.assign({}, ...seen)
      return withVessel(document, vessel, (prepared) => mistakesOfVessel(prepared, { vessel, seen: all, onMistake }, day))
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
