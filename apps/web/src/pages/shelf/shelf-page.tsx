/** Shelf: my bottles for all demonstrations, how strong each really is, what must not stand together, and what can be done with them. */
import { createEffect, createMemo, createSignal, For, onCleanup, Show } from '../../framework.ts'
import type { DeskKeeper } from '../../desk/create-desk.ts'
import type { Desk } from '../../desk/desk.ts'
import { bottleNames, documentBottle, isUsedAs, recordOf } from '../../parts/shelf-bottles.ts'
import { RenameButton } from '../../parts/rename-button.tsx'
import { knownSubstances } from '../../parts/substance-field.tsx'
import { writtenOf } from '../../parts/written.ts'
import type { Route } from '../../shell/route.ts'
import { readShelfRecord, type ShelfRecord } from '../../store/shelf-record.ts'
import { showRecords } from '../../store/shown-records.ts'
import { collection } from '../../store/store.ts'
import { said, t } from '../../words/index.ts'
import type { ShelfLook } from '../../work/shelf-contract.ts'
import { BottleItem } from './bottle-item.tsx'
import { FitSection } from './fit-section.tsx'
import './shelf-page.css'

export interface ShelfPageProps {
  readonly desk: Desk
  readonly keeper: DeskKeeper
  readonly go: (route: Route) => void
}

const ROOM_CELSIUS = 20
const KELVIN = 273.15

