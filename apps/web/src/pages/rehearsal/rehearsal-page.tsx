/** Rehearsal: the predicted liquid in its vessels, its strip and traces on one time axis, and everything that can be turned. */
import type { Carpet, Trace } from '@beakertide/core/rehearsal'
import type { Mechanism } from '@beakertide/core/mechanism'
import type { Prepared } from '@beakertide/demonstration'
import { createEffect, createMemo, createSignal, For, Index, onCleanup, Show, untrack } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { AimForm } from '../../parts/aim-form.tsx'
import { sampleAt } from '../../parts/colour-at.ts'
import { colourWord } from '../../parts/colour-words.ts'
import { modelGradeWords } from '../../parts/grades.ts'
import { lettersOf } from '../../parts/paint.ts'
import { ProblemList } from '../../parts/problem-list.tsx'
import { SeenMarks } from '../../parts/seen-marks.tsx'
import { Strip } from '../../parts/strip.tsx'
import { stripWords } from '../../parts/strip-words.ts'
import { stageSignal, TimePanels, Transport } from '../../parts/time-cursor.tsx'
import { browserFrames, createTimeStage, type TimeStage } from '../../parts/time-stage.ts'
import { spokenTime } from '../../parts/times.ts'
import { TimeAxis, type TraceName, Traces } from '../../parts/traces.tsx'
import { varyChoices } from '../../parts/vary-choices.ts'
import { VesselDrawing } from '../../parts/vessel-drawing.tsx'
import type { DrawnVessel } from '../../parts/vessel-paint.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import { type Changes, noChanges } from '../../work/contract.ts'
import { amountKnobs, editsOf, roomCelsius } from './amounts.ts'
import { BandPanel } from './band-panel.tsx'
import { type Course, type Courses, createCourses } from './course.ts'
import { Knobs } from './knobs.tsx'
import { type LaidSeries, laidSeries, ownName, seenTimes, spanWith } from './laid.ts'
import { createMeasured, takeDrops } from './measured.ts'
import { MeasuredSection } from './measured-section.tsx'
import { NothingYet } from './nothing-yet.tsx'
import { MistakesForm } from './mistakes-form.tsx'
import { courseLines, differences } from './sentences.ts'
import { traceTitle } from './trace-titles.ts'
import { CarpetSection, CoastSection } from './variations.tsx'
import './rehearsal-page.css'

const STRIP_PX = 58
const PINNED_PX = 26
const MINI_PX = 26
const NOTHING_LAID: readonly LaidSeries[] = []
const GUTTER_PX = 56
const NARROW_GUTTER_PX = 40

/** Room for the scales: narrower on a phone, wider for larger letters. */
function gutterSignal(): { readonly gutter: () => number; readonly isNarrow: () => boolean } {
  const narrow = matchMedia('(max-width: 56rem)')
  const [isNarrow, setNarrow] = createSignal(narrow.matches)
  const [letters, setLetters] = createSignal(lettersOf(document.documentElement))
  const change = (): void => {
    setNarrow(narrow.matches)
    setLetters(lettersOf(document.documentElement))
  }
  addEventListener('resize', change)
  onCleanup(() => removeEventListener('resize', change))
  return { gutter: () => (isNarrow() ? NARROW_GUTTER_PX : GUTTER_PX) * letters(), isNarrow }
}

export function RehearsalPage(props: { readonly desk: Desk }) {
  const prepared = createMemo(() => props.desk.day()?.prepared ?? null)
  return (
    <div class="rehearsal">
      <Show when={prepared()} fallback={<NothingYet desk={props.desk} title={t('rehearsal.title')} />}>
        {(p) => (
          <Show when={props.desk.vessel()} fallback={<p>{t('rehearsal.noVessel')}</p>}>
            {(vessel) => <Rehearsing desk={props.desk} prepared={p()} vessel={vessel()} />}
          </Show>
        )}
      </Show>
    </div>
  )
}

