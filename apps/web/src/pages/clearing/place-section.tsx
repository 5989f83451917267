/** The place in force: chosen, entered, and held against the treated liquid. */
import type { ClearingPlan, LimitLine, PlaceLimits } from '@beakertide/core/clearing'
import { type Accessor, createMemo, createSignal, For, onCleanup, Show } from '../../framework.ts'
import { rangeText } from '../../parts/ranges.ts'
import { type PlaceRecord, readPlaceRecord } from '../../store/place-record.ts'
import { showRecords } from '../../store/shown-records.ts'
import { collection } from '../../store/store.ts'
import { said, t, type WordKey } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import { parameterWord, PlaceForm } from './place-form.tsx'

const VERDICTS: Readonly<Record<LimitLine['verdict'], WordKey>> = {
  within: 'clearing.verdict.within',
  'may be over': 'clearing.verdict.maybe',
  over: 'clearing.verdict.over',
  'not found in it': 'clearing.verdict.absent',
  'not computed': 'clearing.verdict.unknown',
}

export interface Places {
  readonly all: Accessor<readonly PlaceRecord[]>
  readonly inForce: Accessor<PlaceRecord | null>
  /** Puts one in force, or none. */
  choose(id: string | null): Promise<void>
  save(id: string | null, place: PlaceLimits): Promise<boolean>
  remove(id: string): Promise<void>
}

/** The places of the store, followed; by name. At most one is in force. */
export function createPlaces(): Places {
  const [all, setAll] = createSignal<readonly PlaceRecord[]>([])
  const records = showRecords(collection<PlaceRecord>('places'), readPlaceRecord, (found) =>
    setAll([...found].sort((a, b) => a.place.name.localeCompare(b.place.name) || a.id.localeCompare(b.id))),
  )
  onCleanup(records.stop)
  const inForce = createMemo(() => all().find((p) => p.isInForce) ?? null)
  /** All others out of force: asked before one is put in force, so that what is kept halfway is no limit rather than a wrong one. */
  const others = (id: string | null): Promise<boolean>[] =>
    all().flatMap((p) => (p.isInForce && p.id !== id ? [records.put({ ...p, isInForce: false })] : []))
  return {
    all,
    inForce,
    async choose(id) {
      const chosen = all().find((p) => p.id === id && !p.isInForce)
      await Promise.all([...others(id), ...(chosen === undefined ? [] : [records.put({ ...chosen, isInForce: true })])])
    },
    async save(id, place) {
      const record: PlaceRecord = { id: id ?? crypto.randomUUID(), version: 1, isInForce: true, place }
      const out = others(record.id)
      const isKept = await records.put(record)
      await Promise.all(out)
      return isKept
    },
    async remove(id) {
      await records.remove(id)
    },
  }
}

const limitWords = (l: LimitLine): string => {
  const n = (v: number): string => `${formatNumber(v, 4)}${l.unit === 'pH' ? '' : ` ${l.unit}`}`
  if (l.low !== null && l.high !== null) return t('clearing.range', { low: n(l.low), high: n(l.high) })
  return l.high !== null ? `≤ ${n(l.high)}` : l.low !== null ? `≥ ${n(l.low)}` : ''
}

export function PlaceSection(props: { readonly places: Places; readonly plan: ClearingPlan | null }) {
  const [editing, setEditing] = createSignal<'new' | 'this' | null>(null)
  const [isKept, setKept] = createSignal(true)
  const current = () => props.places.inForce()
  const save = async (place: PlaceLimits): Promise<void> => {
    setKept(await props.places.save(editing() === 'this' ? (current()?.id ?? null) : null, place))
    setEditing(null)
  }
  const remove = (): void => {
    const id = current()?.id
    setEditing(null)
    if (id !== undefined) void props.places.remove(id)
  }
  return (
    <section class="place" aria-labelledby="clearing-place">
      <h2 id="clearing-place">{t('clearing.place')}</h2>
      <div class="place-head">
        <label>
          {t('clearing.placeChoose')}{' '}
          <select onChange={(e) => void props.places.choose(e.currentTarget.value === '' ? null : e.currentTarget.value)}>
            <option value="" selected={current() === null}>
              {t('clearing.placeNone')}
            </option>
            <For each={props.places.all()}>
              {(p) => (
                <option value={p.id} selected={p.id === current()?.id}>
                  {p.place.name}
                </option>
              )}
            </For>
          </select>
        </label>
        <button type="button" onClick={() => setEditing('new')}>
          {t('clearing.placeNew')}
        </button>
        <Show when={current()}>
          <button type="button" onClick={() => setEditing('this')}>
            {t('clearing.placeEdit')}
          </button>
        </Show>
      </div>
      <Show when={!isKept()}>
        <p role="alert" class="fault">
          {t('clearing.placeNotStored')}
        </p>
      </Show>
      <Show when={editing()} keyed>
        {(what) => (
          <PlaceForm
            place={what === 'this' ? (current()?.place ?? null) : null}
            onSave={(place) => void save(place)}
            onCancel={() => setEditing(null)}
            onDelete={what === 'this' ? remove : null}
          />
        )}
      </Show>
      <Show when={props.plan?.place}>
        {(answer) => (
          <div class="place-answer">
            <p>
              <b>{answer().name}</b> <span class="quiet">{answer().source}</span>
            </p>
            <Show when={answer().collectAll}>
              <p class="place-all">{t('clearing.collectAll')}</p>
            </Show>
            <Show when={answer().lines.length > 0}>
              <table>
                <thead>
                  <tr>
                    <th scope="col">{t('clearing.placeParameter')}</th>
                    <th scope="col">{t('clearing.place')}</th>
                    <th scope="col">{t('clearing.found')}</th>
                    <th scope="col">{t('clearing.verdict')}</th>
                  </tr>
                </thead>
                <tbody>
                  <For each={answer().lines}>
                    {(line) => (
                      <tr data-verdict={line.verdict}>
                        <th scope="row">{parameterWord(line.parameter)}</th>
                        <td>{limitWords(line)}</td>
                        <td>{line.found === null ? '–' : `${rangeText(line.found)}${line.unit === 'pH' ? '' : ` ${line.unit}`}`}</td>
                        <td>
                          <b>{t(VERDICTS[line.verdict])}</b>
                        </td>
                      </tr>
                    )}
                  </For>
                </tbody>
              </table>
            </Show>
            <Show when={answer().notLimited.length > 0}>
              <p>{t('clearing.notLimited', { what: answer().notLimited.map(parameterWord).join(', ') })}</p>
            </Show>
          </div>
        )}
      </Show>
      <Show when={(props.plan?.publishedLimits.length ?? 0) > 0}>
        <details>
          <summary>{t('clearing.published')}</summary>
          <table>
            <thead>
              <tr>
                <th scope="col">{t('clearing.placeParameter')}</th>
                <th scope="col" class="number">
                  {t('clearing.placeHigh')}, mg/L
                </th>
                <th scope="col" class="number">
                  {t('clearing.found')}
                </th>
                <th scope="col">{t('clearing.publishedWhere')}</th>
              </tr>
            </thead>
            <tbody>
              <For each={props.plan?.publishedLimits ?? []}>
                {(limit) => (
                  <tr>
                    <th scope="row">{parameterWord(limit.parameter)}</th>
                    <td class="number">{formatNumber(limit.mgPerL, 3)}</td>
                    <td class="number">{rangeText(limit.found)}</td>
                    <td>{said(limit.authority)}</td>
                  </tr>
                )}
              </For>
            </tbody>
          </table>
        </details>
      </Show>
    </section>
  )
}
