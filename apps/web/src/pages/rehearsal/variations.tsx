/** Carpet and coast: the show over one varied amount, and over two. Both fill in while they are computed, and both can be stopped. */
import type { Problem } from '@beakertide/basis/problems'
import type { Carpet, CarpetRow, Coast, CoastPoint } from '@beakertide/core/rehearsal'
import { createSignal, For, onCleanup, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { CarpetView } from '../../parts/carpet-view.tsx'
import { type CoastAxisWords, CoastView } from '../../parts/coast-view.tsx'
import { ProblemList } from '../../parts/problem-list.tsx'
import { Progress } from '../../parts/progress.tsx'
import type { VaryChoice } from '../../parts/vary-choices.ts'
import { t } from '../../words/index.ts'
import { formatNumber, parseNumber } from '../../words/numbers.ts'
import { type Changes, noChanges } from '../../work/contract.ts'

export interface VariationsProps {
  readonly desk: Desk
  readonly choices: readonly VaryChoice[]
  /** The value of temperature or depth as the document has it. */
  readonly present: (what: string) => number
  /** Puts the changes on the sliders and goes there. */
  readonly onOpen: (changes: Changes) => void
  /** Saves a picture of the carpet. */
  readonly onPicture: (carpet: Carpet) => void
}

/** The changes that set one varied amount. */
export function changesFor(choice: VaryChoice, value: number): Changes {
  if (choice.what === 'temperature') return { ...noChanges, celsius: value }
  if (choice.what === 'depth') return { ...noChanges, depthCm: value }
  return { ...noChanges, amounts: Object.fromEntries(choice.keys.map((k) => [k, value])) }
}

/** Two changes at once. */
export const bothChanges = (a: Changes, b: Changes): Changes => ({
  amounts: { ...a.amounts, ...b.amounts },
  celsius: b.celsius ?? a.celsius,
  depthCm: b.depthCm ?? a.depthCm,
  constants: {},
})

interface Range {
  readonly what: string
  readonly from?: string
  readonly to?: string
}
/** Ends as typed; empty ones are left to the usual. Null when one is no number. */
function rangeOf(what: string, from: string, to: string): Range | null {
  const ends = [from, to].map((text) => (text.trim() === '' ? null : parseNumber(text)))
  if (ends.some((e) => e !== null && !e.ok)) return null
  const [low, high] = ends
  return { what, ...(low?.ok ? { from: String(low.value) } : {}), ...(high?.ok ? { to: String(high.value) } : {}) }
}

const typedWrong = (): Problem => ({
  code: 'page/typed',
  where: t('rehearsal.range2'),
  what: t('rehearsal.notANumber'),
  todo: t('rehearsal.typeNumber'),
})
const unitOf = (choice: VaryChoice | undefined): string =>
  choice?.what === 'temperature' ? '°C' : choice?.what === 'depth' ? 'cm' : t('rehearsal.times')

function RangeFields(props: {
  readonly choices: readonly VaryChoice[]
  readonly what: string
  readonly label: string
  readonly onWhat: (what: string) => void
  readonly from: string
  readonly to: string
  readonly onFrom: (text: string) => void
  readonly onTo: (text: string) => void
}) {
  const choice = () => props.choices.find((c) => c.what === props.what)
  return (
    <fieldset class="range">
      <legend>{props.label}</legend>
      <select aria-label={props.label} onChange={(e) => props.onWhat(props.choices[e.currentTarget.selectedIndex]?.what ?? '')}>
        <For each={props.choices}>{(c) => <option selected={c.what === props.what}>{c.words}</option>}</For>
      </select>
      <label>
        {t('rehearsal.from')}{' '}
        <input
          type="text"
          inputmode="decimal"
          size="5"
          value={props.from}
          placeholder={usual(choice(), 0)}
          onInput={(e) => props.onFrom(e.currentTarget.value)}
        />
      </label>
      <label>
        {t('rehearsal.to')}{' '}
        <input
          type="text"
          inputmode="decimal"
          size="5"
          value={props.to}
          placeholder={usual(choice(), 1)}
          onInput={(e) => props.onTo(e.currentTarget.value)}
        />
      </label>
      <span>{unitOf(choice())}</span>
    </fieldset>
  )
}
/** What an empty field means for amounts: half to double. */
const usual = (choice: VaryChoice | undefined, end: 0 | 1): string =>
  choice && choice.keys.length > 0 ? formatNumber(end === 0 ? 0.5 : 2) : ''

const ROWS = [7, 13, 25] as const

export function CarpetSection(props: VariationsProps) {
  const [what, setWhat] = createSignal(props.choices[0]?.what ?? '')
  const [from, setFrom] = createSignal('')
  const [to, setTo] = createSignal('')
  const [rows, setRows] = createSignal<number>(13)
  const [carpet, setCarpet] = createSignal<Carpet | null>(null)
  const [drawn, setDrawn] = createSignal<VaryChoice | null>(null)
  const [expected, setExpected] = createSignal(0)
  const [isBusy, setIsBusy] = createSignal(false)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  let round = 0
  const grow = (soFar: Carpet): void => {
    const before = carpet()
    // Rows that are there keep their place and their picture.
    const kept = before?.varied === soFar.varied ? before.rows : []
    setCarpet({ ...soFar, rows: [...kept.slice(0, soFar.rows.length), ...soFar.rows.slice(kept.length)] })
  }
  const draw = async (e: Event): Promise<void> => {
    e.preventDefault()
    const range = rangeOf(what(), from(), to())
    const vessel = props.desk.vessel()
    const choice = props.choices.find((c) => c.what === what())
    setProblems(range ? [] : [typedWrong()])
    if (!range || vessel === null || !choice) return
    const mine = ++round
    setCarpet(null)
    setDrawn(choice)
    setExpected(rows())
    setIsBusy(true)
    const answer = await props.desk.work.carpet(props.desk.document(), { vessel, range, rows: rows() }, (soFar) => {
      if (mine === round) grow(soFar)
    })
    if (mine !== round) return
    setIsBusy(false)
    if (answer.ok) {
      grow(answer.value)
      setExpected(answer.value.rows.length)
    } else {
      setProblems(answer.problems.filter((p) => p.code !== 'work/cancelled'))
      setExpected(carpet()?.rows.length ?? 0)
    }
  }
  onCleanup(() => {
    round++
    if (isBusy()) void props.desk.work.cancel('carpet')
  })
  const open = (row: CarpetRow): void => {
    const choice = drawn()
    if (choice) props.onOpen(changesFor(choice, row.value))
  }
  return (
    <section aria-labelledby="carpet-head" class="variation">
      <h2 id="carpet-head">{t('rehearsal.carpet')}</h2>
      <p>{t('rehearsal.carpetHint')}</p>
      <form class="variation-form" onSubmit={(e) => void draw(e)}>
        <RangeFields
          label={t('rehearsal.vary')}
          choices={props.choices}
          what={what()}
          onWhat={setWhat}
          from={from()}
          to={to()}
          onFrom={setFrom}
          onTo={setTo}
        />
        <label>
          {t('rehearsal.rows')}{' '}
          <select onChange={(e) => setRows(ROWS[e.currentTarget.selectedIndex]!)}>
            <For each={ROWS}>{(n) => <option selected={n === rows()}>{n}</option>}</For>
          </select>
        </label>
        <button type="submit" class="main" disabled={isBusy()}>
          {t('rehearsal.drawCarpet')}
        </button>
        <Show when={carpet() && !isBusy()}>
          <button type="button" onClick={() => props.onPicture(carpet()!)}>
            {t('rehearsal.savePicture')}
          </button>
        </Show>
      </form>
      <Show when={isBusy()}>
        <Progress
          what={t('rehearsal.carpetWorking')}
          done={carpet()?.rows.length ?? 0}
          of={expected()}
          onCancel={() => void props.desk.work.cancel('carpet')}
        />
      </Show>
      <ProblemList problems={problems()} title={t('problems.title')} />
      <Show when={carpet()}>{(c) => <CarpetView carpet={c()} rows={isBusy() ? expected() : c().rows.length} onOpen={open} />}</Show>
    </section>
  )
}

const FINENESS = [
  { key: 'coarse', coarse: 4, halvings: 1, mostRuns: 90 },
  { key: 'fine', coarse: 5, halvings: 2, mostRuns: 300 },
] as const

export function CoastSection(props: VariationsProps) {
  const [x, setX] = createSignal(props.choices[0]?.what ?? '')
  const [y, setY] = createSignal(props.choices[1]?.what ?? '')
  const [xFrom, setXFrom] = createSignal('')
  const [xTo, setXTo] = createSignal('')
  const [yFrom, setYFrom] = createSignal('')
  const [yTo, setYTo] = createSignal('')
  const [fineness, setFineness] = createSignal(0)
  const [points, setPoints] = createSignal<readonly CoastPoint[]>([])
  const [coast, setCoast] = createSignal<Coast | null>(null)
  const [axes, setAxes] = createSignal<{
    readonly x: CoastAxisWords
    readonly y: CoastAxisWords
    readonly choices: readonly [VaryChoice, VaryChoice]
  } | null>(null)
  const [progress, setProgress] = createSignal<readonly [number, number] | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  let round = 0
  /** The axis before the answer tells it: the usual ends, as core takes them. */
  const axisOf = (range: Range, choice: VaryChoice): CoastAxisWords => {
    const present = choice.keys.length > 0 ? 1 : props.present(choice.what)
    const isWarm = choice.what === 'temperature'
    const [low, high] = isWarm ? [Math.max(1, present - 10), Math.min(99, present + 10)] : [present / 2, present * 2]
    return {
      varied: choice.words,
      unit: isWarm ? '°C' : choice.what === 'depth' ? 'cm' : 'times',
      present,
      from: range.from === undefined ? low : Number(range.from),
      to: range.to === undefined ? high : Number(range.to),
      steps: isWarm || Number(range.from ?? 1) <= 0 ? 'linear' : 'log',
    }
  }
  const draw = async (e: Event): Promise<void> => {
    e.preventDefault()
    const vessel = props.desk.vessel()
    const ranges = [rangeOf(x(), xFrom(), xTo()), rangeOf(y(), yFrom(), yTo())] as const
    const both = [props.choices.find((c) => c.what === x()), props.choices.find((c) => c.what === y())] as const
    setProblems(ranges[0] && ranges[1] ? [] : [typedWrong()])
    if (!ranges[0] || !ranges[1] || !both[0] || !both[1] || vessel === null) return
    const mine = ++round
    const { coarse, halvings, mostRuns } = FINENESS[fineness()]!
    setPoints([])
    setCoast(null)
    setAxes({ x: axisOf(ranges[0], both[0]), y: axisOf(ranges[1], both[1]), choices: [both[0], both[1]] })
    setProgress([0, mostRuns])
    const answer = await props.desk.work.coast(
      props.desk.document(),
      { vessel, x: ranges[0], y: ranges[1], coarse, halvings, mostRuns },
      (done, of) => mine === round && setProgress([done, of]),
      (since) => mine === round && setPoints([...points(), ...since]),
    )
    if (mine !== round) return
    setProgress(null)
    if (answer.ok) {
      const c = answer.value
      setPoints(c.points)
      setCoast(c)
      setAxes({ x: { ...c.x, varied: both[0].words }, y: { ...c.y, varied: both[1].words }, choices: [both[0], both[1]] })
    } else setProblems(answer.problems.filter((p) => p.code !== 'work/cancelled'))
  }
  onCleanup(() => {
    round++
    if (progress() !== null) void props.desk.work.cancel('coast')
  })
  const open = (p: CoastPoint): void => {
    const choices = axes()?.choices
    if (choices) props.onOpen(bothChanges(changesFor(choices[0], p.x), changesFor(choices[1], p.y)))
  }
  return (
    <section aria-labelledby="coast-head" class="variation">
      <h2 id="coast-head">{t('rehearsal.coast')}</h2>
      <p>{t('rehearsal.coastHint')}</p>
      <form class="variation-form" onSubmit={(e) => void draw(e)}>
        <RangeFields
          label={t('rehearsal.across')}
          choices={props.choices}
          what={x()}
          onWhat={setX}
          from={xFrom()}
          to={xTo()}
          onFrom={setXFrom}
          onTo={setXTo}
        />
        <RangeFields
          label={t('rehearsal.up')}
          choices={props.choices}
          what={y()}
          onWhat={setY}
          from={yFrom()}
          to={yTo()}
          onFrom={setYFrom}
          onTo={setYTo}
        />
        <label>
          {t('rehearsal.fineness')}{' '}
          <select onChange={(e) => setFineness(e.currentTarget.selectedIndex)}>
            <option selected={fineness() === 0}>{t('rehearsal.coarse')}</option>
            <option selected={fineness() === 1}>{t('rehearsal.fine')}</option>
          </select>
        </label>
        <button type="submit" class="main" disabled={progress() !== null}>
          {t('rehearsal.drawCoast')}
        </button>
      </form>
      <Show when={progress()}>
        {(p) => (
          <Progress what={t('rehearsal.coastWorking')} done={p()[0]} of={p()[1]} onCancel={() => void props.desk.work.cancel('coast')} />
        )}
      </Show>
      <ProblemList problems={problems()} title={t('problems.title')} />
      <Show when={axes()}>{(a) => <CoastView x={a().x} y={a().y} points={points()} coast={coast()} onOpen={open} />}</Show>
    </section>
  )
}
