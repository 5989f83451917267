/** Canvases that are drawn again when what they show, their size or the theme changes. To be called while a component is mounted. */
import { createEffect, onCleanup } from '../framework.ts'
import { language } from '../words/index.ts'
import { freshSheet, type Inks, inksOf, onThemeChange, type Sheet } from './paint.ts'
import type { TimeStage } from './time-stage.ts'

export type Draw = (sheet: Sheet, inks: Inks) => void

function sheetOf(canvas: HTMLCanvasElement): Sheet | null {
  return freshSheet(canvas, canvas.clientWidth, canvas.clientHeight)
}

/** Calls `changed` when the size of the canvas or the theme changes, until the component goes. */
function onNewLook(canvas: HTMLCanvasElement, changed: () => void): void {
  const size = new ResizeObserver(changed)
  size.observe(canvas)
  const end = onThemeChange(changed)
  onCleanup(() => {
    size.disconnect()
    end()
  })
}

/**
 * Drawn in the frames of a time stage, outside the framework: signals read by `draw` do not draw again by themselves. With `shows`, which
 * lists all that the picture follows from, a frame in which nothing of it is new draws nothing. Returns what draws it anew in any case.
 */
export function drawOnStage(canvas: HTMLCanvasElement, stage: TimeStage, draw: Draw, shows?: () => readonly unknown[]): () => void {
  // Reading the theme's colours costs a style of the page, and reading the size a layout, so they are kept from one frame to the next.
  let inks = inksOf(canvas)
  let size: readonly [number, number] | null = null
  let before: readonly unknown[] | null = null
  onCleanup(
    stage.subscribe(() => {
      const now = shows?.() ?? null
      if (now !== null && before !== null && now.every((x, i) => x === before![i])) return
      size ??= [canvas.clientWidth, canvas.clientHeight]
      const sheet = freshSheet(canvas, ...size)
      if (!sheet) {
        size = null
        return
      }
      before = now
      draw(sheet, inks)
    }),
  )
  const again = (): void => {
    before = null
    stage.touch()
  }
  onNewLook(canvas, () => {
    inks = inksOf(canvas)
    size = [canvas.clientWidth, canvas.clientHeight]
    again()
  })
  // What is written on it is in the language of the page.
  createEffect(() => {
    language()
    again()
  })
  return again
}

/** Drawn again whenever a signal that `draw` reads changes. */
export function drawOnChange(canvas: HTMLCanvasElement, draw: Draw): void {
  const again = (): void => {
    const sheet = sheetOf(canvas)
    if (sheet) draw(sheet, inksOf(canvas))
  }
  createEffect(again)
  onNewLook(canvas, again)
}
