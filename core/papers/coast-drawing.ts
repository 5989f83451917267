/** The coast as SVG text: what is seen at every rehearsed point, in signs and numbers, and the border between. No colour is needed. */
import { formatNumber } from '@beakertide/basis/units'
import type { Coast, Show } from '../rehearsal/index.ts'
import { variedWords } from './carpet-drawing.ts'
import { axisMarks, shareAlong, SHOW_WORDS } from './coast-axis.ts'
import { escapeMarkup } from './markup.ts'
import { SVG_FONT_PX, svgNumber, svgOpen } from './svg-strip.ts'
import { inEnglish, type Tell } from './telling.ts'
import { aboutTime } from './times.ts'

export interface CoastDrawing {
  readonly coast: Coast
  readonly widthPx: number
  readonly heightPx: number
  readonly label: string
  /** For the words and numbers of the drawing; names of what varies are the user's own. */
  readonly tell?: Tell
}

const LEFT_PX = 76
const RIGHT_PX = 20
const TOP_PX = 28
const FOOT_PX = 72
const MARKS = 5
/** About the width of a letter of the numbers, and the height of their line, px: where two would meet, the later one is left out. */
const DIGIT_PX = 5.6
const LINE_PX = 14
const FILLS: Readonly<Record<Show, string>> = {
  cycles: '#cfc8b6',
  turns: '#e8e3d6',
  nothing: '#ffffff',
  refused: '#ffffff',
  unknown: '#ffffff',
}

/** A disc with a tail for cycles, a disc for turns, a ring for nothing, a bar across a disc's room for what is refused, a cross for what could not be rehearsed. */
function sign(show: Show, x: number, y: number): string {
  const n = svgNumber
  if (show === 'nothing') return `<circle cx="${n(x)}" cy="${n(y)}" r="3" fill="#ffffff" stroke="#1d1d1b"/>`
  if (show === 'turns') return `<circle cx="${n(x)}" cy="${n(y)}" r="3" fill="#1d1d1b"/>`
  if (show === 'cycles')
    return `<circle cx="${n(x)}" cy="${n(y)}" r="4.5" fill="none" stroke="#1d1d1b"/><circle cx="${n(x)}" cy="${n(y)}" r="2" fill="#1d1d1b"/>`
  if (show === 'refused') return `<path d="M${n(x - 5)} ${n(y - 2)}h10v4h-10z" fill="#1d1d1b"/>`
  return `<path d="M${n(x - 3)} ${n(y - 3)}l6 6m0 -6l-6 6" stroke="#1d1d1b" fill="none"/>`
}

/** SVG text. */
export function drawCoast(d: CoastDrawing): string {
  const n = svgNumber
  const { coast, tell = inEnglish.tell } = d
  const right = d.widthPx - RIGHT_PX
  const bottom = d.heightPx - FOOT_PX
  const x = (v: number): number => LEFT_PX + shareAlong(coast.x, v) * (right - LEFT_PX)
  const y = (v: number): number => bottom - shareAlong(coast.y, v) * (bottom - TOP_PX)
  const parts = [svgOpen(d.widthPx, d.heightPx, d.label), '<g shape-rendering="crispEdges">']
  for (const cell of coast.cells) {
    const fill = cell.corners.every((s) => s === cell.corners[0]) ? FILLS[cell.corners[0]] : '#ffffff'
    const [x0, x1] = [x(cell.x[0]), x(cell.x[1])]
    const [y0, y1] = [y(cell.y[1]), y(cell.y[0])]
    parts.push(`<rect x="${n(x0)}" y="${n(y0)}" width="${n(x1 - x0)}" height="${n(y1 - y0)}" fill="${fill}"/>`)
  }
  parts.push('</g>')
  for (const b of coast.border) {
    parts.push(
      `<line x1="${n(x(b.from[0]))}" y1="${n(y(b.from[1]))}" x2="${n(x(b.to[0]))}" y2="${n(y(b.to[1]))}" stroke="#1d1d1b" stroke-width="2" stroke-linecap="round"/>`,
    )
  }
  const numbered: { readonly from: number; readonly to: number; readonly y: number }[] = []
  for (const p of coast.points) {
    const [px, py] = [x(p.x), y(p.y)]
    parts.push(sign(p.show, px, py))
    const f = p.features
    if (f === null || f.firstTurnS === null) continue
    const text = f.cycles > 0 ? `${f.cycles}${f.stillGoing ? '+' : ''} × ${aboutTime(f.periodS ?? 0)}` : aboutTime(f.firstTurnS)
    const anchor = px > right - 50 ? 'end' : 'start'
    const wide = DIGIT_PX * text.length + 10
    const room = { from: anchor === 'end' ? px - wide : px, to: anchor === 'end' ? px : px + wide, y: py }
    if (numbered.some((o) => Math.abs(o.y - py) < LINE_PX && o.from < room.to && room.from < o.to)) continue
    numbered.push(room)
    parts.push(
      `<text x="${n(px + (anchor === 'end' ? -7 : 7))}" y="${n(Math.max(TOP_PX + 10, py - 4))}" text-anchor="${anchor}" font-size="10" fill="#1d1d1b">${escapeMarkup(tell(text))}</text>`,
    )
  }
  parts.push(
    `<rect x="${LEFT_PX}" y="${TOP_PX}" width="${n(right - LEFT_PX)}" height="${n(bottom - TOP_PX)}" fill="none" stroke="#1d1d1b"/>`,
  )
  for (const m of axisMarks(coast.x, MARKS)) {
    parts.push(`<line x1="${n(x(m))}" x2="${n(x(m))}" y1="${n(bottom)}" y2="${n(bottom + 5)}" stroke="#555"/>`)
    parts.push(
      `<text x="${n(x(m))}" y="${n(bottom + 18)}" text-anchor="middle" fill="#555">${escapeMarkup(tell(formatNumber(m, 3)))}</text>`,
    )
  }
  for (const m of axisMarks(coast.y, MARKS)) {
    parts.push(`<line x1="${LEFT_PX - 5}" x2="${LEFT_PX}" y1="${n(y(m))}" y2="${n(y(m))}" stroke="#555"/>`)
    parts.push(
      `<text x="${LEFT_PX - 8}" y="${n(y(m) + SVG_FONT_PX / 3)}" text-anchor="end" fill="#555">${escapeMarkup(tell(formatNumber(m, 3)))}</text>`,
    )
  }
  parts.push(`<text x="4" y="16" fill="#1d1d1b">${escapeMarkup(tell(variedWords(coast.y.varied, coast.y.unit)))}</text>`)
  parts.push(
    `<text x="${n(right)}" y="${n(bottom + 36)}" text-anchor="end" fill="#1d1d1b">${escapeMarkup(tell(variedWords(coast.x.varied, coast.x.unit)))}</text>`,
  )
  let at = LEFT_PX
  for (const show of ['cycles', 'turns', 'nothing', 'refused', 'unknown'] as const) {
    if (!coast.points.some((p) => p.show === show)) continue
    const words = tell(show === 'cycles' ? 'cycles × period' : show === 'turns' ? 'turns without return: first change' : SHOW_WORDS[show])
    parts.push(
      sign(show, at + 6, bottom + 54),
      `<text x="${n(at + 16)}" y="${n(bottom + 58)}" font-size="11" fill="#1d1d1b">${escapeMarkup(words)}</text>`,
    )
    at += 34 + 6.2 * words.length
  }
  parts.push('</svg>')
  return parts.join('')
}
