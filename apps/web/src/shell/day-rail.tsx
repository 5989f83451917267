/** The stops of the day with how each stands: along the side on wide screens, a bar at the bottom on narrow ones. */
import { For, Show } from '../framework.ts'
import type { Desk, StopName } from '../desk/desk.ts'
import { stops } from '../desk/stop-states.ts'
import { t } from '../words/index.ts'
import { hashOf, type Route } from './route.ts'

export const stopWord = (stop: StopName): string => t(`shell.stop.${stop}`)

interface RailProps {
  readonly desk: Desk
  readonly route: Route
  readonly go: (route: Route) => void
}

export function DayRail(props: RailProps) {
  return (
    <nav class="day-rail" aria-label={t('shell.day')}>
      <ol>
        <For each={stops}>
          {(stop) => {
            const state = () => props.desk.stop(stop)
            return (
              <li>
                <a
                  href={hashOf({ stop, key: props.desk.key() })}
                  aria-current={props.route.stop === stop ? 'page' : undefined}
                  data-state={state().state}
                >
                  <span class="rail-name">{stopWord(stop)}</span>
                  <span class="rail-state">{t(`shell.state.${state().state}`)}</span>
                  <Show when={state().why !== ''}>
                    <span class="rail-why">{state().why}</span>
                  </Show>
                </a>
              </li>
            )
          }}
        </For>
      </ol>
    </nav>
  )
}

export function DayBar(props: RailProps) {
  const at = () => stops.indexOf(props.route.stop)
  const go = (stop: StopName): void => props.go({ stop, key: props.desk.key() })
  return (
    <nav class="day-bar" aria-label={t('shell.day')}>
      <Show when={stops[at() - 1]} fallback={<span />}>
        {(before) => (
          <button type="button" onClick={() => go(before())} aria-label={t('shell.before', { stop: stopWord(before()) })}>
            <span aria-hidden="true">‹</span> {stopWord(before())}
          </button>
        )}
      </Show>
      <select aria-label={t('shell.goTo')} value={props.route.stop} onChange={(event) => go(event.currentTarget.value as StopName)}>
        <For each={stops}>
          {(stop) => (
            <option value={stop} selected={props.route.stop === stop}>
              {stopWord(stop)}: {t(`shell.state.${props.desk.stop(stop).state}`)}
            </option>
          )}
        </For>
      </select>
      <Show when={stops[at() + 1]} fallback={<span />}>
        {(next) => (
          <button type="button" onClick={() => go(next())} aria-label={t('shell.next', { stop: stopWord(next()) })}>
            {stopWord(next())} <span aria-hidden="true">›</span>
          </button>
        )}
      </Show>
    </nav>
  )
}
