/** Rehearsals of the vessels of a prepared day, with bands and a progress line; shared by the commands that need them. */
import { done, gather, type Outcome, refuse } from '@beakertide/basis/problems'
import type { Band, Rehearsal } from '@beakertide/core/rehearsal'
import { bandOver, cancelled, type Prepared, rehearseVessel, usualRehearsal } from '@beakertide/demonstration'
import { atWork, type ThreadFlags } from './at-work.ts'
import { dayFacts, type ReadyDay } from './desk.ts'
import type { Door } from './terminal/door.ts'
import { progressOn } from './terminal/progress.ts'
import { vesselsWanted } from './vessels.ts'

export interface BandWish extends ThreadFlags {
  /** Varied runs a vessel; 0: no band. */
  readonly band: number
  readonly seed: number
}

/** Rehearsals in the order of the document, without bands. Problems: no such vessel, or whatever prevents a rehearsal. */
export function rehearsals(door: Door, prepared: Prepared, wish: { readonly vessel?: string | undefined }): Outcome<readonly Rehearsal[]> {
  const vessels = vesselsWanted(prepared, wish.vessel)
  if (!vessels.ok) return vessels
  const wanted = vessels.value
  const facts = dayFacts()
  const progress = progressOn(door.process.stderr, () => door.now())
  const outcomes = wanted.map((id, i): Outcome<Rehearsal> => {
    const name = wanted.length > 1 ? `rehearsing vessel ${id}, ${i + 1} of ${wanted.length}` : `rehearsing vessel ${id}`
    return rehearseVessel(prepared, id, facts, {
      ...usualRehearsal,
      // Asked at every step of the integration: the place where a long run can say that it is alive.
      shouldStop: () => {
        progress.alive(name)
        return false
      },
    })
  })
  progress.finish()
  return gather(outcomes)
}

/** Bands of vessels in their order, made over all cores. Problem: it was interrupted. */
export async function bandsOf(door: Door, ready: ReadyDay, vessels: readonly string[], wish: BandWish): Promise<Outcome<readonly Band[]>> {
  const progress = progressOn(door.process.stderr, () => door.now())
  const outcomes = await atWork(door, ready, wish, async (day) => {
    const out: Outcome<Band>[] = []
    for (const vessel of vessels) {
      const band = await bandOver(day, {
        vessel,
        samples: wish.band,
        seed: wish.seed,
        onSample: (n, of) => progress.update(n, of, `band of vessel ${vessel}: varied run`),
      })
      if (day.signal?.aborted === true) return [refuse(cancelled)]
      out.push(band)
    }
    return out
  })
  progress.finish()
  return gather(outcomes)
}

/** The same rehearsals with their bands. Problem: it was interrupted. */
export async function withBands(
  door: Door,
  ready: ReadyDay,
  made: readonly Rehearsal[],
  wish: BandWish,
): Promise<Outcome<readonly Rehearsal[]>> {
  if (wish.band === 0) return done(made)
  const bands = await bandsOf(
    door,
    ready,
    made.map((r) => r.vessel),
    wish,
  )
  return bands.ok
    ? done(
        made.map((r, i) => ({ ...r, band: bands.value[i] ?? r.band })),
        bands.warnings,
      )
    : bands
}
