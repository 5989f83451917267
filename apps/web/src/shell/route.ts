/** The address behind the hash: "#/rehearsal/k3f9a" is a stop and the key of the open demonstration. */
import { type Accessor, createSignal } from '../framework.ts'
import type { StopName } from '../desk/desk.ts'
import { stops } from '../desk/stop-states.ts'

export interface Route {
  readonly stop: StopName
  readonly key: string | null
}

/** Whatever is written behind the hash leads somewhere: unknown stops to the bench. */
export function readRoute(hash: string): Route {
  const [, stop, key] = /^#\/([a-z]+)(?:\/([\w.-]{1,80}))?$/.exec(hash) ?? []
  const known = stops.find((s) => s === stop)
  return { stop: known ?? 'bench', key: known === undefined ? null : (key ?? null) }
}

export function hashOf(route: Route): string {
  return `#/${route.stop}${route.key === null ? '' : `/${route.key}`}`
}

/** The route of the window, followed. */
export function createRoute(): { readonly route: Accessor<Route>; readonly go: (route: Route, replace?: boolean) => void } {
  const [route, setRoute] = createSignal(readRoute(location.hash), { equals: (a, b) => a.stop === b.stop && a.key === b.key })
  const follow = (): void => void setRoute(readRoute(location.hash))
  addEventListener('hashchange', follow)
  return {
    route,
    go: (to, replace = false) => {
      if (replace) history.replaceState(null, '', hashOf(to))
      else history.pushState(null, '', hashOf(to))
      follow()
    },
  }
}
