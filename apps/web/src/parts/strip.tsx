/** The colour strip of a course: real colours against time, turns and names under it. Drawn on canvas, outside the framework. */
import { onMount } from '../framework.ts'
import { type Draw, drawOnStage } from './drawn-canvas.ts'
import { type DrawnCourse, inRem, paintColours, paintTurns } from './paint.ts'
import type { TimeSpan, TimeStage } from './time-stage.ts'

export interface StripProps {
  readonly stage: TimeStage
  /** Read at every drawing: may change sixty times a second. */
  readonly course: () => DrawnCourse | null
  /** Says what the picture shows. */
  readonly label: string
  readonly heightPx: number
  /** Room at the left for the scales of the traces below, so that times stand under each other. */
  readonly gutterPx: () => number
  /** Names under the strip; a pinned strip has none. */
  readonly names?: boolean
}

/** Room for the names and their letters, px at the usual size of letters: both grow with it. */
export const NAMES_PX = 24
const NAME_LETTERS_PX = 13

export function Strip(props: StripProps) {
  let canvas!: HTMLCanvasElement
  onMount(() => {
    const draw: Draw = (sheet, inks) => {
      const course = props.course()
      if (!course) return
      const gutter = props.gutterPx()
      const box = { x: gutter, y: 0, width: sheet.widthPx - gutter - 1, height: props.heightPx * inks.letters }
      const shown: TimeSpan = props.stage.window
      paintColours(sheet.context, course.strip, shown, box, inks)
      sheet.context.strokeStyle = inks.lineStrong
      sheet.context.lineWidth = 1
      sheet.context.strokeRect(box.x - 0.5, 0.5, box.width + 1, box.height - 1)
      if (props.names !== false)
        paintTurns(sheet.context, course.strip, course.turns, shown, { ...box, y: box.height }, inks, NAME_LETTERS_PX * inks.letters)
    }
    const again = drawOnStage(canvas, props.stage, draw, () => [props.course(), props.stage.window, props.gutterPx()])
    void document.fonts?.ready.then(again)
  })
  return (
    <canvas
      ref={(element) => (canvas = element)}
      class="strip"
      role="img"
      aria-label={props.label}
      style={{ height: inRem(props.heightPx + (props.names === false ? 0 : NAMES_PX)) }}
    />
  )
}
