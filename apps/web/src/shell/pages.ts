/** The page of each stop, fetched when it is first opened. */
import { type Component, lazy } from '../framework.ts'
import type { DeskKeeper } from '../desk/create-desk.ts'
import type { Desk, StopName } from '../desk/desk.ts'
import type { Route } from './route.ts'

/** Pages get the desk; the bench also what keeps it, and the way to other stops. */
export type Page = Component<{ readonly desk: Desk; readonly keeper: DeskKeeper; readonly go: (route: Route) => void }>
type Loader = () => Promise<Readonly<Record<string, Page>>>

const found = import.meta.glob('../pages/*/*-page.tsx') as Readonly<Record<string, Loader>>
const exportName = (stop: StopName): string => `${stop === 'makeup' ? 'MakeUp' : stop.charAt(0).toUpperCase() + stop.slice(1)}Page`

const made = new Map<StopName, Page | null>()

/** Null: there is no page of this stop. */
export function pageOf(stop: StopName): Page | null {
  const before = made.get(stop)
  if (before !== undefined) return before
  const load = Object.entries(found).find(([path]) => path.startsWith(`../pages/${stop}/`))?.[1]
  const page = load
    ? lazy(async () => {
        const module = await load()
        const component = module[exportName(stop)] ?? Object.values(module).find((one) => typeof one === 'function')
        if (!component) throw new Error(`the page of ${stop} has no component`)
        return { default: component }
      })
    : null
  made.set(stop, page)
  return page
}
