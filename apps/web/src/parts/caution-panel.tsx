/** Cautions head every page: refusals and the gravest lines always, the rest one step away. Nothing hides the panel. */
import type { DangerLine } from '@beakertide/core/papers'
import { isGrave } from '../desk/grave.ts'
import { For, Show } from '../framework.ts'
import { t } from '../words/index.ts'
import type { DayView } from '../work/contract.ts'
import './caution-panel.css'

/** So many grave lines stand open. */
const OPEN_LINES = 3

const gradeKeys = { 1: 'cautions.grade.1', 2: 'cautions.grade.2', 3: 'cautions.grade.3', 4: 'cautions.grade.4' } as const

function Line(props: { readonly line: DangerLine; readonly whole: boolean }) {
  return (
    <li data-grade={props.line.severity}>
      <span class="caution-grade">
        {props.line.refused ? t('cautions.refused') : t(gradeKeys[props.line.severity])}
        <Show when={props.line.onlyIf}> ({t('cautions.onlyIf')})</Show>
      </span>{' '}
      <span class="caution-about">{props.line.about}:</span> {props.line.what}
      <Show when={props.whole && props.line.instead !== ''}>
        {' '}
        <span class="caution-instead">{props.line.instead}</span>
      </Show>
    </li>
  )
}

export function CautionPanel(props: { readonly day: DayView | null }) {
  const refusals = () => (props.day?.problems ?? []).filter((p) => p.danger === true)
  const lines = () => props.day?.danger ?? []
  const grave = () => lines().filter(isGrave)
  const open = () => grave().slice(0, OPEN_LINES)
  const standing = () => props.day?.prepared?.cautions.standing ?? []
  const isRefused = () => refusals().length > 0
  return (
    <Show when={props.day}>
      <section class="caution-panel" aria-label={t('cautions.title')} data-grave={isRefused() || grave().length > 0 ? '' : undefined}>
        <Show when={isRefused()}>
          <div role="alert">
            <p class="caution-refused">
              <strong>{t('cautions.refused')}.</strong> {t('cautions.refusedWhy')}
            </p>
            <ul>
              <For each={refusals()}>
                {(p) => (
                  <li data-grade="4">
                    <span class="caution-about">{p.where}:</span> {p.what}.{' '}
                    <span class="caution-instead">{t('problems.todo', { what: p.todo })}</span>
                  </li>
                )}
              </For>
            </ul>
          </div>
        </Show>
        <Show when={props.day?.prepared}>
          <Show when={lines().length > 0} fallback={<p class="caution-none">{t('cautions.none')}</p>}>
            <Show when={open().length > 0}>
              <ul class="caution-open">
                <For each={open()}>{(line) => <Line line={line} whole={false} />}</For>
              </ul>
            </Show>
            <details>
              <summary>{t('cautions.all', { n: lines().length })}</summary>
              <ul>
                <For each={lines()}>{(line) => <Line line={line} whole={true} />}</For>
              </ul>
              <ul class="caution-standing">
                <For each={standing()}>{(line) => <li>{line}</li>}</For>
              </ul>
            </details>
          </Show>
        </Show>
      </section>
    </Show>
  )
}