function Rehearsing(props: { readonly desk: Desk; readonly prepared: Prepared; readonly vessel: string }) {
  const { desk } = props
  const stage = createTimeStage(browserFrames)
  onCleanup(() => stage.end())
  const courses = createCourses(desk, stage)
  const { gutter, isNarrow } = gutterSignal()
  const nowS = stageSignal(stage)
  const [pinned, setPinned] = createSignal<Course | null>(null)
  const mechanism = () => props.prepared.mechanism
  const vessels = () => props.prepared.demonstration.vessels
  const chosen = () => vessels().find((v) => v.id === props.vessel)
  const current = (): Course | null => courses.of(props.vessel)
  const drawnVessels = (): readonly DrawnVessel[] => {
    const depthCm = desk.changes().depthCm
    return vessels().map((v) => ({
      vessel: depthCm !== null && v.id === props.vessel ? { ...v, depthCm } : v,
      strip: courses.of(v.id)?.strip ?? null,
    }))
  }
  // The document's own depth is looked through; a held one changes the colour, and the drawing with it.
  const nowWords = (): string => {
    const c = courses.shown()
    const sample = c ? sampleAt(c.strip, nowS()) : null
    return sample ? colourWord(sample.name) : ''
  }
  const inWords = createMemo((): string => {
    const c = courses.shown()
    return c ? `${t('rehearsal.stripLabel', { vessel: props.vessel })}: ${stripWords(c)}` : ''
  })
  const traceNames = createMemo(
    () => (courses.shown()?.traces ?? []).map((x) => ({ name: x.name, unit: x.unit, title: traceTitle(x) })),
    [],
    { equals: (a, b) => a.length === b.length && a.every((x, i) => x.name === b[i]!.name && x.title === b[i]!.title) },
  )
  const measured = createMeasured(desk, traceNames, () => courses.shown() ?? { fromS: 0, toS: 0, startS: 0 })
  takeDrops(measured)
  /** The newest course that nothing newer is awaited for: what is compared can wait until a drag rests. */
  const calm = createMemo<Course | null>((before) => {
    const now = courses.shown()
    return courses.isBehind() && before !== null && now !== null ? before : now
  }, null)
  const laid = createMemo(() => laidSeries(measured.all(), traceNames()))
  const inBand = createMemo(() => {
    const bands = new Map<string, readonly LaidSeries[]>()
    for (const line of laid()) bands.set(line.band, [...(bands.get(line.band) ?? []), line])
    return bands
  })
  const legend = (band: string) =>
    (inBand().get(band) ?? []).map(({ mark, of, at }) => ({
      mark,
      words: t('rehearsal.measuredLine', { name: `${of.record.series[at]!.name} (${of.record.name})` }),
    }))
  /** Predicted traces, then those that were only measured. */
  const bandNames = createMemo((): readonly TraceName[] => [
    ...traceNames(),
    ...laid()
      .filter((l) => l.band === ownName(l.of.record, l.at))
      .map((l) => {
        const { name, unit } = l.of.record.series[l.at]!
        return { name: l.band, unit, title: name, isOwn: true }
      }),
  ])
  const seen = createMemo(() =>
    measured.all().flatMap((m) => {
      const timesS = seenTimes(m)
      return timesS ? [{ id: m.record.id, name: m.record.name, timesS }] : []
    }),
  )
  createEffect(() => {
    const course = courses.shown()
    if (course) stage.setSpan(spanWith(course, measured.all()))
    pinned()
    stage.touch()
  })
  const knobs = createMemo(() => amountKnobs(props.prepared, props.vessel))
  const choices = createMemo(() => varyChoices(knobs(), { temperature: t('rehearsal.temperature'), depth: t('rehearsal.depth') }))
  const aimChoices = createMemo(() => varyChoices(knobs(), { temperature: t('rehearsal.temperature') }))
  const write = (changes: Changes, label: string): void => {
    desk.edit(editsOf(changes, props.prepared, props.vessel), label)
    desk.change(noChanges)
  }
  let top!: HTMLDivElement
  const showOnSliders = (changes: Changes): void => {
    desk.change(changes)
    top.scrollIntoView({ block: 'start' })
    top.focus({ preventScroll: true })
  }
  const isRefused = (): boolean => courses.refusal().length > 0
  return (
    <>
      <div class="rehearsal-head" ref={(element) => (top = element)} tabindex="-1">
        <h1>{t('rehearsal.title')}</h1>
        <Show when={vessels().length > 1}>
          <fieldset class="vessel-choice">
            <legend class="unseen">{t('rehearsal.vessel')}</legend>
            <For each={vessels()}>
              {(v) => (
                <label>
                  <input type="radio" name="vessel" checked={v.id === props.vessel} onChange={() => desk.chooseVessel(v.id)} />
                  {v.id}
                </label>
              )}
            </For>
          </fieldset>
        </Show>
        <Grade mechanism={mechanism()} />
      </div>
      <div class="rehearsal-bench">
        <div class="scene">
          <Show
            when={!isRefused()}
            fallback={
              <ProblemList
                problems={courses.refusal()}
                title={courses.refusal().some((p) => p.danger) ? t('rehearsal.refusedChange') : t('rehearsal.cannotChange')}
              />
            }
          >
            <VesselDrawing
              stage={stage}
              vessels={drawnVessels}
              chosen={() => props.vessel}
              label={t('rehearsal.drawingLabel', { vessel: props.vessel, colour: nowWords(), time: spokenTime(nowS()) })}
            />
            {/* Beside the sliders on a narrow screen, where the large strip is out of sight. */}
            <Show when={isNarrow()}>
              <Strip
                stage={stage}
                course={current}
                label={t('rehearsal.stripLabel', { vessel: props.vessel })}
                heightPx={MINI_PX}
                gutterPx={() => 1}
                names={false}
              />
            </Show>
            <p class="scene-note quiet">
              {t('rehearsal.drawnAs', { depth: formatNumber(desk.changes().depthCm ?? chosen()?.depthCm ?? 0, 3) })}
            </p>
          </Show>
        </div>
        <Knobs desk={desk} prepared={props.prepared} vessel={props.vessel} danger={courses.danger()} />
      </div>
      <Show when={!isRefused()}>
        <section
          class="time"
          aria-label={t('rehearsal.timeSection')}
          aria-busy={courses.isBehind()}
          data-fine={courses.shown()?.isFine ? '' : undefined}
        >
          <Transport stage={stage} now={nowWords} startS={() => courses.shown()?.startS ?? 0} />
          <TimePanels stage={stage} gutterPx={gutter} now={nowWords} label={t('rehearsal.timeLabel')} inWords={inWords}>
            <Show when={pinned()}>
              {(p) => (
                <>
                  <p class="pinned-name" style={{ 'padding-left': `${gutter()}px` }}>
                    {t('rehearsal.pinnedStrip')}
                  </p>
                  <Strip stage={stage} course={p} label={t('rehearsal.pinnedStrip')} heightPx={PINNED_PX} gutterPx={gutter} names={false} />
                  <p class="pinned-name" style={{ 'padding-left': `${gutter()}px` }}>
                    {t('rehearsal.nowStrip')}
                  </p>
                </>
              )}
            </Show>
            <Strip
              stage={stage}
              course={current}
              label={t('rehearsal.stripLabel', { vessel: props.vessel })}
              heightPx={STRIP_PX}
              gutterPx={gutter}
            />
            <For each={seen()}>
              {(row) => (
                <>
                  <p class="pinned-name" style={{ 'padding-left': `${gutter()}px` }}>
                    {t('rehearsal.seenRow', { name: row.name })}
                  </p>
                  <SeenMarks
                    stage={stage}
                    timesS={() => row.timesS}
                    label={t('rehearsal.seenRowLabel', { name: row.name, n: row.timesS.length })}
                    gutterPx={gutter}
                  />
                </>
              )}
            </For>
            <Traces
              stage={stage}
              names={bandNames()}
              traces={() => current()?.traces ?? []}
              measured={(name) => untrack(inBand).get(name) ?? NOTHING_LAID}
              legend={legend}
              gutterPx={gutter}
            />
            <TimeAxis stage={stage} gutterPx={gutter} />
          </TimePanels>
          <p class="keys-hint quiet">{t('rehearsal.keys')}</p>
        </section>
        <Show when={courses.shown()}>
          {(c) => (
            <div class="rehearsal-words">
              <section aria-labelledby="course-head">
                <h2 id="course-head">{t('rehearsal.course')}</h2>
                <CourseWords course={c()} mechanism={mechanism()} />
                <div class="pin">
                  <button type="button" onClick={() => setPinned(pinned() === null ? c() : null)}>
                    {pinned() === null ? t('rehearsal.pin') : t('rehearsal.unpin')}
                  </button>
                  <Show when={pinned()}>{(p) => <Compared pinned={p()} now={c()} />}</Show>
                </div>
                <Tables course={c()} stage={stage} />
              </section>
              <BandPanel desk={desk} course={c()} prepared={props.prepared} vessel={props.vessel} />
            </div>
          )}
        </Show>
        <Show when={calm()}>
          {(c) => (
            <MeasuredSection
              measured={measured}
              course={c()}
              traces={traceNames()}
              laid={laid()}
              span={spanWith(c(), measured.all())}
              nowS={nowS}
              vessel={props.vessel}
            />
          )}
        </Show>
      </Show>
      <section class="variation" aria-labelledby="aim-head">
        <h2 id="aim-head">{t('rehearsal.aim')}</h2>
        <AimForm desk={desk} choices={aimChoices()} onTry={showOnSliders} onWrite={write} />
      </section>
      <CarpetSection
        desk={desk}
        choices={choices()}
        present={(what) => (what === 'temperature' ? roomCelsius(props.prepared) : (chosen()?.depthCm ?? 1))}
        onOpen={showOnSliders}
        onPicture={(carpet) => void saveCarpet(carpet)}
      />
      <CoastSection
        desk={desk}
        choices={choices()}
        present={(what) => (what === 'temperature' ? roomCelsius(props.prepared) : (chosen()?.depthCm ?? 1))}
        onOpen={showOnSliders}
        onPicture={(carpet) => void saveCarpet(carpet)}
      />
      <MistakesForm desk={desk} />
      <Delays courses={courses} />
    </>
  )
}

