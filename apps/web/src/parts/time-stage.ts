/**
 * One time for everything that is drawn: a clock that plays at a speed or is set by hand, and the window of time that is looked at.
 * No framework: whoever draws subscribes and is called once a frame when something has changed.
 */
export const SPEEDS = [1, 2, 5, 10, 30, 60] as const

/** Ends of the time axis, s. */
export interface TimeSpan {
  readonly fromS: number
  readonly toS: number
}

export interface TimeStage {
  /** The time looked at, s. */
  readonly nowS: number
  readonly isPlaying: boolean
  readonly speed: number
  /** All there is, s. */
  readonly span: TimeSpan
  /** What is looked at, within `span`. */
  readonly window: TimeSpan
  /** New ends; keeps the time and the window where they still fit, and the whole where the whole was shown. */
  setSpan(span: TimeSpan): void
  seek(timeS: number): void
  play(): void
  pause(): void
  setSpeed(speed: number): void
  /** Makes the window `factor` times as long around a time that stays in its place. */
  zoom(factor: number, aroundS: number): void
  /** Moves the window. */
  pan(byS: number): void
  showWindow(window: TimeSpan): void
  /** Calls `draw` in the next frame after every change; returns what ends it. */
  subscribe(draw: () => void): () => void
  /** Says that something drawn has changed. */
  touch(): void
  /** Ends the clock; nothing is drawn any more. */
  end(): void
}

/** What a browser gives and a test replaces. */
export interface Frames {
  /** Calls back before the next picture, with the time in ms. */
  request(callback: (nowMs: number) => void): number
  cancel(handle: number): void
}

/** No window is shorter than this, s. */
export const SHORTEST_WINDOW_S = 2
/** A frame longer than this is a tab that slept: time does not jump, ms. */
const LONGEST_FRAME_MS = 250

const clamp = (x: number, low: number, high: number): number => Math.min(high, Math.max(low, x))

/** A window moved and cut so that it lies within the span. */
export function fitWindow(window: TimeSpan, span: TimeSpan): TimeSpan {
  const whole = span.toS - span.fromS
  const length = clamp(window.toS - window.fromS, Math.min(SHORTEST_WINDOW_S, whole), whole)
  const fromS = clamp(window.fromS, span.fromS, span.toS - length)
  return { fromS, toS: fromS + length }
}

/** True when the window shows everything. */
export const isWhole = (window: TimeSpan, span: TimeSpan): boolean => window.toS - window.fromS >= span.toS - span.fromS - 1e-9

/** A stage over no time at all, to be given its span. */
export function createTimeStage(frames: Frames): TimeStage {
  let span: TimeSpan = { fromS: 0, toS: 0 }
  let shown: TimeSpan = span
  let nowS = 0
  let isPlaying = false
  let speed = 1
  let handle: number | null = null
  let before: number | null = null
  let hasEnded = false
  const drawers = new Set<() => void>()

  const frame = (nowMs: number): void => {
    handle = null
    if (isPlaying) {
      if (before !== null) nowS += (Math.min(LONGEST_FRAME_MS, nowMs - before) / 1000) * speed
      before = nowMs
      if (nowS >= span.toS) {
        nowS = span.toS
        isPlaying = false
      }
      follow()
    }
    if (!isPlaying) before = null
    for (const draw of drawers) draw()
    if (isPlaying) touch()
  }
  const touch = (): void => {
    if (handle === null && !hasEnded) handle = frames.request(frame)
  }
  /** While playing, a zoomed window turns the page when the time leaves it. */
  const follow = (): void => {
    if (nowS >= shown.fromS && nowS <= shown.toS) return
    const length = shown.toS - shown.fromS
    shown = fitWindow({ fromS: nowS, toS: nowS + length }, span)
  }

  return {
    get nowS() {
      return nowS
    },
    get isPlaying() {
      return isPlaying
    },
    get speed() {
      return speed
    },
    get span() {
      return span
    },
    get window() {
      return shown
    },
    setSpan(next) {
      const hadWhole = isWhole(shown, span)
      span = next
      shown = hadWhole ? next : fitWindow(shown, next)
      nowS = clamp(nowS, span.fromS, span.toS)
      touch()
    },
    seek(timeS) {
      nowS = clamp(timeS, span.fromS, span.toS)
      follow()
      touch()
    },
    play() {
      if (nowS >= span.toS) nowS = span.fromS
      isPlaying = span.toS > span.fromS
      before = null
      follow()
      touch()
    },
    pause() {
      isPlaying = false
      touch()
    },
    setSpeed(next) {
      speed = next
      touch()
    },
    zoom(factor, aroundS) {
      const share = (aroundS - shown.fromS) / Math.max(1e-9, shown.toS - shown.fromS)
      const whole = span.toS - span.fromS
      const length = clamp((shown.toS - shown.fromS) * factor, Math.min(SHORTEST_WINDOW_S, whole), whole)
      shown = fitWindow({ fromS: aroundS - share * length, toS: aroundS + (1 - share) * length }, span)
      touch()
    },
    pan(byS) {
      shown = fitWindow({ fromS: shown.fromS + byS, toS: shown.toS + byS }, span)
      touch()
    },
    showWindow(window) {
      shown = fitWindow(window, span)
      touch()
    },
    subscribe(draw) {
      drawers.add(draw)
      touch()
      return () => drawers.delete(draw)
    },
    touch,
    end() {
      hasEnded = true
      isPlaying = false
      drawers.clear()
      if (handle !== null) frames.cancel(handle)
      handle = null
    },
  }
}

/** The frames of a browser. */
export const browserFrames: Frames = {
  request: (callback) => requestAnimationFrame(callback),
  cancel: (handle) => cancelAnimationFrame(handle),
}

/** What a key does to a stage; false when it is no key of ours. Arrows move the time, with Shift the window; + and - zoom; 0 shows all. */
export function stageKey(stage: TimeStage, key: string, shift: boolean): boolean {
  const { window, span } = stage
  const length = window.toS - window.fromS
  const small = length / 200
  switch (key) {
    case 'ArrowRight':
      if (shift) stage.pan(length / 8)
      else stage.seek(stage.nowS + small)
      return true
    case 'ArrowLeft':
      if (shift) stage.pan(-length / 8)
      else stage.seek(stage.nowS - small)
      return true
    case 'PageUp':
      stage.seek(stage.nowS + length / 10)
      return true
    case 'PageDown':
      stage.seek(stage.nowS - length / 10)
      return true
    case 'Home':
      stage.seek(span.fromS)
      return true
    case 'End':
      stage.seek(span.toS)
      return true
    case '+':
    case '=':
      stage.zoom(0.5, stage.nowS)
      return true
    case '-':
      stage.zoom(2, stage.nowS)
      return true
    case '0':
      stage.showWindow(span)
      return true
    case ' ':
      if (stage.isPlaying) stage.pause()
      else stage.play()
      return true
    default:
      return false
  }
}
