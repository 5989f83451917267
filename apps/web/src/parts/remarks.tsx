/** What is worth a look, in one line until it is opened; what can hurt somebody stands open above it. */
import type { Problem } from '@beakertide/basis/problems'
import { For, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { ProblemList } from './problem-list.tsx'
import { groupedRemarks } from './remark-groups.ts'
import { Said } from './said.tsx'
import './remarks.css'

export function Remarks(props: { readonly remarks: readonly Problem[] }) {
  const dangers = () => props.remarks.filter((r) => r.danger === true)
  const groups = () => groupedRemarks(props.remarks.filter((r) => r.danger !== true))
  return (
    <>
      <ProblemList problems={dangers()} title={t('problems.remarks')} />
      <Show when={groups().length > 0}>
        <details class="remarks">
          <summary>
            {t('problems.remarks')} ({groups().length})
          </summary>
          <ul>
            <For each={groups()}>
              {(g) => (
                <li>
                  <strong>{g.where.map(said).join(', ')}:</strong> <Said text={g.what} />.{' '}
                  <span class="quiet">
                    <Said text={g.todo} />.
                  </span>
                </li>
              )}
            </For>
          </ul>
        </details>
      </Show>
    </>
  )
}
