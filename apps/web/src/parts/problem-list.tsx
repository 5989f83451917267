/** Problems as sentences with a next step: dangers first and in words, each with its place in the text. */
import type { Problem } from '@beakertide/basis/problems'
import { For, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { Said } from './said.tsx'
import './problem-list.css'

interface ProblemListProps {
  readonly problems: readonly Problem[]
  readonly title: string
  /** Called with a place in the text, where the list can lead there. */
  readonly onPlace?: (line: number, column: number) => void
}

export function ProblemList(props: ProblemListProps) {
  const ordered = () => [...props.problems].sort((a, b) => Number(b.danger ?? false) - Number(a.danger ?? false))
  return (
    <Show when={props.problems.length > 0}>
      <section class="problem-list" aria-label={props.title}>
        <h2>{props.title}</h2>
        <ol>
          <For each={ordered()}>
            {(p) => (
              <li data-danger={p.danger ? '' : undefined}>
                <p>
                  <Show when={p.danger}>
                    <strong class="problem-danger">{t('cautions.refused')}. </strong>
                  </Show>
                  <Show when={p.where !== ''}>
                    <span class="problem-where">{said(p.where)}: </span>
                  </Show>
                  <Said text={p.what} />
                </p>
                <p class="problem-todo">
                  {t('problems.todo', { what: said(p.todo) })}
                  <Show when={p.span}>
                    {(span) => (
                      <>
                        {' '}
                        <Show when={props.onPlace} fallback={<span>({t('problems.place', { line: span().line })})</span>}>
                          {(lead) => (
                            <button type="button" class="plain" onClick={() => lead()(span().line, span().column)}>
                              {t('problems.place', { line: span().line })}
                            </button>
                          )}
                        </Show>
                      </>
                    )}
                  </Show>
                </p>
              </li>
            )}
          </For>
        </ol>
      </section>
    </Show>
  )
}
