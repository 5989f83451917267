/** Sheets of labels in plain numbers, and how much text a label of a size holds in letters that can be read. */
import type { LabelToPrint } from './paper.ts'

export type PaperSize = 'A4' | 'letter'
/** mm; ISO 216 and the North American letter size (8.5 by 11 in). */
export const PAPER_MM: Readonly<Record<PaperSize, { readonly width: number; readonly height: number }>> = {
  A4: { width: 210, height: 297 },
  letter: { width: 215.9, height: 279.4 },
}

/** A sheet of labels, all lengths in mm. */
export interface LabelSheet {
  readonly id: string
  readonly paper: PaperSize
  readonly columns: number
  readonly rows: number
  readonly widthMm: number
  readonly heightMm: number
  /** From the edge of the paper to the first label. */
  readonly leftMm: number
  readonly topMm: number
  /** Between labels. */
  readonly gapXMm: number
  readonly gapYMm: number
  /** Plain paper: lines to cut along are printed. */
  readonly cut: boolean
}

function sheet(
  paper: PaperSize,
  columns: number,
  rows: number,
  widthMm: number,
  heightMm: number,
  gapXMm: number,
  gapYMm = 0,
  cut = false,
): LabelSheet {
  const page = PAPER_MM[paper]
  const round = (v: number): number => Math.round(100 * v) / 100
  return {
    id: `${paper}-${columns}x${rows}${cut ? '-cut' : ''}`,
    paper,
    columns,
    rows,
    widthMm,
    heightMm,
    leftMm: round((page.width - columns * widthMm - (columns - 1) * gapXMm) / 2),
    topMm: round((page.height - rows * heightMm - (rows - 1) * gapYMm) / 2),
    gapXMm,
    gapYMm,
    cut,
  }
}

/**
 * Common sheets, laid out in the middle of the paper (sizes: common practice, no source), and plain paper to cut: 74 by 52 and
 * 105 by 74 mm are the label sizes of data/hazards/ghs_rules.csv LAB-11.
 */
export const LABEL_SHEETS: readonly LabelSheet[] = [
  sheet('A4', 2, 4, 99.1, 67.7, 2.5),
  sheet('A4', 2, 5, 99.1, 57, 2.5),
  sheet('A4', 2, 7, 99.1, 38.1, 2.5),
  sheet('A4', 3, 7, 63.5, 38.1, 2.5),
  sheet('A4', 2, 2, 105, 148.5, 0),
  sheet('A4', 2, 5, 74, 52, 8, 4, true),
  sheet('A4', 1, 3, 105, 74, 0, 8, true),
  sheet('letter', 2, 3, 101.6, 84.67, 4.76),
  sheet('letter', 2, 5, 101.6, 50.8, 4.76),
  sheet('letter', 2, 4, 74, 52, 8, 6, true),
  sheet('letter', 1, 3, 105, 74, 0, 8, true),
]

/** "2 × 4, 99.1 × 67.7 mm" */
export function sheetWords(s: LabelSheet): string {
  return `${s.columns} × ${s.rows}, ${s.widthMm} × ${s.heightMm} mm`
}

/** Side of the square of a pictogram, mm: 16 on a label of 52 by 74 mm or more, 23 for 3 to 50 L, else the least of 10 (LAB-11). */
export function pictogramSideMm(label: Pick<LabelToPrint, 'volumeL'>, s: LabelSheet): number {
  const [short, long] = [Math.min(s.widthMm, s.heightMm), Math.max(s.widthMm, s.heightMm)]
  if (label.volumeL > 3 && short >= 74) return 23
  return short >= 52 && long >= 74 ? 16 : 10
}

/**
 * Letters on a label, pt, largest first. The least gives an x-height of 1.2 mm with the usual face: less is not to be printed on a small
 * label (memory).
 */
export const LABEL_LETTERS_PT = [10, 9, 8, 7] as const
const PT_MM = 25.4 / 72
/** Mean width of a letter, as a share of its size; on the wide side. */
const LETTER_WIDTH = 0.5
const LINE_HEIGHT = 1.16
/** Inside edge of a label, mm. */
export const LABEL_PADDING_MM = 2.5
/** Name in large letters, and the lines to write on at the foot, mm. */
const HEAD_MM = 5.6
const FOOT_MM = 6.2

/** full: statements in words; short: hazards in words, precautions by number; least: both by number. */
export type LabelDetail = 'full' | 'short' | 'least'

export interface LabelFit {
  readonly detail: LabelDetail
  readonly lettersPt: (typeof LABEL_LETTERS_PT)[number]
  readonly pictureColumns: number
  /** False: even the least does not fit in letters that can be read; take a larger label. */
  readonly fits: boolean
}

/** The texts of a label at a level of detail. */
export function labelLines(l: LabelToPrint, detail: LabelDetail): { readonly hazards: string; readonly precautions: string } {
  const numbers = (list: readonly { readonly code: string }[]): string => list.map((s) => s.code).join(' ')
  const words = (list: readonly { readonly code: string; readonly text: string }[]): string =>
    list.map((s) => `${s.code} ${s.text}`.trim()).join('. ')
  return {
    hazards: detail === 'least' ? numbers(l.hazards) : words(l.hazards),
    precautions: detail === 'full' ? words(l.precautions) : numbers(l.precautions),
  }
}

function linesNeeded(text: string, widthMm: number, lettersPt: number): number {
  if (text === '') return 0
  const perLine = Math.max(8, Math.floor(widthMm / (LETTER_WIDTH * lettersPt * PT_MM)))
  return Math.ceil(text.length / perLine)
}

/** The richest label that fits, in the largest letters. The estimate is on the safe side: wide letters, whole lines. */
export function fitLabel(l: LabelToPrint, s: LabelSheet): LabelFit {
  const width = s.widthMm - 2 * LABEL_PADDING_MM
  const room = s.heightMm - 2 * LABEL_PADDING_MM - HEAD_MM - FOOT_MM
  const picture = pictogramSideMm(l, s) * Math.SQRT2
  const pictures = l.pictograms.length
  const fitsAt = (detail: LabelDetail, pt: number, columns: number): boolean => {
    const beside = width - (columns > 0 ? columns * picture + 2 : 0)
    if (beside < 0.3 * width) return false
    const text = labelLines(l, detail)
    const lines = (part: string, wide: number): number => linesNeeded(part, wide, pt)
    const contents = l.contents.reduce((sum, c) => sum + lines(c, width), 0)
    const words = (l.signalWord === '' ? 0 : 1.5) + lines(text.hazards, beside) + lines(text.precautions, beside) + lines(l.doubt, beside)
    const lineMm = pt * PT_MM * LINE_HEIGHT
    const picturesMm = columns === 0 ? 0 : Math.ceil(pictures / columns) * picture
    return contents * lineMm + Math.max(words * lineMm, picturesMm) <= room
  }
  // Pictograms in one column beside the text, in more where the label is low.
  const columnsTried = pictures === 0 ? [0] : Array.from({ length: pictures }, (_, i) => i + 1)
  for (const detail of ['full', 'short', 'least'] as const) {
    for (const lettersPt of LABEL_LETTERS_PT) {
      const pictureColumns = columnsTried.find((columns) => fitsAt(detail, lettersPt, columns))
      if (pictureColumns !== undefined) return { detail, lettersPt, pictureColumns, fits: true }
    }
  }
  return { detail: 'least', lettersPt: 7, pictureColumns: Math.min(2, pictures), fits: false }
}
