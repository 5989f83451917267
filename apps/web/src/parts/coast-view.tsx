/** A coast: what is seen over two amounts, in signs and numbers, and the border between. Fills in while it is computed. */
import { axisMarks, type CoastScale, shareAlong } from '@beakertide/core/papers'
import type { Coast, CoastPoint, Show as Seen } from '@beakertide/core/rehearsal'
import { createMemo, createSignal, For, onCleanup, onMount, Show } from '../framework.ts'
import { t } from '../words/index.ts'
import { formatNumber } from '../words/numbers.ts'
import { nearestPoint, pointTowards } from './coast-plan.ts'
import { drawOnChange } from './drawn-canvas.ts'
import { freshSheet, type Inks, inksOf, onThemeChange, type Sheet } from './paint.ts'
import { aboutTime } from './times.ts'
import './coast-view.css'

export interface CoastAxisWords extends CoastScale {
  readonly varied: string
  readonly unit: Coast['x']['unit']
  readonly present: number
}

export interface CoastViewProps {
  readonly x: CoastAxisWords
  readonly y: CoastAxisWords
  readonly points: readonly CoastPoint[]
  /** Complete once it is; then cells and border are drawn too. */
  readonly coast: Coast | null
  readonly onOpen: (point: CoastPoint) => void
}

const LEFT = 54
const RIGHT = 14
const TOP = 12
const FOOT = 46

const words: Readonly<Record<Seen, () => string>> = {
  cycles: () => t('rehearsal.seenCycles'),
  turns: () => t('rehearsal.seenTurns'),
  nothing: () => t('rehearsal.seenNothing'),
  refused: () => t('rehearsal.rowRefused'),
  unknown: () => t('rehearsal.rowNotRehearsed'),
}

const axisValue = (axis: CoastAxisWords, v: number): string =>
  axis.unit === 'times' ? `× ${formatNumber(v, 3)}` : `${formatNumber(v, 3)} ${axis.unit}`

/** What is seen at a point, in words. */
function pointWords(props: CoastViewProps, p: CoastPoint): string {
  const place = `${props.x.varied} ${axisValue(props.x, p.x)}, ${props.y.varied} ${axisValue(props.y, p.y)}`
  const f = p.features
  if (f === null || f.firstTurnS === null) return `${place}: ${words[p.show]()}`
  const first = t('rehearsal.rowFirst', { time: aboutTime(f.firstTurnS) })
  if (f.cycles === 0 || f.periodS === null) return `${place}: ${words[p.show]()}, ${first}`
  const many = f.stillGoing ? t('rehearsal.rowCyclesOver', { n: f.cycles }) : t('rehearsal.rowCycles', { n: f.cycles })
  return `${place}: ${first}, ${t('rehearsal.rowOf', { cycles: many, time: aboutTime(f.periodS) })}`
}

/** The sign of what is seen: ring with a dot for cycles, dot for turns, ring for nothing, cross for what is not known. */
export function paintSign(c: CanvasRenderingContext2D, show: Seen, x: number, y: number, inks: Inks): void {
  c.strokeStyle = inks.ink
  c.fillStyle = inks.ink
  c.lineWidth = 1.25
  c.beginPath()
  if (show === 'refused') {
    c.strokeStyle = inks.danger
    c.lineWidth = 2
    c.strokeRect(x - 5, y - 5, 10, 10)
    c.moveTo(x - 5, y + 5)
    c.lineTo(x + 5, y - 5)
    c.stroke()
    return
  }
  if (show === 'unknown') {
    c.moveTo(x - 3, y - 3)
    c.lineTo(x + 3, y + 3)
    c.moveTo(x + 3, y - 3)
    c.lineTo(x - 3, y + 3)
    c.stroke()
    return
  }
  c.arc(x, y, show === 'cycles' ? 5 : 3.2, 0, 2 * Math.PI)
  if (show === 'turns') c.fill()
  else c.stroke()
  if (show !== 'cycles') return
  c.beginPath()
  c.arc(x, y, 2.2, 0, 2 * Math.PI)
  c.fill()
}

function paint(sheet: Sheet, props: CoastViewProps, chosen: CoastPoint | null, inks: Inks): void {
  const c = sheet.context
  const [right, bottom] = [sheet.widthPx - RIGHT, sheet.heightPx - FOOT]
  const X = (v: number): number => LEFT + shareAlong(props.x, v) * (right - LEFT)
  const Y = (v: number): number => bottom - shareAlong(props.y, v) * (bottom - TOP)
  c.fillStyle = inks.paper2
  for (const cell of props.coast?.cells ?? []) {
    if (cell.corners.some((s) => s !== 'cycles')) continue
    c.fillRect(X(cell.x[0]), Y(cell.y[1]), X(cell.x[1]) - X(cell.x[0]) + 0.5, Y(cell.y[0]) - Y(cell.y[1]) + 0.5)
  }
  c.strokeStyle = inks.lineStrong
  c.lineWidth = 1
  c.strokeRect(LEFT + 0.5, TOP + 0.5, right - LEFT, bottom - TOP)
  c.font = `12px ${inks.font}`
  c.fillStyle = inks.quiet
  c.textBaseline = 'top'
  c.textAlign = 'center'
  for (const m of axisMarks(props.x, 5)) {
    c.fillRect(X(m) - 0.5, bottom, 1, 5)
    c.fillText(formatNumber(m, 3), X(m), bottom + 7)
  }
  c.textAlign = 'end'
  c.textBaseline = 'middle'
  for (const m of axisMarks(props.y, 5)) {
    c.fillRect(LEFT - 5, Y(m) - 0.5, 5, 1)
    c.fillText(formatNumber(m, 3), LEFT - 8, Y(m))
  }
  // The recipe as it is: a cross of thin lines, named in the words below.
  c.setLineDash([2, 3])
  c.strokeStyle = inks.accent
  c.beginPath()
  c.moveTo(X(props.x.present), TOP)
  c.lineTo(X(props.x.present), bottom)
  c.moveTo(LEFT, Y(props.y.present))
  c.lineTo(right, Y(props.y.present))
  c.stroke()
  c.setLineDash([])
  c.strokeStyle = inks.ink
  c.lineWidth = 2.5
  c.lineCap = 'round'
  for (const b of props.coast?.border ?? []) {
    c.beginPath()
    c.moveTo(X(b.from[0]), Y(b.from[1]))
    c.lineTo(X(b.to[0]), Y(b.to[1]))
    c.stroke()
  }
  for (const p of props.points) paintSign(c, p.show, X(p.x), Y(p.y), inks)
  if (!chosen) return
  c.strokeStyle = inks.accent
  c.lineWidth = 2
  c.strokeRect(X(chosen.x) - 9, Y(chosen.y) - 9, 18, 18)
}

