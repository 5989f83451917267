/** One record or one run of taps laid over the rehearsal: where it lies, and how it stands to the prediction in words. */
import { swingsOf, timeAtPlace } from '@beakertide/core/record'
import { createMemo, createSignal, For, Index, onCleanup, Show } from '../../framework.ts'
import { SeenSign } from '../../parts/mark-sign.tsx'
import { heightsOf } from '../../parts/measured-line.ts'
import { Said } from '../../parts/said.tsx'
import type { TimeSpan } from '../../parts/time-stage.ts'
import { aboutTime, spokenTime } from '../../parts/times.ts'
import { heightsOfTrace } from '../../parts/traces.tsx'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import { endsOf, liesOver, outsideS, seenTimes, swingTimes } from './laid.ts'
import { Columns, type ColumnsProps, NumberBox } from './measured-columns.tsx'
import { type Compared, compareHeights, compareSeen, isSlow } from './measured-words.ts'

export interface MeasuredOneProps extends ColumnsProps {
  /** The time axis as it is now. */
  readonly span: TimeSpan
}

/** Pairs of times listed. */
const MOST_PAIRS = 200

export function MeasuredOne(props: MeasuredOneProps) {
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
