/** Bands of vessels: how far apart the same recipe comes out, worked out one vessel after the other where a page wants them. */
import type { Band } from '@beakertide/core/rehearsal'
import { type Accessor, createEffect, createMemo, createSignal, onCleanup, untrack } from '../framework.ts'
import type { DocumentText, Work } from '../work/contract.ts'

export interface BandWish {
  readonly document: DocumentText
  readonly vessels: readonly string[]
}

export interface Bands {
  /** Of what is wanted now, as far as they are there. */
  readonly byVessel: Accessor<Readonly<Record<string, Band>>>
  /** Null when no band is being worked out. */
  readonly progress: Accessor<{ readonly vessel: string; readonly done: number; readonly of: number } | null>
  /** Works none out any more until something else is wanted. */
  skip(): void
}

/** Varied runs: enough for the ends of a band to a digit. */
const BAND_RUNS = 40
const SEED = 1
const NONE: Readonly<Record<string, Band>> = {}

const isSame = (a: BandWish | null, b: BandWish | null): boolean =>
  a === b ||
  (a !== null &&
    b !== null &&
    a.document === b.document &&
    a.vessels.length === b.vessels.length &&
    a.vessels.every((vessel, i) => vessel === b.vessels[i]))

/** Ends with the component that made it. `wanted` null: none. */
export function createBands(work: Work, wanted: Accessor<BandWish | null>): Bands {
  const wish = createMemo(wanted, null, { equals: isSame })
  const [made, setMade] = createSignal<{ readonly of: BandWish | null; readonly byVessel: Readonly<Record<string, Band>> }>({
    of: null,
    byVessel: NONE,
  })
  const [progress, setProgress] = createSignal<ReturnType<Bands['progress']>>(null)
  const byVessel = createMemo(() => (made().of === wish() ? made().byVessel : NONE))
  let round = 0
  const skip = (): void => {
    round++
    if (untrack(progress) === null) return
    setProgress(null)
    void work.cancel('band')
  }
  const make = async (of: BandWish): Promise<void> => {
    const mine = ++round
    for (const vessel of of.vessels) {
      setProgress({ vessel, done: 0, of: BAND_RUNS })
      const band = await work.band(of.document, vessel, BAND_RUNS, SEED, (done, runs) => {
        if (mine === round) setProgress({ vessel, done, of: runs })
      })
      if (mine !== round) return
      if (band.ok) setMade({ of, byVessel: { ...byVessel(), [vessel]: band.value } })
    }
    setProgress(null)
  }
  createEffect(() => {
    const now = wish()
    onCleanup(skip)
    if (now) void make(now)
  })
  return { byVessel, progress, skip }
}
