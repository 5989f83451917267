/** What the page asks of its workers, and what it gets: plain data only. The page itself imports types of core, never its code. */
import type { Problem } from '@beakertide/basis/problems'
import type { Cautions } from '@beakertide/core/cautions'
import type { ClearingPlan, PlaceLimits, ReductantId } from '@beakertide/core/clearing'
import type { DangerLine, Paper, RunToPrint } from '@beakertide/core/papers'
import type { Band, Carpet, Coast, MistakesFound, CoastPoint, Observation, Rehearsal, Sensitivity } from '@beakertide/core/rehearsal'
import type { Answer, DocumentText } from './asked.ts'
import type { RecordWork } from './record-contract.ts'
import type { ShelfWork } from './shelf-contract.ts'
import type {
  AimResult,
  AimWish,
  CoastWish,
  Demonstration,
  Prepared,
  QuickChanges as Changes,
  QuickLook as LookedAt,
  RatesAlong,
  Reasons,
  VaryWish,
} from '@beakertide/demonstration'

export type { Answer, DocumentText } from './asked.ts'
export type { QuickChanges as Changes } from '@beakertide/demonstration'

/** All that can be said before anything is rehearsed. What could not be computed is null, and `problems` say why, danger first. */
export interface DayView {
  readonly demonstration: Demonstration | null
  readonly prepared: Prepared | null
  /** Cautions in the order and the words of print, also where nothing was prepared; refusals stand among `problems` too. */
  readonly danger: readonly DangerLine[]
  /** Where nothing was prepared: what heads the cautions that are known all the same. Absent where none are known. */
  readonly known?: Pick<Cautions, 'standing' | 'incomplete'>
  readonly problems: readonly Problem[]
  readonly warnings: readonly Problem[]
}

/** A look while a slider is held. */
export interface QuickLook extends Omit<LookedAt, 'worse'> {
  /** What the changes add to the cautions of the recipe as written, in the letters of print; shown before any changed amount. */
  readonly danger: readonly DangerLine[]
}

/** An aim as the page gets it. */
export interface AimAnswer extends AimResult {
  /** What the changed recipe adds to the cautions of the present one, in the letters of print; shown before any amount. */
  readonly danger: readonly DangerLine[]
}

export const noChanges: Changes = { amounts: {}, celsius: null, depthCm: null, constants: {} }

/** Progress of long work: done, of how many, and what is being done (a key of the words). */
export type OnProgress = (done: number, of: number) => void

export interface ClearWish {
  readonly vessel: string
  /** s on the document's clock; null: let it finish. */
  readonly stopAtS: number | null
  /** Ranges over finished and stopped early, as the sheet prints them; `stopAtS` is not looked at. */
  readonly anyTime?: boolean
  readonly reductant: ReductantId | null
  readonly hottestCelsius: number | null
  /** Of the rehearsal, where one was made: a chosen stop, or the end, is then as far as its slowest and its fastest run. Not looked at for any time. */
  readonly band?: Band | null
  /** Limits of the place in force; null or missing: those of the document, if it has any. */
  readonly place?: PlaceLimits | null
}

/** What papers print besides what follows from the document. */
export interface PapersGiven {
  /** By vessel, as `band` gave them. */
  readonly bands?: Readonly<Record<string, Band>>
  /** Performances to write up. */
  readonly runs?: readonly RunToPrint[]
}

/**
 * Everything the page asks for. Every call may be superseded: the client drops answers that are no longer wanted, and
 * cancels long work (`cancel`). A quick look that is overtaken by a newer one of the same vessel gets the newer answer. Whatever is refused for danger comes back as problems with `danger`.
 */
export interface Work extends ShelfWork, RecordWork {
  open(document: DocumentText, name: string): Promise<DayView>
  quickLook(document: DocumentText, vessel: string, changes: Changes): Promise<Answer<QuickLook>>
  /** When the sliders rest: the same look with the accuracy of a rehearsal, refused like a document. */
  fineLook(document: DocumentText, vessel: string, changes: Changes): Promise<Answer<QuickLook>>
  rehearse(document: DocumentText, vessel: string): Promise<Answer<Rehearsal>>
  band(document: DocumentText, vessel: string, samples: number, seed: number, onProgress: OnProgress): Promise<Answer<Band>>
  carpet(document: DocumentText, wish: Omit<VaryWish, 'onRow' | 'shouldStop'>, onCarpet: (soFar: Carpet) => void): Promise<Answer<Carpet>>
  coast(
    document: DocumentText,
    wish: Omit<CoastWish, 'onPoint' | 'shouldStop'>,
    onProgress: OnProgress,
    onPoints: (since: readonly CoastPoint[]) => void,
  ): Promise<Answer<Coast>>
  aim(document: DocumentText, wish: Omit<AimWish, 'onRun' | 'shouldStop'>, onProgress: OnProgress): Promise<Answer<AimAnswer>>
  mistakes(document: DocumentText, vessel: string, seen: readonly Observation[], onProgress: OnProgress): Promise<Answer<MistakesFound>>
  /** Without sensitivities (`answersTo` has them). */
  reasons(document: DocumentText, vessel: string, atS: number | null): Promise<Answer<Reasons>>
  ratesAlong(document: DocumentText, vessel: string): Promise<Answer<RatesAlong>>
  /** Sensitivities to ingredients and temperature; to every constant too when `constants` (slow). */
  answersTo(
    document: DocumentText,
    vessel: string,
    constants: boolean,
    onProgress: OnProgress,
  ): Promise<Answer<{ readonly rows: readonly Sensitivity[]; readonly method: string }>>
  clear(document: DocumentText, wish: ClearWish): Promise<Answer<ClearingPlan>>
  papers(document: DocumentText, kinds: readonly string[], given?: PapersGiven): Promise<Answer<readonly Paper[]>>
  /** Strength of the catalogue: names of mechanisms and of substances, for choosing. */
  choices(): Promise<{
    readonly mechanisms: readonly { readonly name: string; readonly title: string }[]
    readonly substances: readonly { readonly id: string; readonly name: string; readonly hydrates: readonly string[] }[]
  }>
  /** The work that runs under this name stops within 100 ms and answers with problem "work/cancelled". */
  cancel(what: 'band' | 'carpet' | 'coast' | 'aim' | 'mistakes' | 'answersTo'): Promise<void>
}
