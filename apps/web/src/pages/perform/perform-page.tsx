/** Perform: cautions first, the table checked, the stage, and the runs that were stored. */
import { AUDIENCE_DISTANCE_M } from '@beakertide/core/cautions'
import { type DangerLine, turnSpans } from '@beakertide/core/papers'
import type { Desk } from '../../desk/desk.ts'
import { createEffect, createMemo, createSignal, For, onCleanup, Show, untrack } from '../../framework.ts'
import { createClearingDangers } from '../../parts/clearing-danger.ts'
import { colourWord } from '../../parts/colour-words.ts'
import { createCourse } from '../../parts/course.ts'
import { ProblemLines } from '../../parts/problem-lines.tsx'
import { readRunRecord, type RunRecord } from '../../store/run-record.ts'
import { showRecords } from '../../store/shown-records.ts'
import { collection } from '../../store/store.ts'
import { VesselChoice } from '../../parts/vessel-choice.tsx'
import { t } from '../../words/index.ts'
import { formatClock, formatFixed, formatNumber, numbersOf } from '../../words/numbers.ts'
import { isGrave } from '../../desk/grave.ts'
import { hashOf } from '../../shell/route.ts'
import { linesRead, ReadCautions } from './read-cautions.tsx'
import { RunReview } from './run-review.tsx'
import { StageView } from './stage-view.tsx'
import './perform-page.css'

const KELVIN = 273.15
/** A clock left running is taken up again within this time, ms. */
const STILL_RUNNING_MS = 6 * 3_600_000

const whenWords = (ms: number): string => new Date(ms).toLocaleString(numbersOf(), { dateStyle: 'medium', timeStyle: 'short' })

