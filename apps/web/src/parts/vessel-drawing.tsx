/** The liquid in its vessels at the time looked at, to scale, in its predicted colour. Drawn on canvas, outside the framework. */
import { onCleanup, onMount } from '../framework.ts'
import { freshSheet, inksOf, onThemeChange } from './paint.ts'
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
    let inks = inksOf(canvas)
    const still = matchMedia('(prefers-reduced-motion: reduce)')
    const draw = (): void => {
      const sheet = freshSheet(canvas, canvas.clientWidth, canvas.clientHeight)
      if (!sheet) return
      const { nowS, isPlaying, speed } = props.stage
      const turning = still.matches ? 0 : isPlaying ? nowS / Math.max(1, speed) : 0
      const scene = { vessels: props.vessels(), chosen: props.chosen(), timeS: nowS, turning }
      paintVessels(sheet.context, scene, sheet.widthPx, sheet.heightPx, inks)
    }
    const ends = [
      props.stage.subscribe(draw),
      onThemeChange(() => {
        inks = inksOf(canvas)
        props.stage.touch()
      }),
    ]
    const size = new ResizeObserver(() => props.stage.touch())
    size.observe(canvas)
    onCleanup(() => {
      size.disconnect()
      for (const end of ends) end()
    })
  })
  return <canvas ref={(element) => (canvas = element)} class="vessels" role="img" aria-label={props.label} />
}
