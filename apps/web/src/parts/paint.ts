/** Drawing on canvas: sharp pixels, colours of the theme, and the colour strip. Everything here runs inside one animation frame. */
import { stretchesOf, stripColumns, timeStep } from '@beakertide/core/papers'
import type { StripSample, Turn } from '@beakertide/core/rehearsal'
import { stripWithin } from './colour-at.ts'
import { colourWord } from './colour-words.ts'
import type { TimeSpan } from './time-stage.ts'

/** What a strip shows. */
export interface DrawnCourse {
  readonly strip: readonly StripSample[]
  readonly turns: readonly Turn[]
}

export interface Inks {
  readonly paper: string
  readonly paper2: string
  readonly ink: string
  readonly quiet: string
  readonly line: string
  readonly lineStrong: string
  readonly accent: string
  readonly danger: string
  readonly font: string
  /** What every channel of a predicted colour is multiplied by: 1, and less in dim light. */
  readonly liquid: number
  /** Size of letters against the browser's usual one: 2 where a person has doubled it. */
  readonly letters: number
}

/** Tokens that are drawn with, and what stands in for them. */
const DRAWN = {
  '--paper': '#ffffff',
  '--paper-2': '#f4f4f4',
  '--ink': '#000000',
  '--quiet': '#555555',
  '--line': '#cccccc',
  '--line-strong': '#888888',
  '--accent': '#224488',
  '--danger': '#aa0000',
} as const
// As registered colours they are read as the one that holds now; as plain tokens they would be read as they are written, day and night.
if (typeof document !== 'undefined')
  for (const [name, initialValue] of Object.entries(DRAWN))
    globalThis.CSS?.registerProperty?.({ name, syntax: '<color>', inherits: true, initialValue })

/** Letters of a browser whose owner changed nothing, px. */
const USUAL_LETTERS_PX = 16

/** Size of the letters of a page against the browser's usual one. */
export const lettersOf = (root: Element): number => Number.parseFloat(getComputedStyle(root).fontSize) / USUAL_LETTERS_PX || 1

/** A height in px at the usual size of letters, as one that grows with them. */
export const inRem = (px: number): string => `${px / USUAL_LETTERS_PX}rem`

/** The theme's colours as they are now, for canvas. */
export function inksOf(element: Element): Inks {
  const style = getComputedStyle(element)
  const of = (name: keyof typeof DRAWN): string => style.getPropertyValue(name).trim() || DRAWN[name]
  return {
    paper: of('--paper'),
    paper2: of('--paper-2'),
    ink: of('--ink'),
    quiet: of('--quiet'),
    line: of('--line'),
    lineStrong: of('--line-strong'),
    accent: of('--accent'),
    danger: of('--danger'),
    font: style.fontFamily || 'sans-serif',
    liquid: Number(style.getPropertyValue('--liquid')) || 1,
    letters: lettersOf(element.ownerDocument.documentElement),
  }
}

/** A predicted colour as it is drawn: every channel times `share`, so that hue and order stay. `hex` as "#rrggbb"; share from 0 to 1. */
export function liquidHex(hex: string, share: number): string {
  if (share >= 1) return hex
  const n = Number.parseInt(hex.slice(1), 16)
  const channels = [(n >> 16) & 255, (n >> 8) & 255, n & 255].map((c) => Math.round(c * Math.max(0, share)))
  return `#${channels.map((c) => c.toString(16).padStart(2, '0')).join('')}`
}

/** Calls when the theme changes, by switch or by system; returns what ends it. */
export function onThemeChange(changed: () => void): () => void {
  const observer = new MutationObserver(changed)
  observer.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme', 'class'] })
  const queries = ['(prefers-color-scheme: dark)', '(forced-colors: active)'].map((query) => matchMedia(query))
  for (const query of queries) query.addEventListener('change', changed)
  return () => {
    observer.disconnect()
    for (const query of queries) query.removeEventListener('change', changed)
  }
}

export interface Sheet {
  readonly context: CanvasRenderingContext2D
  readonly widthPx: number
  readonly heightPx: number
}

/** The canvas cleared and scaled so that one unit is one CSS px; null while it has no size or no context. */
export function freshSheet(canvas: HTMLCanvasElement, widthPx: number, heightPx: number): Sheet | null {
  const ratio = Math.min(3, window.devicePixelRatio || 1)
  const [w, h] = [Math.round(widthPx * ratio), Math.round(heightPx * ratio)]
  if (w < 1 || h < 1) return null
  if (canvas.width !== w) canvas.width = w
  if (canvas.height !== h) canvas.height = h
  const context = canvas.getContext('2d')
  if (!context) return null
  context.setTransform(ratio, 0, 0, ratio, 0, 0)
  context.clearRect(0, 0, widthPx, heightPx)
  return { context, widthPx, heightPx }
}

