/** The store of a browser that keeps nothing, and of tests: the same behaviour, gone with the tab. */
import type { Collection, CollectionName, KeptDemonstration, KeptVersion, Store } from './kept.ts'
import { isWorthKeeping } from './when-to-keep.ts'

export function memoryStore(now: () => number = Date.now): Store {
  const demonstrations = new Map<string, KeptDemonstration>()
  const versions: KeptVersion[] = []
  const records = new Map<CollectionName, Map<string, { readonly id: string }>>()
  const watching = new Map<CollectionName, Set<() => void>>()
  let count = 0
  const tell = (kind: CollectionName): void => watching.get(kind)?.forEach((changed) => changed())
  return {
    isKeeping: false,
    demonstrations: () => Promise.resolve([...demonstrations.values()].sort((a, b) => b.changedAt - a.changedAt)),
    demonstration: (key) => Promise.resolve(demonstrations.get(key) ?? null),
    save: (key, document, title, known, example) => {
      const before = demonstrations.get(key)
      const revision = Math.max(known, before?.revision ?? 0) + 1
      demonstrations.set(key, {
        key,
        title,
        document,
        changedAt: now(),
        revision,
        example: before?.example ?? example,
        deletedAt: null,
      })
      if (!before) return Promise.resolve({ how: 'saved', revision })
      const isOther = before.revision !== known && JSON.stringify(before.document) !== JSON.stringify(document)
      const why = isOther ? 'other tab' : 'now and then'
      const version: KeptVersion = { id: String(count++), of: key, at: before.changedAt, document: before.document, why }
      if (
        isWorthKeeping(
          why,
          now(),
          versions.filter((v) => v.of === key),
        )
      )
        versions.push(version)
      return Promise.resolve(isOther ? { how: 'both kept', revision, other: version } : { how: 'saved', revision })
    },
    setDeleted: (key, deleted) => {
      const kept = demonstrations.get(key)
      if (kept) demonstrations.set(key, { ...kept, deletedAt: deleted ? now() : null })
      return Promise.resolve(true)
    },
    versions: (key) => Promise.resolve(versions.filter((v) => v.of === key).sort((a, b) => b.at - a.at)),
    keepVersion: (key, document, why) => {
      versions.push({ id: String(count++), of: key, at: now(), document, why })
      return Promise.resolve(true)
    },
    watch: () => () => undefined,
    collection: <T extends { readonly id: string }>(name: CollectionName): Collection<T> => {
      const mine = records.get(name) ?? new Map<string, { readonly id: string }>()
      records.set(name, mine)
      return {
        all: () => Promise.resolve([...mine.values()] as T[]),
        get: (id) => Promise.resolve((mine.get(id) as T | undefined) ?? null),
        put: (record) => {
          mine.set(record.id, record)
          tell(name)
          return Promise.resolve(true)
        },
        remove: (id) => {
          mine.delete(id)
          tell(name)
          return Promise.resolve(true)
        },
        watch: (changed) => {
          const all = watching.get(name) ?? new Set()
          watching.set(name, all)
          all.add(changed)
          return () => void all.delete(changed)
        },
      }
    },
    room: () => Promise.resolve(null),
  }
}
