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

/** Drawn in the frames of a time stage, outside the framework: signals read by `draw` do not draw again by themselves. */
export function drawOnStage(canvas: HTMLCanvasElement, stage: TimeStage, draw: Draw): void {
  // Reading the theme's colours costs a style of the page, so they are kept from one frame to the next.
  let inks = inksOf(canvas)
  onCleanup(
    stage.subscribe(() => {
      const sheet = sheetOf(canvas)
      if (sheet) draw(sheet, inks)
    }),
  )
  onNewLook(canvas, () => {
    inks = inksOf(canvas)
    stage.touch()
  })
  // What is written on it is in the language of the page.
  createEffect(() => {
    language()
    stage.touch()
  })
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
