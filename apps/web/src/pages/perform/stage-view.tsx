/** The stage: dark, in letters that are read from three metres, for gloves and for the space bar. Nothing on it flashes. */
import type { DangerLine } from '@beakertide/core/papers'
import type { Vessel } from '@beakertide/core/mixture'
import { createEffect, createMemo, createSignal, For, onCleanup, onMount, Show } from '../../framework.ts'
import { light } from '../../shell/settings.ts'
import { colourWord } from '../../parts/colour-words.ts'
import { lateness, type RunRecord } from '../../store/run-record.ts'
import { said, t } from '../../words/index.ts'
import { formatClock, formatNumber } from '../../words/numbers.ts'
import { phaseOf } from './phase.ts'
import { keepAwake } from './keep-awake.ts'

export interface StageViewProps {
  readonly vessel: Vessel
  /** Grave and met on the stage: these stand first. */
  readonly met: readonly DangerLine[]
  readonly others: readonly DangerLine[]
  readonly run: RunRecord | null
  /** Colour of the liquid after a predicted turn, for the patch beside its name. */
  readonly colourAfter: (turn: number) => string | null
  onStart(): void
  onChange(run: RunRecord): void
  onStop(): void
  onLeave(): void
}

/** How often the clock is set, ms: below a tenth of a second nobody reads it. */
const TICK_MS = 100
/** Two presses closer than this are one hand, ms. */
const BOUNCE_MS = 150
/** A pour is called when it is due this soon, s. */
const CALLED_BEFORE_S = 15
/** Cautions that stand open over the clock. */
const HEADED = 2

