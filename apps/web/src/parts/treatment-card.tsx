/** One step of a treatment: what to do, its live numbers, its test, why; a box to tick and a timer where it waits. */
import type { ClearingStep } from '@beakertide/core/clearing'
import { For, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { AgainTimer } from './again-timer.tsx'
import { isNothing, rangeText } from './ranges.ts'
import { Said } from './said.tsx'
import { spokenTime } from './times.ts'
import './treatment-card.css'

export interface TreatmentCardProps {
  readonly step: ClearingStep
  readonly isDone: boolean
  readonly onDone: (isDone: boolean) => void
  /** Names its timer apart from those of other vessels. */
  readonly name: string
}

export function TreatmentCard(props: TreatmentCardProps) {
  const numbers = (): readonly string[] => {
    const { massG, substance, portions, temperatureRiseK, gasL, pH } = props.step
    return [
      massG && !isNothing(massG) ? t('clearing.mass', { mass: `${rangeText(massG)} g`, what: said(substance ?? '') }) : '',
      portions !== undefined && portions > 1 ? t('clearing.portions', { n: portions }) : '',
      temperatureRiseK && !isNothing(temperatureRiseK) ? t('clearing.rise', { range: rangeText(temperatureRiseK) }) : '',
      gasL && !isNothing(gasL) ? t('clearing.gas', { range: rangeText(gasL) }) : '',
      pH ? t('clearing.pH', { range: rangeText(pH) }) : '',
    ].filter((x) => x !== '')
  }
  return (
    <li class="treatment-card" data-danger={props.step.danger ? '' : undefined} data-done={props.isDone ? '' : undefined}>
      <p class="treatment-what">
        <Show when={props.step.danger}>
          <strong class="treatment-danger">{t('clearing.danger')}. </strong>
        </Show>
        <Said text={props.step.what} />
      </p>
      <Show when={numbers().length > 0}>
        <ul class="treatment-numbers">
          <For each={numbers()}>{(n) => <li>{n}</li>}</For>
        </ul>
      </Show>
      <Show when={props.step.test}>
        <p class="treatment-test">
          <b>{t('clearing.test')}:</b> <Said text={props.step.test ?? ''} />
        </p>
      </Show>
      <Show when={props.step.waitMinutes}>
        {(minutes) => (
          <div class="treatment-wait">
            <span>{t('clearing.wait', { time: spokenTime(60 * minutes()) })}</span>
            <AgainTimer name={props.name} minutes={minutes()} />
          </div>
        )}
      </Show>
      <div class="treatment-foot">
        <label class="treatment-done">
          <input type="checkbox" checked={props.isDone} onChange={(e) => props.onDone(e.currentTarget.checked)} />
          {t('clearing.done')}
        </label>
        <details>
          <summary>{t('clearing.why')}</summary>
          <p>
            <Said text={props.step.why} />
          </p>
          <Show when={props.step.equations.length > 0}>
            <ul class="treatment-equations">
              <For each={props.step.equations}>{(e) => <li>{e}</li>}</For>
            </ul>
          </Show>
        </details>
      </div>
    </li>
  )
}
