/** A printable document as plain blocks; doors draw it as HTML, terminal text or PDF. */
import type { Severity } from '../cautions/index.ts'

/** One caution as it is printed. */
export interface DangerLine {
  readonly severity: Severity
  /** It forbids the plan as it stands. */
  readonly refused: boolean
  /** True when it speaks of something this demonstration does not plan (clearing a whole bottle, say); such lines come after the others. */
  readonly onlyIf: boolean
  /** True when it holds only if the bottles are poured together as they are; other lines of `onlyIf` are about clearing surplus. */
  readonly neat?: true
  /** Where it happens: 'vessel "jar"'; several places joined when they share one caution. */
  readonly about: string
  /** What happens, as a sentence. */
  readonly what: string
  /** What to do instead, and the stated control measure, as sentences. */
  readonly instead: string
  /** True when a stated control measure lifts a refusal: such a line stands on every paper. */
  readonly controlled?: true
}

/** One strip sample: the colour from this time to the next sample. */
export interface StripPoint {
  readonly timeS: number
  /** "#rrggbb" */
  readonly hex: string
  readonly name: string
}
export interface StripTurn {
  readonly timeS: number
  readonly from: string
  readonly to: string
}

export interface PaperTrace {
  readonly name: string
  readonly unit: string
  readonly timesS: readonly number[]
  readonly values: readonly number[]
}

/** A list entry, with what belongs under it in a quieter voice. */
export type ListItem =
  | string
  | {
      readonly text: string
      readonly under: readonly string[]
      /** A name of the user's own that it is about; stands before the text. */
      readonly of?: string
      /** Can hurt somebody; said first. */
      readonly danger?: true
    }

/** The entry in one text, without what stands under it. `danger`: the word that heads what can hurt. */
export function itemText(item: ListItem, danger = 'DANGER.'): string {
  if (typeof item === 'string') return item
  return `${item.danger ? `${danger} ` : ''}${item.of === undefined ? '' : `${item.of}: `}${item.text}`
}

/** What one bottle label says; doors lay labels out on the sheet that is in the printer. */
export interface LabelToPrint {
  /** Name of the solution. */
  readonly name: string
  readonly volume: string
  readonly volumeL: number
  /** "potassium iodate 0.190 ± 0.002 mol/L" */
  readonly contents: readonly string[]
  /** Empty where the classes ask for none. */
  readonly signalWord: string
  /** "GHS05" … after precedence. */
  readonly pictograms: readonly string[]
  readonly hazards: readonly LabelStatement[]
  readonly precautions: readonly LabelStatement[]
  /** Said when hazards of some ingredient are not on file: unknown is not harmless. */
  readonly doubt: string
}
export interface LabelStatement {
  /** "H318", "P305+P351+P338" */
  readonly code: string
  readonly text: string
}

/** A line of the cue sheet. */
export interface Cue {
  readonly atS: number
  readonly kind: 'pour' | 'turn' | 'end'
  readonly what: string
  /** "between 40 s and 1 min 20 s"; empty without a band. */
  readonly between: string
  /** What to say; empty: a line to write on. */
  readonly say: string
}

/** Size of the letters of a course: as large as one page allows. */
export type CueLetters = 'large' | 'middling' | 'small'

/** A line of the recipe with its check characters. */
export interface CodedLine {
  readonly text: string
  readonly code: string
}

/** A column of a table. */
export interface PaperColumn {
  readonly title: string
  readonly align: 'left' | 'right'
  /** What stands in it is the user's own (names) or cited: it is the same in every language. */
  readonly own?: true
  /** Names with numbers behind them: the names stay, the numbers are told. */
  readonly named?: true
  /** Its heading is a name of the user's own. */
  readonly ownTitle?: true
}

/** `own`: words of the user's own or cited, the same in every language. */
export type Block =
  | { readonly block: 'heading'; readonly level: 1 | 2 | 3; readonly text: string; readonly own?: true }
  /** Heads every paper. `standing` are the lines that no computation gives. */
  | { readonly block: 'danger'; readonly lines: readonly DangerLine[]; readonly standing: readonly string[] }
  | { readonly block: 'text'; readonly text: string; readonly own?: true }
  | { readonly block: 'list'; readonly ordered: boolean; readonly items: readonly ListItem[]; readonly own?: true }
  | {
      readonly block: 'table'
      readonly columns: readonly PaperColumn[]
      readonly rows: readonly (readonly string[])[]
      readonly caption?: string
    }
  | {
      readonly block: 'strip'
      readonly caption: string
      readonly samples: readonly StripPoint[]
      readonly turns: readonly StripTurn[]
    }
  | { readonly block: 'traces'; readonly caption: string; readonly traces: readonly PaperTrace[] }
  /** Bottle labels: on sheets of their own, each sheet filled to the edge. */
  | { readonly block: 'labels'; readonly labels: readonly LabelToPrint[] }
  /** The course of the performance in type that is read from a lectern. */
  | { readonly block: 'cues'; readonly cues: readonly Cue[]; readonly letters: CueLetters }
  /** Lines to write on. */
  | { readonly block: 'fields'; readonly fields: readonly string[] }
  /** Lines of a recipe, each with its check characters, and those of all lines together. */
  | {
      readonly block: 'checked'
      readonly groups: readonly { readonly title: string; readonly lines: readonly CodedLine[] }[]
      readonly page: string
    }

export interface Paper {
  readonly kind: string
  readonly title: string
  readonly blocks: readonly Block[]
}
