/** The colour strip as SVG text: real colour against time, names and numbers beside it so that colour is never the only signal. */
import { escapeMarkup } from './markup.ts'

export interface StripDrawing {
  readonly samples: readonly { readonly timeS: number; readonly hex: string; readonly name: string }[]
  readonly turns: readonly { readonly timeS: number; readonly to: string }[]
  readonly widthPx: number
  readonly heightPx: number
  /** Says what the picture shows, for readers who cannot see it. */
  readonly label: string
}

/** Room under the strip for the time scale and the words of the turns, px. */
const SCALE_PX = 34
/** Words of turns are only written when they stand at least this far apart, px; all turns keep their tick. */
const WORD_GAP_PX = 64

/** Runs of one colour, so that a long steady stretch is one rectangle. */
function runs(samples: StripDrawing['samples']): readonly { readonly fromS: number; readonly toS: number; readonly hex: string }[] {
  const out: { fromS: number; toS: number; hex: string }[] = []
  for (let i = 0; i < samples.length; i++) {
    const s = samples[i]!
    const nextS = samples[i + 1]?.timeS ?? s.timeS
    const last = out.at(-1)
    if (last && last.hex === s.hex) last.toS = nextS
    else out.push({ fromS: s.timeS, toS: nextS, hex: s.hex })
  }
  return out
}

/** A round step of a time scale: 1, 2, 5, 10, 15, 30 s, 1, 2, 5, 10, 15, 30 min … so that about `most` marks fit. */
export function timeStep(spanS: number, most: number): number {
  const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400]
  return steps.find((s) => spanS / s <= most) ?? 86400
}

/** "45 s", "2 min", "2 min 30 s", "1 h 5 min" */
export function timeWords(seconds: number): string {
  const s = Math.round(seconds)
  if (s < 60) return `${s} s`
  if (s < 3600) return s % 60 === 0 ? `${s / 60} min` : `${Math.floor(s / 60)} min ${s % 60} s`
  const minutes = Math.round(s / 60)
  return minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}

/** SVG text of a colour strip; empty samples give an empty frame that says so. */
export function drawStrip(d: StripDrawing): string {
  const first = d.samples[0]?.timeS ?? 0
  const last = d.samples.at(-1)?.timeS ?? first
  const span = last - first
  const x = (t: number): number => (span > 0 ? ((t - first) / span) * d.widthPx : 0)
  const n = (v: number): string => String(Math.round(v * 100) / 100)
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 ${d.widthPx} ${d.heightPx + SCALE_PX}" width="100%" aria-label="${escapeMarkup(d.label)}" font-family="inherit" font-size="11">`,
  ]
  for (const r of runs(d.samples)) {
    // Half a pixel of overlap hides the seams that some renderers draw between neighbours.
    parts.push(
      `<rect x="${n(x(r.fromS))}" y="0" width="${n(Math.max(x(r.toS) - x(r.fromS) + 0.5, 0.5))}" height="${d.heightPx}" fill="${escapeMarkup(r.hex)}"/>`,
    )
  }
  parts.push(`<rect x="0" y="0" width="${d.widthPx}" height="${d.heightPx}" fill="none" stroke="#444" stroke-width="0.6"/>`)
  let wordEnd = Number.NEGATIVE_INFINITY
  for (const t of d.turns) {
    const at = x(t.timeS)
    parts.push(`<line x1="${n(at)}" x2="${n(at)}" y1="${d.heightPx}" y2="${d.heightPx + 5}" stroke="#111" stroke-width="0.8"/>`)
    if (at - wordEnd < WORD_GAP_PX) continue
    wordEnd = at
    const anchor = at > d.widthPx - WORD_GAP_PX ? 'end' : 'start'
    parts.push(`<text x="${n(at)}" y="${d.heightPx + 16}" text-anchor="${anchor}" fill="#111">${escapeMarkup(t.to)}</text>`)
  }
  if (span > 0) {
    const step = timeStep(span, Math.max(2, Math.floor(d.widthPx / 90)))
    for (let t = Math.ceil(first / step) * step; t <= last + 1e-9; t += step) {
      const anchor = x(t) < 10 ? 'start' : x(t) > d.widthPx - 24 ? 'end' : 'middle'
      parts.push(`<text x="${n(x(t))}" y="${d.heightPx + 30}" text-anchor="${anchor}" fill="#555">${escapeMarkup(timeWords(t))}</text>`)
    }
  } else {
    parts.push(`<text x="6" y="${d.heightPx / 2}" fill="#555">nothing to draw</text>`)
  }
  parts.push('</svg>')
  return parts.join('')
}
