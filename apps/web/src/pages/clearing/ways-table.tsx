/** The ways out side by side; those with a reductant can be chosen, the others are what happens with less or without. */
import type { Alternative, ReductantId } from '@beakertide/core/clearing'
import { For, Index, Show } from '../../framework.ts'
import { isNothing, rangeText } from '../../parts/ranges.ts'
import { said, t, type WordKey } from '../../words/index.ts'

const REDUCTANT_IDS: readonly string[] = [
  'thiosulfate',
  'bisulfite',
  'metabisulfite',
  'sulfite',
  'ascorbic',
] satisfies readonly ReductantId[]
const isReductant = (id: string): id is ReductantId => REDUCTANT_IDS.includes(id)
const reductantOf = (way: Alternative): ReductantId | null => (isReductant(way.id) ? way.id : null)

const COLUMNS: readonly (readonly [WordKey, (a: Alternative) => string])[] = [
  ['clearing.opt.reductant', (a) => shown(a.reductantG)],
  ['clearing.opt.neutraliser', (a) => shown(a.neutraliserG)],
  ['clearing.opt.water', (a) => shown(a.waterL)],
  ['clearing.opt.heat', (a) => shown(a.heatKJ)],
  ['clearing.opt.rise', (a) => shown(a.riseK)],
  ['clearing.opt.gas', (a) => shown(a.gasL)],
  ['clearing.opt.salt', (a) => shown(a.saltG)],
  ['clearing.opt.residue', (a) => shown(a.residueG)],
  ['clearing.opt.liquid', (a) => shown(a.liquidL)],
]
const shown = (range: Alternative['gasL']): string => (isNothing(range) ? '–' : rangeText(range))

export interface WaysTableProps {
  readonly ways: readonly Alternative[]
  /** The reductant the reader asked for; null: the plan's own choice. */
  readonly wanted: ReductantId | null
  readonly onTake: (id: ReductantId) => void
}

export function WaysTable(props: WaysTableProps) {
  // The mark follows the wish at once: an answer to an older wish, arriving behind the click, must not take it back.
  const isTaken = (way: Alternative): boolean => (props.ways.some((w) => w.id === props.wanted) ? way.id === props.wanted : way.chosen)
  const hasPrices = (): boolean => props.ways.some((a) => a.price !== null)
  return (
    <div class="ways" tabindex="0" role="region" aria-label={t('clearing.options')}>
      <table>
        <thead>
          <tr>
            <th scope="col">{t('clearing.opt.name')}</th>
            <For each={COLUMNS}>
              {([key]) => (
                <th scope="col" class="number">
                  {t(key)}
                </th>
              )}
            </For>
            <Show when={hasPrices()}>
              <th scope="col">{t('clearing.opt.price')}</th>
            </Show>
            <th scope="col">{t('clearing.opt.note')}</th>
          </tr>
        </thead>
        <tbody>
          <Index each={props.ways}>
            {(way) => (
              <tr data-chosen={way().chosen ? '' : undefined}>
                <th scope="row">
                  <Show when={reductantOf(way())} fallback={said(way().name)}>
                    {(id) => (
                      <label class="way">
                        <input
                          type="radio"
                          name="way"
                          checked={isTaken(way())}
                          aria-label={t('clearing.opt.take', { name: said(way().name) })}
                          onChange={() => props.onTake(id())}
                        />
                        <span>
                          {said(way().name)}
                          <Show when={way().chosen}>
                            <span class="quiet"> ({t('clearing.opt.taken')})</span>
                          </Show>
                        </span>
                      </label>
                    )}
                  </Show>
                </th>
                <For each={COLUMNS}>{([, cell]) => <td class="number">{cell(way())}</td>}</For>
                <Show when={hasPrices()}>
                  <td>{way().price ?? '–'}</td>
                </Show>
                <td class="way-note">
                  {[said(way().note), way().leaves.length > 0 ? t('clearing.opt.leaves', { what: way().leaves.join(', ') }) : '']
                    .filter((x) => x !== '')
                    .join('; ')}
                </td>
              </tr>
            )}
          </Index>
        </tbody>
      </table>
    </div>
  )
}
