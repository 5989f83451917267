/** The course of the vessel on the desk with its band, worked out again when the document or the vessel changes. */
import type { Problem } from '@beakertide/basis/problems'
import type { Band, Rehearsal } from '@beakertide/core/rehearsal'
import type { Desk } from '../desk/desk.ts'
import { type Accessor, createEffect, createSignal, onCleanup } from '../framework.ts'

export interface Course {
  /** Null while it is worked out, or when it cannot be: then `problems` say why. */
  readonly rehearsal: Accessor<Rehearsal | null>
  readonly band: Accessor<Band | null>
  /** Null when no band is being worked out. */
  readonly progress: Accessor<{ readonly done: number; readonly of: number } | null>
  readonly problems: Accessor<readonly Problem[]>
  skipBand(): void
}

/** Varied runs: enough for the ends of a band to a digit. */
const BAND_RUNS = 40
const SEED = 1

/** Starts working at once; ends with the component that made it. `isWanted`: false holds everything (nothing to perform). */
export function createCourse(desk: Desk, isWanted: Accessor<boolean>): Course {
  const [rehearsal, setRehearsal] = createSignal<Rehearsal | null>(null)
  const [band, setBand] = createSignal<Band | null>(null)
  const [progress, setProgress] = createSignal<{ readonly done: number; readonly of: number } | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  let isWorking = false

  createEffect(() => {
    const document = desk.document()
    const vessel = desk.vessel()
    let isMine = true
    onCleanup(() => {
      isMine = false
      if (isWorking) void desk.work.cancel('band')
      isWorking = false
    })
    setRehearsal(null)
    setBand(null)
    setProgress(null)
    setProblems([])
    if (vessel === null || !isWanted()) return
    const work = async (): Promise<void> => {
      const run = await desk.work.rehearse(document, vessel)
      if (!isMine) return
      if (!run.ok) {
        setProblems(run.problems)
        return
      }
      setRehearsal(run.value)
      isWorking = true
      setProgress({ done: 0, of: BAND_RUNS })
      const spread = await desk.work.band(document, vessel, BAND_RUNS, SEED, (done, of) => {
        if (isMine && isWorking) setProgress({ done, of })
      })
      if (!isMine) return
      isWorking = false
      setProgress(null)
      if (spread.ok) setBand(spread.value)
    }
    void work()
  })
  return {
    rehearsal,
    band,
    progress,
    problems,
    skipBand() {
      isWorking = false
      setProgress(null)
      void desk.work.cancel('band')
    },
  }
}