export function ShelfPage(props: ShelfPageProps) {
  const { desk } = props
  const all = knownSubstances(desk.work)
  const written = writtenOf(desk)
  const [records, setRecords] = createSignal<readonly ShelfRecord[] | null>(null)
  const shelf = showRecords(collection<ShelfRecord>('shelf'), readShelfRecord, (all) =>
    setRecords([...all].sort((a, b) => a.id.localeCompare(b.id))),
  )
  onCleanup(shelf.stop)
  const [look, setLook] = createSignal<ShelfLook | null>(null)
  const [opened, setOpened] = createSignal<string | null>(null)
  const [isFull, setFull] = createSignal(false)
  const celsius = () => {
    const kelvin = desk.day()?.demonstration?.room.temperatureK
    return kelvin === undefined ? ROOM_CELSIUS : kelvin - KELVIN
  }
  const names = createMemo(() => bottleNames(records() ?? [], t('shelf.unnamed')))
  let asked = 0
  createEffect(() => {
    const bottles = (records() ?? []).map((r) => ({ id: names().get(r.id) ?? r.id, written: documentBottle(r) }))
    const mine = ++asked
    if (bottles.length === 0) {
      setLook(null)
      return
    }
    void desk.work.lookAtBottles(bottles, celsius()).then((answer) => {
      if (mine === asked && 'bottles' in answer) setLook(answer)
    })
  })
  const put = async (record: ShelfRecord): Promise<void> => {
    setFull(!(await shelf.put({ ...record, changedAt: Date.now() })))
  }
  const newId = (): string => `${Date.now().toString(36).padStart(9, '0')}-${crypto.randomUUID().slice(0, 8)}`
  let shelfList: HTMLUListElement | undefined
  const add = (): void => {
    const id = newId()
    setOpened(id)
    void put({ id, written: {}, left: '', openedOn: '', assayedOn: '', changedAt: 0 })
    // The new bottle stands last, perhaps below the window: on with its label at once.
    shelfList?.querySelector<HTMLInputElement>('.shelf-bottle:last-child input')?.focus()
  }
  /** Bottles of the open demonstration that do not stand here as they are. */
  const notHere = createMemo(() =>
    desk.key() === null ? [] : (written()?.bottles ?? []).filter((bottle) => !(records() ?? []).some((r) => isUsedAs(r, bottle))),
  )
  const takeOver = async (): Promise<void> => {
    for (const bottle of notHere()) await put(recordOf(bottle, newId(), Date.now()))
    // The button went with the last of them.
    shelfList?.querySelector<HTMLElement>('summary')?.focus()
  }
  const remove = async (record: ShelfRecord): Promise<void> => {
    const bottle = names().get(record.id) ?? t('shelf.unnamed')
    await shelf.remove(record.id)
    props.keeper.tell({
      kind: 'deleted',
      text: t('shelf.removed', { bottle }),
      action: { label: t('shelf.bringBack'), run: () => void put(record) },
    })
  }
  // What stands side by side comes first; what each bottle is, stands with the bottle.
  const together = () => (look()?.danger ?? []).filter((d) => !d.about.startsWith('bottle "') && !d.onlyIf)
  const onlyIf = () => (look()?.danger ?? []).filter((d) => !d.about.startsWith('bottle "') && d.onlyIf)
  const hasBottles = () => (written()?.bottles.length ?? 0) > 0 && desk.key() !== null
  return (
    <div class="shelf-page">
      <h1>{t('shelf.title')}</h1>
      <p class="lead">{t('shelf.lead')}</p>
      <Show when={isFull()}>
        <p class="field-fault" role="alert">
          {t('shelf.full')}
        </p>
      </Show>
      <Show when={together().length + onlyIf().length > 0}>
        <section class="shelf-together" aria-label={t('shelf.together')}>
          <h2>{t('shelf.together')}</h2>
          <DangerItems lines={together()} />
          <Show when={onlyIf().length > 0}>
            <details>
              <summary>{t('shelf.onlyIf', { n: onlyIf().length })}</summary>
              <DangerItems lines={onlyIf()} />
            </details>
          </Show>
        </section>
      </Show>
      <p class="shelf-buttons">
        <button type="button" class="main" onClick={add}>
          {t('shelf.add')}
        </button>
        <Show when={notHere().length > 0}>
          <button type="button" onClick={() => void takeOver()}>
            {t('shelf.takeOver', { n: notHere().length })}
          </button>
        </Show>
      </p>
      <Show when={hasBottles()}>
        <section aria-labelledby="document-bottles">
          <h2 id="document-bottles" class="shelf-heading">
            {t('rename.bottles')}
          </h2>
          <ul class="document-bottles">
            <For each={(written()?.bottles ?? []).map((b) => b.id)}>
              {(id) => (
                <li>
                  {id} <RenameButton desk={desk} of="bottle" name={id} />
                </li>
              )}
            </For>
          </ul>
        </section>
      </Show>
      <h2 id="own-bottles" class="shelf-heading">
        {t('shelf.own')}
      </h2>
      <Show when={records()} fallback={<p role="status">{t('shelf.reading')}</p>}>
        {(list) => (
          <Show when={list().length > 0} fallback={<p>{t('shelf.empty')}</p>}>
            <ul class="shelf-list" aria-labelledby="own-bottles" ref={(element) => (shelfList = element)}>
              <For each={list().map((r) => r.id)}>
                {(id) => (
                  <Show when={list().find((r) => r.id === id)}>
                    {(record) => (
                      <BottleItem
                        desk={desk}
                        record={record()}
                        name={names().get(id) ?? ''}
                        look={look()?.bottles.find((b) => b.id === names().get(id))}
                        all={all()}
                        documentBottles={desk.key() === null ? [] : (written()?.bottles ?? [])}
                        celsius={celsius()}
                        isOpen={opened() === id}
                        onOpen={(isOpen) => setOpened(isOpen ? id : opened() === id ? null : opened())}
                        onChange={(next) => void put(next)}
                        onRemove={() => void remove(record())}
                      />
                    )}
                  </Show>
                )}
              </For>
            </ul>
          </Show>
        )}
      </Show>
      <Show when={(records() ?? []).length > 0}>
        <FitSection desk={desk} keeper={props.keeper} go={props.go} records={records() ?? []} names={names()} />
      </Show>
    </div>
  )
}

const DangerItems = (props: { readonly lines: ShelfLook['danger'] }) => (
  <ul>
    <For each={props.lines}>
      {(d) => (
        <li data-grade={d.severity}>
          <strong>{said(d.about)}:</strong> {said(d.what)} <span class="quiet">{said(d.instead)}</span>
        </li>
      )}
    </For>
  </ul>
)
