/** Traces on one shared time axis as SVG text, one band a trace, each with its own scale. */
import { escapeMarkup } from './markup.ts'
import { timeStep, timeWords } from './svg-strip.ts'

export interface TracesDrawing {
  readonly traces: readonly {
    readonly name: string
    readonly unit: string
    readonly timesS: readonly number[]
    readonly values: readonly number[]
  }[]
  readonly widthPx: number
  /** Height of one band, px. */
  readonly bandPx: number
  readonly label: string
}

/** Left margin for the scale's numbers and room under the last band for the time scale, px. */
const MARGIN_PX = 64
const FOOT_PX = 22
/** Marks a band carries; three are read at a glance. */
const MARKS = 3

/** Round numbers covering low..high: 1, 2, 2.5 or 5 times a power of ten. */
export function roundMarks(low: number, high: number, most: number): readonly number[] {
  if (!(high > low)) return [low]
  const raw = (high - low) / most
  const power = 10 ** Math.floor(Math.log10(raw))
  const step = [1, 2, 2.5, 5, 10].map((m) => m * power).find((s) => s >= raw) ?? 10 * power
  const marks: number[] = []
  for (let i = Math.ceil(low / step - 1e-9); i * step <= high + step * 1e-9; i++) marks.push(Number((i * step).toPrecision(12)))
  return marks
}

/** SVG text; bands whose trace has no finite value are left out. */
export function drawTraces(d: TracesDrawing): string {
  const bands = d.traces.map((t) => ({ ...t, finite: t.values.filter((v) => Number.isFinite(v)) })).filter((t) => t.finite.length > 0)
  const firstS = Math.min(...bands.map((t) => t.timesS[0] ?? 0))
  const lastS = Math.max(...bands.map((t) => t.timesS.at(-1) ?? 0))
  const plot = d.widthPx - MARGIN_PX - 8
  const height = bands.length * d.bandPx + FOOT_PX
  const x = (t: number): number => MARGIN_PX + (lastS > firstS ? ((t - firstS) / (lastS - firstS)) * plot : 0)
  const n = (v: number): string => String(Math.round(v * 100) / 100)
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 ${d.widthPx} ${height}" width="100%" aria-label="${escapeMarkup(d.label)}" font-family="inherit" font-size="11">`,
  ]
  bands.forEach((t, i) => {
    const top = i * d.bandPx + 16
    const bottom = (i + 1) * d.bandPx - 8
    let low = t.finite.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
    let high = t.finite.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
    // A flat line is drawn in the middle of its band, not on its edge.
    if (high - low < 1e-12 * Math.max(1, Math.abs(high))) {
      const half = Math.max(Math.abs(high) * 0.05, 1e-12)
      low -= half
      high += half
    }
    const y = (v: number): number => bottom - ((v - low) / (high - low)) * (bottom - top)
    parts.push(`<text x="${MARGIN_PX}" y="${top - 5}" fill="#111">${escapeMarkup(t.unit ? `${t.name}, ${t.unit}` : t.name)}</text>`)
    for (const mark of roundMarks(low, high, MARKS)) {
      parts.push(`<line x1="${MARGIN_PX}" x2="${d.widthPx - 8}" y1="${n(y(mark))}" y2="${n(y(mark))}" stroke="#ddd" stroke-width="0.6"/>`)
      parts.push(`<text x="${MARGIN_PX - 6}" y="${n(y(mark) + 4)}" text-anchor="end" fill="#555">${escapeMarkup(String(mark))}</text>`)
    }
    const points: string[] = []
    t.values.forEach((v, k) => {
      const time = t.timesS[k]
      if (time !== undefined && Number.isFinite(v)) points.push(`${n(x(time))},${n(y(v))}`)
    })
    parts.push(`<polyline fill="none" stroke="#1c3f5e" stroke-width="1.1" points="${points.join(' ')}"/>`)
  })
  if (lastS > firstS) {
    const step = timeStep(lastS - firstS, Math.max(2, Math.floor(plot / 90)))
    for (let t = Math.ceil(firstS / step) * step; t <= lastS + 1e-9; t += step) {
      parts.push(`<text x="${n(x(t))}" y="${height - 6}" text-anchor="middle" fill="#555">${escapeMarkup(timeWords(t))}</text>`)
    }
  }
  parts.push('</svg>')
  return parts.join('')
}
