/** Rehearsals of the vessels of a prepared day, with bands and a progress line; shared by the commands that need them. */
import { done, gather, type Outcome, refuse, suggestion } from '@beakertide/basis/problems'
import type { Rehearsal } from '@beakertide/core/rehearsal'
import { bandOfVessel, type Prepared, rehearseVessel, usualRehearsal } from '@beakertide/demonstration'
import { dayFacts } from './desk.ts'
import type { Door } from './terminal/door.ts'
import { progressOn } from './terminal/progress.ts'

export interface RehearsingWish {
  readonly vessel?: string | undefined
  /** Varied runs a vessel; 0: no band. */
  readonly band: number
  readonly seed: number
}

/** Rehearsals in the order of the document. Problems: no such vessel, or whatever prevents a rehearsal. */
export function rehearsals(door: Door, prepared: Prepared, wish: RehearsingWish): Outcome<readonly Rehearsal[]> {
  const ids = prepared.demonstration.vessels.map((v) => v.id)
  if (wish.vessel !== undefined && !ids.includes(wish.vessel)) {
    return refuse({
      code: 'desk/no-such-vessel',
      where: `--vessel ${wish.vessel}`,
      what: `the demonstration has no vessel "${wish.vessel}"`,
      todo: suggestion(wish.vessel, ids) || 'leave the flag out',
    })
  }
  const facts = dayFacts()
  const progress = progressOn(door.process.stderr, () => door.now())
  const wanted = wish.vessel === undefined ? ids : [wish.vessel]
  const outcomes = wanted.map((id, i): Outcome<Rehearsal> => {
    const name = wanted.length > 1 ? `rehearsing vessel ${id}, ${i + 1} of ${wanted.length}` : `rehearsing vessel ${id}`
    const one = rehearseVessel(prepared, id, facts, {
      ...usualRehearsal,
      // Asked at every step of the integration: the place where a long run can say that it is alive.
      shouldStop: () => {
        progress.alive(name)
        return false
      },
    })
    if (!one.ok || wish.band === 0) return one
    const band = bandOfVessel(prepared, id, facts, {
      samples: wish.band,
      seed: wish.seed,
      onSample: (n, of) => progress.update(n, of, `band of vessel ${id}: varied run`),
    })
    return band.ok ? done({ ...one.value, band: band.value }, one.warnings) : band
  })
  progress.finish()
  return gather(outcomes)
}
