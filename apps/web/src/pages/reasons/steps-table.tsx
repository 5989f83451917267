/** Equations with rate laws, constants, grades and sources, of the steps of this run. */
import type { Step } from '@beakertide/core/mechanism'
import { createSignal, For, Show } from '../../framework.ts'
import { equationText, powerText, unitText } from '../../parts/chemical-words.ts'
import { gradeWords } from '../../parts/grades.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import { rateLaw } from './rate-laws.ts'
import { stepsThatMatter, type Told } from './three-depths.ts'

export function StepsTable(props: { readonly told: Told }) {
  const [all, setAll] = createSignal(false)
  const matter = () => stepsThatMatter(props.told.along)
  const steps = (): readonly Step[] => props.told.mechanism.steps.filter((s) => all() || matter().has(s.id))
  const cited = (): readonly string[] => [...new Set(steps().flatMap((s) => s.constants.flatMap((c) => c.sources)))]
  const citation = (key: string): string => {
    const source = props.told.mechanism.sources[key]
    return source ? `${source.cite}${source.doi ? `, doi ${source.doi}` : ''} (${source.access})` : key
  }
  return (
    <div class="steps">
      <Show when={steps().length < props.told.mechanism.steps.length || all()}>
        <label class="all-steps">
          <input type="checkbox" checked={all()} onChange={(e) => setAll(e.currentTarget.checked)} />
          {t('reasons.allSteps', {
            shown: props.told.mechanism.steps.filter((s) => matter().has(s.id)).length,
            of: props.told.mechanism.steps.length,
          })}
        </label>
      </Show>
      <div class="wide" role="region" tabindex="0" aria-label={t('reasons.depthEquations')}>
        <table>
          <thead>
            <tr>
              <th>{t('reasons.step')}</th>
              <th>{t('reasons.equation')}</th>
              <th>{t('reasons.law')}</th>
              <th>{t('reasons.constants')}</th>
            </tr>
          </thead>
          <tbody>
            <For each={steps()}>
              {(s) => (
                <tr>
                  <th scope="row">{s.id}</th>
                  <td>
                    <span class="equation">{equationText(s.equation, props.told.charges)}</span>
                    <Show when={s.lumped}>
                      <span class="quiet note">
                        {t('reasons.lumped')} {said(s.lumped ?? '')}
                      </span>
                    </Show>
                  </td>
                  <td class="equation">{rateLaw(s, props.told.charges)}</td>
                  <td>
                    <For each={s.constants}>
                      {(c) => (
                        <div class="constant">
                          <span class="equation">
                            {c.name} = {powerText(c.value, (v) => formatNumber(v, 3))}
                            {c.unit === '1' ? '' : ` ${unitText(c.unit)}`}
                            {c.activationKJPerMol === null ? '' : `, Eₐ ${formatNumber(c.activationKJPerMol, 3)} kJ/mol`}
                          </span>{' '}
                          <span class="quiet">
                            {gradeWords(c.status, c.seen)}
                            {c.sources.length > 0 ? ` [${c.sources.map((k) => cited().indexOf(k) + 1).join(', ')}]` : ''}
                          </span>
                        </div>
                      )}
                    </For>
                  </td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </div>
      <h3>{t('reasons.sources')}</h3>
      <ol class="sources">
        <For each={cited()}>{(key) => <li lang="en">{citation(key)}</li>}</For>
      </ol>
    </div>
  )
}
