/** Traces of a course on the shared time axis, one band a trace, each with its own scale. */
import type { Trace } from '@beakertide/core/rehearsal'
import uPlot from 'uplot'
import 'uplot/dist/uPlot.min.css'
import { createEffect, For, onCleanup, onMount } from '../framework.ts'
import { formatNumber } from '../words/numbers.ts'
import { drawOnStage } from './drawn-canvas.ts'
import { inksOf, onThemeChange, paintTimeAxis } from './paint.ts'
import type { TimeStage } from './time-stage.ts'

export interface TracesProps {
  readonly stage: TimeStage
  /** Names of the traces there are; they change only with the document. */
  readonly names: readonly { readonly name: string; readonly unit: string; readonly title: string }[]
  /** Read at every drawing. */
  readonly traces: () => readonly Trace[]
  readonly gutterPx: () => number
}

const BAND_PX = 92

/** One band. Its data are handed over only when they are new; its window at every frame. */
function Band(props: TracesProps & { readonly name: string; readonly unit: string; readonly title: string }) {
  let host!: HTMLDivElement
  onMount(() => {
    let plot: uPlot | null = null
    let drawn: Trace | null = null
    let window = ''
    const make = (): void => {
      plot?.destroy()
      drawn = null
      const inks = inksOf(host)
      const font = `12px ${inks.font}`
      const gutter = props.gutterPx()
      plot = new uPlot(
        {
          width: Math.max(50, host.clientWidth),
          height: BAND_PX,
          padding: [8, 1, 6, 0],
          legend: { show: false },
          cursor: { show: false },
          scales: { x: { time: false, auto: false }, y: { range: (_u, low, high) => spanOf(low, high) } },
          axes: [
            { show: false },
            {
              size: gutter,
              stroke: inks.quiet,
              font,
              space: 26,
              grid: { stroke: inks.line, width: 1 },
              ticks: { show: false },
              values: (_u, splits) => splits.map((v) => formatNumber(v, 4)),
            },
          ],
          series: [{}, { stroke: inks.ink, width: 1.25, points: { show: false }, spanGaps: true }],
        },
        [[], []],
        host,
      )
      // The page's own cursor and keys work on this picture; uPlot's parts are no controls.
      plot.root.setAttribute('aria-hidden', 'true')
    }
    make()
    const draw = (): void => {
      if (!plot) return
      const trace = props.traces().find((x) => x.name === props.name) ?? null
      const { fromS, toS } = props.stage.window
      const now = `${fromS} ${toS}`
      if (trace === drawn && now === window) return
      plot.batch(() => {
        if (trace !== drawn) plot!.setData([trace?.timesS ?? [], trace?.values ?? []] as unknown as uPlot.AlignedData, false)
        plot!.setScale('x', { min: fromS, max: Math.max(fromS + 1e-6, toS) })
      })
      drawn = trace
      window = now
    }
    const ends = [
      props.stage.subscribe(draw),
      onThemeChange(() => {
        make()
        props.stage.touch()
      }),
    ]
    let width = host.clientWidth
    const size = new ResizeObserver(() => {
      if (host.clientWidth === width || host.clientWidth < 50) return
      width = host.clientWidth
      make()
      props.stage.touch()
    })
    size.observe(host)
    onCleanup(() => {
      size.disconnect()
      for (const end of ends) end()
      plot?.destroy()
    })
  })
  return (
    <div class="trace">
      <div class="trace-name" style={{ 'padding-left': `${props.gutterPx()}px` }}>
        {props.title}
        {props.unit === '' ? '' : `, ${props.unit}`}
      </div>
      <div class="trace-plot" ref={(element) => (host = element)} />
    </div>
  )
}

/** A flat line stands in the middle of its band, and small ripples of it are not blown up. */
function spanOf(low: number | null, high: number | null): [number, number] {
  const [a, b] = [low ?? 0, high ?? 1]
  const least = Math.max(1e-6 * Math.max(Math.abs(a), Math.abs(b)), 1e-9)
  if (b - a < least) return [a - Math.max(0.5 * Math.abs(a), least) * 0.1 - least, b + Math.max(0.5 * Math.abs(b), least) * 0.1 + least]
  const room = 0.06 * (b - a)
  return [a - room, b + room]
}

export function Traces(props: TracesProps) {
  return (
    <div class="traces">
      <For each={props.names}>{(n) => <Band {...props} name={n.name} unit={n.unit} title={n.title} />}</For>
    </div>
  )
}

/** The time axis under everything. */
export function TimeAxis(props: { readonly stage: TimeStage; readonly gutterPx: () => number }) {
  let canvas!: HTMLCanvasElement
  onMount(() => {
    drawOnStage(canvas, props.stage, (sheet, inks) => {
      const gutter = props.gutterPx()
      paintTimeAxis(sheet.context, props.stage.window, { x: gutter, y: 1, width: sheet.widthPx - gutter - 1 }, inks)
    })
    createEffect(() => {
      props.gutterPx()
      props.stage.touch()
    })
  })
  return <canvas ref={(element) => (canvas = element)} class="time-axis" aria-hidden="true" />
}
