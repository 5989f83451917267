/** The carpet as SVG text: one strip a value on a shared time axis, with the value at the left, marks at the turns and numbers at the right. */
import { formatNumber } from '@beakertide/basis/units'
import type { Carpet, CarpetRow } from '../rehearsal/index.ts'
import { escapeMarkup } from './markup.ts'
import { stretchesOf, stripColumns } from './strip-columns.ts'
import { SVG_FONT_PX, svgNumber, svgOpen, svgTimeScale } from './svg-strip.ts'
import { inEnglish, type Tell } from './telling.ts'
import { aboutTime } from './times.ts'

export interface CarpetDrawing {
  readonly carpet: Carpet
  readonly widthPx: number
  /** Height of one strip without its marks, px. */
  readonly rowPx: number
  readonly label: string
  /** For the words and numbers of the drawing; names of what varies are the user's own. */
  readonly tell?: Tell
}

const LEFT_PX = 92
const RIGHT_PX = 190
const HEAD_PX = 26
const FOOT_PX = 28
/** Under every strip: ticks at the turns, and the names of settled colours where they fit. */
const MARKS_PX = 17
const NAME_FONT_PX = 10
const LETTER_WIDTH = 0.56

/** "first 57 s; 12 cycles of 21 s": what the marks of a row say, in numbers. */
export function rowWords(row: CarpetRow): string {
  if (row.problems.some((p) => p.danger)) return 'refused as dangerous'
  const f = row.features
  if (f === null) return 'not rehearsed'
  if (f.firstTurnS === null) return 'no change'
  const first = `first ${aboutTime(f.firstTurnS)}`
  if (f.cycles === 0) return first
  const many = `${f.stillGoing ? 'over ' : ''}${f.cycles} ${f.cycles === 1 ? 'cycle' : 'cycles'}`
  return f.periodS === null ? `${first}; ${many}` : `${first}; ${many} of ${aboutTime(f.periodS)}`
}

/** True for the row nearest to the recipe as it is, when it is that within a thousandth. */
export function isPresent(carpet: Carpet, row: CarpetRow): boolean {
  return Math.abs(row.value - carpet.present) <= 1e-3 * Math.abs(carpet.present)
}

/** What is varied, as a heading. */
export function variedWords(varied: string, unit: Carpet['unit']): string {
  return unit === 'times' ? `${varied}, times the recipe` : `${varied}, ${unit}`
}

function rowParts(row: CarpetRow, carpet: Carpet, d: CarpetDrawing, top: number): readonly string[] {
  const n = svgNumber
  const right = d.widthPx - RIGHT_PX
  const width = right - LEFT_PX
  const x = (t: number): number => LEFT_PX + ((t - carpet.fromS) / (carpet.toS - carpet.fromS)) * width
  const middle = n(top + d.rowPx / 2 + SVG_FONT_PX / 3)
  const weight = isPresent(carpet, row) ? ' font-weight="bold"' : ''
  const { tell = inEnglish.tell } = d
  const value = tell(carpet.unit === 'times' ? `× ${formatNumber(row.value, 3)}` : row.text)
  const parts = [
    `<text x="${LEFT_PX - 8}" y="${middle}" text-anchor="end" fill="#1d1d1b"${weight}>${escapeMarkup(value)}</text>`,
    `<text x="${n(right + 8)}" y="${middle}" fill="#555" font-size="11">${escapeMarkup(tell(rowWords(row)))}</text>`,
  ]
  const columns = stripColumns(row.strip, Math.floor(width))
  parts.push('<g shape-rendering="crispEdges">')
  for (let i = 0; i < columns.length; ) {
    let j = i + 1
    while (j < columns.length && columns[j]!.hex === columns[i]!.hex) j++
    parts.push(`<rect x="${LEFT_PX + i}" y="${n(top)}" width="${j - i}" height="${d.rowPx}" fill="${escapeMarkup(columns[i]!.hex)}"/>`)
    i = j
  }
  parts.push(
    '</g>',
    `<rect x="${LEFT_PX - 0.5}" y="${n(top - 0.5)}" width="${n(width + 1)}" height="${d.rowPx + 1}" fill="none" stroke="#1d1d1b"/>`,
  )
  const bottom = top + d.rowPx
  for (const turn of row.turns) {
    parts.push(
      `<line x1="${n(x(turn.timeS))}" x2="${n(x(turn.timeS))}" y1="${n(bottom)}" y2="${n(bottom + 6)}" stroke="#1d1d1b" stroke-width="1.5"/>`,
    )
  }
  for (const s of stretchesOf(row.strip, row.turns)) {
    const [from, to] = [x(s.fromS), x(s.toS)]
    const name = tell(s.name)
    if (to - from < LETTER_WIDTH * NAME_FONT_PX * name.length + 6) continue
    parts.push(
      `<text x="${n((from + to) / 2)}" y="${n(bottom + 11)}" text-anchor="middle" font-size="${NAME_FONT_PX}" fill="#1d1d1b">${escapeMarkup(name)}</text>`,
    )
  }
  return parts
}

/** SVG text; without rows it says so. */
export function drawCarpet(d: CarpetDrawing): string {
  const n = svgNumber
  const { carpet, tell = inEnglish.tell } = d
  const pitch = d.rowPx + MARKS_PX
  const bottom = HEAD_PX + Math.max(1, carpet.rows.length) * pitch
  const parts = [
    svgOpen(d.widthPx, bottom + FOOT_PX, d.label),
    `<text x="4" y="16" fill="#1d1d1b">${escapeMarkup(tell(variedWords(carpet.varied, carpet.unit)))}</text>`,
  ]
  if (carpet.rows.length === 0)
    parts.push(`<text x="${LEFT_PX}" y="${n(HEAD_PX + pitch / 2)}" fill="#555">${escapeMarkup(tell('nothing to draw'))}</text>`)
  carpet.rows.forEach((row, i) => parts.push(...rowParts(row, carpet, d, HEAD_PX + i * pitch)))
  const right = d.widthPx - RIGHT_PX
  parts.push(`<line x1="${LEFT_PX}" x2="${n(right)}" y1="${n(bottom)}" y2="${n(bottom)}" stroke="#555"/>`)
  if (carpet.toS > carpet.fromS) parts.push(...svgTimeScale(carpet.fromS, carpet.toS, LEFT_PX, right, bottom))
  parts.push('</svg>')
  return parts.join('')
}
