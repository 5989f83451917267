/** One time through all panels: a line that is dragged, wheeled, pinched or moved by keys, and the buttons of the clock. */
import { createSignal, createUniqueId, For, type JSX, onCleanup, onMount, Show } from '../framework.ts'
import { t } from '../words/index.ts'
import { formatClock } from '../words/numbers.ts'
import { timeToX, xToTime } from './paint.ts'
import { SPEEDS, stageKey, type TimeStage } from './time-stage.ts'
import { spokenTime } from './times.ts'
import './time-cursor.css'

/** How often words that follow the time are renewed while it plays, ms. */
const WORDS_EVERY_MS = 200

/** The stage's time as a signal for words: renewed a few times a second while it plays, at once when set by hand. */
export function stageSignal(stage: TimeStage): () => number {
  const [nowS, setNowS] = createSignal(stage.nowS, { equals: false })
  let last = 0
  let late: ReturnType<typeof setTimeout> | null = null
  const end = stage.subscribe(() => {
    const ms = performance.now()
    if (ms - last >= WORDS_EVERY_MS) {
      last = ms
      setNowS(stage.nowS)
    } else {
      late ??= setTimeout(() => {
        late = null
        last = performance.now()
        setNowS(stage.nowS)
      }, WORDS_EVERY_MS)
    }
  })
  onCleanup(() => {
    end()
    if (late !== null) clearTimeout(late)
  })
  return nowS
}

export interface TimePanelsProps {
  readonly stage: TimeStage
  readonly gutterPx: () => number
  /** What is there at the present time, in words. */
  readonly now: () => string
  readonly label: string
  /** All that the panels show, in words: what lies inside of a slider is not read to anybody. */
  readonly inWords: () => string
  readonly children: JSX.Element
}

/** A wheel notch zooms by this factor. */
const NOTCH = 1.2

/** Panels with a common time axis. The whole is one slider for keyboard and screen reader. */
export function TimePanels(props: TimePanelsProps) {
  let host!: HTMLDivElement
  let line!: HTMLDivElement
  const words = stageSignal(props.stage)
  const id = createUniqueId()
  onMount(() => {
    const { stage } = props
    // Read when it changes, not at every frame: reading it makes the browser lay out the page.
    let hostPx = host.clientWidth
    const width = (): number => hostPx - props.gutterPx() - 1
    let isHidden = false
    const draw = (): void => {
      const x = timeToX(stage.nowS, stage.window, props.gutterPx(), width())
      line.style.transform = `translateX(${x}px)`
      const isOutside = stage.nowS < stage.window.fromS || stage.nowS > stage.window.toS
      if (isOutside !== isHidden) line.hidden = isHidden = isOutside
    }
    const end = stage.subscribe(draw)
    const timeOf = (clientX: number): number =>
      xToTime(clientX - host.getBoundingClientRect().left, stage.window, props.gutterPx(), width())
    const hands = new Map<number, number>()
    let pinch: { readonly distance: number } | null = null
    const down = (e: PointerEvent): void => {
      if (e.button !== 0) return
      hands.set(e.pointerId, e.clientX)
      if (hands.size === 1 && !e.shiftKey) stage.seek(timeOf(e.clientX))
      host.setPointerCapture(e.pointerId)
    }
    const move = (e: PointerEvent): void => {
      const before = hands.get(e.pointerId)
      if (before === undefined) return
      hands.set(e.pointerId, e.clientX)
      if (hands.size === 2) {
        const [a, b] = [...hands.values()] as [number, number]
        const distance = Math.max(20, Math.abs(a - b))
        const middle = timeOf((a + b) / 2)
        if (pinch) stage.zoom(pinch.distance / distance, middle)
        pinch = { distance }
        return
      }
      if (e.shiftKey) stage.pan(((before - e.clientX) / width()) * (stage.window.toS - stage.window.fromS))
      else stage.seek(timeOf(e.clientX))
    }
    const up = (e: PointerEvent): void => {
      hands.delete(e.pointerId)
      pinch = null
    }
    const wheel = (e: WheelEvent): void => {
      const sideways = Math.abs(e.deltaX) > Math.abs(e.deltaY)
      if (!e.ctrlKey && !e.shiftKey && !sideways) return
      e.preventDefault()
      const length = stage.window.toS - stage.window.fromS
      if (sideways || (e.shiftKey && !e.ctrlKey)) stage.pan(((sideways ? e.deltaX : e.deltaY) / width()) * length)
      else stage.zoom(e.deltaY > 0 ? NOTCH : 1 / NOTCH, timeOf(e.clientX))
    }
    const key = (e: KeyboardEvent): void => {
      if (e.ctrlKey || e.altKey || e.metaKey || !stageKey(stage, e.key, e.shiftKey)) return
      e.preventDefault()
      e.stopPropagation()
    }
    host.addEventListener('pointerdown', down)
    host.addEventListener('pointermove', move)
    host.addEventListener('pointerup', up)
    host.addEventListener('pointercancel', up)
    host.addEventListener('wheel', wheel, { passive: false })
    host.addEventListener('keydown', key)
    const size = new ResizeObserver(() => {
      hostPx = host.clientWidth
      stage.touch()
    })
    size.observe(host)
    onCleanup(() => {
      size.disconnect()
      end()
    })
  })
  return (
    <>
      <p class="unseen" id={id}>
        {props.inWords()}
      </p>
      <div
        ref={(element) => (host = element)}
        class="time-panels"
        role="slider"
        tabindex="0"
        aria-label={props.label}
        aria-describedby={id}
        aria-valuemin={Math.round(props.stage.span.fromS)}
        aria-valuemax={(words(), Math.round(props.stage.span.toS))}
        aria-valuenow={Math.round(words())}
        aria-valuetext={`${spokenTime(words())}: ${props.now()}`}
      >
        {props.children}
        <div ref={(element) => (line = element)} class="time-line" aria-hidden="true" />
      </div>
    </>
  )
}

