/** Traces of a course on the shared time axis, one band a trace, each with its own scale. */
import type { Trace } from '@beakertide/core/rehearsal'
import uPlot from 'uplot'
import 'uplot/dist/uPlot.min.css'
import { createEffect, For, onCleanup, onMount, Show } from '../framework.ts'
import { language, said, t } from '../words/index.ts'
import { formatNumber } from '../words/numbers.ts'
import { indexAt } from './colour-at.ts'
import { type Draw, drawOnStage } from './drawn-canvas.ts'
import { heightsOf, type LaidLine, type Mark, paintMeasured } from './measured-line.ts'
import { MarkSign } from './mark-sign.tsx'
import { inksOf, onThemeChange, paintTimeAxis } from './paint.ts'
import type { TimeStage } from './time-stage.ts'

export interface TraceName {
  readonly name: string
  readonly unit: string
  readonly title: string
  /** Nothing is predicted of it: only measured. */
  readonly isOwn?: boolean
}

export interface TracesProps {
  readonly stage: TimeStage
  /** Names of the traces there are; they change only with the document. */
  readonly names: readonly TraceName[]
  /** Read at every drawing. */
  readonly traces: () => readonly Trace[]
  readonly gutterPx: () => number
  /** What was measured, by the name of the trace; read at every drawing: the same list as long as nothing of it changes. */
  readonly measured?: (name: string) => readonly LaidLine[]
  /** The same in words, with the marks it is drawn with. */
  readonly legend?: (name: string) => readonly { readonly mark: Mark; readonly words: string }[]
}

const BAND_PX = 92
const NONE: readonly LaidLine[] = []
/** How long nothing moves before a band out of sight is drawn, ms. */
const REST_MS = 200
/** Numbers of a scale kept as text. */
const MOST_NUMBERS = 200

/** Lowest and highest value of a predicted trace in a window, with the points beside it; null when there is none. */
export function heightsOfTrace(trace: Trace | null, fromS: number, toS: number): readonly [number, number] | null {
  const n = trace?.timesS.length ?? 0
  if (trace === null || n === 0 || trace.timesS[n - 1]! < fromS || trace.timesS[0]! > toS) return null
  const first = indexAt(n, (k) => trace.timesS[k]!, fromS)
  const last = Math.min(n - 1, indexAt(n, (k) => trace.timesS[k]!, toS) + 1)
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = first; i <= last; i++) {
    const v = trace.values[i]!
    if (v < low) low = v
    if (v > high) high = v
  }
  return [low, high]
}

/** From the lowest to the highest of all lines in the window. */
function scaleOf(trace: Trace | null, laid: readonly LaidLine[], fromS: number, toS: number): [number, number] {
  const all = [heightsOfTrace(trace, fromS, toS), ...laid.map((line) => heightsOf(line, { fromS, toS }))].filter((x) => x !== null)
  if (all.length === 0) return spanOf(null, null)
  return spanOf(Math.min(...all.map(([low]) => low)), Math.max(...all.map(([, high]) => high)))
}

