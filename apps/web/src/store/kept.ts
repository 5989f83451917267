/** What the browser keeps. Plain data; each record says when it was changed, in ms since 1970. */
import type { DocumentText } from '../work/contract.ts'

export interface KeptDemonstration {
  readonly key: string
  /** As its own text says, for lists. */
  readonly title: string
  readonly document: DocumentText
  readonly changedAt: number
  /** Counts up with every change; who saves must know the last one. */
  readonly revision: number
  /** Name of the shipped example it began as. */
  readonly example: string | null
  /** Set while it lies in the bin; null otherwise. */
  readonly deletedAt: number | null
}

/** A text as it was. */
export interface KeptVersion {
  readonly id: string
  readonly of: string
  readonly at: number
  readonly document: DocumentText
  /** Why it was kept. */
  readonly why: 'now and then' | 'other tab' | 'before it was replaced'
}

/** Another person's or tab's text was found where ours was to be written. Both are kept. */
export type SaveResult =
  | { readonly how: 'saved'; readonly revision: number }
  | { readonly how: 'both kept'; readonly revision: number; readonly other: KeptVersion }
  | { readonly how: 'full'; readonly why: string }
  | { readonly how: 'failed'; readonly why: string }

/** Records of one kind that pages keep for themselves: bottles of the shelf, places, runs. */
export interface Collection<T extends { readonly id: string }> {
  all(): Promise<readonly T[]>
  get(id: string): Promise<T | null>
  /** False when the browser's storage is full or closed to us. */
  put(record: T): Promise<boolean>
  remove(id: string): Promise<boolean>
  /** Called after every change, of this tab or another; returns how to stop. */
  watch(changed: () => void): () => void
}

export type CollectionName = 'shelf' | 'places' | 'runs' | 'pictures' | 'files' | 'measured' | 'numbers' | 'ticks'

export interface Store {
  demonstrations(): Promise<readonly KeptDemonstration[]>
  demonstration(key: string): Promise<KeptDemonstration | null>
  /** Writes at once. `known`: revision that the text was made from; 0 for a new one. */
  save(key: string, document: DocumentText, title: string, known: number, example: string | null): Promise<SaveResult>
  /** Into the bin, or out of it. */
  setDeleted(key: string, deleted: boolean): Promise<boolean>
  versions(key: string): Promise<readonly KeptVersion[]>
  /** Keeps a text as a version whatever the time. */
  keepVersion(key: string, document: DocumentText, why: KeptVersion['why']): Promise<boolean>
  /** Called when a demonstration was changed by another tab; returns how to stop. */
  watch(changed: (demonstration: KeptDemonstration) => void): () => void
  collection<T extends { readonly id: string }>(name: CollectionName): Collection<T>
  /** Bytes in use and allowed, where the browser says so; whether it promised not to clear them. */
  room(): Promise<{ readonly used: number; readonly allowed: number; readonly isPersistent: boolean } | null>
  /** False: this browser keeps nothing (a private window), so everything ends with the tab. */
  readonly isKeeping: boolean
}
