/** Measured series drawn over predicted ones: told apart by marks along a broad line, not by colour. However many points, a frame draws few. */
import { timeStep } from '@beakertide/core/papers'
import { indexAt } from './colour-at.ts'
import { type Inks, timeToX } from './paint.ts'
import type { TimeSpan } from './time-stage.ts'

/** In order of time, without empty cells. */
export interface MeasuredLine {
  /** s from the first row. */
  readonly timesS: Float64Array
  readonly values: Float64Array
  /** Where each block of `BLOCK` points is lowest and highest, so that a long record is not walked point by point in every frame. */
  readonly lowestAt: Int32Array
  readonly highestAt: Int32Array
}
/** Points of a block: a power of two. */
const BLOCK = 64

/** Shapes of the marks, in the order they are given out. */
export const MARKS = ['ring', 'square', 'triangle', 'cross'] as const
export type Mark = (typeof MARKS)[number]

/** A line as it lies over a trace: value · factor + plus at time + startsAtS. */
export interface LaidLine {
  readonly line: MeasuredLine
  readonly startsAtS: number
  readonly factor: number
  readonly plus: number
  readonly mark: Mark
}

/** The line of one column: rows without a number are left out, rows out of order are sorted. */
export function measuredLine(timesS: Float64Array, values: Float64Array): MeasuredLine {
  const n = values.length
  let count = 0
  let isOrdered = true
  let last = Number.NEGATIVE_INFINITY
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(values[i]) || !Number.isFinite(timesS[i])) continue
    if (timesS[i]! < last) isOrdered = false
    last = timesS[i]!
    count++
  }
  if (count === n && isOrdered) return withBlocks(timesS, values)
  const at = new Int32Array(count)
  for (let i = 0, k = 0; i < n; i++) if (Number.isFinite(values[i]) && Number.isFinite(timesS[i])) at[k++] = i
  if (!isOrdered) at.sort((a, b) => timesS[a]! - timesS[b]!)
  const times = new Float64Array(count)
  const kept = new Float64Array(count)
  for (let k = 0; k < count; k++) {
    times[k] = timesS[at[k]!]!
    kept[k] = values[at[k]!]!
  }
  return withBlocks(times, kept)
}

function withBlocks(timesS: Float64Array, values: Float64Array): MeasuredLine {
  const blocks = Math.ceil(values.length / BLOCK)
  const lowestAt = new Int32Array(blocks)
  const highestAt = new Int32Array(blocks)
  for (let b = 0; b < blocks; b++) {
    let low = b * BLOCK
    let high = low
    for (let i = low; i < Math.min(values.length, (b + 1) * BLOCK); i++) {
      if (values[i]! < values[low]!) low = i
      if (values[i]! > values[high]!) high = i
    }
    lowestAt[b] = low
    highestAt[b] = high
  }
  return { timesS, values, lowestAt, highestAt }
}

/** First and last point to draw for a window: those within, and one on either side. Null when nothing is within reach. */
function reach(laid: LaidLine, shown: TimeSpan): readonly [number, number] | null {
  const { timesS } = laid.line
  const n = timesS.length
  const [fromS, toS] = [shown.fromS - laid.startsAtS, shown.toS - laid.startsAtS]
  if (n === 0 || timesS[n - 1]! < fromS || timesS[0]! > toS) return null
  const first = indexAt(n, (k) => timesS[k]!, fromS)
  const last = indexAt(n, (k) => timesS[k]!, toS)
  return [first, Math.min(n - 1, last + 1)]
}

/** Lowest and highest value drawn in a window; null when there is none. */
export function heightsOf(laid: LaidLine, shown: TimeSpan): readonly [number, number] | null {
  const ends = reach(laid, shown)
  if (!ends) return null
  const { values, lowestAt, highestAt } = laid.line
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = ends[0]; i <= ends[1]; ) {
    const isBlock = i % BLOCK === 0 && i + BLOCK - 1 <= ends[1]
    const [a, b] = isBlock ? [lowestAt[i / BLOCK]!, highestAt[i / BLOCK]!] : [i, i]
    if (values[a]! < low) low = values[a]!
    if (values[b]! > high) high = values[b]!
    i += isBlock ? BLOCK : 1
  }
  const [a, b] = [low * laid.factor + laid.plus, high * laid.factor + laid.plus]
  return a <= b ? [a, b] : [b, a]
}

