/** What the show answers to: how times move with ten per cent more of each ingredient, a kelvin more, and each constant. */
import type { Problem } from '@beakertide/basis/problems'
import type { Sensitivity } from '@beakertide/core/rehearsal'
import type { Prepared } from '@beakertide/demonstration'
import { createEffect, createSignal, For, onCleanup, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { ProblemList } from '../../parts/problem-list.tsx'
import { Progress } from '../../parts/progress.tsx'
import { said, t } from '../../words/index.ts'
import { formatFixed, formatNumber } from '../../words/numbers.ts'
import { amountKnobs } from '../rehearsal/amounts.ts'
import { changeInPercent } from './change-in-percent.ts'

export function AnswersTo(props: { readonly desk: Desk; readonly vessel: string; readonly prepared: Prepared }) {
  const [constants, setConstants] = createSignal(false)
  const [progress, setProgress] = createSignal<readonly [number, number] | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const [found, setFound] = createSignal<{ readonly rows: readonly Sensitivity[]; readonly method: string } | null>(null)
  let round = 0
  const start = async (): Promise<void> => {
    const mine = ++round
    setProblems([])
    setFound(null)
    setProgress([0, 0])
    const answer = await props.desk.work.answersTo(props.desk.document(), props.vessel, constants(), (done, of) => {
      if (mine === round) setProgress([done, of])
    })
    if (mine !== round) return
    setProgress(null)
    if (answer.ok) setFound(answer.value)
    else setProblems(answer.problems.filter((p) => p.code !== 'work/cancelled'))
  }
  const stop = (): void => {
    round++
    if (progress() !== null) void props.desk.work.cancel('answersTo')
    setProgress(null)
  }
  createEffect(() => {
    props.desk.document()
    void props.vessel
    setFound(null)
  })
  onCleanup(stop)
  const words = (row: Sensitivity): string => {
    if (row.kind === 'temperature') return t('reasons.oneKelvin')
    if (row.kind === 'constant') return t('reasons.moreConstant', { name: row.of })
    const knob = amountKnobs(props.prepared, props.vessel).find((k) => k.key === row.of)
    return t('reasons.moreOf', { what: knob ? said(knob.substance) : row.of, solution: knob?.solution ?? '' })
  }
  const sorted = (): readonly Sensitivity[] => [...(found()?.rows ?? [])].sort((a, b) => strength(b) - strength(a))
  const largest = (): number => Math.max(1, ...sorted().map(strength))
  return (
    <section aria-labelledby="answers-head" class="answers">
      <h2 id="answers-head">{t('reasons.answersTo')}</h2>
      <p>{t('reasons.answersHint')}</p>
      <div class="answers-tools">
        <button type="button" class="main" disabled={progress() !== null} onClick={() => void start()}>
          {t('reasons.answersStart')}
        </button>
        <label>
          <input type="checkbox" checked={constants()} onChange={(e) => setConstants(e.currentTarget.checked)} />
          {t('reasons.answersConstants')}
        </label>
      </div>
      <Show when={progress()}>{(p) => <Progress what={t('reasons.answersWorking')} done={p()[0]} of={p()[1]} onCancel={stop} />}</Show>
      <ProblemList problems={problems()} title={t('problems.title')} />
      <Show when={found()}>
        {(f) => (
          <>
            <div class="wide" role="region" tabindex="0" aria-label={t('reasons.answersTo')}>
              <table>
                <thead>
                  <tr>
                    <th>{t('reasons.changed')}</th>
                    <th class="number">{t('rehearsal.bandFirst')}</th>
                    <th class="number">{t('rehearsal.bandPeriod')}</th>
                    <th class="number">{t('rehearsal.bandLength')}</th>
                    <th class="number">{t('rehearsal.bandCycles')}</th>
                    <th>
                      <span class="unseen">{t('reasons.strength')}</span>
                    </th>
                  </tr>
                </thead>
                <tbody>
                  <For each={sorted()}>
                    {(row) => (
                      <tr>
                        <th scope="row">{words(row)}</th>
                        <td class="number">{percent(changeInPercent(row, 'firstTurn'))}</td>
                        <td class="number">{percent(changeInPercent(row, 'period'))}</td>
                        <td class="number">{percent(changeInPercent(row, 'length'))}</td>
                        <td class="number">{row.cyclesForTenPercent === null ? '–' : signed(row.cyclesForTenPercent, 0)}</td>
                        <td aria-hidden="true">
                          <div class="bar-room">
                            <span class="bar" style={{ width: `${(100 * strength(row)) / largest()}%` }} />
                          </div>
                        </td>
                      </tr>
                    )}
                  </For>
                </tbody>
              </table>
            </div>
            <p class="quiet">{said(f().method.split(';')[0] ?? '')}.</p>
          </>
        )}
      </Show>
    </section>
  )
}

const strength = (row: Sensitivity): number =>
  Math.max(...(['firstTurn', 'period', 'length'] as const).map((key) => Math.abs(changeInPercent(row, key) ?? 0)))
const signed = (v: number, decimals: number): string => `${v > 0 ? '+' : ''}${formatFixed(v, decimals)}`
const percent = (v: number | null): string => (v === null ? '–' : Math.abs(v) < 0.05 ? '0 %' : `${v > 0 ? '+' : ''}${formatNumber(v, 2)} %`)
