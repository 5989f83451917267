/** The service worker of the page: registered after the first picture; tells when a newer program waits. */
import { type Accessor, createSignal } from '../framework.ts'

/** Null until a newer program waits; then what starts it. */
export function keepOffline(): Accessor<(() => void) | null> {
  const [newer, setNewer] = createSignal<(() => void) | null>(null)
  if (!('serviceWorker' in navigator) || !import.meta.env.PROD) return newer
  let isAsked = false
  const offer = (worker: ServiceWorker): void => {
    // The first one of all replaces nothing.
    if (!navigator.serviceWorker.controller) return
    setNewer(() => () => {
      isAsked = true
      worker.postMessage('take over')
    })
  }
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (isAsked) location.reload()
  })
  void navigator.serviceWorker
    .register('./service-worker.js')
    .then((registration) => {
      if (registration.waiting) offer(registration.waiting)
      registration.addEventListener('updatefound', () => {
        const coming = registration.installing
        coming?.addEventListener('statechange', () => {
          if (coming.state === 'installed') offer(coming)
        })
      })
    })
    // Without it the page works as before, with a network.
    .catch(() => undefined)
  return newer
}
