/** The only door to the user-interface library: what the next major version changes is changed here. */
export {
  createEffect,
  createMemo,
  createRoot,
  createSignal,
  createUniqueId,
  ErrorBoundary,
  For,
  Index,
  lazy,
  Match,
  onCleanup,
  onMount,
  Show,
  Suspense,
  Switch,
  untrack,
} from 'solid-js'
export type { Accessor, Component, JSX, ParentProps } from 'solid-js'
export { Dynamic, Portal, render } from 'solid-js/web'
