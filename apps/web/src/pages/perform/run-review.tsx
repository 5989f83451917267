/** Afterwards: seen against predicted on one time axis, the difference in words, and the mistakes that would explain it. */
import type { Explanation, MistakesFound, Observation } from '@beakertide/core/rehearsal'
import { timeStep } from '@beakertide/core/papers'
import type { Desk } from '../../desk/desk.ts'
import { createMemo, createSignal, For, onCleanup, Show } from '../../framework.ts'
import { colourWord } from '../../parts/colour-words.ts'
import { ProblemLines } from '../../parts/problem-lines.tsx'
import { aboutTime } from '../../parts/times.ts'
import { observationOf, type RunRecord } from '../../store/run-record.ts'
import type { Problem } from '@beakertide/basis/problems'
import { said, t } from '../../words/index.ts'
import { formatClock } from '../../words/numbers.ts'
import { judgeRun } from './run-words.ts'

export interface RunReviewProps {
  readonly desk: Desk
  readonly run: RunRecord
  /** Planned times of the vessel's pours. */
  readonly pours: readonly number[]
  readonly when: (ms: number) => string
  onClose(): void
}

/** As wide as it will stand, so that its letters keep their size. */
const drawnWidth = (): number => Math.min(1000, Math.max(340, innerWidth - 40))
const ROW = 44
const GUTTER = 100
/** Turns listed in the table; more are in the drawing. */
const LISTED = 16
const SHOWN_EXPLANATIONS = 3
/** Distances in deviations: about 1 is the right one. */
const WELL = 1.5
const LOOSELY = 2.5

function Ticks(props: {
  readonly predictedS: readonly number[]
  readonly seenS: readonly number[]
  readonly extraS: readonly number[]
  readonly pairs: readonly (readonly [number, number])[]
  readonly toS: number
}) {
  const WIDTH = drawnWidth()
  const x = (s: number): number => GUTTER + (s / props.toS) * (WIDTH - GUTTER - 10)
  const marks = (): readonly number[] => {
    const step = timeStep(props.toS, Math.max(3, Math.floor(WIDTH / 120)))
    return Array.from({ length: Math.floor(props.toS / step) + 1 }, (_, i) => i * step)
  }
  return (
    <svg class="run-ticks" viewBox={`0 0 ${WIDTH} ${2 * ROW + 60}`} role="img" aria-label={t('perform.stripsLabel')}>
      <text x="0" y={ROW - 12}>
        {t('perform.predictedRow')}
      </text>
      <text x="0" y={2 * ROW + 12}>
        {t('perform.seenRow')}
      </text>
      <For each={props.pairs}>{([p, s]) => <line class="run-pair" x1={x(p)} y1={ROW} x2={x(s)} y2={ROW + 22} />}</For>
      <For each={props.predictedS}>{(s) => <line class="run-predicted" x1={x(s)} y1={10} x2={x(s)} y2={ROW} />}</For>
      <For each={props.seenS}>{(s) => <line class="run-seen" x1={x(s)} y1={ROW + 22} x2={x(s)} y2={2 * ROW + 16} />}</For>
      <For each={props.extraS}>{(s) => <circle class="run-extra" cx={x(s)} cy={2 * ROW + 10} r="5" />}</For>
      <line class="run-axis" x1={GUTTER} y1={2 * ROW + 26} x2={WIDTH - 10} y2={2 * ROW + 26} />
      <For each={marks()}>
        {(s) => (
          <>
            <line class="run-axis" x1={x(s)} y1={2 * ROW + 26} x2={x(s)} y2={2 * ROW + 32} />
            <text class="run-mark" x={x(s)} y={2 * ROW + 50} text-anchor="middle">
              {formatClock(s)}
            </text>
          </>
        )}
      </For>
    </svg>
  )
}

const seenWords = (o: Observation): string =>
  [
    o.firstTurnS === undefined ? '' : t('perform.obsFirst', { time: aboutTime(o.firstTurnS) }),
    o.periodS === undefined ? '' : t('perform.obsPeriod', { time: aboutTime(o.periodS) }),
    o.lengthS === undefined ? '' : t('perform.obsLength', { time: aboutTime(o.lengthS) }),
    o.nothingUntilS === undefined ? '' : t('perform.obsNothing', { time: aboutTime(o.nothingUntilS) }),
  ]
    .filter((x) => x !== '')
    .join(', ')

const fitWords = (distance: number): string =>
  distance <= WELL ? t('perform.fitsWell') : distance <= LOOSELY ? t('perform.fitsLoosely') : t('perform.fitsBadly')

function ExplanationItem(props: { readonly explanation: Explanation }) {
  return (
    <li>
      <p>
        <For each={props.explanation.mistakes.slice(0, 4)}>
          {(m, i) => (
            <>
              {i() > 0 ? ` ${t('perform.or')} ` : ''}
              <b>{said(m.words)}</b>
            </>
          )}
        </For>
        : {fitWords(props.explanation.distance)}
      </p>
      <Show when={props.explanation.checks[0]}>
        {(check) => (
          <p class="quiet">
            {t('perform.checks')}: {said(check().what)} ({t('perform.minutes', { n: check().minutes })})
          </p>
        )}
      </Show>
    </li>
  )
}