export function PerformPage(props: { readonly desk: Desk }) {
  const { desk } = props
  const prepared = () => desk.day()?.prepared ?? null
  const vessel = () => prepared()?.demonstration.vessels.find((v) => v.id === desk.vessel()) ?? prepared()?.demonstration.vessels[0] ?? null
  const cautions = () => prepared()?.cautions ?? null
  const danger = () => desk.day()?.danger ?? []
  const course = createCourse(desk, () => prepared() !== null)
  // After the course: the stage waits for it, and one worker answers both.
  const isCourseDone = createMemo(() => course.rehearsal() !== null || course.problems().length > 0)
  const clearing = createClearingDangers(
    desk,
    createMemo(() => (isCourseDone() ? (vessel()?.id ?? null) : null)),
  )
  const clearingLines = createMemo(() => {
    const known = clearing()
    return known.how === 'known' ? known.lines : []
  })

  const [readKey, setReadKey] = createSignal<string | null>(null)
  /** Every line that was there to be read, those of clearing up afterwards too. */
  const toRead = createMemo(() => linesRead([...danger(), ...clearingLines()]))
  const keyNow = createMemo(() => JSON.stringify([desk.key(), clearing().how, toRead()]))
  const areRead = (): boolean => cautions() !== null && readKey() === keyNow()

  const [ticked, setTicked] = createSignal<ReadonlySet<string>>(new Set())
  const [isOnStage, setOnStage] = createSignal(false)
  const [run, setRun] = createSignal<RunRecord | null>(null)
  const [allRuns, setAllRuns] = createSignal<readonly RunRecord[]>([])
  const runs = showRecords(collection<RunRecord>('runs'), readRunRecord, setAllRuns)
  onCleanup(runs.stop)
  /** Of this demonstration, newest first. */
  const stored = createMemo(() =>
    allRuns()
      .filter((r) => r.of === desk.key())
      .sort((a, b) => b.startedAt - a.startedAt),
  )
  const [isKept, setKept] = createSignal(true)
  const [opened, setOpened] = createSignal<RunRecord | null>(null)
  const [deleting, setDeleting] = createSignal<string | null>(null)

  /** A clock that was going when the page was left or the browser died. */
  const running = (): RunRecord | null =>
    run() ?? stored().find((r) => r.stoppedS === null && r.vessel === vessel()?.id && Date.now() - r.startedAt < STILL_RUNNING_MS) ?? null

  const keep = (next: RunRecord): void => {
    setRun(next)
    void runs.put(next).then(setKept)
  }
  /** What the stage counts down to; with the band as soon as it is there. */
  const predicted = createMemo((): RunRecord['predicted'] | null => {
    const rehearsal = course.rehearsal()
    if (!rehearsal) return null
    const spans = turnSpans({ ...rehearsal, band: course.band() })
    return {
      startS: rehearsal.startS,
      periodS: rehearsal.periodsS[0] ?? null,
      turns: rehearsal.turns.map((turn, i) => ({
        timeS: turn.timeS,
        lowS: spans[i]?.lowS ?? null,
        highS: spans[i]?.highS ?? null,
        from: turn.from,
        to: turn.to,
      })),
    }
  })
  // The clock may have been started before the course or its band were ready.
  createEffect(() => {
    const now = predicted()
    const going = untrack(run)
    if (now && going?.stoppedS === null && going.document.text === untrack(desk.document).text) keep({ ...going, predicted: now })
  })
  const start = (): void => {
    const v = vessel()
    const c = cautions()
    if (!v || !c || !areRead() || c.refused) return
    const firstS = Math.min(...v.pours.map((p) => p.atS))
    const startedAt = Date.now() - 1000 * firstS
    keep({
      id: `run-${startedAt}-${crypto.randomUUID().slice(0, 8)}`,
      version: 1,
      of: desk.key() ?? '',
      title: prepared()?.demonstration.title ?? '',
      vessel: v.id,
      document: desk.document(),
      startedAt,
      stoppedS: null,
      pouredS: Object.fromEntries(v.pours.flatMap((p, at) => (p.atS === firstS ? [[at, firstS] as const] : []))),
      turnsSeenS: [],
      notes: [],
      cautionsRead: toRead(),
      predicted: predicted() ?? { startS: firstS, periodS: null, turns: [] },
    })
  }
  /** The stage goes with the focus in it; reading goes on where it came from, or at what came of it. */
  const focusOn = (place: '.go-on-stage' | '.run-review'): void =>
    queueMicrotask(() => document.querySelector<HTMLElement>(`.perform-page ${place}`)?.focus())
  const leave = (): void => {
    setOnStage(false)
    focusOn('.go-on-stage')
  }
  const stop = (): void => {
    const r = run()
    if (!r) return
    const done = { ...r, stoppedS: (Date.now() - r.startedAt) / 1000 }
    keep(done)
    setRun(null)
    setOnStage(false)
    setOpened(done)
    focusOn('.run-review')
  }
  const onStage = (): void => {
    const still = running()
    if (still) setRun(still)
    setOpened(null)
    setOnStage(true)
  }
  const remove = async (id: string): Promise<void> => {
    setDeleting(null)
    await runs.remove(id)
    if (opened()?.id === id) setOpened(null)
  }

  /** Colour of the liquid half way to the turn after. */
  const colourAfter = (turn: number): string | null => {
    const rehearsal = course.rehearsal()
    const at = rehearsal?.turns[turn]?.timeS
    if (!rehearsal || at === undefined) return null
    const after = rehearsal.turns[turn + 1]?.timeS ?? at + 10
    const middle = (at + after) / 2
    return rehearsal.strip.findLast((s) => s.timeS <= middle)?.hex ?? null
  }
  const items = createMemo((): readonly { readonly key: string; readonly text: string }[] => {
    const v = vessel()
    const p = prepared()
    if (!v || !p) return []
    const volume = (l: number): string => (l >= 1 ? `${formatNumber(l, 4)} L` : `${formatNumber(1000 * l, 4)} mL`)
    const holds = v.capacityL === null ? '' : t('perform.checkHolds', { volume: volume(v.capacityL) })
    return [
      { key: 'goggles', text: t('perform.checkGoggles') },
      {
        key: 'audience',
        text:
          // Written too near, the row is to be moved: its distance is nothing to be checked against.
          p.demonstration.room.audienceM === undefined || danger().some((l) => l.about === 'audience')
            ? t('perform.checkAudience', { least: AUDIENCE_DISTANCE_M })
            : t('perform.checkAudienceAt', { metres: formatNumber(p.demonstration.room.audienceM, 3), least: AUDIENCE_DISTANCE_M }),
      },
      { key: 'vessel', text: t('perform.checkVessel', { vessel: v.id, holds }) },
      ...v.pours.map((pour, i) => ({
        key: `pour ${i}`,
        text: t('perform.checkPour', { volume: volume(pour.volumeL), solution: pour.solution, clock: formatClock(pour.atS) }),
      })),
      { key: 'temperature', text: t('perform.checkTemperature', { celsius: formatFixed(p.demonstration.room.temperatureK - KELVIN, 1) }) },
      { key: 'clearing', text: t('perform.checkClearing') },
    ]
  })
  const tick = (key: string, on: boolean): void => {
    const next = new Set(ticked())
    if (on) next.add(key)
    else next.delete(key)
    setTicked(next)
  }
  const pours = (): readonly number[] => vessel()?.pours.map((p) => p.atS) ?? []
  /** What can happen on stage; bottles stay in the store. */
  const isMetOnStage = (l: DangerLine): boolean => isGrave(l) && !/^bottle |^the bottles /.test(l.about)
  const first = createMemo(() => {
    const rehearsal = course.rehearsal()
    return rehearsal ? (turnSpans({ ...rehearsal, band: course.band() })[0] ?? null) : null
  })

  return (
    <article class="perform-page">
      <h1>{t('perform.title')}</h1>
      <Show when={prepared()} fallback={<p class="empty">{t('perform.noDay')}</p>}>
        {(p) => (
          <>
            <p class="lead">{t('perform.lead')}</p>
            <Show when={opened()}>
              {(r) => (
                <>
                  <p role="status" class={isKept() ? 'quiet' : 'not-kept'}>
                    {isKept() ? t('perform.stored') : t('perform.notStored')}
                  </p>
                  <RunReview desk={desk} run={r()} pours={pours()} when={whenWords} onClose={() => setOpened(null)} />
                </>
              )}
            </Show>
            <ReadCautions
              lines={danger()}
              standing={p().cautions.standing}
              clearing={clearing()}
              isRefused={p().cautions.refused}
              areRead={areRead()}
              onRead={(on) => setReadKey(on ? keyNow() : null)}
            />
            <Show when={!p().cautions.refused}>
              <section class="stand-ready" aria-labelledby="stand-ready">
                <h2 id="stand-ready">{t('perform.checklist')}</h2>
                <VesselChoice desk={desk} class="choose-vessel" label={t('perform.vessel')} />
                <ul class="checks">
                  <For each={items()}>
                    {(item) => (
                      <li>
                        <label class="big-check">
                          <input
                            type="checkbox"
                            checked={ticked().has(item.key)}
                            onChange={(e) => tick(item.key, e.currentTarget.checked)}
                          />
                          <span>{item.text}</span>
                        </label>
                      </li>
                    )}
                  </For>
                </ul>
                <p class="quiet">
                  <a href={hashOf({ stop: 'clearing', key: desk.key() })}>{t('perform.toClearing')}</a>
                </p>
                <p class="quiet" role="status">
                  {t('perform.checked', { done: items().filter((i) => ticked().has(i.key)).length, of: items().length })}
                </p>
              </section>
              <section class="go-on" aria-labelledby="go-on">
                <h2 id="go-on">{t('perform.stage')}</h2>
                <Show
                  when={course.rehearsal()}
                  fallback={<p role="status">{course.problems().length === 0 ? t('perform.predicting') : ''}</p>}
                >
                  {(r) => (
                    <p>
                      <Show when={r().turns[0]} fallback={t('perform.noTurns')}>
                        {(turn) => (
                          <>
                            {t('perform.firstAt', {
                              clock: formatClock(turn().timeS),
                              from: colourWord(turn().from),
                              to: colourWord(turn().to),
                            })}
                            <Show when={first()?.lowS != null && first()}>
                              {(s) => <> ({t('perform.between', { low: formatClock(s().lowS!), high: formatClock(s().highS!) })})</>}
                            </Show>
                            , {t('perform.countTurns', { n: r().turns.length })}.
                          </>
                        )}
                      </Show>
                    </p>
                  )}
                </Show>
                <ProblemLines problems={course.problems()} />
                <Show when={course.progress()}>
                  {(b) => (
                    <p class="run-working">
                      <span>{t('perform.band', { done: b().done, of: b().of })}</span>
                      <progress max={b().of} value={b().done} aria-label={t('perform.predicted')} />
                      <button type="button" onClick={() => course.skipBand()}>
                        {t('perform.bandSkip')}
                      </button>
                    </p>
                  )}
                </Show>
                <button type="button" class="main go-on-stage" disabled={!areRead()} aria-describedby="go-why" onClick={onStage}>
                  {running() ? t('perform.resume') : t('perform.goOnStage')}
                </button>
                <p id="go-why" class="quiet">
                  {areRead() ? t('perform.ackDone') : t('perform.ackNeeded')}
                </p>
              </section>
            </Show>
            <section class="earlier-runs" aria-labelledby="earlier-runs">
              <h2 id="earlier-runs">{t('perform.earlierRuns')}</h2>
              <Show when={stored().length > 0} fallback={<p class="empty">{t('perform.noRuns')}</p>}>
                <ul>
                  <For each={stored()}>
                    {(r) => (
                      <li>
                        <span>{t('perform.run', { when: whenWords(r.startedAt) })}</span>
                        <span class="quiet">
                          {r.vessel}, {t('perform.runSeen', { n: r.turnsSeenS.length })}
                          {r.stoppedS === null ? `, ${t('perform.stillRunning')}` : ''}
                        </span>
                        <Show
                          when={deleting() === r.id}
                          fallback={
                            <>
                              <button type="button" onClick={() => setOpened(r)}>
                                {t('perform.runOpen')}
                              </button>
                              <button type="button" class="plain" onClick={() => setDeleting(r.id)}>
                                {t('perform.runDelete')}
                              </button>
                            </>
                          }
                        >
                          <span>{t('perform.runDeleteSure')}</span>
                          <button type="button" class="danger" onClick={() => void remove(r.id)}>
                            {t('perform.runDeleteNow')}
                          </button>
                          <button type="button" onClick={() => setDeleting(null)}>
                            {t('perform.keep')}
                          </button>
                        </Show>
                      </li>
                    )}
                  </For>
                </ul>
              </Show>
            </section>
            <Show when={isOnStage() && vessel()}>
              {(v) => (
                <StageView
                  vessel={v()}
                  met={danger().filter(isMetOnStage)}
                  others={danger().filter((l) => !isMetOnStage(l))}
                  run={run()}
                  colourAfter={colourAfter}
                  onStart={start}
                  onChange={keep}
                  onStop={stop}
                  onLeave={leave}
                />
              )}
            </Show>
          </>
        )}
      </Show>
    </article>
  )
}