/** Whoever asks for little motion sees the course by hand; it plays only when Play is pressed, and the page says so. */
const LITTLE_MOTION = matchMedia('(prefers-reduced-motion: reduce)')

/** Play, speed, where we are, and the zoom buttons. */
export function Transport(props: { readonly stage: TimeStage; readonly now: () => string; readonly startS: () => number }) {
  const nowS = stageSignal(props.stage)
  const isPlaying = (): boolean => (nowS(), props.stage.isPlaying)
  const [speed, setSpeed] = createSignal(props.stage.speed)
  const zoomed = (): boolean => {
    nowS()
    return props.stage.window.toS - props.stage.window.fromS < props.stage.span.toS - props.stage.span.fromS - 1e-6
  }
  return (
    <div class="transport">
      <button
        type="button"
        class="main play"
        onClick={() => {
          if (props.stage.isPlaying) props.stage.pause()
          else props.stage.play()
        }}
      >
        {isPlaying() ? t('rehearsal.pause') : t('rehearsal.play')}
      </button>
      <label class="speed">
        <span>{t('rehearsal.speed')}</span>
        <select
          onChange={(e) => {
            setSpeed(Number(e.currentTarget.value))
            props.stage.setSpeed(speed())
          }}
        >
          <For each={SPEEDS}>
            {(s) => (
              <option value={s} selected={s === speed()}>
                × {s}
              </option>
            )}
          </For>
        </select>
      </label>
      <output class="clock" aria-live="off">
        <strong>{formatClock(nowS())}</strong>
        <span class="quiet"> / {formatClock((nowS(), props.stage.span.toS))}</span>
      </output>
      <span class="now-colour">{props.now()}</span>
      <Show when={LITTLE_MOTION.matches}>
        <span class="still quiet">{t('rehearsal.stillUntilPlay')}</span>
      </Show>
      <span class="zoom" role="group" aria-label={t('rehearsal.zoom')}>
        <button type="button" onClick={() => props.stage.zoom(0.5, props.stage.nowS)}>
          {t('rehearsal.closer')}
        </button>
        <button type="button" disabled={!zoomed()} onClick={() => props.stage.zoom(2, props.stage.nowS)}>
          {t('rehearsal.wider')}
        </button>
        <button
          type="button"
          disabled={!zoomed()}
          onClick={() => props.stage.pan(-(props.stage.window.toS - props.stage.window.fromS) / 2)}
        >
          {t('rehearsal.earlier')}
        </button>
        <button type="button" disabled={!zoomed()} onClick={() => props.stage.pan((props.stage.window.toS - props.stage.window.fromS) / 2)}>
          {t('rehearsal.later')}
        </button>
        <button type="button" disabled={!zoomed()} onClick={() => props.stage.showWindow(props.stage.span)}>
          {t('rehearsal.whole')}
        </button>
      </span>
    </div>
  )
}
