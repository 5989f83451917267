/**
 * One line on standard error that is rewritten while something takes longer than a second. Nothing is written when it is
 * not a terminal. Each drawing leaves the cursor at the start of the line and no colour or mode switched on, so that an
 * interrupted program leaves a clean terminal.
 */
import { oneLine } from './text-layout.ts'

export interface Progress {
  update(done: number, of: number, what: string): void
  /** Something goes on whose share is not known. */
  alive(what: string): void
  finish(): void
}

interface Stream {
  readonly isTTY?: boolean
  readonly columns?: number
  write(text: string): unknown
}

/** Anything faster needs no progress line. */
const QUIET_MS = 1000
const REDRAW_MS = 120
const CLEAR_LINE = '\u001b[2K'
const USUAL_COLUMNS = 80

export function progressOn(stream: Stream, now: () => number): Progress {
  const started = now()
  let drawn = Number.NEGATIVE_INFINITY
  let shown = false
  const draw = (text: (seconds: number) => string): void => {
    const t = now()
    if (stream.isTTY !== true || t - started < QUIET_MS || t - drawn < REDRAW_MS) return
    drawn = t
    shown = true
    stream.write(`\r${CLEAR_LINE}${oneLine(text(Math.round((t - started) / 1000)), (stream.columns || USUAL_COLUMNS) - 1)}\r`)
  }
  return {
    update: (done, of, what) => draw((s) => `${what}: ${done} of ${of} (${s} s)`),
    alive: (what) => draw((s) => `${what} (${s} s)`),
    finish() {
      if (shown) stream.write(`\r${CLEAR_LINE}`)
      shown = false
    },
  }
}
