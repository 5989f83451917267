/// <reference lib="webworker" />
/**
 * Keeps every file of the page for the time without a network. A new version is fetched beside the old one and waits until a person
 * says so: nothing is ever loaded again under somebody's hands.
 */
export {}
declare const self: ServiceWorkerGlobalScope
/** Put in by the build: fingerprint of all files, and their paths. */
declare const __FILES__: { readonly mark: string; readonly paths: readonly string[] }

const NAME = `beakertide-${__FILES__.mark}`

self.addEventListener('install', (event) => {
  event.waitUntil(
    caches.open(NAME).then(async (cache) => {
      for (const path of __FILES__.paths) {
        // Files whose name holds their fingerprint are the same in every version.
        const before = path.startsWith('./assets/') ? await caches.match(path) : undefined
        if (before) await cache.put(path, before)
        else await cache.add(new Request(path, { cache: 'no-cache' }))
      }
    }),
  )
})

self.addEventListener('activate', (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(names.filter((name) => name.startsWith('beakertide-') && name !== NAME).map((name) => caches.delete(name))),
      )
      .then(() => self.clients.claim()),
  )
})

self.addEventListener('message', (event) => {
  if (event.data === 'take over') void self.skipWaiting()
})

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url)
  if (event.request.method !== 'GET' || url.origin !== self.location.origin) return
  event.respondWith(
    caches.open(NAME).then(async (cache) => {
      const kept = await cache.match(event.request.mode === 'navigate' ? './index.html' : event.request, { ignoreSearch: true })
      return kept ?? (await fetch(event.request))
    }),
  )
})