/** Value at a time on the clock, straight between points, in the unit of what it lies over; null outside. */
export function valueAt(laid: LaidLine, clockS: number): number | null {
  const { timesS, values } = laid.line
  const n = timesS.length
  const at = clockS - laid.startsAtS
  if (n === 0 || at < timesS[0]! || at > timesS[n - 1]!) return null
  const i = indexAt(n, (k) => timesS[k]!, at)
  const j = Math.min(n - 1, i + 1)
  const step = timesS[j]! - timesS[i]!
  const v = step > 0 ? values[i]! + ((at - timesS[i]!) / step) * (values[j]! - values[i]!) : values[i]!
  return v * laid.factor + laid.plus
}

/**
 * Visits the points that a frame needs: where several share a column of pixels, the first, lowest, highest and last of them, in order of
 * time; so a drawn line covers the same pixels as one through all points. x is px from the left of the window, `widthPx` its width.
 */
export function eachDrawnPoint(laid: LaidLine, shown: TimeSpan, widthPx: number, visit: (x: number, value: number) => void): void {
  const ends = reach(laid, shown)
  if (!ends) return
  const { timesS, values, lowestAt, highestAt } = laid.line
  const pxPerS = widthPx / Math.max(1e-9, shown.toS - shown.fromS)
  const zero = (laid.startsAtS - shown.fromS) * pxPerS
  const value = (i: number): number => values[i]! * laid.factor + laid.plus
  let i = ends[0]
  while (i <= ends[1]) {
    const x = zero + timesS[i]! * pxPerS
    const column = Math.floor(x)
    let low = i
    let high = i
    let last = i
    let k = i + 1
    while (k <= ends[1] && zero + timesS[k]! * pxPerS < column + 1) {
      const foot = k + BLOCK - 1
      const isBlock = k % BLOCK === 0 && foot <= ends[1] && zero + timesS[foot]! * pxPerS < column + 1
      const lowest = isBlock ? lowestAt[k / BLOCK]! : k
      const highest = isBlock ? highestAt[k / BLOCK]! : k
      if (values[lowest]! < values[low]!) low = lowest
      if (values[highest]! > values[high]!) high = highest
      last = isBlock ? foot : k
      k = last + 1
    }
    visit(x, value(i))
    const one = low < high ? low : high
    const other = low < high ? high : low
    if (one !== i && one !== last) visit(column + 0.5, value(one))
    if (other !== i && other !== last && other !== one) visit(column + 0.5, value(other))
    if (last !== i) visit(zero + timesS[last]! * pxPerS, value(last))
    i = k
  }
}

/** Points farther apart than this, px, each get a mark; nearer ones share marks at even times. */
const SPARSE_PX = 14
/** Least distance of marks at even times, px. */
const MARKS_PX = 28
const LINE_PX = 2.5
const MARK_PX = 3.5

/** The outline of a mark around a point. */
function traceMark(path: CanvasRenderingContext2D, mark: Mark, x: number, y: number): void {
  const r = MARK_PX
  if (mark === 'ring') {
    path.moveTo(x + r, y)
    path.arc(x, y, r, 0, 2 * Math.PI)
  } else if (mark === 'square') path.rect(x - r + 0.3, y - r + 0.3, 2 * r - 0.6, 2 * r - 0.6)
  else if (mark === 'triangle') {
    path.moveTo(x, y - r - 0.5)
    path.lineTo(x + r + 0.5, y + r - 0.5)
    path.lineTo(x - r - 0.5, y + r - 0.5)
    path.closePath()
  } else {
    path.moveTo(x - r, y - r)
    path.lineTo(x + r, y + r)
    path.moveTo(x + r, y - r)
    path.lineTo(x - r, y + r)
  }
}

