/** The page of each stop, fetched when it is first opened. */
import { type Component, lazy } from '../framework.ts'
import type { DeskKeeper } from '../desk/create-desk.ts'
import type { Desk, StopName } from '../desk/desk.ts'
import type { Route } from './route.ts'

/** Pages get the desk; the bench also what keeps it, and the way to other stops. */
export type Page = Component<{ readonly desk: Desk; readonly keeper: DeskKeeper; readonly go: (route: Route) => void }>

export const pages: Readonly<Record<StopName, Page>> = {
  bench: lazy(async () => ({ default: (await import('../pages/bench/bench-page.tsx')).BenchPage })),
  shelf: lazy(async () => ({ default: (await import('../pages/shelf/shelf-page.tsx')).ShelfPage })),
  makeup: lazy(async () => ({ default: (await import('../pages/makeup/makeup-page.tsx')).MakeUpPage })),
  pour: lazy(async () => ({ default: (await import('../pages/pour/pour-page.tsx')).PourPage })),
  rehearsal: lazy(async () => ({ default: (await import('../pages/rehearsal/rehearsal-page.tsx')).RehearsalPage })),
  reasons: lazy(async () => ({ default: (await import('../pages/reasons/reasons-page.tsx')).ReasonsPage })),
  perform: lazy(async () => ({ default: (await import('../pages/perform/perform-page.tsx')).PerformPage })),
  clearing: lazy(async () => ({ default: (await import('../pages/clearing/clearing-page.tsx')).ClearingPage })),
  papers: lazy(async () => ({ default: (await import('../pages/papers/papers-page.tsx')).PapersPage })),
}
