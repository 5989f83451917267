/** Reasons: why this run goes as it does. Network, ruling steps along the time, three depths, what runs out, what it answers to; figures and film. */
import type { Problem } from '@beakertide/basis/problems'
import type { Prepared, RatesAlong, Reasons } from '@beakertide/demonstration'
import { createEffect, createMemo, createSignal, For, onCleanup, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { chargesOf, equationText, speciesText } from '../../parts/chemical-words.ts'
import { sampleAt } from '../../parts/colour-at.ts'
import { colourWord } from '../../parts/colour-words.ts'
import { createLatestWins } from '../../parts/latest-wins.ts'
import { NetworkDrawing } from '../../parts/network-drawing.tsx'
import { networkGraph } from '../../parts/network-graph.ts'
import { ProblemList } from '../../parts/problem-list.tsx'
import { ReignBand, type ReignRow } from '../../parts/reign-band.tsx'
import { Strip } from '../../parts/strip.tsx'
import { stripWords } from '../../parts/strip-words.ts'
import { stageSignal, TimePanels, Transport } from '../../parts/time-cursor.tsx'
import { browserFrames, createTimeStage } from '../../parts/time-stage.ts'
import { spokenTime } from '../../parts/times.ts'
import { TimeAxis } from '../../parts/traces.tsx'
import { VesselChoice } from '../../parts/vessel-choice.tsx'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import type { Answer, DocumentText } from '../../work/contract.ts'
import { type Course, courseOfRehearsal } from '../rehearsal/course.ts'
import { NothingYet } from '../rehearsal/nothing-yet.tsx'
import { AnswersTo } from './answers-to.tsx'
import { Figures } from './figures-section.tsx'
import { StepsTable } from './steps-table.tsx'
import { mainSpecies, oneSentence, paragraph, stepsThatMatter, type Told } from './three-depths.ts'
import './reasons-page.css'

export function ReasonsPage(props: { readonly desk: Desk }) {
  const prepared = createMemo(() => props.desk.day()?.prepared ?? null)
  return (
    <div class="reasons">
      <Show when={prepared()} fallback={<NothingYet desk={props.desk} title={t('reasons.title')} />}>
        {(p) => (
          <Show when={props.desk.vessel()} fallback={<p>{t('rehearsal.noVessel')}</p>}>
            {(vessel) => <Reasoning desk={props.desk} prepared={p()} vessel={vessel()} />}
          </Show>
        )}
      </Show>
    </div>
  )
}

interface Run {
  readonly course: Course
  readonly along: RatesAlong
  readonly reasons: Reasons
}
interface Moment {
  readonly document: DocumentText
  readonly vessel: string
  readonly atS: number
}

const GUTTER_PX = 8
const STRIP_PX = 34

function Reasoning(props: { readonly desk: Desk; readonly prepared: Prepared; readonly vessel: string }) {
  const { desk } = props
  const stage = createTimeStage(browserFrames)
  onCleanup(() => stage.end())
  const nowS = stageSignal(stage)
  const [run, setRun] = createSignal<Run | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const [moment, setMoment] = createSignal<Reasons | null>(null)
  const mechanism = () => props.prepared.mechanism
  const charges = createMemo(() => chargesOf(mechanism()))

  // Everything of the run at once; an older answer is dropped.
  createEffect(() => {
    const document = desk.document()
    const { vessel } = props
    let isWanted = true
    onCleanup(() => {
      isWanted = false
    })
    setProblems([])
    void Promise.all([
      desk.work.rehearse(document, vessel),
      desk.work.ratesAlong(document, vessel),
      desk.work.reasons(document, vessel, null),
    ]).then(([rehearsal, along, reasons]) => {
      if (!isWanted) return
      if (rehearsal.ok && along.ok && reasons.ok) {
        const course = courseOfRehearsal(rehearsal.value)
        stage.setSpan({ fromS: along.value.startS, toS: course.toS })
        stage.seek(reasons.value.atS)
        setRun({ course, along: along.value, reasons: reasons.value })
        setMoment(reasons.value)
      } else {
        setRun(null)
        setProblems(
          [rehearsal, along, reasons]
            .flatMap((x: Answer<unknown>) => (x.ok ? [] : x.problems))
            .filter((p, i, all) => all.findIndex((q) => q.what === p.what) === i),
        )
      }
    })
  })
  // Shares at the moment looked at follow the time, newest wish first.
  const shares = createLatestWins<Moment, Answer<Reasons>>(
    (wish) => desk.work.reasons(wish.document, wish.vessel, wish.atS),
    (answer) => {
      if (answer.ok) setMoment(answer.value)
    },
    () => undefined,
  )
  onCleanup(() => shares.drop())
  createEffect(() => {
    const atS = nowS()
    const r = run()
    if (r === null || atS === moment()?.atS) return
    shares.ask({ document: desk.document(), vessel: props.vessel, atS })
  })
  return (
    <>
      <div class="reasons-head">
        <h1>{t('reasons.title')}</h1>
        <VesselChoice desk={desk} label={t('rehearsal.vessel')} />
      </div>
      <ProblemList problems={problems()} title={t('problems.title')} />
      <Show
        when={run()}
        fallback={
          <Show when={problems().length === 0}>
            <p class="quiet">{t('reasons.working')}</p>
          </Show>
        }
      >
        {(r) => {
          const told = (): Told => ({
            mechanism: mechanism(),
            course: r().course,
            reasons: r().reasons,
            along: r().along,
            charges: charges(),
          })
          return (
            <>
              <Depths told={told()} moment={moment()} />
              <Along stage={stage} run={r()} told={told()} nowS={nowS} moment={moment()} />
              <RunsOut told={told()} />
              <AnswersTo desk={desk} vessel={props.vessel} prepared={props.prepared} />
              <Figures desk={desk} prepared={props.prepared} vessel={props.vessel} course={r().course} />
            </>
          )
        }}
      </Show>
    </>
  )
}

const DEPTHS = ['reasons.depthSentence', 'reasons.depthParagraph', 'reasons.depthEquations'] as const

/** One sentence, a paragraph, or everything. */
function Depths(props: { readonly told: Told; readonly moment: Reasons | null }) {
  const [depth, setDepth] = createSignal(0)
  return (
    <section aria-labelledby="depths-head" class="depths">
      <h2 id="depths-head">{t('reasons.why')}</h2>
      <fieldset class="depth-choice">
        <legend class="unseen">{t('reasons.depth')}</legend>
        <For each={DEPTHS}>
          {(key, i) => (
            <label>
              <input type="radio" name="depth" checked={i() === depth()} onChange={() => setDepth(i())} />
              {t(key)}
            </label>
          )}
        </For>
      </fieldset>
      <p class="one-sentence">{oneSentence(props.told)}</p>
      <Show when={depth() > 0}>
        <div class="paragraph">
          <For each={paragraph(props.told)}>{(s) => <p>{s}</p>}</For>
        </div>
      </Show>
      <Show when={depth() > 1}>
        <StepsTable told={props.told} />
      </Show>
      <p class="quiet">{t('reasons.fromRun', { model: said(props.told.mechanism.title) })}</p>
    </section>
  )
}

/** Strip, ruling steps and network at the time looked at. */
function Along(props: {
  readonly stage: ReturnType<typeof createTimeStage>
  readonly run: Run
  readonly told: Told
  readonly nowS: () => number
  readonly moment: Reasons | null
}) {
  const [followed, setFollowed] = createSignal<string | null>(null)
  const [all, setAll] = createSignal(false)
  const charges = () => props.told.charges
  const matter = createMemo(() => stepsThatMatter(props.run.along))
  const graph = createMemo(() => {
    const shown = all() ? props.run.along : { steps: props.run.along.steps.filter((s) => matter().has(s.id)) }
    return networkGraph(props.told.mechanism, shown)
  })
  const rows = createMemo((): readonly ReignRow[] => {
    const main = mainSpecies(props.told)
    const species = [...new Set([...(main === null ? [] : [main]), ...props.run.reasons.reigns.map((x) => x.species)])].slice(0, 2)
    return species.flatMap((s) =>
      (['makes', 'uses'] as const)
        .filter((role) => props.run.reasons.reigns.some((x) => x.species === s && x.role === role && x.step !== null))
        .map((role) => ({
          species: s,
          role,
          name: t(role === 'makes' ? 'reasons.madeBy' : 'reasons.usedBy', { species: speciesText(s, charges()) }),
        })),
    )
  })
  const nowWords = (): string => {
    const sample = sampleAt(props.run.course.strip, props.nowS())
    return sample ? colourWord(sample.name) : ''
  }
  const inWords = (): string =>
    `${t('rehearsal.stripLabel', { vessel: props.run.course.vessel })}: ${stripWords(props.run.course)}. ${t('reasons.bandLabel')}`
  const gutter = (): number => GUTTER_PX
  return (
    <section class="along" aria-labelledby="along-head">
      <h2 id="along-head">{t('reasons.along')}</h2>
      <Transport stage={props.stage} now={nowWords} startS={() => props.run.course.startS} />
      <TimePanels stage={props.stage} gutterPx={gutter} now={nowWords} label={t('rehearsal.timeLabel')} inWords={inWords}>
        <Strip
          stage={props.stage}
          course={() => props.run.course}
          label={t('rehearsal.stripLabel', { vessel: props.run.course.vessel })}
          heightPx={STRIP_PX}
          gutterPx={gutter}
        />
        <ReignBand stage={props.stage} rows={rows()} reigns={props.run.reasons.reigns} gutterPx={gutter} label={t('reasons.bandLabel')} />
        <TimeAxis stage={props.stage} gutterPx={gutter} />
      </TimePanels>
      <details>
        <summary>{t('reasons.bandTable')}</summary>
        <For each={rows()}>
          {(row) => (
            <p>
              {row.name}:{' '}
              {props.run.reasons.reigns
                .filter((x) => x.species === row.species && x.role === row.role && x.step !== null)
                .map((x) => `${said(x.step ?? '')} ${spokenTime(x.fromS)}–${spokenTime(x.toS)} (${formatNumber(100 * x.share, 2)} %)`)
                .join(', ')}
            </p>
          )}
        </For>
      </details>
      <h2>{t('reasons.network')}</h2>
      <p>{t('reasons.networkHint')}</p>
      <Show when={matter().size < props.run.along.steps.length}>
        <label class="all-steps">
          <input type="checkbox" checked={all()} onChange={(e) => setAll(e.currentTarget.checked)} />
          {t('reasons.allSteps', { shown: matter().size, of: props.run.along.steps.length })}
        </label>
      </Show>
      <NetworkDrawing
        stage={props.stage}
        graph={graph()}
        along={props.run.along}
        reigns={props.run.reasons.reigns}
        charges={charges()}
        followed={followed()}
        onFollow={setFollowed}
        label={t('reasons.networkLabel', { time: spokenTime(props.nowS()) })}
      />
      <WhoMakes told={props.told} moment={props.moment} followed={followed()} />
    </section>
  )
}

/** Steps named for each side; the rest is a few per cent. */
const STEPS_NAMED = 4
const LEAST_SHARE = 0.01

/** Who makes and uses each species at the moment looked at: the network as a table. */
function WhoMakes(props: { readonly told: Told; readonly moment: Reasons | null; readonly followed: string | null }) {
  const list = () => {
    const all = (props.moment?.species ?? []).filter((s) => s.making.length + s.using.length > 0)
    return props.followed === null
      ? all
      : [...all.filter((s) => s.species === props.followed), ...all.filter((s) => s.species !== props.followed)]
  }
  const shares = (x: Reasons['species'][number]['making']): string => {
    const named = x.filter((s) => s.share >= LEAST_SHARE).slice(0, STEPS_NAMED)
    return named.length === 0 ? t('reasons.nothing') : named.map((s) => `${said(s.step)} ${formatNumber(100 * s.share, 2)} %`).join(', ')
  }
  return (
    <details open>
      <summary>{t('reasons.whoMakes', { time: spokenTime(props.moment?.atS ?? 0) })}</summary>
      <div class="wide" role="region" tabindex="0" aria-label={t('reasons.whoMakesLabel')}>
        <table>
          <thead>
            <tr>
              <th>{t('reasons.species')}</th>
              <th>{t('reasons.made')}</th>
              <th>{t('reasons.used')}</th>
              <th>{t('reasons.inBalance')}</th>
            </tr>
          </thead>
          <tbody>
            <For each={list()}>
              {(s) => (
                <tr data-followed={s.species === props.followed ? '' : undefined}>
                  <th scope="row">{speciesText(s.species, props.told.charges)}</th>
                  <td>{shares(s.making)}</td>
                  <td>{shares(s.using)}</td>
                  <td>{s.inBalance.map(said).join(', ')}</td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </div>
    </details>
  )
}

/** For every net reaction which reagent ends it. */
function RunsOut(props: { readonly told: Told }) {
  const named = (id: string): string => speciesText(id, props.told.charges)
  return (
    <section aria-labelledby="runs-out-head">
      <h2 id="runs-out-head">{t('reasons.runsOut')}</h2>
      <ul class="runs-out">
        <For each={props.told.reasons.limiting}>
          {(l) => (
            <li>
              {said(l.what.charAt(0).toUpperCase() + l.what.slice(1))}:{' '}
              <span class="equation">{equationText(l.equation, props.told.charges)}</span>.{' '}
              <Show when={l.limiting.species} fallback={t('reasons.noLimit')}>
                {(species) => (
                  <>
                    {t('reasons.limitedBy')} <strong>{named(species())}</strong>
                    <For each={l.limiting.reagents.slice(1)}>
                      {(x) => (
                        <>
                          {'; '}
                          {Number.isFinite(x.ratio) && x.ratio <= 20
                            ? t('reasons.wouldDo', { species: named(x.species), ratio: formatNumber(x.ratio, 3) })
                            : t('reasons.plenty', { species: named(x.species) })}
                        </>
                      )}
                    </For>
                    .
                  </>
                )}
              </Show>
            </li>
          )}
        </For>
      </ul>
    </section>
  )
}