/** One band. Its data are handed over only when they are new; its window at every frame. */
function Band(props: TracesProps & TraceName) {
  let host!: HTMLDivElement
  onMount(() => {
    let plot: uPlot | null = null
    let drawn: Trace | null = null
    let laid = NONE
    let window = ''
    let isSeen = true
    let isRested = false
    let rest: ReturnType<typeof setTimeout> | null = null
    let inks = inksOf(host)
    // The same few numbers stand at every frame of a drag.
    const onScale = new Map<number, string>()
    const numberOnScale = (value: number): string => {
      let text = onScale.get(value)
      if (text === undefined) {
        if (onScale.size > MOST_NUMBERS) onScale.clear()
        text = formatNumber(value, 4)
        onScale.set(value, text)
      }
      return text
    }
    // Under the predicted line, cut to the band.
    const paintLaid = (u: uPlot): void => {
      if (laid.length === 0) return
      const ratio = uPlot.pxRatio
      const [x, y] = [u.bbox.left / ratio, u.bbox.top / ratio]
      const [w, h] = [u.bbox.width / ratio, u.bbox.height / ratio]
      u.ctx.save()
      u.ctx.setTransform(ratio, 0, 0, ratio, 0, 0)
      u.ctx.beginPath()
      u.ctx.rect(x, 0, w, BAND_PX * inks.letters)
      u.ctx.clip()
      const { min = 0, max = 1 } = u.scales['y'] ?? {}
      const yOf = (value: number): number => y + h - ((value - (min ?? 0)) / ((max ?? 1) - (min ?? 0))) * h
      for (const line of laid) paintMeasured(u.ctx, line, props.stage.window, { x, width: w }, yOf, inks)
      u.ctx.restore()
    }
    const make = (): void => {
      plot?.destroy()
      drawn = null
      window = ''
      inks = inksOf(host)
      const font = `${12 * inks.letters}px ${inks.font}`
      const gutter = props.gutterPx()
      plot = new uPlot(
        {
          width: Math.max(50, host.clientWidth),
          height: BAND_PX * inks.letters,
          padding: [8, 1, 6, 0],
          legend: { show: false },
          cursor: { show: false },
          scales: { x: { time: false, auto: false }, y: { auto: false, range: (_u, low, high) => [low, high] } },
          hooks: { drawAxes: [paintLaid] },
          axes: [
            { show: false },
            {
              size: gutter,
              stroke: inks.quiet,
              font,
              space: 26 * inks.letters,
              grid: { stroke: inks.line, width: 1 },
              ticks: { show: false },
              values: (_u, splits) => splits.map(numberOnScale),
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
      const lines = props.measured?.(props.name) ?? NONE
      if (trace === drawn && lines === laid && now === window) return
      // Out of sight it is drawn when nothing has moved for a moment, so that a drag has the time for what is seen.
      if (rest !== null) clearTimeout(rest)
      rest = null
      if (!isSeen && window !== '' && !isRested) {
        rest = setTimeout(() => {
          rest = null
          isRested = true
          draw()
        }, REST_MS)
        return
      }
      isRested = false
      laid = lines
      plot.batch(() => {
        // A trace of its own has no predicted line; two times without values keep the axes.
        const data = trace
          ? [trace.timesS, trace.values]
          : [
              [fromS, toS],
              [null, null],
            ]
        if (trace !== drawn || trace === null) plot!.setData(data as unknown as uPlot.AlignedData, false)
        plot!.setScale('x', { min: fromS, max: Math.max(fromS + 1e-6, toS) })
        const [min, max] = scaleOf(trace, lines, fromS, toS)
        plot!.setScale('y', { min, max })
      })
      drawn = trace
      window = now
    }
    // The numbers of the scale are in the language of the page.
    createEffect(() => {
      language()
      onScale.clear()
      window = ''
      props.stage.touch()
    })
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
    const sight = new IntersectionObserver((entries) => {
      isSeen = entries.at(-1)?.isIntersecting ?? true
      if (isSeen) props.stage.touch()
    })
    sight.observe(host)
    onCleanup(() => {
      size.disconnect()
      sight.disconnect()
      if (rest !== null) clearTimeout(rest)
      for (const end of ends) end()
      plot?.destroy()
      plot = null
    })
  })
  return (
    <div class="trace">
      <div class="trace-name" style={{ 'padding-left': `${props.gutterPx()}px` }}>
        {props.title}
        {props.unit === '' ? '' : `, ${said(props.unit)}`}
        <Show when={(props.legend?.(props.name) ?? []).length > 0}>
          <span class="trace-legend">
            <Show when={!props.isOwn}>
              <span>
                <MarkSign mark={null} /> {t('rehearsal.predictedLine')}
              </span>
            </Show>
            <For each={props.legend?.(props.name)}>
              {(line) => (
                <span>
                  <MarkSign mark={line.mark} /> {line.words}
                </span>
              )}
            </For>
          </span>
        </Show>
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
      <For each={props.names}>{(n) => <Band {...props} name={n.name} unit={n.unit} title={n.title} isOwn={n.isOwn === true} />}</For>
    </div>
  )
}

/** The time axis under everything. */
export function TimeAxis(props: { readonly stage: TimeStage; readonly gutterPx: () => number }) {
  let canvas!: HTMLCanvasElement
  onMount(() => {
    const draw: Draw = (sheet, inks) => {
      const gutter = props.gutterPx()
      paintTimeAxis(sheet.context, props.stage.window, { x: gutter, y: 1, width: sheet.widthPx - gutter - 1 }, inks)
    }
    drawOnStage(canvas, props.stage, draw, () => [props.stage.window, props.gutterPx()])
    createEffect(() => {
      props.gutterPx()
      props.stage.touch()
    })
  })
  return <canvas ref={(element) => (canvas = element)} class="time-axis" aria-hidden="true" />
}
