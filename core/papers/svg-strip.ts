/** The colour strip as SVG text: predicted colour against time, names and a time scale under it, so that colour is never the only signal. */
import { escapeMarkup } from './markup.ts'
import type { StripPoint, StripTurn } from './paper.ts'
import { stretchesOf, stripColumns } from './strip-columns.ts'
import { inEnglish, type Tell } from './telling.ts'
import { timeStep, timeWords } from './times.ts'

export interface StripDrawing {
  readonly samples: readonly StripPoint[]
  readonly turns: readonly StripTurn[]
  readonly widthPx: number
  readonly heightPx: number
  /** Says what the picture shows, for readers who cannot see it. */
  readonly label: string
  /** For the words that the drawing itself adds. */
  readonly tell?: Tell
}

export const SVG_FONT_PX = 13
/** Letters are at most this wide on average, as a share of the font size: names are only written where they fit. */
const LETTER_WIDTH = 0.56
/** Rows under the strip: names, then the time scale, px. */
const NAMES_PX = 20
const SCALE_PX = 26
/** Room for one mark of the time scale, px. */
const MARK_PX = 84

export const svgNumber = (v: number): string => String(Math.round(v * 100) / 100)

/** The opening tag every drawing of this room has. */
export function svgOpen(widthPx: number, heightPx: number, label: string): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 ${widthPx} ${heightPx}" width="100%" aria-label="${escapeMarkup(label)}" font-family="inherit" font-size="${SVG_FONT_PX}">`
}

/** A time scale at height `y`: ticks down and words under them, from `left` to `right` px. */
export function svgTimeScale(firstS: number, lastS: number, left: number, right: number, y: number): readonly string[] {
  const n = svgNumber
  const step = timeStep(lastS - firstS, Math.max(2, Math.floor((right - left) / MARK_PX)))
  const parts: string[] = []
  for (let t = Math.ceil(firstS / step - 1e-9) * step; t <= lastS + 1e-9; t += step) {
    const x = left + ((t - firstS) / (lastS - firstS)) * (right - left)
    const anchor = x < left + 14 ? 'start' : x > right - 28 ? 'end' : 'middle'
    parts.push(`<line x1="${n(x)}" x2="${n(x)}" y1="${n(y)}" y2="${n(y + 5)}" stroke="#555" stroke-width="1"/>`)
    parts.push(`<text x="${n(x)}" y="${n(y + 18)}" text-anchor="${anchor}" fill="#555">${escapeMarkup(timeWords(t))}</text>`)
  }
  return parts
}

/** SVG text of a colour strip; fewer than two samples give an empty frame that says so. */
export function drawStrip(d: StripDrawing): string {
  const n = svgNumber
  const { tell = inEnglish.tell } = d
  const columns = stripColumns(d.samples, d.widthPx)
  const parts = [svgOpen(d.widthPx, d.heightPx + NAMES_PX + SCALE_PX, d.label)]
  const frame = `<rect x="0.5" y="0.5" width="${d.widthPx - 1}" height="${d.heightPx - 1}" fill="none" stroke="#1d1d1b"/>`
  if (columns.length === 0) {
    parts.push(frame, `<text x="8" y="${n(d.heightPx / 2 + 4)}" fill="#555">${escapeMarkup(tell('nothing to draw'))}</text>`, '</svg>')
    return parts.join('')
  }
  parts.push('<g shape-rendering="crispEdges">')
  for (let i = 0; i < columns.length; ) {
    let j = i + 1
    while (j < columns.length && columns[j]!.hex === columns[i]!.hex) j++
    parts.push(`<rect x="${i}" y="0" width="${j - i}" height="${d.heightPx}" fill="${escapeMarkup(columns[i]!.hex)}"/>`)
    i = j
  }
  parts.push('</g>', frame)
  const firstS = d.samples[0]!.timeS
  const lastS = d.samples.at(-1)!.timeS
  const x = (t: number): number => ((t - firstS) / (lastS - firstS)) * d.widthPx
  for (const s of stretchesOf(d.samples, d.turns)) {
    const from = x(s.fromS)
    const to = x(s.toS)
    if (s.fromS > firstS) {
      parts.push(`<line x1="${n(from)}" x2="${n(from)}" y1="${d.heightPx}" y2="${d.heightPx + 6}" stroke="#1d1d1b"/>`)
    }
    if (to - from < LETTER_WIDTH * SVG_FONT_PX * s.name.length + 6) continue
    parts.push(`<text x="${n((from + to) / 2)}" y="${d.heightPx + 16}" text-anchor="middle" fill="#1d1d1b">${escapeMarkup(s.name)}</text>`)
  }
  const baseline = d.heightPx + NAMES_PX + 2
  parts.push(`<line x1="0" x2="${d.widthPx}" y1="${baseline}" y2="${baseline}" stroke="#555"/>`)
  parts.push(...svgTimeScale(firstS, lastS, 0.5, d.widthPx - 0.5, baseline), '</svg>')
  return parts.join('')
}
