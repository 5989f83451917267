/** The band: how far a real performance may stray from the rehearsal, with its honest sentence. Computed for the recipe as written. */
import type { Problem } from '@beakertide/basis/problems'
import type { Band } from '@beakertide/core/rehearsal'
import type { Prepared } from '@beakertide/demonstration'
import { createEffect, createSignal, For, onCleanup, Show, untrack } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { ProblemList } from '../../parts/problem-list.tsx'
import { Progress } from '../../parts/progress.tsx'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import { isUnchanged } from './amounts.ts'
import type { Course } from './course.ts'
import { bandRows } from './sentences.ts'

/** Varied runs at most; they end earlier when the limits stand still. */
const RUNS = 120
const SEED = 1
/** The page rests so long before a band is begun, ms. */
const REST_MS = 1500

export interface BandPanelProps {
  readonly desk: Desk
  readonly course: Course
  readonly prepared: Prepared
  readonly vessel: string
}

export function BandPanel(props: BandPanelProps) {
  const [band, setBand] = createSignal<{ readonly band: Band; readonly of: Course } | null>(null)
  const [progress, setProgress] = createSignal<readonly [number, number] | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const [wasStopped, setWasStopped] = createSignal(false)
  let round = 0
  let rest: ReturnType<typeof setTimeout> | null = null
  const stop = (): void => {
    round++
    if (rest !== null) clearTimeout(rest)
    if (untrack(progress) !== null) {
      setProgress(null)
      void props.desk.work.cancel('band')
    }
  }
  const start = async (): Promise<void> => {
    const mine = ++round
    const course = props.course
    setWasStopped(false)
    setProblems([])
    setProgress([0, RUNS])
    const answer = await props.desk.work.band(props.desk.document(), props.vessel, RUNS, SEED, (done, of) => {
      if (mine === round) setProgress([done, of])
    })
    if (mine !== round) return
    setProgress(null)
    if (answer.ok) setBand({ band: answer.value, of: course })
    else if (answer.problems.some((p) => p.code === 'work/cancelled')) setWasStopped(true)
    else setProblems(answer.problems)
  }
  // A new document or vessel: the old band is no longer true; the new one waits until the page rests.
  createEffect(() => {
    props.desk.document()
    void props.vessel
    stop()
    setBand(null)
    rest = setTimeout(() => void start(), REST_MS)
  })
  onCleanup(stop)
  const isOfRecipe = (): boolean => isUnchanged(props.desk.changes())
  return (
    <section class="band" aria-labelledby="band-head">
      <h2 id="band-head">{t('rehearsal.band')}</h2>
      <Show when={!isOfRecipe()}>
        <p class="quiet">{t('rehearsal.bandOfRecipe')}</p>
      </Show>
      <Show when={progress()}>
        {(p) => (
          <Progress what={t('rehearsal.bandWorking')} done={p()[0]} of={p()[1]} onCancel={() => void props.desk.work.cancel('band')} />
        )}
      </Show>
      <Show when={wasStopped()}>
        <p>
          {t('rehearsal.bandStopped')}{' '}
          <button type="button" onClick={() => void start()}>
            {t('rehearsal.bandAgain')}
          </button>
        </p>
      </Show>
      <ProblemList problems={problems()} title={t('problems.title')} />
      <Show when={band()}>
        {(b) => (
          <>
            <table>
              <caption class="unseen">{t('rehearsal.band')}</caption>
              <tbody>
                <For each={bandRows(b().of, b().band)}>
                  {([, name, text]) => (
                    <tr>
                      <th scope="row">{name}</th>
                      <td>{text}</td>
                    </tr>
                  )}
                </For>
              </tbody>
            </table>
            <p class="honest">
              {t('rehearsal.bandHonest', { n: b().band.samples })}
              {b().band.stillGoingShare > 0
                ? ` ${t('rehearsal.bandGoing', { share: formatNumber(100 * b().band.stillGoingShare, 2) })}`
                : ''}
              {b().band.failed > 0 ? ` ${t('rehearsal.bandFailed', { n: b().band.failed })}` : ''}
            </p>
            <details>
              <summary>{t('rehearsal.bandModel')}</summary>
              <ul>
                <For each={b().band.model}>
                  {(m) => (
                    <li>
                      {said(m.feature)}: ÷ {formatNumber(m.factorDown, 3)} … × {formatNumber(m.factorUp, 3)}. {said(m.why)}
                    </li>
                  )}
                </For>
              </ul>
              <p class="quiet">{t('rehearsal.bandVaried', { what: b().band.varied.map(said).join(', ') })}</p>
            </details>
          </>
        )}
      </Show>
    </section>
  )
}