async function saveCarpet(carpet: Carpet): Promise<void> {
  const { carpetFigure, saveSvg } = await import('../../parts/figures.ts')
  saveSvg(carpetFigure(carpet), `carpet-${carpet.varied}`)
}

/** Which model, how well it is known, and what it gets wrong in general. */
function Grade(props: { readonly mechanism: Mechanism }) {
  const general = () => props.mechanism.faults.filter((f) => f.feature === 'range' || f.feature === 'other')
  return (
    <div class="grade">
      <p>
        {said(props.mechanism.title)}. <strong>{modelGradeWords(props.mechanism.grade)}</strong>
      </p>
      <Show when={general().length > 0}>
        <details>
          <summary>{t('rehearsal.faultsGeneral', { n: general().length })}</summary>
          <ul>
            <For each={general()}>{(f) => <li>{said(f.text)}</li>}</For>
          </ul>
        </details>
      </Show>
    </div>
  )
}

/** Sentences of the course, each with the known faults of the model beside it. */
function CourseWords(props: { readonly course: Course; readonly mechanism: Mechanism }) {
  const faultsOf = (feature: string) =>
    props.mechanism.faults.filter((f) => f.feature === feature || (feature === 'period' && f.feature === 'cycles'))
  const lines = createMemo(() => courseLines(props.course))
  const colourFaults = () => props.mechanism.faults.filter((f) => f.feature === 'colour')
  return (
    <ul class="course-words">
      {/* By place, so that a drag changes texts and no elements. */}
      <Index each={lines()}>
        {(line) => (
          <li>
            {line().text}
            <For each={faultsOf(line().feature)}>{(f) => <Fault text={f.text} />}</For>
          </li>
        )}
      </Index>
      <Show when={colourFaults().length > 0}>
        <li>
          {t('rehearsal.colours')}
          <For each={colourFaults()}>{(f) => <Fault text={f.text} />}</For>
        </li>
      </Show>
    </ul>
  )
}

