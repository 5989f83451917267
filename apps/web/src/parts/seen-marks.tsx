/** Turns that somebody saw, as a row of marks on the shared time axis. */
import { onMount } from '../framework.ts'
import { type Draw, drawOnStage } from './drawn-canvas.ts'
import { inRem, timeToX } from './paint.ts'
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
    const draw: Draw = (sheet, inks) => {
      const { context } = sheet
      const gutter = props.gutterPx()
      const width = sheet.widthPx - gutter - 1
      const shown = props.stage.window
      const height = sheet.heightPx - 2
      const half = 4.5 * inks.letters
      context.fillStyle = inks.line
      context.fillRect(gutter, height, width, 1)
      context.fillStyle = inks.ink
      context.beginPath()
      for (const s of props.timesS()) {
        if (s < shown.fromS || s > shown.toS) continue
        const x = timeToX(s, shown, gutter, width)
        context.moveTo(x, 1)
        context.lineTo(x + half, height)
        context.lineTo(x - half, height)
        context.closePath()
      }
      context.fill()
    }
    drawOnStage(canvas, props.stage, draw, () => [props.timesS(), props.stage.window, props.gutterPx()])
  })
  return (
    <canvas
      ref={(element) => (canvas = element)}
      class="strip seen-marks"
      role="img"
      aria-label={props.label}
      style={{ height: inRem(HEIGHT_PX) }}
    />
  )
}
