import { describe, expect, it } from 'vitest'
import { createTimeStage, fitWindow, SHORTEST_WINDOW_S, stageKey } from './time-stage.ts'

/** Frames given by hand, 100 ms apart unless said otherwise. */
function byHand() {
  let waiting: ((nowMs: number) => void) | null = null
  let nowMs = 1000
  const stage = createTimeStage({
    request: (callback) => {
      waiting = callback
      return 1
    },
    cancel: () => {
      waiting = null
    },
  })
  const frame = (ms = 100): boolean => {
    const callback = waiting
    waiting = null
    nowMs += ms
    callback?.(nowMs)
    return callback !== null
  }
  stage.setSpan({ fromS: 0, toS: 600 })
  return { stage, frame }
}

describe('a stage', () => {
  it('plays at its speed and stops at the end', () => {
    const { stage, frame } = byHand()
    stage.setSpeed(10)
    stage.play()
    frame()
    expect(stage.nowS).toBe(0)
    for (let k = 0; k < 10; k++) frame()
    expect(stage.nowS).toBeCloseTo(10, 9)
    stage.seek(599.9)
    frame()
    frame()
    expect([stage.nowS, stage.isPlaying]).toEqual([600, false])
    stage.play()
    expect(stage.nowS).toBe(0)
  })
  it('does not jump after a tab has slept', () => {
    const { stage, frame } = byHand()
    stage.play()
    frame()
    frame(60_000)
    expect(stage.nowS).toBeLessThan(0.3)
  })
  it('draws once a frame and rests when nothing changes', () => {
    const { stage, frame } = byHand()
    let drawn = 0
    stage.subscribe(() => drawn++)
    stage.seek(5)
    stage.seek(6)
    expect(frame()).toBe(true)
    expect(drawn).toBe(1)
    expect(frame()).toBe(false)
    stage.end()
    stage.touch()
    expect(frame()).toBe(false)
  })
  it('keeps the time under the hand where it is while zooming', () => {
    const { stage } = byHand()
    stage.zoom(0.25, 150)
    const { fromS, toS } = stage.window
    expect(toS - fromS).toBeCloseTo(150, 9)
    expect((150 - fromS) / (toS - fromS)).toBeCloseTo(150 / 600, 9)
    stage.zoom(100, 10)
    expect(stage.window).toEqual({ fromS: 0, toS: 600 })
    stage.zoom(1e-6, 600)
    expect(stage.window.toS - stage.window.fromS).toBeCloseTo(SHORTEST_WINDOW_S, 9)
    expect(stage.window.toS).toBe(600)
  })
  it('turns the page while playing in a window', () => {
    const { stage, frame } = byHand()
    stage.showWindow({ fromS: 0, toS: 10 })
    stage.setSpeed(60)
    stage.play()
    for (let k = 0; k < 5; k++) frame()
    expect(stage.window.fromS).toBeGreaterThan(5)
    expect(stage.nowS).toBeGreaterThanOrEqual(stage.window.fromS)
    expect(stage.nowS).toBeLessThanOrEqual(stage.window.toS)
  })
  it('keeps the whole when the span grows, and a window when it still fits', () => {
    const { stage } = byHand()
    stage.setSpan({ fromS: 0, toS: 900 })
    expect(stage.window.toS).toBe(900)
    stage.showWindow({ fromS: 100, toS: 200 })
    stage.setSpan({ fromS: 0, toS: 150 })
    expect(stage.window).toEqual({ fromS: 50, toS: 150 })
  })
  it('answers to keys', () => {
    const { stage } = byHand()
    for (const key of ['ArrowRight', 'PageUp', 'End', '+']) expect(stageKey(stage, key, false)).toBe(true)
    expect(stage.nowS).toBe(600)
    const before = stage.window.fromS
    stageKey(stage, 'ArrowLeft', true)
    expect(stage.window.fromS).toBeLessThan(before)
    stageKey(stage, '0', false)
    expect(stage.window).toEqual(stage.span)
    expect(stageKey(stage, 'x', false)).toBe(false)
  })
})

describe('a window', () => {
  it('is moved before it is cut', () => {
    expect(fitWindow({ fromS: -5, toS: 15 }, { fromS: 0, toS: 100 })).toEqual({ fromS: 0, toS: 20 })
    expect(fitWindow({ fromS: 95, toS: 115 }, { fromS: 0, toS: 100 })).toEqual({ fromS: 80, toS: 100 })
    expect(fitWindow({ fromS: -5, toS: 500 }, { fromS: 0, toS: 100 })).toEqual({ fromS: 0, toS: 100 })
  })
})
