/** Clearing: when, with what, under which limits; the steps as cards with live numbers; where each part goes. */
import type { Problem } from '@beakertide/basis/problems'
import type { Band } from '@beakertide/core/rehearsal'
import type { ClearingPlan, ClearingStep, ReductantId, Stream } from '@beakertide/core/clearing'
import type { Desk } from '../../desk/desk.ts'
import { VesselChoice } from '../../parts/vessel-choice.tsx'
import { createEffect, createMemo, createSignal, createUniqueId, For, Index, onCleanup, Show } from '../../framework.ts'
import { AgainTimer } from '../../parts/again-timer.tsx'
import { createBands } from '../../parts/bands.ts'
import { CautionBlock } from '../../parts/caution-lines.tsx'
import { clearingDanger } from '../../parts/clearing-danger.ts'
import { createLatestWins } from '../../parts/latest-wins.ts'
import { ProblemLines } from '../../parts/problem-lines.tsx'
import { ClearTicks, createTicks } from '../../parts/ticks.tsx'
import { TreatmentCard } from '../../parts/treatment-card.tsx'
import { tickKey } from '../../store/ticks-record.ts'
import type { Answer, ClearWish, DocumentText } from '../../work/contract.ts'
import { said, t, type WordKey } from '../../words/index.ts'
import { formatClock, formatNumber, parseNumber } from '../../words/numbers.ts'
import { createPlaces, PlaceSection } from './place-section.tsx'
import { WaysTable } from './ways-table.tsx'
import './clearing-page.css'

type When = 'any' | 'finished' | 'stopped'
const RECHECK_MINUTES = 30
/** The liquid stays under this while it is reduced, unless somebody wants it cooler or allows more, °C. */
const USUAL_HOTTEST = 40
const GOES: readonly (readonly [Stream['goes'], WordKey])[] = [
  ['solid waste', 'clearing.goes.solid'],
  ['collect as liquid', 'clearing.goes.liquid'],
  ['only if your local authority allows', 'clearing.goes.drain'],
]

interface Asked {
  readonly document: DocumentText
  readonly wish: ClearWish
}

