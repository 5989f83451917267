/** A carpet: one strip a value on a common time axis. Every line is a button that sets the change it shows. Fills in while it is computed. */
import type { Carpet, CarpetRow } from '@beakertide/core/rehearsal'
import { For, onMount, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { formatNumber } from '../words/numbers.ts'
import { colourWord } from './colour-words.ts'
import { type Draw, drawOnChange } from './drawn-canvas.ts'
import { paintColours, paintTimeAxis, timeToX } from './paint.ts'
import { aboutTime } from './times.ts'
import './carpet-view.css'

export interface CarpetViewProps {
  /** As far as it has come. */
  readonly carpet: Carpet
  /** Rows there will be; those still missing are drawn empty. */
  readonly rows: number
  readonly onOpen: (row: CarpetRow) => void
}

/** "first 57 s; 12 cycles of 21 s" */
export function rowFeatures(row: CarpetRow): string {
  if (row.problems.some((p) => p.danger)) return t('rehearsal.rowRefused')
  const f = row.features
  if (f === null) return t('rehearsal.rowNotRehearsed')
  if (f.firstTurnS === null) return t('rehearsal.rowNothing')
  const first = t('rehearsal.rowFirst', { time: aboutTime(f.firstTurnS) })
  if (f.cycles === 0) return first
  const n = f.cycles
  const many = f.stillGoing ? t('rehearsal.rowCyclesOver', { n }) : t('rehearsal.rowCycles', { n })
  return f.periodS === null ? `${first}; ${many}` : `${first}; ${t('rehearsal.rowOf', { cycles: many, time: aboutTime(f.periodS) })}`
}

/** The value of a row in the unit of the carpet. */
export const rowValue = (carpet: Pick<Carpet, 'unit'>, value: number): string =>
  carpet.unit === 'times' ? `× ${formatNumber(value, 3)}` : `${formatNumber(value, 3)} ${carpet.unit}`

const isPresent = (carpet: Carpet, row: CarpetRow): boolean => Math.abs(row.value - carpet.present) <= 1e-3 * Math.abs(carpet.present)

function Row(props: { readonly carpet: Carpet; readonly row: CarpetRow; readonly onOpen: () => void }) {
  let canvas!: HTMLCanvasElement
  const draw: Draw = (sheet, inks) => {
    const { carpet, row } = props
    const shown = { fromS: carpet.fromS, toS: carpet.toS }
    const stripPx = sheet.heightPx - 6
    const isRefused = row.problems.some((p) => p.danger)
    if (!isRefused) paintColours(sheet.context, row.strip, shown, { x: 0.5, y: 0, width: sheet.widthPx - 1, height: stripPx }, inks)
    sheet.context.strokeStyle = isRefused ? inks.danger : inks.lineStrong
    sheet.context.strokeRect(0.5, 0.5, sheet.widthPx - 1, stripPx - 1)
    if (isRefused) {
      sheet.context.beginPath()
      for (let x = -stripPx; x < sheet.widthPx; x += 14) {
        sheet.context.moveTo(x, stripPx)
        sheet.context.lineTo(x + stripPx, 0)
      }
      sheet.context.stroke()
      return
    }
    sheet.context.fillStyle = inks.ink
    for (const turn of row.turns) sheet.context.fillRect(timeToX(turn.timeS, shown, 0, sheet.widthPx) - 0.5, stripPx, 1, 6)
  }
  onMount(() => drawOnChange(canvas, draw))
  const forbids = (): string => props.row.problems[0]?.what ?? ''
  const isDanger = (): boolean => props.row.problems.some((p) => p.danger)
  return (
    <li>
      <button
        type="button"
        class="carpet-row"
        disabled={isDanger()}
        aria-current={isPresent(props.carpet, props.row) ? 'true' : undefined}
        onClick={() => props.onOpen()}
      >
        <span class="carpet-value">
          {rowValue(props.carpet, props.row.value)}
          <Show when={isPresent(props.carpet, props.row)}>
            <span class="quiet"> {t('rehearsal.asWritten')}</span>
          </Show>
        </span>
        <canvas ref={(element) => (canvas = element)} aria-hidden="true" />
        <span class="carpet-words">
          {rowFeatures(props.row)}
          <Show when={props.row.endColour !== null && !isDanger()}>
            <span class="quiet"> {t('rehearsal.rowEnds', { colour: colourWord(props.row.endColour ?? '') })}</span>
          </Show>
        </span>
      </button>
      <Show when={forbids() !== ''}>
        <p class="carpet-why" data-danger={isDanger() ? '' : undefined}>
          {isDanger() ? `${t('rehearsal.danger')} ` : ''}
          {said(forbids())}
        </p>
      </Show>
    </li>
  )
}

export function CarpetView(props: CarpetViewProps) {
  let axis!: HTMLCanvasElement
  const draw: Draw = (sheet, inks) => {
    const { fromS, toS } = props.carpet
    paintTimeAxis(sheet.context, { fromS, toS }, { x: 0, y: 1, width: sheet.widthPx - 1 }, inks)
  }
  onMount(() => drawOnChange(axis, draw))
  // Arrow keys go from line to line, as in a list.
  const keys = (e: KeyboardEvent): void => {
    if (e.key !== 'ArrowDown' && e.key !== 'ArrowUp') return
    const all = [...(e.currentTarget as HTMLElement).querySelectorAll<HTMLButtonElement>('button.carpet-row:not(:disabled)')]
    const at = all.indexOf(document.activeElement as HTMLButtonElement)
    const next = all[at + (e.key === 'ArrowDown' ? 1 : -1)]
    if (at < 0 || !next) return
    e.preventDefault()
    next.focus()
  }
  return (
    <div class="carpet">
      <ul class="carpet-rows" aria-label={t('rehearsal.carpetOf', { what: props.carpet.varied })} onKeyDown={keys}>
        <For each={props.carpet.rows}>{(row) => <Row carpet={props.carpet} row={row} onOpen={() => props.onOpen(row)} />}</For>
        <For each={Array.from({ length: Math.max(0, props.rows - props.carpet.rows.length) })}>
          {() => (
            <li class="carpet-missing" aria-hidden="true">
              <span />
            </li>
          )}
        </For>
      </ul>
      <div class="carpet-axis">
        <canvas ref={(element) => (axis = element)} aria-hidden="true" />
      </div>
    </div>
  )
}
