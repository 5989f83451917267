/** The liquid in its vessels at the time looked at, to scale, in its predicted colour. Drawn on canvas, outside the framework. */
import { onMount } from '../framework.ts'
import { drawOnStage } from './drawn-canvas.ts'
import type { TimeStage } from './time-stage.ts'
import { type DrawnVessel, paintVessels } from './vessel-paint.ts'

export interface VesselDrawingProps {
  readonly stage: TimeStage
  /** Read at every drawing. */
  readonly vessels: () => readonly DrawnVessel[]
  readonly chosen: () => string | null
  readonly label: string
}

export function VesselDrawing(props: VesselDrawingProps) {
  let canvas!: HTMLCanvasElement
  onMount(() => {
    const still = matchMedia('(prefers-reduced-motion: reduce)')
    drawOnStage(canvas, props.stage, (sheet, inks) => {
      const { nowS, isPlaying, speed } = props.stage
      const turning = still.matches ? 0 : isPlaying ? nowS / Math.max(1, speed) : 0
      const scene = { vessels: props.vessels(), chosen: props.chosen(), timeS: nowS, turning }
      paintVessels(sheet.context, scene, sheet.widthPx, sheet.heightPx, inks)
    })
  })
  return <canvas ref={(element) => (canvas = element)} class="vessels" role="img" aria-label={props.label} />
}
