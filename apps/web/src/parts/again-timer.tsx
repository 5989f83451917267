/** "Look again after …": a timer that goes on while other pages are open. It says what to look at; it makes no noise. */
import { createSignal, onCleanup, Show } from '../framework.ts'
import { t } from '../words/index.ts'
import { formatClock } from '../words/numbers.ts'
import { spokenTime } from './times.ts'

/** Timers by name, ms since 1970 at which they end: they outlive the page that started them. */
const [ends, setEnds] = createSignal<Readonly<Record<string, number>>>({})

export function AgainTimer(props: { readonly name: string; readonly minutes: number }) {
  const [now, setNow] = createSignal(Date.now())
  const ticking = setInterval(() => setNow(Date.now()), 500)
  onCleanup(() => clearInterval(ticking))
  const leftS = (): number | null => {
    const end = ends()[props.name]
    return end === undefined ? null : (end - now()) / 1000
  }
  const set = (end: number | null): void => {
    const { [props.name]: _, ...others } = ends()
    setEnds(end === null ? others : { ...others, [props.name]: end })
    setNow(Date.now())
  }
  return (
    <div class="again-timer">
      <Show
        when={leftS() !== null}
        fallback={
          <button type="button" onClick={() => set(Date.now() + 60_000 * props.minutes)}>
            {t('clearing.timerStart', { time: spokenTime(60 * props.minutes) })}
          </button>
        }
      >
        <Show
          when={(leftS() ?? 0) > 0}
          fallback={
            <strong role="alert" class="again-over">
              {t('clearing.timerOver')}
            </strong>
          }
        >
          <span role="timer" class="again-left">
            {t('clearing.timerLeft', { clock: formatClock(Math.ceil(leftS() ?? 0)) })}
          </span>
        </Show>
        <button type="button" class="plain" onClick={() => set(null)}>
          {t('clearing.timerStop')}
        </button>
      </Show>
    </div>
  )
}
