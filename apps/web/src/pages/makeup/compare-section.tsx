/** This recipe beside found ones, in strengths of the final mix, with what is odd said in words and marks. */
import type { Problem } from '@beakertide/basis/problems'
import type { ComparisonCell, RecipeComparison } from '@beakertide/core/makeup'
import { createEffect, createSignal, For, lazy, Show, Suspense } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { chargesOf, speciesText } from '../../parts/chemical-words.ts'
import { ProblemLines } from '../../parts/problem-lines.tsx'
import { takenName } from '../../parts/taken-name.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'

const FoundRecipeForm = lazy(async () => ({ default: (await import('../../parts/found-recipe-form.tsx')).FoundRecipeForm }))
const MMOL = 1000

const markWords: Readonly<Record<ComparisonCell['mark'], () => string>> = {
  usual: () => '',
  odd: () => t('makeup.mark.odd'),
  missing: () => t('makeup.mark.missing'),
  extra: () => t('makeup.mark.extra'),
}

export function CompareSection(props: { readonly desk: Desk }) {
  const [isOpen, setOpen] = createSignal(false)
  const [isAdding, setAdding] = createSignal(false)
  const [comparison, setComparison] = createSignal<RecipeComparison | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  let asked = 0
  createEffect(() => {
    const document = props.desk.document()
    if (!isOpen()) return
    const mine = ++asked
    void props.desk.work.compareFound(document).then((answer) => {
      if (mine !== asked) return
      setComparison(answer.ok ? answer.value : null)
      setProblems(answer.ok ? [] : answer.problems.filter((p) => p.code !== 'desk/nothing-found'))
    })
  })
  const charges = () => {
    const mechanism = props.desk.day()?.prepared?.mechanism
    return mechanism ? chargesOf(mechanism) : {}
  }
  const add = (name: string, value: unknown): void => {
    props.desk.edit([{ path: ['found', takenName(name, t('makeup.foundName'))], value }], t('makeup.label.found'))
    setAdding(false)
  }
  return (
    <details class="makeup-compare" onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>
        <h2>{t('makeup.compare')}</h2>
      </summary>
      <p class="lead">{t('makeup.compareLead')}</p>
      <ProblemLines problems={problems()} />
      <Show when={comparison()} fallback={<p>{t('makeup.compareNone')}</p>}>
        {(c) => (
          <>
            <p>
              <strong>{c().oddOneOut === null ? t('makeup.noOddOne') : t('makeup.oddOne', { recipe: c().oddOneOut ?? '' })}</strong>
            </p>
            <div class="wide-table" tabindex="0" role="region" aria-label={t('makeup.compare')}>
              <table>
                <caption>{t('makeup.compareUnit')}</caption>
                <thead>
                  <tr>
                    <th scope="col">{t('makeup.species')}</th>
                    <For each={c().recipes}>
                      {(recipe) => (
                        <th scope="col" class="number">
                          {recipe}
                        </th>
                      )}
                    </For>
                    <th scope="col" class="number">
                      {t('makeup.median')}
                    </th>
                  </tr>
                </thead>
                <tbody>
                  <For each={c().rows}>
                    {(row) => (
                      <tr data-counter={row.isCounterIon ? '' : undefined}>
                        <th scope="row">{speciesText(row.species, charges())}</th>
                        <For each={row.cells}>
                          {(cell) => (
                            <td class="number" data-mark={cell.mark}>
                              <Show when={cell.mark !== 'usual'}>
                                <strong>{markWords[cell.mark]()} </strong>
                              </Show>
                              {cell.molPerL > 0 ? formatNumber(cell.molPerL * MMOL, 3) : cell.mark === 'missing' ? '' : '–'}
                            </td>
                          )}
                        </For>
                        <td class="number">{formatNumber(row.medianMolPerL * MMOL, 3)}</td>
                      </tr>
                    )}
                  </For>
                </tbody>
              </table>
            </div>
            <ul class="compare-remarks">
              <For each={c().remarks}>
                {(r) => (
                  <li>
                    {said(r.where)}: {said(r.what)}; {said(r.todo)}.
                  </li>
                )}
              </For>
            </ul>
            <p class="quiet">{said(c().rule)}.</p>
          </>
        )}
      </Show>
      <Show
        when={isAdding()}
        fallback={
          <button type="button" onClick={() => setAdding(true)}>
            {t('makeup.addFound')}
          </button>
        }
      >
        <Suspense fallback={<p role="status">{t('shell.loading')}</p>}>
          <FoundRecipeForm work={props.desk.work} onFound={add} />
        </Suspense>
      </Show>
    </details>
  )
}