export function CoastView(props: CoastViewProps) {
  let canvas!: HTMLCanvasElement
  const [chosen, setChosen] = createSignal<CoastPoint | null>(null)
  const held = createMemo(() => {
    const c = chosen()
    return c && props.points.includes(c) ? c : null
  })
  onMount(() => drawOnChange(canvas, (sheet, inks) => paint(sheet, props, held(), inks)))
  const open = (): void => {
    const point = held()
    if (point && point.show !== 'refused') props.onOpen(point)
  }
  const choose = (e: PointerEvent): void => {
    const box = canvas.getBoundingClientRect()
    const at = {
      x: (e.clientX - box.left - LEFT) / (box.width - LEFT - RIGHT),
      y: (box.height - FOOT - (e.clientY - box.top)) / (box.height - FOOT - TOP),
    }
    setChosen(nearestPoint(props.points, props.x, props.y, at))
  }
  const towards = { ArrowLeft: 'left', ArrowRight: 'right', ArrowUp: 'up', ArrowDown: 'down' } as const
  const key = (e: KeyboardEvent): void => {
    if (e.key === 'Enter') {
      open()
    } else if (e.key in towards && props.points.length > 0) {
      const from =
        held() ??
        nearestPoint(props.points, props.x, props.y, { x: shareAlong(props.x, props.x.present), y: shareAlong(props.y, props.y.present) })
      if (from) setChosen(held() ? pointTowards(props.points, props.x, props.y, from, towards[e.key as keyof typeof towards]) : from)
    } else return
    e.preventDefault()
  }
  const kinds = ['cycles', 'turns', 'nothing', 'refused', 'unknown'] as const satisfies readonly Seen[]
  return (
    <div class="coast">
      <p class="coast-axis-name">{axisName(props.y)} ↑</p>
      <canvas
        ref={(element) => (canvas = element)}
        class="coast-picture"
        role="application"
        tabindex="0"
        aria-roledescription={t('rehearsal.coastPicture')}
        aria-label={t('rehearsal.coastLabel', { x: axisName(props.x), y: axisName(props.y), n: props.points.length })}
        aria-describedby="coast-chosen"
        onPointerDown={choose}
        onDblClick={open}
        onKeyDown={key}
      />
      <p class="coast-axis-name x">{axisName(props.x)} →</p>
      <div class="coast-foot">
        <p id="coast-chosen" aria-live="polite">
          {held() ? pointWords(props, held()!) : t('rehearsal.coastChoose')}
        </p>
        <button type="button" disabled={held() === null || held()?.show === 'refused'} onClick={() => props.onOpen(held()!)}>
          {t('rehearsal.openPoint')}
        </button>
      </div>
      <ul class="coast-key">
        <For each={kinds.filter((k) => props.points.some((p) => p.show === k))}>
          {(kind) => (
            <li>
              <Sign kind={kind} /> {words[kind]()}: {t('rehearsal.pointsCount', { n: props.points.filter((p) => p.show === kind).length })}
            </li>
          )}
        </For>
        <li>
          <span class="coast-cross" aria-hidden="true" /> {t('rehearsal.asWritten')}
        </li>
      </ul>
      <Show when={props.points.length > 0}>
        <details>
          <summary>{t('rehearsal.asTable')}</summary>
          <table>
            <thead>
              <tr>
                <th class="number">{axisName(props.x)}</th>
                <th class="number">{axisName(props.y)}</th>
                <th>{t('rehearsal.seen')}</th>
              </tr>
            </thead>
            <tbody>
              <For each={[...props.points].sort((a, b) => a.x - b.x || a.y - b.y)}>
                {(p) => (
                  <tr>
                    <td class="number">{formatNumber(p.x, 3)}</td>
                    <td class="number">{formatNumber(p.y, 3)}</td>
                    <td>{pointWords(props, p).split(': ').slice(1).join(': ')}</td>
                  </tr>
                )}
              </For>
            </tbody>
          </table>
        </details>
      </Show>
    </div>
  )
}

const axisName = (axis: CoastAxisWords): string =>
  axis.unit === 'times' ? t('rehearsal.timesOf', { what: axis.varied }) : `${axis.varied}, ${axis.unit}`

function Sign(props: { readonly kind: Seen }) {
  let canvas!: HTMLCanvasElement
  onMount(() => {
    const draw = (): void => {
      const sheet = freshSheet(canvas, 16, 16)
      if (sheet) paintSign(sheet.context, props.kind, 8, 8, inksOf(canvas))
    }
    draw()
    onCleanup(onThemeChange(draw))
  })
  return <canvas ref={(element) => (canvas = element)} class="coast-sign" aria-hidden="true" />
}
