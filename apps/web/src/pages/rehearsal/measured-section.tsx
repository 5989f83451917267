/** Records and taps laid over the rehearsal: how to bring one, and each of them (`measured-one.tsx`). */
import { createSignal, createUniqueId, For, Show } from '../../framework.ts'
import { ProblemList } from '../../parts/problem-list.tsx'
import type { RunRecord } from '../../store/run-record.ts'
import { t } from '../../words/index.ts'
import { numbersOf } from '../../words/numbers.ts'
import type { MeasuredDesk, NotRead } from './measured.ts'
import { MeasuredOne, type MeasuredOneProps } from './measured-one.tsx'
import './measured-section.css'

export interface MeasuredSectionProps extends Omit<MeasuredOneProps, 'of'> {
  readonly vessel: string
}

const EXAMPLE = 't (s);E (mV);T (°C)\n0;182,4;21,3\n0,5;183,0;21,3\n1;171,6;21,4'
const TIME_UNITS = [
  ['s', 1],
  ['ms', 1e-3],
  ['min', 60],
  ['h', 3600],
] as const
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
  const isLaid = (run: RunRecord): boolean => measured.all().some((m) => m.record.run === run.id)
  return (
    <section class="measured" aria-labelledby={id}>
      <h2 id={id}>{t('rehearsal.measured')}</h2>
      <Show when={measured.all().length === 0}>
        <p>{t('rehearsal.measuredLead')}</p>
      </Show>
      <For each={measured.all()}>{(m) => <MeasuredOne {...props} of={m} />}</For>
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
      <Show when={measured.runs().length > 0} fallback={<p class="quiet">{t('rehearsal.runsNone')}</p>}>
        <h3>{t('rehearsal.runsHead', { vessel: props.vessel })}</h3>
        <ul class="measured-runs">
          <For each={measured.runs()}>
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
