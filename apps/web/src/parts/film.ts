/** A film of a course: vessel, strip and one trace, frame by frame. Encoded by the browser; nothing leaves it. */
import type { Trace } from '@beakertide/core/rehearsal'
import { type DrawnCourse, type Inks, paintColours, paintTimeAxis, paintTurns, timeToX } from './paint.ts'
import type { TimeSpan } from './time-stage.ts'
import { type DrawnVessel, paintVessels } from './vessel-paint.ts'

export interface FilmScene {
  readonly title: string
  readonly vessels: readonly DrawnVessel[]
  readonly chosen: string | null
  readonly course: DrawnCourse
  readonly trace: Trace | null
  readonly traceTitle: string
  readonly span: TimeSpan
  readonly inks: Inks
}

export interface FilmOptions {
  readonly widthPx: number
  readonly heightPx: number
  readonly framesPerS: number
  /** Seconds of show a second of film. */
  readonly speed: number
  readonly timeCode: boolean
}

/** Letters of the vessels' drawing where they are the browser's usual ones, px. */
const USUAL_LETTERS_PX = 12

/** Frames of the whole film. */
export const frameCount = (span: TimeSpan, o: Pick<FilmOptions, 'framesPerS' | 'speed'>): number =>
  Math.max(1, Math.ceil(((span.toS - span.fromS) / o.speed) * o.framesPerS))

/** Time of show at a frame, s. */
export const frameTime = (span: TimeSpan, o: Pick<FilmOptions, 'framesPerS' | 'speed'>, frame: number): number =>
  Math.min(span.toS, span.fromS + (frame / o.framesPerS) * o.speed)

/** "00:01:23:12": hours, minutes, seconds, frames of the show's clock; frames count the film's frames in that second at speed 1. */
export function timeCodeOf(timeS: number, framesPerS: number): string {
  const whole = Math.floor(timeS + 1e-6)
  const frames = Math.min(framesPerS - 1, Math.floor((timeS + 1e-6 - whole) * framesPerS))
  const two = (n: number): string => String(n).padStart(2, '0')
  return `${two(Math.floor(whole / 3600))}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}:${two(Math.max(0, frames))}`
}

/** One picture of the film. */
export function paintFrame(context: CanvasRenderingContext2D, scene: FilmScene, o: FilmOptions, timeS: number): void {
  const { widthPx: W, heightPx: H } = o
  const unit = Math.min(W / 16, H / 9)
  const font = Math.round(0.3 * unit)
  // A film is watched elsewhere: its colours are the predicted ones whatever the light here, its letters belong to its own size.
  const inks: Inks = { ...scene.inks, liquid: 1, letters: font / USUAL_LETTERS_PX }
  const edge = 0.5 * unit
  context.fillStyle = inks.paper
  context.fillRect(0, 0, W, H)
  const isTall = H > W
  const sceneHeight = isTall ? H * 0.6 : H * 0.64
  context.save()
  context.translate(edge, edge * 0.4)
  paintVessels(
    context,
    { vessels: scene.vessels, chosen: scene.chosen, timeS, turning: timeS / Math.max(1, o.speed) },
    W - 2 * edge,
    sceneHeight - edge * 0.4,
    inks,
  )
  context.restore()
  context.textBaseline = 'top'
  context.textAlign = 'left'
  context.fillStyle = inks.ink
  context.font = `600 ${Math.round(0.42 * unit)}px ${inks.font}`
  context.fillText(scene.title, edge, edge * 0.7, W * 0.6)
  if (o.timeCode) {
    context.font = `${Math.round(0.42 * unit)}px monospace`
    context.textAlign = 'right'
    context.fillText(timeCodeOf(timeS, o.framesPerS), W - edge, edge * 0.7)
  }
  const box = { x: edge, y: sceneHeight, width: W - 2 * edge, height: 0.7 * unit }
  paintColours(context, scene.course.strip, scene.span, box, inks)
  context.strokeStyle = inks.lineStrong
  context.lineWidth = 1
  context.strokeRect(box.x, box.y, box.width, box.height)
  paintTurns(context, scene.course.strip, scene.course.turns, scene.span, { ...box, y: box.y + box.height }, inks, font)
  const bottom = H - edge - font * 1.6
  const traceTop = box.y + box.height + font * 2.6
  if (scene.trace && bottom - traceTop > unit * 0.3) {
    context.font = `${font}px ${inks.font}`
    context.textAlign = 'left'
    context.textBaseline = 'bottom'
    context.fillStyle = inks.quiet
    context.fillText(scene.trace.unit === '' ? scene.traceTitle : `${scene.traceTitle}, ${scene.trace.unit}`, box.x, traceTop)
    paintTrace(context, scene.trace, scene.span, { x: box.x, y: traceTop, width: box.width, height: bottom - traceTop }, inks)
  }
  paintTimeAxis(context, scene.span, { x: box.x, y: bottom + 2, width: box.width }, inks, font)
  const x = timeToX(timeS, scene.span, box.x, box.width)
  context.fillStyle = inks.accent
  context.fillRect(x - 1.5, box.y - 4, 3, bottom - box.y + 8)
}