export function StageView(props: StageViewProps) {
  let dialog: HTMLDialogElement | undefined
  let noteField: HTMLInputElement | undefined
  const [nowMs, setNowMs] = createSignal(Date.now())
  const [isStopping, setStopping] = createSignal(false)
  const [noteAt, setNoteAt] = createSignal<number | null>(null)
  const [isDim, setDim] = createSignal(light() === 'dim')
  const [isFull, setFull] = createSignal(false)
  const awake = keepAwake()

  const all = () => [...props.met, ...props.others]
  const nowS = (): number => (props.run ? Math.max(0, (nowMs() - props.run.startedAt) / 1000) : 0)
  const lateS = (): number => {
    const { run } = props
    return run
      ? lateness(
          props.vessel.pours.map((p) => p.atS),
          run.pouredS,
          run.predicted.startS,
        )
      : 0
  }
  const phase = createMemo(() => phaseOf(props.run?.predicted.turns ?? [], props.run?.turnsSeenS ?? [], lateS()))
  const next = () => phase().coming[0] ?? null
  const duePours = createMemo(() =>
    props.vessel.pours.map((pour, at) => ({ pour, at, pouredS: props.run?.pouredS[at] })).filter((p) => p.pouredS === undefined),
  )
  const nextPour = () => (props.run ? (duePours()[0] ?? null) : null)
  const firstPours = createMemo(() => props.vessel.pours.filter((p) => p.atS === Math.min(...props.vessel.pours.map((q) => q.atS))))

  let lastPress = Number.NEGATIVE_INFINITY
  const seen = (): void => {
    const { run } = props
    const now = Date.now()
    if (!run || now - lastPress < BOUNCE_MS) return
    lastPress = now
    setNowMs(now)
    props.onChange({ ...run, turnsSeenS: [...run.turnsSeenS, (now - run.startedAt) / 1000] })
  }
  const start = (): void => {
    lastPress = Date.now()
    props.onStart()
  }
  const takeBack = (): void => {
    const { run } = props
    if (run) props.onChange({ ...run, turnsSeenS: run.turnsSeenS.slice(0, -1) })
  }
  const poured = (at: number): void => {
    const { run } = props
    if (run) props.onChange({ ...run, pouredS: { ...run.pouredS, [at]: nowS() } })
  }
  const keepNote = (): void => {
    const { run } = props
    const text = noteField?.value.trim() ?? ''
    const atS = noteAt()
    if (run && text !== '' && atS !== null) props.onChange({ ...run, notes: [...run.notes, { atS, text }] })
    setNoteAt(null)
  }
  const stop = (): void => {
    setStopping(false)
    props.onStop()
  }
  const fill = (): void => {
    if (document.fullscreenElement) void document.exitFullscreen()
    else void document.documentElement.requestFullscreen().catch(() => setFull(false))
  }
  const key = (e: KeyboardEvent): void => {
    const isTyping = e.target instanceof HTMLInputElement
    if (isTyping || e.ctrlKey || e.metaKey || e.altKey) return
    if (e.key === ' ' && !e.repeat) {
      // A button that has the focus must not be pressed as well.
      e.preventDefault()
      if (isStopping()) return
      if (props.run) seen()
      else start()
    } else if (e.key === 'Escape') e.preventDefault()
    else if (e.key === 'Backspace') takeBack()
    else if (e.key === 'n' && props.run) {
      e.preventDefault()
      setNoteAt(nowS())
    }
  }

  /** Browsers press a focused button when the space bar comes up again. */
  const keyUp = (e: KeyboardEvent): void => {
    if (e.key === ' ' && !(e.target instanceof HTMLInputElement)) e.preventDefault()
  }

  onMount(() => {
    dialog?.showModal()
    const ticking = setInterval(() => setNowMs(Date.now()), TICK_MS)
    const watchFull = (): void => void setFull(document.fullscreenElement !== null)
    document.addEventListener('fullscreenchange', watchFull)
    // On the window: the focus may be on a key that has just gone.
    addEventListener('keydown', key)
    addEventListener('keyup', keyUp)
    onCleanup(() => {
      clearInterval(ticking)
      document.removeEventListener('fullscreenchange', watchFull)
      removeEventListener('keydown', key)
      removeEventListener('keyup', keyUp)
      if (document.fullscreenElement) void document.exitFullscreen()
    })
  })
  createEffect(() => {
    if (noteAt() !== null) noteField?.focus()
  })

  const untilNext = (): string => {
    const n = next()
    if (!n) return ''
    const left = n.timeS - nowS()
    if (left >= 0.5) return t('perform.nextIn', { clock: formatClock(left) })
    return left > -1 ? t('perform.anyMoment') : t('perform.overdueBy', { clock: formatClock(-left) })
  }
  const isCounting = (): boolean => (next()?.timeS ?? 0) - nowS() >= 0.5
  const bandWords = (): string => {
    const n = next()
    if (!n || n.lowS === null || n.highS === null) return ''
    if (nowS() > n.highS) return t('perform.laterThanBand')
    return t('perform.between', { low: formatClock(n.lowS), high: formatClock(n.highS) })
  }
  const pace = (): string => {
    const percent = 100 * Math.abs(phase().stretch - 1)
    if (phase().pairs.length < 3) return ''
    if (percent < 2) return t('perform.onPace')
    const slower = phase().stretch > 1 ? t('perform.slower') : t('perform.faster')
    return t('perform.pace', { percent: formatNumber(percent, 2), slower })
  }
  const turnOf = (k: number) => props.run?.predicted.turns[k]

  return (
    <dialog
      ref={(e) => (dialog = e)}
      class="stage"
      data-dim={isDim() ? '' : undefined}
      aria-label={t('perform.stageName')}
      onCancel={(e) => e.preventDefault()}
      onClose={() => props.onLeave()}
    >
      <div class="stage-danger" role="note">
        <For each={props.met.slice(0, HEADED)}>
          {(line) => (
            <p>
              <b>{said(line.about)}:</b> {said(line.what)} {said(line.instead)}
            </p>
          )}
        </For>
        <Show when={all().length > 0}>
          <details>
            <summary>{t('perform.cautionsAll', { n: all().length })}</summary>
            <ul>
              <For each={all()}>
                {(line) => (
                  <li>
                    <b>{said(line.about)}:</b> {said(line.what)} {said(line.instead)}
                  </li>
                )}
              </For>
            </ul>
          </details>
        </Show>
      </div>
      <Show
        when={props.run}
        fallback={
          <button type="button" class="stage-start" autofocus onClick={start}>
            <span class="stage-start-words">{t('perform.start')}</span>
            <span class="stage-pours">
              <For each={firstPours()}>
                {(p) => (
                  <span>
                    {formatNumber(p.volumeL * 1000, 4)} mL {p.solution}
                  </span>
                )}
              </For>
            </span>
            <kbd>{t('perform.startKey')}</kbd>
          </button>
        }
      >
        <div class="stage-clock" role="timer" aria-label={t('perform.clock')}>
          {formatClock(nowS())}
        </div>
        <div class="stage-next">
          <Show when={next()} fallback={<p class="stage-what">{t('perform.nothingMore')}</p>}>
            {(n) => (
              <>
                <p class="stage-what">
                  <span class="stage-quiet">{t('perform.next')}</span>
                  <Show when={props.colourAfter(n().turn)}>
                    {(hex) => <span class="stage-patch" style={{ 'background-color': hex() }} aria-hidden="true" />}
                  </Show>
                  <span>
                    {colourWord(turnOf(n().turn)?.from ?? '')} → <b>{colourWord(turnOf(n().turn)?.to ?? '')}</b>
                  </span>
                </p>
                <p class="stage-in" data-words={isCounting() ? undefined : ''}>
                  {untilNext()}
                </p>
                <p class="stage-band">{bandWords()}</p>
              </>
            )}
          </Show>
          <p class="stage-pace">{pace()}</p>
        </div>
        <Show when={nextPour()}>
          {(p) => (
            <div class="stage-pour" data-due={p().pour.atS - nowS() < CALLED_BEFORE_S ? '' : undefined}>
              <p>
                <b>
                  {p().pour.atS - nowS() > 0.5 ? t('perform.pourIn', { clock: formatClock(p().pour.atS - nowS()) }) : t('perform.pourNow')}
                </b>{' '}
                {formatNumber(p().pour.volumeL * 1000, 4)} mL {p().pour.solution}
              </p>
              <button type="button" onClick={() => poured(p().at)}>
                {t('perform.poured')}
              </button>
            </div>
          )}
        </Show>
        <button type="button" class="stage-seen" ref={(e) => queueMicrotask(() => e.focus())} onClick={seen}>
          <span class="stage-seen-word">{t('perform.seen')}</span>
          <span class="stage-seen-count" aria-live="polite">
            {t('perform.seenCount', { n: props.run?.turnsSeenS.length ?? 0 })}
          </span>
          <span class="stage-hint">{t('perform.seenHint')}</span>
        </button>
      </Show>
      <div class="stage-keys">
        <Show when={props.run}>
          <button type="button" onClick={takeBack} disabled={(props.run?.turnsSeenS.length ?? 0) === 0}>
            {t('perform.takeBack')}
          </button>
          <button type="button" onClick={() => setNoteAt(nowS())}>
            {t('perform.note')}
          </button>
        </Show>
        <button type="button" onClick={() => setDim(!isDim())}>
          {isDim() ? t('perform.brighter') : t('perform.dim')}
        </button>
        <button type="button" onClick={fill}>
          {isFull() ? t('perform.unfill') : t('perform.fill')}
        </button>
        <span class="stage-foot">
          {awake() === null ? '' : awake() ? t('perform.awake') : t('perform.notAwake')} {isDim() ? t('perform.dimColours') : ''}
        </span>
        <Show
          when={props.run}
          fallback={
            <button type="button" onClick={() => props.onLeave()}>
              {t('perform.leave')}
            </button>
          }
        >
          <Show
            when={isStopping()}
            fallback={
              <button type="button" onClick={() => setStopping(true)}>
                {t('perform.stop')}
              </button>
            }
          >
            <span class="stage-sure" role="alert">
              {t('perform.stopSure')}
            </span>
            <button type="button" class="stage-strong" onClick={stop}>
              {t('perform.stopNow')}
            </button>
            <button type="button" onClick={() => setStopping(false)}>
              {t('perform.goOn')}
            </button>
          </Show>
        </Show>
      </div>
      <Show when={noteAt() !== null}>
        <form
          class="stage-note"
          method="dialog"
          onSubmit={(e) => {
            e.preventDefault()
            keepNote()
          }}
        >
          <label>
            {t('perform.noteText', { clock: formatClock(noteAt() ?? 0) })}
            <input
              ref={(e) => (noteField = e)}
              type="text"
              maxlength="300"
              autocomplete="off"
              onKeyDown={(e) => e.key === 'Escape' && setNoteAt(null)}
            />
          </label>
          <button type="submit">{t('perform.noteKeep')}</button>
        </form>
      </Show>
    </dialog>
  )
}
