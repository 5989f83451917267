/** Turns that somebody saw, as a row of marks on the shared time axis. */
import { onMount } from '../framework.ts'
import { drawOnStage } from './drawn-canvas.ts'
import { timeToX } from './paint.ts'
import type { TimeStage } from './time-stage.ts'

export interface SeenMarksProps {
  readonly stage: TimeStage
  /** s on the clock; read at every drawing. */
  readonly timesS: () => readonly number[]
  readonly label: string
  readonly gutterPx: () => number
}

const HEIGHT_PX = 15

export function SeenMarks(props: SeenMarksProps) {
  let canvas!: HTMLCanvasElement
  onMount(() => {
    drawOnStage(canvas, props.stage, (sheet, inks) => {
      const { context } = sheet
      const gutter = props.gutterPx()
      const width = sheet.widthPx - gutter - 1
      const shown = props.stage.window
      context.fillStyle = inks.line
      context.fillRect(gutter, HEIGHT_PX - 2, width, 1)
      context.fillStyle = inks.ink
      context.beginPath()
      for (const s of props.timesS()) {
        if (s < shown.fromS || s > shown.toS) continue
        const x = timeToX(s, shown, gutter, width)
        context.moveTo(x, 1)
        context.lineTo(x + 4.5, HEIGHT_PX - 2)
        context.lineTo(x - 4.5, HEIGHT_PX - 2)
        context.closePath()
      }
      context.fill()
    })
  })
  return (
    <canvas
      ref={(element) => (canvas = element)}
      class="strip seen-marks"
      role="img"
      aria-label={props.label}
      style={{ height: `${HEIGHT_PX}px` }}
    />
  )
}
