/** Which step rules when, along the time axis: one row for making and one for using each coloured species, stretches named and patterned. */
import type { Reign } from '@beakertide/core/mechanism'
import { onMount } from '../framework.ts'
import { said } from '../words/index.ts'
import { drawOnStage } from './drawn-canvas.ts'
import { bandOfReigns } from './network-graph.ts'
import { type Inks, inRem, timeToX } from './paint.ts'
import type { TimeStage } from './time-stage.ts'

export interface ReignRow {
  readonly species: string
  readonly role: Reign['role']
  readonly name: string
}

export interface ReignBandProps {
  readonly stage: TimeStage
  readonly rows: readonly ReignRow[]
  readonly reigns: readonly Reign[]
  readonly gutterPx: () => number
  readonly label: string
}

export const REIGN_ROW_PX = 40
const BAR_PX = 20
const LETTERS_PX = 13

/** Rulers in the order of their first reign: each gets a pattern of its own, then they repeat. */
function patternOf(steps: readonly string[], step: string): number {
  return Math.max(0, steps.indexOf(step)) % 4
}

function hatch(c: CanvasRenderingContext2D, pattern: number, x: number, y: number, w: number, h: number, inks: Inks): void {
  c.fillStyle = pattern === 0 ? inks.paper2 : pattern === 1 ? inks.line : inks.paper
  c.fillRect(x, y, w, h)
  if (pattern < 2) return
  c.save()
  c.beginPath()
  c.rect(x, y, w, h)
  c.clip()
  c.strokeStyle = inks.line
  c.lineWidth = 1.5
  c.beginPath()
  for (let k = -h; k < w + h; k += 7) {
    c.moveTo(x + k, pattern === 2 ? y + h : y)
    c.lineTo(x + k + h, pattern === 2 ? y : y + h)
  }
  c.stroke()
  c.restore()
}

export function ReignBand(props: ReignBandProps) {
  let canvas!: HTMLCanvasElement
  onMount(() => {
    drawOnStage(canvas, props.stage, (sheet, inks) => {
      const c = sheet.context
      const gutter = props.gutterPx()
      const width = sheet.widthPx - gutter - 1
      const k = inks.letters
      const barPx = BAR_PX * k
      const { window: shown } = props.stage
      props.rows.forEach((row, i) => {
        const top = (i * REIGN_ROW_PX + 18) * k
        c.font = `${LETTERS_PX * k}px ${inks.font}`
        c.fillStyle = inks.quiet
        c.textAlign = 'left'
        c.textBaseline = 'alphabetic'
        c.fillText(row.name, gutter, top - 4)
        const reigns = bandOfReigns(props.reigns, row.species, row.role)
        const steps = [...new Set(reigns.flatMap((r) => (r.step === null ? [] : [r.step])))]
        for (const r of reigns) {
          if (r.step === null || r.toS < shown.fromS || r.fromS > shown.toS) continue
          const x0 = Math.max(gutter, timeToX(r.fromS, shown, gutter, width))
          const x1 = Math.min(gutter + width, timeToX(r.toS, shown, gutter, width))
          hatch(c, patternOf(steps, r.step), x0, top, x1 - x0, barPx, inks)
          c.strokeStyle = inks.lineStrong
          c.lineWidth = 1
          c.strokeRect(x0 + 0.5, top + 0.5, Math.max(0, x1 - x0 - 1), barPx)
          c.fillStyle = inks.ink
          c.textAlign = 'center'
          const name = said(r.step)
          if (c.measureText(name).width + 4 <= x1 - x0) c.fillText(name, (x0 + x1) / 2, top + 15 * k)
        }
      })
    })
  })
  return (
    <canvas
      ref={(element) => (canvas = element)}
      class="strip"
      role="img"
      aria-label={props.label}
      style={{ height: inRem(props.rows.length * REIGN_ROW_PX + 2) }}
    />
  )
}
