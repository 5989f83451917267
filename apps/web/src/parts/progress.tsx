/** Long work under way: what is done, of how much, and the way to stop it. */
import { t } from '../words/index.ts'
import { formatNumber } from '../words/numbers.ts'
import { Show } from '../framework.ts'
import './progress.css'

export interface ProgressProps {
  readonly what: string
  readonly done: number
  /** 0: nobody knows how much it will be. */
  readonly of: number
  readonly onCancel: () => void
}

export function Progress(props: ProgressProps) {
  return (
    <div class="long-work" role="group" aria-label={props.what}>
      <span>{props.what}</span>
      <Show when={props.of > 0} fallback={<progress aria-label={props.what} />}>
        <progress aria-label={props.what} max={props.of} value={props.done} />
      </Show>
      <span class="long-count">
        {props.of > 0
          ? t('rehearsal.doneOf', { done: formatNumber(props.done, 4), of: formatNumber(props.of, 4) })
          : formatNumber(props.done, 4)}
      </span>
      <button type="button" onClick={() => props.onCancel()}>
        {t('rehearsal.cancel')}
      </button>
    </div>
  )
}