/** Times on the clock that get a mark. They stay with the line while it is moved. */
function markTimes(laid: LaidLine, shown: TimeSpan, widthPx: number): readonly number[] {
  const ends = reach(laid, shown)
  if (!ends) return []
  const { timesS } = laid.line
  const span = shown.toS - shown.fromS
  const [first, last] = ends
  if (((last - first) * SPARSE_PX) / Math.max(1, widthPx) < 1) {
    return Array.from(timesS.subarray(first, last + 1), (at) => at + laid.startsAtS)
  }
  const step = timeStep(span, Math.max(2, Math.floor(widthPx / MARKS_PX)))
  const from = Math.max(shown.fromS - laid.startsAtS, timesS[0]!)
  const to = Math.min(shown.toS - laid.startsAtS, timesS[timesS.length - 1]!)
  const times: number[] = []
  for (let at = Math.ceil(from / step) * step; at <= to; at += step) times.push(at + laid.startsAtS)
  return times
}

/** From so many points a column of pixels on, columns are filled instead of stroking a line through them: it looks the same, for a tenth of the work. */
const DENSE = 0.5

/** Each column of pixels filled from its lowest to its highest point, and to where the column before ended. */
function fillColumns(
  context: CanvasRenderingContext2D,
  laid: LaidLine,
  shown: TimeSpan,
  box: { readonly x: number; readonly width: number },
  yOf: (value: number) => number,
): void {
  const left = Math.round(box.x)
  let column = Number.NaN
  let top = 0
  let foot = 0
  let last = Number.NaN
  const fill = (next: number): void => {
    if (Number.isNaN(column)) return
    const y = Math.round(top - LINE_PX / 2)
    // One px more to the left, so that steep parts are as broad as flat ones.
    context.fillRect(left + column - 1, y, Math.max(1, next - column) + 1, Math.round(foot + LINE_PX / 2) - y)
  }
  eachDrawnPoint(laid, shown, box.width, (x, value) => {
    const y = yOf(value)
    const at = Math.floor(x)
    if (at !== column) {
      fill(at)
      column = at
      top = Number.isNaN(last) ? y : Math.min(y, last)
      foot = Number.isNaN(last) ? y : Math.max(y, last)
    } else {
      if (y < top) top = y
      if (y > foot) foot = y
    }
    last = y
  })
  fill(column + 1)
}

/** Draws a line into its band. `yOf` gives px of a value. */
export function paintMeasured(
  context: CanvasRenderingContext2D,
  laid: LaidLine,
  shown: TimeSpan,
  box: { readonly x: number; readonly width: number },
  yOf: (value: number) => number,
  inks: Inks,
): void {
  context.fillStyle = context.strokeStyle = inks.lineStrong
  const ends = reach(laid, shown)
  if (!ends) return
  if (ends[1] - ends[0] > DENSE * box.width) fillColumns(context, laid, shown, box, yOf)
  else {
    let isFirst = true
    context.beginPath()
    eachDrawnPoint(laid, shown, box.width, (x, value) => {
      if (isFirst) context.moveTo(box.x + x, yOf(value))
      else context.lineTo(box.x + x, yOf(value))
      isFirst = false
    })
    context.lineWidth = LINE_PX
    context.lineJoin = 'bevel'
    context.stroke()
  }
  context.beginPath()
  for (const s of markTimes(laid, shown, box.width)) {
    const value = valueAt(laid, s)
    if (value !== null && s >= shown.fromS && s <= shown.toS) traceMark(context, laid.mark, timeToX(s, shown, box.x, box.width), yOf(value))
  }
  context.fillStyle = inks.paper
  context.strokeStyle = inks.accent
  context.lineWidth = 1.5
  if (laid.mark !== 'cross') context.fill()
  context.stroke()
}