export function ClearingPage(props: { readonly desk: Desk }) {
  const { desk } = props
  const id = createUniqueId()
  const prepared = () => desk.day()?.prepared ?? null
  const places = createPlaces()
  const [when, setWhen] = createSignal<When>('any')
  const [stopS, setStopS] = createSignal<number | null>(null)
  const [reductant, setReductant] = createSignal<ReductantId | null>(null)
  const [hottest, setHottest] = createSignal<number | null>(null)
  const [hottestFault, setHottestFault] = createSignal(false)
  const [plan, setPlan] = createSignal<ClearingPlan | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const [isWorking, setWorking] = createSignal(false)
  const ticks = createTicks(desk)

  const vessel = createMemo(() => {
    const vessels = prepared()?.demonstration.vessels ?? []
    return vessels.find((v) => v.id === desk.vessel()) ?? vessels[0] ?? null
  })
  /** When the whole mixture stands there: after the last pour, to the end of the rehearsed time. */
  const span = createMemo(() => {
    const v = vessel()
    const last = v ? Math.max(...v.pours.map((p) => p.atS)) : 0
    return { fromS: last, toS: last + (prepared()?.demonstration.rehearseS ?? 0) }
  })
  const stopAt = (): number => Math.min(span().toS, Math.max(span().fromS, stopS() ?? span().fromS + (span().toS - span().fromS) / 4))

  const asking = createLatestWins<Asked, Answer<ClearingPlan>>(
    (asked) => desk.work.clear(asked.document, asked.wish),
    (answer, asked) => {
      setWorking(asking.isBusy)
      setPlan(answer.ok ? answer.value : null)
      if (answer.ok) desk.knowClearing(asked.document, asked.wish.vessel, clearingDanger(answer.value))
      setProblems(answer.ok ? [] : answer.problems)
    },
    () => setWorking(false),
  )
  onCleanup(() => asking.drop())
  // The band of the vessel: a chosen moment may find the liquid as far as its slowest or its fastest run.
  const bands = createBands(desk.work, () => {
    const v = vessel()
    return v && when() !== 'any' ? { document: desk.document(), vessels: [v.id] } : null
  })
  const band = (): Band | null => bands.byVessel()[vessel()?.id ?? ''] ?? null
  createEffect(() => {
    const v = vessel()
    if (!v || !prepared()) {
      setPlan(null)
      return
    }
    setWorking(true)
    asking.ask({
      document: desk.document(),
      wish: {
        vessel: v.id,
        anyTime: when() === 'any',
        stopAtS: when() === 'stopped' ? stopAt() : null,
        reductant: reductant(),
        hottestCelsius: hottest(),
        band: band(),
        place: places.inForce()?.place ?? null,
      },
    })
  })

  const steps = createMemo(() => [...(plan()?.steps ?? [])].sort((a, b) => a.order - b.order))
  const keyOf = (order: number): string => `${desk.key()} ${vessel()?.id} ${order}`
  /** Ticks of this vessel, apart from those of others. */
  const groups = (): string => `clearing/${vessel()?.id ?? ''}\n`
  const tickOf = (s: ClearingStep): string =>
    tickKey(`clearing/${vessel()?.id ?? ''}`, [s.what, s.substance ?? '', JSON.stringify(s.massG ?? null)])
  const typedHottest = (text: string): void => {
    const read = parseNumber(text)
    setHottestFault(!read.ok && read.why !== 'empty')
    if (read.ok) setHottest(read.value)
    else if (read.why === 'empty') setHottest(null)
  }
  const streamsTo = (goes: Stream['goes']): readonly Stream[] => plan()?.streams.filter((s) => s.goes === goes) ?? []

  return (
    <article class="clearing-page">
      <h1>{t('clearing.title')}</h1>
      <Show when={prepared()} fallback={<p class="empty">{t('clearing.noDay')}</p>}>
        <>
          <p class="lead">{t('clearing.lead')}</p>
          <Show when={plan()}>
            {(now) => (
              <p class="clearing-rule" role="note">
                <b>{t('clearing.rule')}.</b> {said(now().localRule)}
              </p>
            )}
          </Show>
          <form class="clearing-wish" onSubmit={(e) => e.preventDefault()}>
            <VesselChoice desk={desk} class="clearing-field" label={t('clearing.vessel')} />
            <fieldset>
              <legend>{t('clearing.when')}</legend>
              <For each={['any', 'finished', 'stopped'] as const}>
                {(w) => (
                  <label class="way">
                    <input type="radio" name={`${id}-when`} checked={when() === w} onChange={() => setWhen(w)} />
                    {w === 'any'
                      ? t('clearing.whenAny')
                      : w === 'finished'
                        ? t('clearing.whenFinished', { clock: formatClock(span().toS) })
                        : t('clearing.whenStopped')}
                  </label>
                )}
              </For>
              <Show when={when() === 'stopped'}>
                <label class="clearing-stop">
                  <span>
                    {t('clearing.stopAt')}{' '}
                    <output class="clearing-clock" aria-live="off">
                      {formatClock(stopAt())}
                    </output>
                  </span>
                  <input
                    type="range"
                    min={span().fromS}
                    max={span().toS}
                    step="1"
                    value={stopAt()}
                    aria-valuetext={formatClock(stopAt())}
                    onInput={(e) => setStopS(Number(e.currentTarget.value))}
                  />
                </label>
              </Show>
            </fieldset>
            <label class="clearing-field">
              {t('clearing.hottest')}
              <span>
                <input
                  type="text"
                  inputmode="decimal"
                  size="5"
                  value={formatNumber(hottest() ?? USUAL_HOTTEST, 3)}
                  aria-invalid={hottestFault() ? 'true' : undefined}
                  onChange={(e) => typedHottest(e.currentTarget.value)}
                />{' '}
                {t('clearing.hottestUnit')}
              </span>
              <Show when={hottestFault()}>
                <span role="alert" class="fault">
                  {t('clearing.notANumber')}
                </span>
              </Show>
            </label>
          </form>
          <p role="status" class="clearing-status">
            {isWorking() && !plan() ? t('clearing.working') : ''}
          </p>
          <Show when={when() !== 'any'}>
            <p class="quiet clearing-band">
              <Show when={bands.progress()} fallback={band() ? t('clearing.withBand') : ''}>
                {(b) => t('clearing.bandWorking', { done: b().done, of: b().of })}
              </Show>
            </p>
          </Show>
          <ProblemLines problems={problems()} />
          <Show when={plan()}>
            {(now) => (
              <>
                <CautionBlock title={t('clearing.dangers')} lines={clearingDanger(now())} note={t('clearing.dangersNote')} />
                <p class="quiet">{t('clearing.cases', { cases: [...new Set(now().cases)].map(said).join('; ') })}</p>
                <Show when={now().harmless}>{(text) => <p class="clearing-harmless">{said(text())}</p>}</Show>
                <section aria-labelledby={`${id}-streams`}>
                  <h2 id={`${id}-streams`}>{t('clearing.streams')}</h2>
                  <div class="streams">
                    <For each={GOES}>
                      {([goes, key]) => (
                        <div class="stream" data-goes={goes}>
                          <h3>{t(key)}</h3>
                          <Show when={streamsTo(goes).length > 0} fallback={<p class="quiet">{t('clearing.goes.none')}</p>}>
                            <For each={streamsTo(goes)}>
                              {(s) => (
                                <div>
                                  <p>
                                    <b>{said(s.name)}</b>, {said(s.amount)}
                                  </p>
                                  <p class="quiet">{said(s.what)}</p>
                                </div>
                              )}
                            </For>
                          </Show>
                        </div>
                      )}
                    </For>
                  </div>
                </section>
                <Show when={now().alternatives.length > 0}>
                  <section aria-labelledby={`${id}-ways`}>
                    <h2 id={`${id}-ways`}>{t('clearing.options')}</h2>
                    <p>{t('clearing.optionsLead')}</p>
                    <WaysTable ways={now().alternatives} wanted={reductant()} onTake={setReductant} />
                  </section>
                </Show>
                <section aria-labelledby={`${id}-steps`}>
                  <h2 id={`${id}-steps`}>
                    {t('clearing.steps')}{' '}
                    <span class="quiet">
                      {t('clearing.stepsDone', { done: steps().filter((s) => ticks.isDone(tickOf(s))).length, of: steps().length })}
                    </span>
                  </h2>
                  <p>
                    <ClearTicks ticks={ticks} groups={groups()} />
                  </p>
                  <ol class="treatment">
                    <Index each={steps()}>
                      {(s) => (
                        <TreatmentCard
                          step={s()}
                          name={keyOf(s().order)}
                          isDone={ticks.isDone(tickOf(s()))}
                          onDone={(on) => ticks.set(tickOf(s()), on)}
                        />
                      )}
                    </Index>
                  </ol>
                  <div class="look-again">
                    <p>
                      <b>{t('clearing.again')}.</b> {t('clearing.againWhy')}
                    </p>
                    <AgainTimer name={keyOf(0)} minutes={RECHECK_MINUTES} />
                  </div>
                </section>
              </>
            )}
          </Show>
          <PlaceSection places={places} plan={plan()} />
        </>
      </Show>
    </article>
  )
}
