/**
 * The records of one collection as a page shows and changes them. A change is shown at once and follows into the store, in the order they
 * were made. A reading never takes back what is on its way there, however late it ends, and what the store could not keep stays shown as
 * long as the page does.
 */
import { inTurn } from './in-turn.ts'
import type { Collection } from './kept.ts'

export interface ShownRecords<T extends { readonly id: string }> {
  /**
   * Shown at once, then written; false when the store could not keep it.
   * @param before written before it, for what it speaks of; where that cannot be kept, neither is the record
   */
  put(record: T, before?: () => Promise<boolean>): Promise<boolean>
  /** The record made of what it is now, which waits for the first reading; null: there is none. */
  change(id: string, how: (now: T | null) => T): Promise<boolean>
  remove(id: string): Promise<boolean>
  /** Shows nothing any more; what is on its way to the store still gets there. */
  readonly stop: () => void
}

/**
 * @param read a record as one of ours, or null: another version or another program may have written there
 * @param show gets all records, in no order, at the first reading and whenever they change
 */
export function showRecords<T extends { readonly id: string }>(
  kept: Collection<T>,
  read: (x: unknown) => T | null,
  show: (all: readonly T[]) => void,
): ShownRecords<T> {
  let stored: readonly T[] = []
  /** Changes that the store has not yet, or could not keep; null: taken away. */
  const onTheWay = new Map<string, { readonly to: T | null }>()
  const turn = inTurn()
  let isShowing = true
  let readings = 0
  let isRead = (): void => undefined
  const firstRead = new Promise<void>((resolve) => {
    isRead = resolve
  })

  const all = (): readonly T[] => [
    ...stored.filter((r) => !onTheWay.has(r.id)),
    ...[...onTheWay.values()].flatMap(({ to }) => (to === null ? [] : [to])),
  ]
  const showAll = (): void => {
    if (isShowing) show(all())
  }
  const load = async (): Promise<void> => {
    const mine = ++readings
    const found = (await kept.all()).flatMap((r) => read(r) ?? [])
    // The store tells of every change before it says that it has it, so a reading from before a change is never the newest.
    if (mine !== readings) return
    stored = found
    showAll()
    isRead()
  }
  const write = async (id: string, to: T | null, how: () => Promise<boolean>): Promise<boolean> => {
    const change = { to }
    onTheWay.set(id, change)
    showAll()
    const isKept = await turn(how)
    if (isKept && onTheWay.get(id) === change) {
      // The reading that the store called for may still be under way.
      stored = [...stored.filter((r) => r.id !== id), ...(to === null ? [] : [to])]
      onTheWay.delete(id)
    }
    return isKept
  }
  const put: ShownRecords<T>['put'] = (record, before) =>
    write(record.id, record, async () => (before === undefined || (await before())) && (await kept.put(record)))

  const endWatch = kept.watch(() => void load())
  void load()
  return {
    put,
    async change(id, how) {
      await firstRead
      return await put(how(all().find((r) => r.id === id) ?? null))
    },
    remove: (id) => write(id, null, () => kept.remove(id)),
    stop() {
      isShowing = false
      endWatch()
    },
  }
}