function paintTrace(
  context: CanvasRenderingContext2D,
  trace: Trace,
  span: TimeSpan,
  box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number },
  inks: Inks,
): void {
  const finite = trace.values.filter((v) => Number.isFinite(v))
  const low = Math.min(...finite)
  const high = Math.max(...finite)
  context.strokeStyle = inks.ink
  context.lineWidth = 2
  context.beginPath()
  trace.values.forEach((v, i) => {
    const x = timeToX(trace.timesS[i] ?? 0, span, box.x, box.width)
    const y = box.y + box.height * (1 - (high > low ? (v - low) / (high - low) : 0.5))
    if (i === 0) context.moveTo(x, y)
    else context.lineTo(x, y)
  })
  context.stroke()
}

/** How a film can be made here: encoded frame by frame, recorded while it plays, or as a moving PNG. */
export type FilmWay = 'frames' | 'live' | 'pictures'

/** Ending of the file that each way makes. */
export const filmEnding = (way: FilmWay): 'webm' | 'png' => (way === 'pictures' ? 'png' : 'webm')

/** The best way this browser has for a film of that size. */
export async function filmWay(o: FilmOptions): Promise<FilmWay> {
  if (typeof VideoEncoder !== 'undefined') {
    const { getFirstEncodableVideoCodec } = await import('mediabunny')
    if ((await getFirstEncodableVideoCodec(['vp9', 'vp8'], { width: o.widthPx, height: o.heightPx })) !== null) return 'frames'
  }
  return typeof MediaRecorder !== 'undefined' && MediaRecorder.isTypeSupported('video/webm') ? 'live' : 'pictures'
}

interface Control {
  readonly onFrame: (done: number, of: number) => void
  readonly isCancelled: () => boolean
}

/** The film, made the way this browser has for it; null when it was cancelled. `onFrame` is told what is done, of how many. */
export async function makeFilm(way: FilmWay, scene: FilmScene, o: FilmOptions, control: Control): Promise<Blob | null> {
  const canvas = document.createElement('canvas')
  canvas.width = o.widthPx
  canvas.height = o.heightPx
  const context = canvas.getContext('2d')
  if (!context) throw new Error('the browser gives no canvas')
  const making: Making = {
    canvas,
    o,
    frames: frameCount(scene.span, o),
    control,
    paint: (k) => paintFrame(context, scene, o, frameTime(scene.span, o, k)),
  }
  if (way === 'pictures') return asPictures(making)
  return way === 'frames' ? byFrames(making) : live(making)
}

/** A film that is being made. */
interface Making {
  readonly canvas: HTMLCanvasElement
  readonly o: FilmOptions
  readonly frames: number
  readonly control: Control
  /** Paints a frame on the canvas. */
  readonly paint: (frame: number) => void
}

/** Paints one frame after the other and waits until it is taken; false when it was cancelled. */
async function eachFrame({ frames, control, paint }: Making, take: (frame: number) => Promise<void>): Promise<boolean> {
  for (let k = 0; k < frames; k++) {
    if (control.isCancelled()) return false
    paint(k)
    await take(k)
    control.onFrame(k + 1, frames)
  }
  return true
}

async function byFrames(making: Making): Promise<Blob | null> {
  const { canvas, o } = making
  const { BufferTarget, CanvasSource, getFirstEncodableVideoCodec, Output, QUALITY_HIGH, WebMOutputFormat } = await import('mediabunny')
  const codec = (await getFirstEncodableVideoCodec(['vp9', 'vp8'], { width: o.widthPx, height: o.heightPx })) ?? 'vp8'
  const target = new BufferTarget()
  const output = new Output({ format: new WebMOutputFormat(), target })
  const source = new CanvasSource(canvas, { codec, bitrate: QUALITY_HIGH })
  output.addVideoTrack(source, { frameRate: o.framesPerS })
  await output.start()
  const isWhole = await eachFrame(making, async (k) => {
    await source.add(k / o.framesPerS, 1 / o.framesPerS)
    // The page stays alive between frames.
    if (k % 2 === 0) await new Promise((resolve) => setTimeout(resolve))
  })
  if (!isWhole) {
    await output.cancel()
    return null
  }
  await output.finalize()
  return target.buffer ? new Blob([target.buffer], { type: 'video/webm' }) : null
}

/** Where no video can be encoded at all: larger, and no colour is lost. */
async function asPictures(making: Making): Promise<Blob | null> {
  const { movingPng } = await import('./moving-png.ts')
  const film = movingPng(making.o.framesPerS)
  const isWhole = await eachFrame(making, async () => {
    const picture = await new Promise<Blob | null>((resolve) => making.canvas.toBlob(resolve, 'image/png'))
    if (picture === null) throw new Error('the browser made no picture of the canvas')
    film.add(new Uint8Array(await picture.arrayBuffer()))
  })
  return isWhole ? film.file() : null
}

/** Where single frames cannot be encoded: recorded while it plays, in its own time. */
async function live({ canvas, o, frames, control, paint }: Making): Promise<Blob | null> {
  const recorder = new MediaRecorder(canvas.captureStream(o.framesPerS), { mimeType: 'video/webm' })
  const parts: Blob[] = []
  recorder.addEventListener('dataavailable', (e) => parts.push(e.data))
  const ended = new Promise((resolve) => recorder.addEventListener('stop', resolve))
  recorder.start(1000)
  const began = performance.now()
  for (;;) {
    const k = Math.floor(((performance.now() - began) / 1000) * o.framesPerS)
    if (k >= frames || control.isCancelled()) break
    paint(k)
    control.onFrame(k, frames)
    await new Promise((resolve) => requestAnimationFrame(resolve))
  }
  recorder.stop()
  await ended
  return control.isCancelled() ? null : new Blob(parts, { type: 'video/webm' })
}
