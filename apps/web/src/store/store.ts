/** The one store of the page: `collection<Bottle>('shelf')`. */
import { openBrowserStore } from './browser-store.ts'
import type { Collection, CollectionName, Store } from './kept.ts'
import { memoryStore } from './memory-store.ts'

let opened: Promise<Store> | undefined

/** Opened when first asked for. */
export function theStore(): Promise<Store> {
  return (opened ??= openBrowserStore().then((store) => store ?? memoryStore()))
}

/** Records of one kind, kept for all demonstrations together. */
export function collection<T extends { readonly id: string }>(name: CollectionName): Collection<T> {
  const whenOpen = async (): Promise<Collection<T>> => (await theStore()).collection<T>(name)
  return {
    all: async () => (await whenOpen()).all(),
    get: async (id) => (await whenOpen()).get(id),
    put: async (record) => (await whenOpen()).put(record),
    remove: async (id) => (await whenOpen()).remove(id),
    watch: (changed) => {
      let stop: (() => void) | undefined
      let stopped = false
      void whenOpen().then((c) => {
        if (!stopped) stop = c.watch(changed)
      })
      return () => {
        stopped = true
        stop?.()
      }
    },
  }
}
