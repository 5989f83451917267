/** The papers of a day by name: the one list that every door prints from. */
import type { Cautions, HazardFacts } from '../cautions/index.ts'
import type { ClearingPlan } from '../clearing/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import type { Rehearsal } from '../rehearsal/index.ts'
import { cautionSheet } from './caution-sheet.ts'
import { checkSheet, type PouredToPrint } from './check-sheet.ts'
import { clearingSheet } from './clearing-sheet.ts'
import { cueSheet } from './cue-sheet.ts'
import { labelSheet } from './label-sheet.ts'
import { makeUpSheet, shoppingSheet } from './make-up-sheet.ts'
import type { Paper } from './paper.ts'
import { type RecipeToPrint, recipePage } from './recipe-page.ts'
import { rehearsalSheet } from './rehearsal-sheet.ts'
import type { SpeciesBook } from './species-book.ts'
import { typesetPaper } from './typeset.ts'
import type { Saying } from './what-to-say.ts'
import { type RunToPrint, writeUpSheet } from './write-up-sheet.ts'

/** In the order of the day. */
export const PAPER_KINDS = [
  'cautions',
  'check',
  'shopping',
  'make-up',
  'labels',
  'recipe',
  'rehearsal',
  'cues',
  'clearing',
  'write-up',
] as const
export type PaperKind = (typeof PAPER_KINDS)[number]

export const isPaperKind = (text: string): text is PaperKind => PAPER_KINDS.some((k) => k === text)

/** Papers that need the course of the day, and those that need a clearing plan besides. */
export const NEEDS_REHEARSAL: readonly PaperKind[] = ['cautions', 'rehearsal', 'cues', 'clearing', 'write-up']
/** The cautions sheet holds the dangers of clearing too, whether or not the clearing sheet is printed with it. */
export const NEEDS_CLEARING: readonly PaperKind[] = ['cautions', 'clearing']

export interface DayOfPapers {
  readonly recipe: RecipeToPrint
  readonly cautions: Cautions
  readonly makeUp: MakeUp
  readonly poured: readonly PouredToPrint[]
  /** Empty is allowed where no wanted paper needs it. */
  readonly rehearsals: readonly Rehearsal[]
  readonly plans: readonly ClearingPlan[]
  /** Performances to write up. */
  readonly runs?: readonly RunToPrint[]
  /** What the reasons say of each vessel's colour, for the cue sheet. */
  readonly sayings?: readonly Saying[]
  readonly hazards: HazardFacts
}

/** The wanted papers in the order of the day. */
export function dayPapers(day: DayOfPapers, kinds: readonly PaperKind[], book: SpeciesBook): readonly Paper[] {
  const { recipe, cautions, makeUp, poured, rehearsals, plans } = day
  const { title } = recipe
  const make: Readonly<Record<PaperKind, () => Paper>> = {
    cautions: () =>
      typesetPaper(
        cautionSheet(
          title,
          cautions,
          plans.flatMap((p) => p.cautions),
        ),
        book,
      ),
    check: () => checkSheet(title, makeUp, poured, cautions, book),
    shopping: () => shoppingSheet(title, makeUp, cautions, book),
    'make-up': () => makeUpSheet(title, makeUp, cautions, book),
    labels: () => labelSheet(title, makeUp, cautions, day.hazards, book),
    recipe: () => recipePage(recipe, cautions, book),
    rehearsal: () => rehearsalSheet(title, rehearsals, cautions, book),
    cues: () =>
      cueSheet(
        {
          title,
          vessels: recipe.vessels,
          rehearsals,
          ...(day.sayings === undefined ? {} : { sayings: day.sayings }),
          ...(recipe.room.audienceM === undefined ? {} : { audienceM: recipe.room.audienceM }),
        },
        cautions,
        book,
      ),
    clearing: () => clearingSheet(title, plans, cautions, book),
    'write-up': () =>
      writeUpSheet({ title, story: recipe.story, room: recipe.room, makeUp, rehearsals, runs: day.runs ?? [] }, cautions, book),
  }
  return PAPER_KINDS.filter((k) => kinds.includes(k)).map((k) => make[k]())
}
