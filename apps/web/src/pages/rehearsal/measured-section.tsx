/** Records and taps laid over the rehearsal: how to bring one, how each lies, and how it stands to the prediction in words. */
import { swingsOf, timeAtPlace } from '@beakertide/core/record'
import { createMemo, createSignal, createUniqueId, For, Index, onCleanup, Show } from '../../framework.ts'
import { MarkSign, SeenSign } from '../../parts/mark-sign.tsx'
import { heightsOf, valueAt } from '../../parts/measured-line.ts'
import { Said } from '../../parts/said.tsx'
import { ProblemList } from '../../parts/problem-list.tsx'
import { valueOfTrace } from '../../parts/colour-at.ts'
import type { TimeSpan } from '../../parts/time-stage.ts'
import { aboutTime, spokenTime } from '../../parts/times.ts'
import type { RunRecord } from '../../store/run-record.ts'
import { said, t } from '../../words/index.ts'
import { formatClock, formatNumber, numbersOf, parseNumber } from '../../words/numbers.ts'
import type { Course } from './course.ts'
import { endsOf, type LaidSeries, liesOver, type Measured, outsideS, seenTimes, swingTimes } from './laid.ts'
import type { MeasuredDesk, NotRead } from './measured.ts'
import { type Compared, compareHeights, compareSeen, isSlow, rounded } from './measured-words.ts'
import { heightsOfTrace, type TraceName } from '../../parts/traces.tsx'
import './measured-section.css'

export interface MeasuredSectionProps {
  readonly measured: MeasuredDesk
  readonly course: Course
  /** Predicted traces there are. */
  readonly traces: readonly TraceName[]
  readonly laid: readonly LaidSeries[]
  /** The time axis as it is now. */
  readonly span: TimeSpan
  /** The time looked at, s. */
  readonly nowS: () => number
  readonly vessel: string
}

const EXAMPLE = 't (s);E (mV);T (°C)\n0;182,4;21,3\n0,5;183,0;21,3\n1;171,6;21,4'
const TIME_UNITS = [
  ['s', 1],
  ['ms', 1e-3],
  ['min', 60],
  ['h', 3600],
] as const
/** Pairs of times listed. */
const MOST_PAIRS = 200
const ACCEPT = '.csv,.tsv,.txt,.dat,.asc,text/csv,text/plain,text/tab-separated-values'

const runName = (run: RunRecord): string =>
  t('rehearsal.measuredRun', { when: new Date(run.startedAt).toLocaleString(numbersOf(), { dateStyle: 'medium', timeStyle: 'short' }) })

export function MeasuredSection(props: MeasuredSectionProps) {
  const { measured } = props
  const id = createUniqueId()
  let files!: HTMLInputElement
  const [pasted, setPasted] = createSignal('')
  const layPasted = async (): Promise<void> => {
    if (await measured.add(pasted(), t('rehearsal.measuredPasted'))) setPasted('')
  }
  const layable = () => measured.runs()
  const isLaid = (run: RunRecord): boolean => measured.all().some((m) => m.record.run === run.id)
  return (
    <section class="measured" aria-labelledby={id}>
      <h2 id={id}>{t('rehearsal.measured')}</h2>
      <Show when={measured.all().length === 0}>
        <p>{t('rehearsal.measuredLead')}</p>
      </Show>
      <For each={measured.all()}>{(m) => <OneRecord {...props} of={m} />}</For>
      <For each={measured.notKept()}>
        {(name) => (
          <p class="measured-note" role="alert">
            {t('rehearsal.measuredNotKept', { name })}
          </p>
        )}
      </For>
      <div class="measured-faults" aria-live="polite">
        <For each={measured.reading()}>{(name) => <p class="quiet">{t('rehearsal.measuredReading', { name })}</p>}</For>
        <For each={measured.notRead()}>{(one) => <Fault one={one} measured={measured} />}</For>
      </div>
      <div class="measured-open">
        <input
          ref={(element) => (files = element)}
          class="unseen"
          type="file"
          multiple
          tabindex="-1"
          aria-hidden="true"
          accept={ACCEPT}
          onChange={(e) => {
            const chosen = [...(e.currentTarget.files ?? [])]
            e.currentTarget.value = ''
            for (const file of chosen) void measured.add(file, file.name)
          }}
        />
        <button type="button" onClick={() => files.click()}>
          {t('rehearsal.measuredOpen')}
        </button>
        <span class="quiet">{t('rehearsal.measuredDrop')}</span>
      </div>
      <details class="measured-paste">
        <summary>{t('rehearsal.measuredPaste')}</summary>
        <label for={`${id}-paste`}>{t('rehearsal.measuredPasteLabel')}</label>
        <textarea
          id={`${id}-paste`}
          rows="6"
          spellcheck={false}
          placeholder={EXAMPLE}
          value={pasted()}
          onInput={(e) => setPasted(e.currentTarget.value)}
        />
        <button type="button" disabled={pasted().trim() === ''} onClick={() => void layPasted()}>
          {t('rehearsal.measuredReadPaste')}
        </button>
      </details>
      <details open={measured.all().length === 0}>
        <summary>{t('rehearsal.measuredWhich')}</summary>
        <p>{t('rehearsal.measuredHow')}</p>
        <pre class="measured-example">{EXAMPLE}</pre>
        <p class="quiet">{t('rehearsal.measuredKept')}</p>
      </details>
      <Show when={layable().length > 0} fallback={<p class="quiet">{t('rehearsal.runsNone')}</p>}>
        <h3>{t('rehearsal.runsHead', { vessel: props.vessel })}</h3>
        <ul class="measured-runs">
          <For each={layable()}>
            {(run) => (
              <li>
                <span>
                  {runName(run)}, {t('rehearsal.measuredTaps', { n: run.turnsSeenS.length })}
                </span>
                <Show when={!isLaid(run)} fallback={<span class="quiet">{t('rehearsal.runLaid')}</span>}>
                  <button
                    type="button"
                    aria-label={t('rehearsal.runLayOf', { when: runName(run) })}
                    onClick={() => measured.layRun(run, runName(run))}
                  >
                    {t('rehearsal.runLay')}
                  </button>
                </Show>
              </li>
            )}
          </For>
        </ul>
      </Show>
    </section>
  )
}

