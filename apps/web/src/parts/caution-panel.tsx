/** Cautions head every page: refusals and the gravest lines always, the rest one step away. Nothing hides the panel. */
import { isGrave } from '../desk/grave.ts'
import { refusalsOf } from '../desk/refused.ts'
import { For, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import type { DayView } from '../work/contract.ts'
import { CautionLine } from './caution-lines.tsx'
import { openForPrint } from './open-for-print.ts'
import { Said } from './said.tsx'
import './caution-panel.css'

/** So many grave lines stand open. */
const OPEN_LINES = 3

export function CautionPanel(props: { readonly day: DayView | null }) {
  let fold: HTMLDetailsElement | undefined
  openForPrint(() => [fold])
  const refusals = () => refusalsOf(props.day)
  const lines = () => props.day?.danger ?? []
  const grave = () => lines().filter(isGrave)
  /** Refusals stand above already, whole. */
  const open = () =>
    grave()
      .filter((line) => !line.refused || !isRefused())
      .slice(0, OPEN_LINES)
  const standing = () => props.day?.prepared?.cautions.standing ?? props.day?.known?.standing ?? []
  const isKnown = () => (props.day?.prepared ?? props.day?.known) !== undefined
  const isRefused = () => refusals().length > 0
  return (
    <Show when={props.day} fallback={<p class="caution-wait">{t('cautions.working')}</p>}>
      <section class="caution-panel" aria-label={t('cautions.title')} data-grave={isRefused() || grave().length > 0 ? '' : undefined}>
        <Show when={isRefused()}>
          <div role="alert">
            <p class="caution-refused">
              <strong>{t('cautions.refused')}.</strong> {t('cautions.refusedWhy')}
            </p>
            <ul class="caution-lines">
              <For each={refusals()}>
                {(p) => (
                  <li data-grade="4">
                    <span class="caution-about">{said(p.where)}:</span> <Said text={p.what} />.{' '}
                    <span class="caution-instead">{t('problems.todo', { what: said(p.todo) })}</span>
                  </li>
                )}
              </For>
            </ul>
          </div>
        </Show>
        <Show when={!isRefused() && !isKnown()}>
          <p class="caution-none">{t('cautions.unknown')}</p>
        </Show>
        <Show when={props.day?.known?.incomplete}>
          {(sentence) => (
            <p class="caution-incomplete">
              <Said text={sentence()} />
            </p>
          )}
        </Show>
        <Show when={isKnown()}>
          <Show when={lines().length > 0} fallback={<p class="caution-none">{t('cautions.none')}</p>}>
            <Show when={open().length > 0}>
              <ul class="caution-lines caution-open">
                <For each={open()}>{(line) => <CautionLine line={line} />}</For>
              </ul>
            </Show>
            <details ref={(element) => (fold = element)}>
              <summary>{t('cautions.all', { n: lines().length })}</summary>
              <ul class="caution-lines">
                <For each={lines()}>{(line) => <CautionLine line={line} />}</For>
              </ul>
              <ul class="caution-lines caution-standing">
                <For each={standing()}>
                  {(line) => (
                    <li>
                      <Said text={line} />
                    </li>
                  )}
                </For>
              </ul>
            </details>
          </Show>
        </Show>
      </section>
    </Show>
  )
}
