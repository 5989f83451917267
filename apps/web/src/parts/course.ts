/** The course of the vessel on the desk with its band, worked out again when the document or the vessel changes. */
import type { Problem } from '@beakertide/basis/problems'
import type { Band, Rehearsal } from '@beakertide/core/rehearsal'
import type { Desk } from '../desk/desk.ts'
import { type Accessor, createEffect, createSignal, onCleanup } from '../framework.ts'
import type { DocumentText } from '../work/contract.ts'
import { createBands } from './bands.ts'

export interface Course {
  /** Null while it is worked out, or when it cannot be: then `problems` say why. */
  readonly rehearsal: Accessor<Rehearsal | null>
  readonly band: Accessor<Band | null>
  /** Null when no band is being worked out. */
  readonly progress: Accessor<{ readonly done: number; readonly of: number } | null>
  readonly problems: Accessor<readonly Problem[]>
  skipBand(): void
}

/** Starts working at once; ends with the component that made it. `isWanted`: false holds everything (nothing to perform). */
export function createCourse(desk: Desk, isWanted: Accessor<boolean>): Course {
  const [run, setRun] = createSignal<{ readonly document: DocumentText; readonly vessel: string; readonly rehearsal: Rehearsal } | null>(
    null,
  )
  const [problems, setProblems] = createSignal<readonly Problem[]>([])

  createEffect(() => {
    const document = desk.document()
    const vessel = desk.vessel()
    let isMine = true
    onCleanup(() => {
      isMine = false
    })
    setRun(null)
    setProblems([])
    if (vessel === null || !isWanted()) return
    void desk.work.rehearse(document, vessel).then((answer) => {
      if (!isMine) return
      if (answer.ok) setRun({ document, vessel, rehearsal: answer.value })
      else setProblems(answer.problems)
    })
  })
  const bands = createBands(desk.work, () => {
    const now = run()
    return now && { document: now.document, vessels: [now.vessel] }
  })
  return {
    rehearsal: () => run()?.rehearsal ?? null,
    band: () => bands.byVessel()[run()?.vessel ?? ''] ?? null,
    progress: bands.progress,
    problems,
    skipBand: () => bands.skip(),
  }
}