/** What prevents a reading, and the one thing that can be answered here: which column is time. */
function Fault(props: { readonly one: NotRead; readonly measured: MeasuredDesk }) {
  const id = createUniqueId()
  const [column, setColumn] = createSignal(props.one.columns[0] ?? '')
  const [unitS, setUnitS] = createSignal<number>(1)
  const { one } = props
  return (
    <div class="measured-fault">
      <ProblemList problems={one.problems} title={t('rehearsal.measuredFault', { name: one.name })} />
      <Show when={one.columns.length > 0}>
        <fieldset class="measured-ask">
          <legend>{t('rehearsal.measuredAskTime', { name: one.name })}</legend>
          <label for={`${id}-column`}>{t('rehearsal.measuredTimeColumn')}</label>
          <select id={`${id}-column`} onChange={(e) => setColumn(one.columns[e.currentTarget.selectedIndex] ?? '')}>
            <For each={one.columns}>{(c) => <option selected={c === column()}>{c}</option>}</For>
          </select>
          <label for={`${id}-unit`}>{t('rehearsal.measuredTimeUnit')}</label>
          <select id={`${id}-unit`} onChange={(e) => setUnitS(TIME_UNITS[e.currentTarget.selectedIndex]?.[1] ?? 1)}>
            <For each={TIME_UNITS}>{([name, size]) => <option selected={size === unitS()}>{name}</option>}</For>
          </select>
          <button
            type="button"
            class="main"
            onClick={() => void props.measured.add(one.source, one.name, { column: column(), unitS: unitS() })}
          >
            {t('rehearsal.measuredAgain')}
          </button>
        </fieldset>
      </Show>
      <button type="button" onClick={() => props.measured.putAway(one)}>
        {t('rehearsal.measuredPutAway')}
      </button>
    </div>
  )
}

