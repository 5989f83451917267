/** The open demonstration as the pages see it. Text is the truth; everything else follows from it. */
import type { DangerLine } from '@beakertide/core/papers'
import type { Problem } from '@beakertide/basis/problems'
import type { Renaming } from '@beakertide/demonstration/edit'
import type { Accessor } from '../framework.ts'
import type { Edit } from './edit.ts'
import type { Changes, DayView, DocumentText, Work } from '../work/contract.ts'

export type { Edit } from './edit.ts'

export type StopName = 'bench' | 'shelf' | 'makeup' | 'pour' | 'rehearsal' | 'reasons' | 'perform' | 'clearing' | 'papers'
/** How a stop of the day stands, with the reason in words. */
export interface StopState {
  readonly state: 'ready' | 'look' | 'stop'
  readonly why: string
}

export interface Desk {
  /** Key of the open demonstration in the store; null before any is open. */
  readonly key: Accessor<string | null>
  readonly document: Accessor<DocumentText>
  /** Answer to the present text, or to the last one while the present one is being read (`reading`). */
  readonly day: Accessor<DayView | null>
  readonly reading: Accessor<boolean>
  /** Vessel the pages speak of; the first by default. */
  readonly vessel: Accessor<string | null>
  chooseVessel(id: string): void
  /** Sliders held and not yet written into the document. */
  readonly changes: Accessor<Changes>
  change(changes: Changes): void
  /** Replaces the text, as typed; one entry of the history for a pause in typing. */
  write(text: string): void
  /** Changes values in place: comments and order of the document stay. All edits at once are one entry of the history. */
  edit(edits: readonly Edit[], label: string): void
  /** A bottle, solution or vessel called otherwise everywhere; why not, where it cannot be. */
  rename(renaming: Renaming): Promise<readonly Problem[]>
  undo(): void
  redo(): void
  readonly canUndo: Accessor<string | null>
  readonly canRedo: Accessor<string | null>
  readonly saved: Accessor<'saved' | 'saving' | 'not saved'>
  /** Dangers of clearing as the newest plans for the present text say them, vessel by vessel; null: no plan was worked out for it yet. */
  readonly clearingDanger: Accessor<readonly DangerLine[] | null>
  /** What a plan for this document and vessel says. */
  knowClearing(document: DocumentText, vessel: string, danger: readonly DangerLine[]): void
  stop(name: StopName): StopState
  readonly work: Work
}
