/** Traces on one shared time axis as SVG text, one band a trace, each with its own scale. */
import { escapeMarkup } from './markup.ts'
import type { PaperTrace } from './paper.ts'
import { inEnglish, type Tell } from './telling.ts'
import { SVG_FONT_PX, svgNumber, svgOpen, svgTimeScale } from './svg-strip.ts'

export interface TracesDrawing {
  readonly traces: readonly PaperTrace[]
  readonly widthPx: number
  /** Height of one band, px. */
  readonly bandPx: number
  readonly label: string
  /** For the numbers of the scales. */
  readonly tell?: Tell
}

/** Left margin for the scale's numbers, right margin, room above the curve for its name and under the last band for the time scale, px. */
const MARGIN_PX = 58
const RIGHT_PX = 6
const NAME_PX = 22
const FOOT_PX = 26
/** Marks a band carries; three are read at a glance. */
const MARKS = 3

/** Round numbers within low..high: steps of 1, 2, 2.5 or 5 times a power of ten. */
export function roundMarks(low: number, high: number, most: number): readonly number[] {
  if (!(high > low)) return [low]
  const raw = (high - low) / most
  const power = 10 ** Math.floor(Math.log10(raw))
  const step = [1, 2, 2.5, 5, 10].map((m) => m * power).find((s) => s >= raw) ?? 10 * power
  const marks: number[] = []
  for (let i = Math.ceil(low / step - 1e-9); i * step <= high + step * 1e-9; i++) marks.push(Number((i * step).toPrecision(12)))
  return marks
}

/** Points of a curve, at most four a pixel column (first, lowest, highest, last), so that no spike is lost. */
function thinned(t: PaperTrace, columnOf: (timeS: number) => number): readonly (readonly [number, number])[] {
  const out: (readonly [number, number])[] = []
  let column = Number.NaN
  let inside: (readonly [number, number])[] = []
  const flush = (): void => {
    if (inside.length <= 4) out.push(...inside)
    else {
      const low = inside.reduce((a, b) => (b[1] < a[1] ? b : a))
      const high = inside.reduce((a, b) => (b[1] > a[1] ? b : a))
      out.push(...[...new Set([inside[0]!, low, high, inside.at(-1)!])].sort((a, b) => a[0] - b[0]))
    }
    inside = []
  }
  t.values.forEach((v, k) => {
    const time = t.timesS[k]
    if (time === undefined || !Number.isFinite(v)) return
    const c = Math.floor(columnOf(time))
    if (c !== column) flush()
    column = c
    inside.push([time, v])
  })
  flush()
  return out
}

/** Lowest and highest finite value, a flat line put into the middle of its band; null when there is none. */
function span(t: PaperTrace): { readonly low: number; readonly high: number } | null {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const v of t.values) {
    if (!Number.isFinite(v)) continue
    low = Math.min(low, v)
    high = Math.max(high, v)
  }
  if (low > high) return null
  if (high - low >= 1e-9 * Math.max(1, Math.abs(high))) return { low, high }
  const half = Math.max(Math.abs(high) * 0.05, 1e-12)
  return { low: low - half, high: high + half }
}

/** SVG text; traces without a finite value are left out. */
export function drawTraces(d: TracesDrawing): string {
  const n = svgNumber
  const { tell = inEnglish.tell } = d
  const bands = d.traces.flatMap((t) => {
    const s = span(t)
    return s ? [{ ...t, ...s }] : []
  })
  const firstS = Math.min(...bands.map((t) => t.timesS[0] ?? 0))
  const lastS = Math.max(...bands.map((t) => t.timesS.at(-1) ?? 0))
  const right = d.widthPx - RIGHT_PX
  const height = bands.length * d.bandPx + FOOT_PX
  const x = (t: number): number => MARGIN_PX + (lastS > firstS ? ((t - firstS) / (lastS - firstS)) * (right - MARGIN_PX) : 0)
  const parts = [svgOpen(d.widthPx, height, d.label)]
  bands.forEach((t, i) => {
    const top = i * d.bandPx + NAME_PX
    const bottom = (i + 1) * d.bandPx - 6
    const y = (v: number): number => bottom - ((v - t.low) / (t.high - t.low)) * (bottom - top)
    const name = t.unit ? `${t.name}, ${t.unit}` : t.name
    parts.push(`<text x="${MARGIN_PX}" y="${n(top - 8)}" fill="#1d1d1b">${escapeMarkup(name)}</text>`)
    for (const mark of roundMarks(t.low, t.high, MARKS)) {
      parts.push(`<line x1="${MARGIN_PX}" x2="${right}" y1="${n(y(mark))}" y2="${n(y(mark))}" stroke="#d8d3c6"/>`)
      parts.push(
        `<text x="${MARGIN_PX - 8}" y="${n(y(mark) + SVG_FONT_PX / 3)}" text-anchor="end" fill="#555">${escapeMarkup(tell(String(mark)).replace('-', '−'))}</text>`,
      )
    }
    const points = thinned(t, x).map(([time, v]) => `${n(x(time))},${n(y(v))}`)
    parts.push(`<polyline fill="none" stroke="#1d1d1b" stroke-width="1.2" stroke-linejoin="round" points="${points.join(' ')}"/>`)
  })
  if (lastS > firstS) {
    const baseline = height - FOOT_PX + 2
    parts.push(`<line x1="${MARGIN_PX}" x2="${right}" y1="${baseline}" y2="${baseline}" stroke="#555"/>`)
    parts.push(...svgTimeScale(firstS, lastS, MARGIN_PX, right, baseline))
  }
  parts.push('</svg>')
  return parts.join('')
}
