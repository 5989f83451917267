/** The store over IndexedDB. Every write is one transaction; tabs tell each other through a channel. */
import { type DBSchema, type IDBPDatabase, openDB } from 'idb'
import type { DocumentText } from '../work/contract.ts'
import type { Collection, CollectionName, KeptDemonstration, KeptVersion, SaveResult, Store } from './kept.ts'
import { isWorthKeeping, tooMany } from './when-to-keep.ts'

interface Schema extends DBSchema {
  demonstrations: { key: string; value: KeptDemonstration }
  versions: { key: string; value: KeptVersion; indexes: { of: string } }
  records: { key: [string, string]; value: { kind: CollectionName; id: string; record: unknown }; indexes: { kind: string } }
}
type Told = { readonly what: 'demonstration'; readonly key: string } | { readonly what: 'records'; readonly kind: CollectionName }

const NAME = 'beakertide'
const VERSION = 1

export interface StoreOptions {
  readonly now?: () => number
  readonly newId?: () => string
}

/** Opens the store, or null where the browser keeps nothing. */
export async function openBrowserStore(options: StoreOptions = {}): Promise<Store | null> {
  try {
    const db = await openDB<Schema>(NAME, VERSION, {
      upgrade(database) {
        database.createObjectStore('demonstrations', { keyPath: 'key' })
        database.createObjectStore('versions', { keyPath: 'id' }).createIndex('of', 'of')
        database.createObjectStore('records', { keyPath: ['kind', 'id'] }).createIndex('kind', 'kind')
      },
      // A newer page in another tab needs another shape: let it have the store, this tab must be loaded again.
      blocking: (_now, _wanted, event) => (event.target as IDBDatabase).close(),
    })
    return storeOver(db, typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(NAME), options)
  } catch {
    return null
  }
}

function isFull(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'QuotaExceededError'
}

function storeOver(db: IDBPDatabase<Schema>, channel: BroadcastChannel | null, options: StoreOptions): Store {
  const now = options.now ?? Date.now
  const newId = options.newId ?? (() => crypto.randomUUID())
  const here = new Set<(told: Told) => void>()
  const tell = (told: Told): void => {
    channel?.postMessage(told)
    for (const one of here) one(told)
  }
  const tried = async (write: () => Promise<unknown>): Promise<boolean> => {
    try {
      await write()
      return true
    } catch {
      return false
    }
  }

  async function save(key: string, document: DocumentText, title: string, known: number, example: string | null): Promise<SaveResult> {
    try {
      const tx = db.transaction(['demonstrations', 'versions'], 'readwrite')
      const before = await tx.objectStore('demonstrations').get(key)
      const at = now()
      const revision = Math.max(known, before?.revision ?? 0) + 1
      const kept: KeptDemonstration = {
        key,
        title,
        document,
        changedAt: at,
        revision,
        example: before?.example ?? example,
        deletedAt: null,
      }
      const isOther = before !== undefined && before.revision !== known && JSON.stringify(before.document) !== JSON.stringify(document)
      let other: KeptVersion | null = null
      const writes: Promise<unknown>[] = []
      const versions = tx.objectStore('versions')
      const old = before ? await versions.index('of').getAll(key) : []
      if (before) {
        const why: KeptVersion['why'] = isOther ? 'other tab' : 'now and then'
        const version: KeptVersion = { id: newId(), of: key, at: before.changedAt, document: before.document, why }
        if (isWorthKeeping(why, at, old)) writes.push(versions.put(version))
        if (isOther) other = version
      }
      writes.push(tx.objectStore('demonstrations').put(kept), ...tooMany(old, at).map((gone) => versions.delete(gone.id)))
      await Promise.all([...writes, tx.done])
      tell({ what: 'demonstration', key })
      return other ? { how: 'both kept', revision, other } : { how: 'saved', revision }
    } catch (error) {
      return { how: isFull(error) ? 'full' : 'failed', why: error instanceof Error ? error.message : String(error) }
    }
  }

  function collection<T extends { readonly id: string }>(kind: CollectionName): Collection<T> {
    return {
      all: async () => (await db.getAllFromIndex('records', 'kind', kind)).map((r) => r.record as T),
      get: async (id) => ((await db.get('records', [kind, id]))?.record as T | undefined) ?? null,
      put: async (record) => {
        const done = await tried(() => db.put('records', { kind, id: record.id, record }))
        if (done) tell({ what: 'records', kind })
        return done
      },
      remove: async (id) => {
        const done = await tried(() => db.delete('records', [kind, id]))
        if (done) tell({ what: 'records', kind })
        return done
      },
      watch(changed) {
        const hear = (told: Told): void => {
          if (told.what === 'records' && told.kind === kind) changed()
        }
        const hearOther = (event: MessageEvent<Told>): void => hear(event.data)
        here.add(hear)
        channel?.addEventListener('message', hearOther)
        return () => {
          here.delete(hear)
          channel?.removeEventListener('message', hearOther)
        }
      },
    }
  }

  return {
    isKeeping: true,
    demonstrations: async () => (await db.getAll('demonstrations')).sort((a, b) => b.changedAt - a.changedAt),
    demonstration: async (key) => (await db.get('demonstrations', key)) ?? null,
    save,
    setDeleted: async (key, deleted) => {
      const done = await tried(async () => {
        const tx = db.transaction('demonstrations', 'readwrite')
        const kept = await tx.store.get(key)
        if (kept) await tx.store.put({ ...kept, deletedAt: deleted ? now() : null })
        await tx.done
      })
      if (done) tell({ what: 'demonstration', key })
      return done
    },
    versions: async (key) => (await db.getAllFromIndex('versions', 'of', key)).sort((a, b) => b.at - a.at),
    keepVersion: (key, document, why) => tried(() => db.put('versions', { id: newId(), of: key, at: now(), document, why })),
    watch(changed) {
      const hear = (event: MessageEvent<Told>): void => {
        const told = event.data
        if (told.what !== 'demonstration') return
        void db.get('demonstrations', told.key).then((kept) => kept && changed(kept))
      }
      channel?.addEventListener('message', hear)
      return () => channel?.removeEventListener('message', hear)
    },
    collection,
    room: async () => {
      if (!navigator.storage?.estimate) return null
      const { usage = 0, quota = 0 } = await navigator.storage.estimate()
      return { used: usage, allowed: quota, isPersistent: (await navigator.storage.persisted?.()) ?? false }
    },
  }
}
