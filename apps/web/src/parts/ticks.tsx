/** Steps that are done: kept with the demonstration in the store, the same in every tab and after a reload, cleared by a button. */
import { createMemo, createSignal, onCleanup, Show } from '../framework.ts'
import type { Desk } from '../desk/desk.ts'
import { showRecords } from '../store/shown-records.ts'
import { collection } from '../store/store.ts'
import { readTicksRecord, type TicksRecord, withoutTicks, withTick } from '../store/ticks-record.ts'
import { t } from '../words/index.ts'
import './ticks.css'

export interface Ticks {
  isDone(key: string): boolean
  set(key: string, isDone: boolean): void
  /** All steps of the groups that begin so. */
  clear(groups: string): void
  hasAny(groups: string): boolean
  /** False when the browser could not keep the last change. */
  isKept(): boolean
}

/** To be called inside a component. */
export function createTicks(desk: Desk): Ticks {
  const [all, setAll] = createSignal<readonly TicksRecord[]>([])
  const [isKept, setKept] = createSignal(true)
  const records = showRecords(collection<TicksRecord>('ticks'), readTicksRecord, setAll)
  onCleanup(records.stop)
  const record = createMemo(() => all().find((r) => r.id === desk.key()) ?? null)
  const change = (how: (now: TicksRecord) => TicksRecord): void => {
    const key = desk.key()
    if (key === null) return
    void records.change(key, (now) => how(now ?? { id: key, version: 1, done: [] })).then(setKept)
  }
  return {
    isDone: (key) => record()?.done.includes(key) ?? false,
    set: (key, isDone) => change((now) => withTick(now, key, isDone)),
    clear: (groups) => change((now) => withoutTicks(now, groups)),
    hasAny: (groups) => record()?.done.some((k) => k.startsWith(groups)) ?? false,
    isKept,
  }
}

/** The button that takes all ticks of a page back, where there are any. */
export function ClearTicks(props: { readonly ticks: Ticks; readonly groups: string }) {
  return (
    <>
      <Show when={props.ticks.hasAny(props.groups)}>
        <button type="button" class="clear-ticks" onClick={() => props.ticks.clear(props.groups)}>
          {t('makeup.clearTicks')}
        </button>
      </Show>
      <Show when={!props.ticks.isKept()}>
        <span class="not-kept" role="alert">
          {t('makeup.ticksNotKept')}
        </span>
      </Show>
    </>
  )
}
