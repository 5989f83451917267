/** How large the letters of a course may be, so that it stays one page: an estimate on the safe side, from the style of print. */
import type { Block, Cue, CueLetters } from './paper.ts'

/** Letters of running text, pt, and their mean width as a share of their size (usual face). */
const TEXT_PT = 10
const LETTER_WIDTH = 0.48
/** Sizes of the course in multiples of running text, as the style has them. */
const SIZES: readonly (readonly [CueLetters, number])[] = [
  ['large', 1.25],
  ['middling', 1.1],
  ['small', 0.95],
]
/** The lower of the two sheets (letter, 279.4 mm) less its margins of 11 mm; width of the narrower (A4, 210 mm) less 14 mm each; pt. */
const PAGE_PT = (279.4 - 22) * (72 / 25.4)
const WIDTH_PT = (210 - 28) * (72 / 25.4)
/** Title, what stands over the course, its head and the imprint, pt. */
const AROUND_PT = 100
/** A strip with its scale and caption, pt. */
const STRIP_PT = 85
/** Letters of the danger block, pt, and its frame with the word over it. */
const DANGER_PT = 7
const DANGER_FRAME_PT = 50
/** Shares of the width that the two columns of words have. */
const WHAT_SHARE = 0.4
const SAY_SHARE = 0.36
/** Sizes within the course, as shares of its own. */
const SMALLER = 0.76

const linesOf = (text: string, widthPt: number, pt: number): number =>
  text === '' ? 0 : Math.ceil(text.length / Math.max(8, Math.floor(widthPt / (LETTER_WIDTH * pt))))

function heightOf(c: Cue, size: number): number {
  const pt = size * TEXT_PT
  const what =
    linesOf(c.what, WHAT_SHARE * WIDTH_PT, pt) * 1.2 * pt + linesOf(c.between, WHAT_SHARE * WIDTH_PT, SMALLER * pt) * 1.2 * pt * SMALLER
  const say = c.say === '' ? 0 : linesOf(c.say, SAY_SHARE * WIDTH_PT, SMALLER * pt) * 1.25 * pt * SMALLER + pt
  return Math.max(what, say, 1.28 * 1.2 * pt) + 0.6 * pt + 1
}

function dangerHeight(b: Extract<Block, { block: 'danger' }>): number {
  const texts = [...b.lines.map((l) => `${l.about}: ${l.what} ${l.instead}`), ...b.standing]
  // Two columns.
  const lines = texts.reduce((sum, text) => sum + linesOf(text, WIDTH_PT / 2 - 24, DANGER_PT), 0)
  return DANGER_FRAME_PT + (lines / 2 + 1) * 1.28 * DANGER_PT
}

/** The largest letters with which the course stands on one page under its danger block; the smallest where none do. */
export function cueLetters(cues: readonly Cue[], danger: Extract<Block, { block: 'danger' }>, hasStrip: boolean): CueLetters {
  const room = PAGE_PT - AROUND_PT - dangerHeight(danger) - (hasStrip ? STRIP_PT : 0)
  const fits = SIZES.find(([, size]) => cues.reduce((sum, c) => sum + heightOf(c, size), 0) <= room)
  return fits?.[0] ?? 'small'
}
