/** The columns of a record: which lies where, with its values at the time looked at. */
import { createMemo, createSignal, createUniqueId, For, Show } from '../../framework.ts'
import { valueOfTrace } from '../../parts/colour-at.ts'
import { MarkSign } from '../../parts/mark-sign.tsx'
import { heightsOf, valueAt } from '../../parts/measured-line.ts'
import type { TraceName } from '../../parts/traces.tsx'
import { t } from '../../words/index.ts'
import { formatClock, formatNumber, parseNumber } from '../../words/numbers.ts'
import type { Course } from './course.ts'
import { type LaidSeries, liesOver, type Measured } from './laid.ts'
import type { MeasuredDesk } from './measured.ts'
import { rounded } from './measured-words.ts'

export interface ColumnsProps {
  readonly measured: MeasuredDesk
  readonly of: Measured
  readonly course: Course
  /** Predicted traces there are. */
  readonly traces: readonly TraceName[]
  readonly laid: readonly LaidSeries[]
  /** The time looked at, s. */
  readonly nowS: () => number
}

/** A number that is taken when the field is left or Enter is pressed; nonsense stays in the field with a word on it. */
export function NumberBox(props: { readonly label: string; readonly value: number; readonly onValue: (value: number) => void }) {
  const id = createUniqueId()
  const [fault, setFault] = createSignal(false)
  const shown = (): string => formatNumber(props.value, 6)
  return (
    <span class="number-box">
      <input
        type="text"
        inputmode="decimal"
        autocomplete="off"
        aria-label={props.label}
        aria-invalid={fault() ? 'true' : undefined}
        aria-describedby={fault() ? id : undefined}
        value={shown()}
        onChange={(e) => {
          const read = parseNumber(e.currentTarget.value)
          setFault(!read.ok)
          if (read.ok && e.currentTarget.value !== shown()) props.onValue(read.value)
        }}
      />
      <Show when={fault()}>
        <span class="field-fault" id={id} role="alert">
          {t('rehearsal.typeNumber')}
        </span>
      </Show>
    </span>
  )
}

export function Columns(props: ColumnsProps) {
  const record = () => props.of.record
  const change = (at: number, change: { readonly over?: string; readonly offset?: number }): void =>
    props.measured.change(record().id, { series: record().series.map((s, i) => (i === at ? { ...s, ...change } : s)) })
  return (
    <div class="wide" role="region" tabindex="0" aria-label={record().name}>
      <table class="measured-columns">
        <thead>
          <tr>
            <th>{t('rehearsal.measuredColumn')}</th>
            <th>{t('rehearsal.measuredOver')}</th>
            <th>{t('rehearsal.measuredOffset')}</th>
            <th class="number">{t('rehearsal.measuredAt', { clock: formatClock(props.nowS()) })}</th>
            <th class="number">{t('rehearsal.predictedAt', { clock: formatClock(props.nowS()) })}</th>
          </tr>
        </thead>
        <tbody>
          <For each={record().series.map((_, at) => at)}>
            {(at) => {
              const series = () => record().series[at]!
              const over = createMemo(() => (series().over === 'none' ? null : liesOver(series(), props.traces)))
              const laid = () => props.laid.find((l) => l.of.record.id === record().id && l.at === at)
              const unit = (): string => (over() ? over()!.trace.unit.split(' ')[0]! : series().unit)
              const choices = createMemo((): readonly (readonly [string, string])[] => [
                ...props.traces.filter((x) => liesOver({ ...series(), over: x.name }, [x])).map((x) => [x.name, x.title] as const),
                ['own', t('rehearsal.measuredOwn')],
                ['none', t('rehearsal.measuredNone')],
              ])
              const chosen = (): string => (series().over === 'none' ? 'none' : (over()?.trace.name ?? 'own'))
              const height = createMemo((): number => {
                const ends = laid() ? heightsOf(laid()!, { fromS: -Infinity, toS: Infinity }) : null
                return ends ? ends[1] - ends[0] : 0
              })
              const value = (v: number | null | undefined): string =>
                v === null || v === undefined ? '–' : `${formatNumber(rounded(v, height()), 4)} ${unit()}`
              const predicted = (): number | null => {
                const trace = over() ? props.course.traces.find((x) => x.name === over()!.trace.name) : undefined
                return trace ? valueOfTrace(trace.timesS, trace.values, props.nowS()) : null
              }
              return (
                <tr>
                  <th scope="row">
                    <Show when={laid()}>{(l) => <MarkSign mark={l().mark} />}</Show> {series().name}
                    <Show when={series().unit !== ''}>
                      <span class="quiet">, {series().unit}</span>
                    </Show>
                  </th>
                  <td data-head={t('rehearsal.measuredOver')}>
                    <select
                      aria-label={t('rehearsal.measuredOverOf', { what: series().name })}
                      onChange={(e) => change(at, { over: choices()[e.currentTarget.selectedIndex]?.[0] ?? 'none' })}
                    >
                      <For each={choices()}>{([key, words]) => <option selected={key === chosen()}>{words}</option>}</For>
                    </select>
                    <Show when={over() && series().unit === '' && unit() !== ''}>
                      <span class="quiet measured-taken">{t('rehearsal.measuredUnitTaken', { unit: unit() })}</span>
                    </Show>
                  </td>
                  <td data-head={over() ? t('rehearsal.measuredOffset') : undefined}>
                    <Show when={over()}>
                      <span class="measured-offset">
                        <NumberBox
                          label={t('rehearsal.measuredOffsetOf', { what: series().name, unit: unit() })}
                          value={series().offset}
                          onValue={(offset) => change(at, { offset })}
                        />{' '}
                        {unit()}
                      </span>
                    </Show>
                  </td>
                  <td class="number" data-head={t('rehearsal.measuredAt', { clock: formatClock(props.nowS()) })}>
                    {laid() ? value(valueAt(laid()!, props.nowS())) : ''}
                  </td>
                  <td class="number" data-head={over() ? t('rehearsal.predictedAt', { clock: formatClock(props.nowS()) }) : undefined}>
                    {over() ? value(predicted()) : ''}
                  </td>
                </tr>
              )
            }}
          </For>
        </tbody>
      </table>
    </div>
  )
}