/** Place of a time in a window drawn from `leftPx` over `widthPx`. */
export const timeToX = (timeS: number, window: TimeSpan, leftPx: number, widthPx: number): number =>
  leftPx + ((timeS - window.fromS) / Math.max(1e-9, window.toS - window.fromS)) * widthPx
/** The time under a place. */
export const xToTime = (x: number, window: TimeSpan, leftPx: number, widthPx: number): number =>
  window.fromS + ((x - leftPx) / Math.max(1, widthPx)) * (window.toS - window.fromS)

/** The colours of a strip in a rectangle; what lies outside the strip's own time stays empty. */
export function paintColours(
  context: CanvasRenderingContext2D,
  strip: readonly StripSample[],
  shown: TimeSpan,
  box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number },
  inks: Pick<Inks, 'liquid'>,
): void {
  const within = stripWithin(strip, shown.fromS, shown.toS)
  const first = within[0]
  const last = within.at(-1)
  if (!first || !last) return
  const x0 = timeToX(first.timeS, shown, box.x, box.width)
  const x1 = timeToX(last.timeS, shown, box.x, box.width)
  const columns = stripColumns(within, Math.max(1, Math.round(x1 - x0)))
  for (let i = 0; i < columns.length; ) {
    let j = i + 1
    while (j < columns.length && columns[j]!.hex === columns[i]!.hex) j++
    context.fillStyle = liquidHex(columns[i]!.hex, inks.liquid)
    context.fillRect(x0 + i, box.y, j - i + 0.4, box.height)
    i = j
  }
}

/** Marks at the turns and the names of settled colours where they fit, under a strip. */
export function paintTurns(
  context: CanvasRenderingContext2D,
  strip: readonly StripSample[],
  turns: readonly Turn[],
  shown: TimeSpan,
  box: { readonly x: number; readonly y: number; readonly width: number },
  inks: Inks,
  fontPx: number,
): void {
  context.font = `${fontPx}px ${inks.font}`
  context.textAlign = 'center'
  context.textBaseline = 'top'
  for (const s of stretchesOf(strip, turns)) {
    if (s.toS < shown.fromS || s.fromS > shown.toS) continue
    const from = Math.max(box.x, timeToX(s.fromS, shown, box.x, box.width))
    const to = Math.min(box.x + box.width, timeToX(s.toS, shown, box.x, box.width))
    if (s.fromS > shown.fromS && s.fromS > (strip[0]?.timeS ?? 0)) {
      context.fillStyle = inks.ink
      context.fillRect(from - 0.5, box.y, 1, 5)
    }
    context.fillStyle = inks.ink
    const name = colourWord(s.name)
    if (context.measureText(name).width + 8 <= to - from) context.fillText(name, (from + to) / 2, box.y + 5)
  }
}

/** "0", "30", "1:30", "1:02:00": marks of a time axis. */
export function clockMark(seconds: number): string {
  const s = Math.round(seconds)
  const two = (n: number): string => String(n).padStart(2, '0')
  if (s < 3600) return `${Math.floor(s / 60)}:${two(s % 60)}`
  return `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`
}

/** A time axis: a line, marks down, clock times under them. */
export function paintTimeAxis(
  context: CanvasRenderingContext2D,
  shown: TimeSpan,
  box: { readonly x: number; readonly y: number; readonly width: number },
  inks: Inks,
  fontPx = 12 * inks.letters,
): void {
  context.font = `${fontPx}px ${inks.font}`
  context.fillStyle = inks.quiet
  context.textBaseline = 'top'
  context.fillRect(box.x, box.y, box.width, 1)
  const span = shown.toS - shown.fromS
  if (!(span > 0)) return
  const step = timeStep(span, Math.max(2, Math.floor(box.width / (6 * fontPx))))
  for (let t = Math.ceil(shown.fromS / step - 1e-9) * step; t <= shown.toS + 1e-9; t += step) {
    const x = timeToX(t, shown, box.x, box.width)
    context.fillRect(x - 0.5, box.y, 1, 5)
    const text = clockMark(t)
    const half = context.measureText(text).width / 2
    context.textAlign = 'center'
    context.fillText(text, Math.min(box.x + box.width - half, Math.max(box.x + half, x)), box.y + 7)
  }
}