export function RunReview(props: RunReviewProps) {
  const judged = createMemo(() => judgeRun(props.run, props.pours))
  const [progress, setProgress] = createSignal<{ readonly done: number; readonly of: number } | null>(null)
  const [found, setFound] = createSignal<MistakesFound | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const seen = createMemo(() => observationOf(props.run, judged().lateS))
  let isHere = true
  onCleanup(() => {
    isHere = false
    if (progress()) void props.desk.work.cancel('mistakes')
  })
  const explain = async (): Promise<void> => {
    setFound(null)
    setProblems([])
    setProgress({ done: 0, of: 0 })
    const answer = await props.desk.work.mistakes(
      props.run.document,
      props.run.vessel,
      [seen()],
      (done, of) => isHere && setProgress({ done, of }),
    )
    if (!isHere) return
    setProgress(null)
    if (answer.ok) setFound(answer.value)
    else setProblems(answer.problems.filter((p) => p.code !== 'work/cancelled'))
  }
  const turns = () => props.run.predicted.turns
  const toS = (): number => {
    const last = Math.max(props.run.stoppedS ?? 0, props.run.turnsSeenS.at(-1) ?? 0, turns()[0]?.timeS ?? 0)
    return Math.max(10, last * 1.05)
  }
  /** Nothing seen before the first turn was due says nothing. */
  const canExplain = (): boolean => {
    const { firstTurnS, nothingUntilS } = seen()
    const due = (turns()[0]?.timeS ?? 0) - props.run.predicted.startS
    return firstTurnS !== undefined || (nothingUntilS !== undefined && nothingUntilS > due)
  }
  const explained = (f: MistakesFound): boolean => !f.none && f.asWritten === 0

  return (
    <section class="run-review" tabindex="-1" aria-labelledby="run-review">
      <h2 id="run-review">
        {t('perform.review')} <span class="quiet">{t('perform.run', { when: props.when(props.run.startedAt) })}</span>
      </h2>
      <Ticks
        predictedS={turns()
          .map((turn) => turn.timeS + judged().lateS)
          .filter((s) => s <= toS())}
        seenS={props.run.turnsSeenS}
        extraS={judged().phase.extraS}
        pairs={judged()
          .phase.pairs.map((p) => [turns()[p.turn]!.timeS + judged().lateS, p.seenS] as const)
          .filter(([p]) => p <= toS())}
        toS={toS()}
      />
      <ul class="run-sentences">
        <For each={judged().sentences}>{(s) => <li>{s}</li>}</For>
      </ul>
      <Show when={judged().phase.pairs.length > 0}>
        <table>
          <thead>
            <tr>
              <th scope="col">{t('perform.tableTurn')}</th>
              <th scope="col" class="number">
                {t('perform.tablePredicted')}
              </th>
              <th scope="col" class="number">
                {t('perform.tableSeen')}
              </th>
              <th scope="col" class="number">
                {t('perform.tableOff')}
              </th>
            </tr>
          </thead>
          <tbody>
            <For each={judged().phase.pairs.slice(0, LISTED)}>
              {(p) => {
                const turn = turns()[p.turn]!
                const at = turn.timeS + judged().lateS
                return (
                  <tr>
                    <td>
                      {colourWord(turn.from)} → {colourWord(turn.to)}
                    </td>
                    <td class="number">{formatClock(at)}</td>
                    <td class="number">{formatClock(p.seenS)}</td>
                    <td class="number">
                      {p.seenS >= at ? '+' : '−'}
                      {aboutTime(Math.abs(p.seenS - at))}
                    </td>
                  </tr>
                )
              }}
            </For>
          </tbody>
        </table>
      </Show>
      <Show when={props.run.notes.length > 0}>
        <ul>
          <For each={props.run.notes}>
            {(n) => (
              <li>
                {formatClock(n.atS)} {n.text}
              </li>
            )}
          </For>
        </ul>
      </Show>
      <div class="run-explain">
        <Show when={canExplain()}>
          <Show
            when={progress()}
            fallback={
              <button type="button" class="main" onClick={() => void explain()}>
                {t('perform.explain')}
              </button>
            }
          >
            {(p) => (
              <p class="run-working">
                <span>{t('perform.explaining', { done: p().done, of: p().of === 0 ? '…' : p().of })}</span>
                <progress max={p().of || 1} value={p().done} aria-label={t('perform.explain')} />
                <button type="button" onClick={() => void props.desk.work.cancel('mistakes')}>
                  {t('perform.cancel')}
                </button>
              </p>
            )}
          </Show>
        </Show>
        <ProblemLines problems={problems()} />
        <Show when={found()}>
          {(f) => (
            <div class="run-found">
              <p>{t('perform.explainLead', { seen: seenWords(seen()) })}</p>
              <Show when={explained(f())}>
                <p>
                  <b>{t('perform.asWrittenFits')}</b>
                </p>
              </Show>
              <Show when={f().none}>
                <p>{t('perform.noneFits')}</p>
              </Show>
              <ol>
                <For each={f().explanations.slice(0, SHOWN_EXPLANATIONS)}>{(e) => <ExplanationItem explanation={e} />}</For>
              </ol>
              <Show when={f().tests[0]}>
                {(test) => (
                  <p>
                    {t('perform.tests')}: {said(test().what)} ({said(test().first ?? '–')} / {said(test().second ?? '–')})
                  </p>
                )}
              </Show>
              <p class="quiet">{t('perform.notCovered', { what: f().notCovered.join('; ') })}</p>
            </div>
          )}
        </Show>
      </div>
      <button type="button" onClick={() => props.onClose()}>
        {t('perform.close')}
      </button>
    </section>
  )
}