const Fault = (props: { readonly text: string }) => (
  <span class="fault">
    <strong>{t('rehearsal.fault')}</strong> {said(props.text)}
  </span>
)

function Compared(props: { readonly pinned: Course; readonly now: Course }) {
  const lines = () => differences(props.pinned, props.now)
  return (
    <ul class="compared" aria-label={t('rehearsal.compared')}>
      <For each={lines()} fallback={<li>{t('rehearsal.noDifference')}</li>}>
        {(line) => <li>{line}</li>}
      </For>
    </ul>
  )
}

/** Turns and traces as tables, made only while they are open. */
function Tables(props: { readonly course: Course; readonly stage: TimeStage }) {
  const [turns, setTurns] = createSignal(false)
  const [traces, setTraces] = createSignal(false)
  const times = (): readonly number[] => {
    const { startS, toS } = props.course
    return Array.from({ length: 13 }, (_, i) => startS + ((toS - startS) * i) / 12)
  }
  return (
    <>
      <details onToggle={(e) => setTurns(e.currentTarget.open)}>
        <summary>{t('rehearsal.turnsTable', { n: props.course.turns.length })}</summary>
        <Show when={turns()}>
          <table>
            <thead>
              <tr>
                <th class="number">{t('rehearsal.clock')}</th>
                <th>{t('rehearsal.fromColour')}</th>
                <th>{t('rehearsal.toColour')}</th>
                <th class="number">ΔE₀₀</th>
              </tr>
            </thead>
            <tbody>
              <For each={props.course.turns}>
                {(turn) => (
                  <tr>
                    <td class="number">
                      <button type="button" class="plain" onClick={() => props.stage.seek(turn.timeS)}>
                        {spokenTime(turn.timeS)}
                      </button>
                    </td>
                    <td>{colourWord(turn.from)}</td>
                    <td>{colourWord(turn.to)}</td>
                    <td class="number">{formatNumber(turn.deltaE, 2)}</td>
                  </tr>
                )}
              </For>
            </tbody>
          </table>
        </Show>
      </details>
      <details onToggle={(e) => setTraces(e.currentTarget.open)}>
        <summary>{t('rehearsal.tracesTable')}</summary>
        <Show when={traces()}>
          <div class="wide" role="region" tabindex="0" aria-label={t('rehearsal.tracesTable')}>
            <table>
              <thead>
                <tr>
                  <th class="number">{t('rehearsal.clock')}</th>
                  <For each={props.course.traces}>
                    {(x) => (
                      <th class="number">
                        {traceTitle(x)}
                        {x.unit === '' ? '' : `, ${said(x.unit)}`}
                      </th>
                    )}
                  </For>
                </tr>
              </thead>
              <tbody>
                <For each={times()}>
                  {(time) => (
                    <tr>
                      <td class="number">{spokenTime(time)}</td>
                      <For each={props.course.traces}>{(x) => <td class="number">{valueText(x, time)}</td>}</For>
                    </tr>
                  )}
                </For>
              </tbody>
            </table>
          </div>
          <ul>
            <For each={props.course.traces.filter((x) => x.note)}>
              {(x) => (
                <li class="quiet">
                  {traceTitle(x)}: {said(x.note ?? '')}.
                </li>
              )}
            </For>
          </ul>
        </Show>
      </details>
    </>
  )
}

function valueText(trace: Trace, timeS: number): string {
  let k = 0
  while (k + 1 < trace.timesS.length && trace.timesS[k + 1]! <= timeS) k++
  const v = trace.values[k]
  return v === undefined ? '' : formatNumber(v, 4)
}

/** For the bench: how long the last answers took, readable by a measuring script only. */
function Delays(props: { readonly courses: Courses }) {
  const measure = (): readonly number[] => props.courses.delaysMs
  ;(globalThis as { beakertideDelaysMs?: () => readonly number[] }).beakertideDelaysMs = measure
  onCleanup(() => {
    delete (globalThis as { beakertideDelaysMs?: () => readonly number[] }).beakertideDelaysMs
  })
  return null
}
