/** Figures to keep, and a film of the show for a video maker. */
import type { Prepared } from '@beakertide/demonstration'
import { createSignal, For, onCleanup, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { networkFigure } from '../../parts/network-drawing.tsx'
import { inksOf } from '../../parts/paint.ts'
import { Progress } from '../../parts/progress.tsx'
import { spokenTime } from '../../parts/times.ts'
import { t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import type { Course } from '../rehearsal/course.ts'
import { traceTitle } from '../rehearsal/trace-titles.ts'

const SIZES = [
  { name: '1280 × 720', widthPx: 1280, heightPx: 720 },
  { name: '1920 × 1080', widthPx: 1920, heightPx: 1080 },
  { name: '1080 × 1920', widthPx: 1080, heightPx: 1920 },
] as const
const FILM_SPEEDS = [1, 2, 5, 10, 20, 30, 60] as const
const RATES = [25, 30, 50, 60] as const

export function Figures(props: { readonly desk: Desk; readonly prepared: Prepared; readonly vessel: string; readonly course: Course }) {
  const title = () => props.prepared.demonstration.title
  const figure = async (kind: 'strip' | 'traces' | 'network', as: 'svg' | 'png'): Promise<void> => {
    const figures = await import('../../parts/figures.ts')
    const name = `${title()} ${props.vessel} ${t(`reasons.figure.${kind}`)}`
    let svg: string | null = null
    if (kind === 'strip') svg = figures.stripFigure(props.course, name)
    else if (kind === 'traces') svg = figures.tracesFigure(props.course, name)
    else {
      const drawing = document.querySelector<SVGSVGElement>('.network svg')
      svg = drawing ? networkFigure(drawing) : null
    }
    if (svg === null) return
    if (as === 'svg') figures.saveSvg(svg, name)
    else await figures.savePng(svg, name)
  }
  return (
    <section aria-labelledby="figures-head" class="figures">
      <h2 id="figures-head">{t('reasons.figures')}</h2>
      <ul class="figure-list">
        <For each={['strip', 'traces', 'network'] as const}>
          {(kind) => (
            <li>
              <span>{t(`reasons.figure.${kind}`)}</span>
              <button
                type="button"
                aria-label={t('reasons.saveAs', { what: t(`reasons.figure.${kind}`), as: 'SVG' })}
                onClick={() => void figure(kind, 'svg')}
              >
                SVG
              </button>
              <button
                type="button"
                aria-label={t('reasons.saveAs', { what: t(`reasons.figure.${kind}`), as: 'PNG' })}
                onClick={() => void figure(kind, 'png')}
              >
                PNG
              </button>
            </li>
          )}
        </For>
      </ul>
      <Film {...props} />
    </section>
  )
}

function Film(props: { readonly prepared: Prepared; readonly vessel: string; readonly course: Course }) {
  const [size, setSize] = createSignal(0)
  const [speed, setSpeed] = createSignal<number>(10)
  const [rate, setRate] = createSignal<number>(30)
  const [timeCode, setTimeCode] = createSignal(true)
  const [trace, setTrace] = createSignal(0)
  const [progress, setProgress] = createSignal<readonly [number, number] | null>(null)
  const [fault, setFault] = createSignal<string | null>(null)
  const [asPictures, setAsPictures] = createSignal(false)
  let host!: HTMLDivElement
  let isCancelled = false
  onCleanup(() => {
    isCancelled = true
  })
  const lengthS = (): number => (props.course.toS - props.course.fromS) / speed()
  const make = async (): Promise<void> => {
    const { filmEnding, makeFilm, filmWay } = await import('../../parts/film.ts')
    const { saveBlob, fileName } = await import('../../parts/figures.ts')
    const { widthPx, heightPx } = SIZES[size()]!
    const options = { widthPx, heightPx, framesPerS: rate(), speed: speed(), timeCode: timeCode() }
    isCancelled = false
    setFault(null)
    const way = await filmWay(options)
    setAsPictures(way === 'pictures')
    const vessel = props.prepared.demonstration.vessels.find((v) => v.id === props.vessel)
    const shown = props.course.traces[trace()] ?? null
    setProgress([0, 0])
    try {
      const film = await makeFilm(
        way,
        {
          title: props.prepared.demonstration.title,
          vessels: vessel ? [{ vessel, strip: props.course.strip }] : [],
          chosen: props.vessel,
          course: props.course,
          trace: shown,
          traceTitle: shown ? traceTitle(shown) : '',
          span: { fromS: props.course.fromS, toS: props.course.toS },
          inks: inksOf(host),
        },
        options,
        { onFrame: (done, of) => setProgress([done, of]), isCancelled: () => isCancelled },
      )
      if (film) saveBlob(film, fileName(`${props.prepared.demonstration.title} ${props.vessel}`, filmEnding(way)))
    } catch (error) {
      setFault(t('reasons.filmFailed', { why: error instanceof Error ? error.message : String(error) }))
    } finally {
      setProgress(null)
    }
  }
  return (
    <div class="film" ref={(element) => (host = element)}>
      <h3>{t('reasons.film')}</h3>
      <p>{t('reasons.filmHint')}</p>
      <div class="film-choices">
        <label>
          {t('reasons.filmSize')}
          <select onChange={(e) => setSize(e.currentTarget.selectedIndex)}>
            <For each={SIZES}>{(s, i) => <option selected={i() === size()}>{s.name}</option>}</For>
          </select>
        </label>
        <label>
          {t('rehearsal.speed')}
          <select onChange={(e) => setSpeed(FILM_SPEEDS[e.currentTarget.selectedIndex]!)}>
            <For each={FILM_SPEEDS}>{(s) => <option selected={s === speed()}>× {s}</option>}</For>
          </select>
        </label>
        <label>
          {t('reasons.filmRate')}
          <select onChange={(e) => setRate(RATES[e.currentTarget.selectedIndex]!)}>
            <For each={RATES}>{(r) => <option selected={r === rate()}>{r}</option>}</For>
          </select>
        </label>
        <label>
          {t('reasons.filmTrace')}
          <select onChange={(e) => setTrace(e.currentTarget.selectedIndex)}>
            <For each={props.course.traces}>{(x, i) => <option selected={i() === trace()}>{traceTitle(x)}</option>}</For>
          </select>
        </label>
        <label class="check">
          <input type="checkbox" checked={timeCode()} onChange={(e) => setTimeCode(e.currentTarget.checked)} />
          {t('reasons.filmCode')}
        </label>
      </div>
      <p class="quiet">
        {t('reasons.filmLength', { time: spokenTime(lengthS()), frames: formatNumber(Math.ceil(lengthS() * rate()), 6) })}
      </p>
      <button type="button" class="main" disabled={progress() !== null} onClick={() => void make()}>
        {t('reasons.filmMake')}
      </button>
      <p role="status" class="quiet">
        {asPictures() ? t('reasons.filmAsPictures') : ''}
      </p>
      <Show when={progress()}>
        {(p) => (
          <Progress
            what={t('reasons.filmWorking')}
            done={p()[0]}
            of={p()[1]}
            onCancel={() => {
              isCancelled = true
            }}
          />
        )}
      </Show>
      <Show when={fault()}>
        <p role="alert">{fault()}</p>
      </Show>
    </div>
  )
}