/** A number that is taken when the field is left or Enter is pressed; nonsense stays in the field with a word on it. */
function NumberBox(props: { readonly label: string; readonly value: number; readonly onValue: (value: number) => void }) {
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

interface OneRecordProps extends MeasuredSectionProps {
  readonly of: Measured
}

function OneRecord(props: OneRecordProps) {
  const record = () => props.of.record
  const name = (): string => record().name
  const [isSure, setSure] = createSignal(true)
  let timer: ReturnType<typeof setTimeout> | undefined
  onCleanup(() => clearTimeout(timer))
  const isTimes = (): boolean => record().series.length === 0
  const lengthS = (): number => {
    const ends = endsOf(props.of)
    return ends.toS - ends.fromS
  }
  const what = (): string =>
    record().run !== null
      ? t('rehearsal.measuredTaps', { n: record().rows })
      : isTimes()
        ? t('rehearsal.measuredTimes', { n: record().rows })
        : t('rehearsal.measuredRows', { n: record().rows, time: spokenTime(lengthS()) })
  const outside = (): number => outsideS(props.of, props.span)
  /** Each line with its comparison. */
  const compared = createMemo((): readonly Compared[] => {
    const ends = endsOf(props.of)
    const watched = { ...ends, startS: props.course.startS }
    const seen = seenTimes(props.of)
    if (seen) {
      const predicted = props.course.turns.map((turn) => turn.timeS)
      return [
        compareSeen(
          'turns',
          name(),
          [...seen].sort((a, b) => a - b),
          predicted,
          { ...watched, fromS: props.course.fromS },
        ),
      ]
    }
    return record().series.flatMap((series, at) => {
      if (series.over === 'none') return []
      const over = liesOver(series, props.traces)
      const trace = over ? props.course.traces.find((x) => x.name === over.trace.name) : undefined
      if (trace && isSlow(trace.name)) {
        const line = props.laid.find((l) => l.of.record.id === record().id && l.at === at)
        return [
          compareHeights(
            series.name,
            trace.unit,
            line ? heightsOf(line, { fromS: props.course.fromS, toS: props.course.toS }) : null,
            heightsOfTrace(trace, ends.fromS, ends.toS),
          ),
        ]
      }
      const predicted = trace ? swingsOf(trace.values).map((place) => timeAtPlace(trace.timesS, place)) : null
      return [compareSeen('swings', series.name, swingTimes(props.of, at), predicted, watched)]
    })
  })
  const firstOff = (): number | null => compared().find((c) => c.firstOffS !== null)?.firstOffS ?? null
  const move = (startsAtS: number): void => props.measured.change(record().id, { startsAtS })
  return (
    <article class="measured-one" aria-label={name()}>
      <div class="measured-head">
        <h3>
          <Show when={isTimes()}>
            <SeenSign />{' '}
          </Show>
          {name()}
        </h3>
        <span class="quiet">{what()}</span>
        <button
          type="button"
          aria-label={t('rehearsal.measuredRemoveOf', { name: name() })}
          onClick={() => {
            if (isSure() && record().run === null) {
              // A record may be the only copy: the first press asks.
              setSure(false)
              timer = setTimeout(() => setSure(true), 6000)
            } else props.measured.remove(record().id)
          }}
        >
          {isSure() ? t('rehearsal.measuredRemove') : t('rehearsal.measuredRemoveSure')}
        </button>
      </div>
      <div class="measured-place">
        <span>{isTimes() ? t('rehearsal.measuredFirstSeen') : t('rehearsal.measuredStarts')}</span>
        <NumberBox
          label={t(isTimes() ? 'rehearsal.measuredFirstSeenOf' : 'rehearsal.measuredStartsOf', { name: name() })}
          value={record().startsAtS}
          onValue={move}
        />
        <Show when={firstOff()}>
          {(off) => (
            <button type="button" onClick={() => move(record().startsAtS - off())}>
              {t(isTimes() ? 'rehearsal.measuredAlignTurn' : 'rehearsal.measuredAlign')}
            </button>
          )}
        </Show>
        <Show when={record().evenSpacingS !== null && record().warnings.some((w) => w.code.startsWith('record/stamps'))}>
          <label class="measured-even">
            <input
              type="checkbox"
              checked={record().isEven}
              onChange={(e) => props.measured.change(record().id, { isEven: e.currentTarget.checked })}
            />
            {t('rehearsal.measuredEven', { spacing: formatNumber(record().evenSpacingS ?? 0, 4) })}
          </label>
        </Show>
      </div>
      <Show when={outside() > 0.5}>
        <p class="measured-note">{t('rehearsal.measuredOutside', { time: aboutTime(outside()) })}</p>
      </Show>
      <Show when={!isTimes()}>
        <Columns {...props} />
      </Show>
      <ul class="measured-words">
        <Index each={compared()}>
          {(c) => (
            <li>
              {[c().seen, ...c().lines].join(' ')}
              <Show when={c().pairs.length > 1}>
                <Pairs pairs={c().pairs} />
              </Show>
            </li>
          )}
        </Index>
      </ul>
      <Show when={!isTimes()}>
        <p class="quiet">{t('rehearsal.swingHint')}</p>
      </Show>
      <Show when={record().warnings.length > 0}>
        <details class="measured-remarks" open>
          <summary>{t('rehearsal.measuredRemarks', { name: name() })}</summary>
          <ul>
            <For each={record().warnings}>
              {(w) => (
                <li>
                  {said(w.where)}: <Said text={w.what} />. <span class="quiet">{t('problems.todo', { what: said(w.todo) })}</span>
                </li>
              )}
            </For>
          </ul>
        </details>
      </Show>
    </article>
  )
}

/** Which column lies where, with its values at the time looked at. */
function Columns(props: OneRecordProps) {
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

function Pairs(props: { readonly pairs: Compared['pairs'] }) {
  const [isOpen, setOpen] = createSignal(false)
  return (
    <details onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>{t('rehearsal.measuredPairs', { n: props.pairs.length })}</summary>
      <Show when={isOpen()}>
        <table>
          <thead>
            <tr>
              <th class="number">{t('rehearsal.predicted')}</th>
              <th class="number">{t('rehearsal.measuredWord')}</th>
              <th class="number">{t('rehearsal.measuredOff')}</th>
            </tr>
          </thead>
          <tbody>
            <For each={props.pairs.slice(0, MOST_PAIRS)}>
              {(p) => (
                <tr>
                  <td class="number">{formatNumber(p.predictedS, 4)} s</td>
                  <td class="number">{formatNumber(p.seenS, 4)} s</td>
                  <td class="number">
                    {p.offS >= 0 ? '+' : ''}
                    {formatNumber(p.offS, 3)} s
                  </td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </Show>
    </details>
  )
}
