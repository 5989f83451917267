/** Aim: a sentence to fill in, answered in what to weigh and measure. */
import type { Problem } from '@beakertide/basis/problems'
import type { DangerLine } from '@beakertide/core/papers'
import type { AimWish } from '@beakertide/demonstration'
import { createSignal, For, onCleanup, Show } from '../framework.ts'
import type { Desk } from '../desk/desk.ts'
import { bandText } from '../pages/rehearsal/sentences.ts'
import { said, t } from '../words/index.ts'
import { formatNumber, parseNumber } from '../words/numbers.ts'
import { type AimAnswer as Aimed, noChanges } from '../work/contract.ts'
import { CautionBlock } from './caution-lines.tsx'
import { ColourOptions } from './colour-options.tsx'
import { colourWord } from './colour-words.ts'
import { ProblemList } from './problem-list.tsx'
import { Progress } from './progress.tsx'
import { aboutTime, spokenTime, timesApart } from './times.ts'
import type { VaryChoice } from './vary-choices.ts'
import type { Changes } from '../work/contract.ts'
import './aim-form.css'

export interface AimFormProps {
  readonly desk: Desk
  readonly choices: readonly VaryChoice[]
  /** Puts the value on the sliders, and writes it into the document. */
  readonly onTry: (changes: Changes) => void
  readonly onWrite: (changes: Changes, label: string) => void
}

type Target = AimWish['feature']
const FEATURES: readonly Target[] = ['first-turn', 'period', 'length', 'cycles', 'end-colour']
const featureWords: Readonly<Record<Target, () => string>> = {
  'first-turn': () => t('rehearsal.aimFirst'),
  period: () => t('rehearsal.aimPeriod'),
  length: () => t('rehearsal.aimLength'),
  cycles: () => t('rehearsal.aimCycles'),
  'end-colour': () => t('rehearsal.aimColour'),
}
/** Rehearsals for the band of the answer. */
const BAND_RUNS = 30
const SEED = 1

/** The changes an answer stands for. */
export function changesOfAim(result: Aimed, choice: VaryChoice): Changes | null {
  if (result.value === null) return null
  if (result.unit === '°C') return { ...noChanges, celsius: result.value }
  return { ...noChanges, amounts: Object.fromEntries(choice.keys.map((k) => [k, result.value!])) }
}

export function AimForm(props: AimFormProps) {
  const [feature, setFeature] = createSignal<Target>('first-turn')
  const [wanted, setWanted] = createSignal('')
  const [colour, setColour] = createSignal<string>('blue')
  const [unit, setUnit] = createSignal<'s' | 'min'>('s')
  const [what, setWhat] = createSignal<string | null>(null)
  const [from, setFrom] = createSignal('')
  const [to, setTo] = createSignal('')
  const [runs, setRuns] = createSignal<number | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const [found, setFound] = createSignal<{ readonly result: Aimed; readonly choice: VaryChoice } | null>(null)
  const choice = (): VaryChoice | undefined => props.choices.find((c) => c.what === what()) ?? props.choices[0]
  let isThere = true
  onCleanup(() => {
    isThere = false
    if (runs() !== null) void props.desk.work.cancel('aim')
  })
  const own = (where: string, text: string): Problem => ({ code: 'page/typed', where, what: text, todo: t('rehearsal.typeNumber') })
  const ask = async (e: Event): Promise<void> => {
    e.preventDefault()
    const by = choice()
    const vessel = props.desk.vessel()
    if (!by || vessel === null) return
    const isColour = feature() === 'end-colour'
    const value = isColour ? ({ ok: true, value: 1 } as const) : parseNumber(wanted())
    const ends = [from(), to()].map((text) => (text.trim() === '' ? null : parseNumber(text)))
    const wrong = [
      ...(value.ok && value.value > 0 ? [] : [own(featureWords[feature()](), t('rehearsal.notANumber'))]),
      ...ends.flatMap((end) => (end === null || end.ok ? [] : [own(t('rehearsal.aimBetween'), t('rehearsal.notANumber'))])),
    ]
    setProblems(wrong)
    setFound(null)
    if (wrong.length > 0 || !value.ok) return
    const seconds = feature() === 'cycles' ? Math.round(value.value) : value.value * (unit() === 'min' ? 60 : 1)
    const end = (i: 0 | 1): string | undefined => {
      const e2 = ends[i]
      return e2?.ok ? String(e2.value) : undefined
    }
    setRuns(0)
    const answer = await props.desk.work.aim(
      props.desk.document(),
      {
        vessel,
        feature: feature(),
        wanted: [seconds, seconds],
        ...(isColour ? { colour: colour() } : {}),
        by: by.what,
        from: end(0),
        to: end(1),
        band: BAND_RUNS,
        seed: SEED,
      },
      (done) => setRuns(done),
    )
    if (!isThere) return
    setRuns(null)
    if (answer.ok) setFound({ result: answer.value, choice: by })
    else setProblems(answer.problems.filter((p) => p.code !== 'work/cancelled'))
  }
  return (
    <div class="aim">
      <form class="aim-sentence" onSubmit={(e) => void ask(e)}>
        <span>{t('rehearsal.aimMake')}</span>
        <select aria-label={t('rehearsal.aimFeatureLabel')} onChange={(e) => setFeature(FEATURES[e.currentTarget.selectedIndex]!)}>
          <For each={FEATURES}>{(f) => <option selected={f === feature()}>{featureWords[f]()}</option>}</For>
        </select>
        <span>{feature() === 'first-turn' ? t('rehearsal.aimAt') : t('rehearsal.aimBe')}</span>
        <Show
          when={feature() !== 'end-colour'}
          fallback={
            <select aria-label={t('rehearsal.aimWanted')} onChange={(e) => setColour(e.currentTarget.value)}>
              <ColourOptions chosen={colour()} />
            </select>
          }
        >
          <input
            type="text"
            inputmode="decimal"
            required
            size="6"
            aria-label={t('rehearsal.aimWanted')}
            value={wanted()}
            onInput={(e) => setWanted(e.currentTarget.value)}
          />
        </Show>
        <Show when={feature() !== 'cycles' && feature() !== 'end-colour'}>
          <select aria-label={t('rehearsal.aimUnit')} onChange={(e) => setUnit(e.currentTarget.selectedIndex === 0 ? 's' : 'min')}>
            <option selected={unit() === 's'}>s</option>
            <option selected={unit() === 'min'}>min</option>
          </select>
        </Show>
        <span>{t('rehearsal.aimBy')}</span>
        <select
          aria-label={t('rehearsal.aimByLabel')}
          onChange={(e) => setWhat(props.choices[e.currentTarget.selectedIndex]?.what ?? null)}
        >
          <For each={props.choices}>{(c) => <option selected={c.what === choice()?.what}>{c.words}</option>}</For>
        </select>
        <span>{t('rehearsal.aimBetween')}</span>
        <input
          type="text"
          inputmode="decimal"
          size="5"
          aria-label={t('rehearsal.aimFrom')}
          placeholder={choice()?.keys.length === 0 ? '' : formatNumber(0.2)}
          value={from()}
          onInput={(e) => setFrom(e.currentTarget.value)}
        />
        <span>{t('rehearsal.aimAnd')}</span>
        <input
          type="text"
          inputmode="decimal"
          size="5"
          aria-label={t('rehearsal.aimTo')}
          placeholder={choice()?.keys.length === 0 ? '' : '5'}
          value={to()}
          onInput={(e) => setTo(e.currentTarget.value)}
        />
        <span>{choice()?.keys.length === 0 ? '°C.' : t('rehearsal.aimTimes')}</span>
        <button type="submit" class="main" disabled={runs() !== null}>
          {t('rehearsal.aimFind')}
        </button>
      </form>
      <Show when={runs() !== null}>
        <Progress what={t('rehearsal.aimWorking')} done={runs() ?? 0} of={0} onCancel={() => void props.desk.work.cancel('aim')} />
      </Show>
      <ProblemList problems={problems()} title={t('problems.title')} />
      <Show when={found()}>{(f) => <AimAnswer result={f().result} choice={f().choice} onTry={props.onTry} onWrite={props.onWrite} />}</Show>
    </div>
  )
}

function AimAnswer(props: { readonly result: Aimed; readonly choice: VaryChoice } & Pick<AimFormProps, 'onTry' | 'onWrite'>) {
  const r = (): Aimed => props.result
  const number = (v: number | null): string =>
    r().feature === 'end-colour'
      ? colourWord(r().endColour ?? t('rehearsal.none'))
      : v === null
        ? t('rehearsal.none')
        : r().feature === 'cycles'
          ? formatNumber(Math.round(v), 4)
          : aboutTime(v)
  /** Two sides of a jump, in digits that differ. */
  const apart = (below: number | null, above: number | null): readonly [string, string] =>
    below === null || above === null || r().feature === 'end-colour' || r().feature === 'cycles'
      ? [number(below), number(above)]
      : timesApart(below, above)
  const wanted = (): string =>
    r().feature === 'end-colour'
      ? colourWord(r().wantedColour ?? '')
      : r().feature === 'cycles'
        ? formatNumber(r().wanted[0], 4)
        : spokenTime(r().wanted[0])
  const value = (v: number): string =>
    r().unit === '°C' ? `${formatNumber(v, 3)} °C` : t('rehearsal.aimTimesOf', { value: formatNumber(v, 3), what: props.choice.words })
  const isRefused = (): boolean => (r().cautions?.refused ?? false) || r().remarks.some((p) => p.danger)
  const danger = (): readonly DangerLine[] => r().danger
  /** Amounts are told only of a recipe whose cautions are known, and never of one that is refused. */
  const mayTell = (): boolean => !isRefused() && (r().value === null || r().cautions !== null)
  const sentence = (): string => {
    const a = r().answer
    const what = featureWords[r().feature]()
    switch (a.how) {
      case 'already':
        return t('rehearsal.aimAlready', { what, result: number(r().result) })
      case 'found':
        return t('rehearsal.aimFound', { what, value: value(r().value ?? 0), result: number(r().result) })
      case 'jumps':
        return t('rehearsal.aimJumps', {
          what,
          wanted: wanted(),
          below: apart(a.below.result, a.above.result)[0],
          above: apart(a.below.result, a.above.result)[1],
          value: value(a.above.value),
        })
      case 'out-of-reach':
        return t('rehearsal.aimOutOfReach', {
          what,
          wanted: wanted(),
          value: r().value === null ? '' : value(r().value!),
          result: number(r().result),
        })
      case 'feature-absent':
        return t('rehearsal.aimAbsent', { what })
      case 'stopped':
        return t('rehearsal.aimStopped')
    }
  }
  const changes = (): Changes | null => changesOfAim(r(), props.choice)
  const limits = (): readonly string[] =>
    (['low', 'high'] as const).flatMap((side) => {
      const b = r().bounds[side]
      return b.set === 'wish'
        ? []
        : [t(side === 'low' ? 'rehearsal.aimBoundLow' : 'rehearsal.aimBoundHigh', { value: value(b.value), why: said(b.why) })]
    })
  return (
    <div class="aim-answer" role="status">
      <ProblemList problems={r().remarks} title={t('rehearsal.aimRemarks')} />
      <CautionBlock title={t('rehearsal.aimDangers')} lines={danger()} note={t('rehearsal.headIsWritten')} />
      <Show
        when={mayTell()}
        fallback={<p class="aim-result">{isRefused() ? t('rehearsal.aimRefused') : t('rehearsal.aimDangersUnknown')}</p>}
      >
        <p class="aim-result">{sentence()}</p>
      </Show>
      <Show when={mayTell() && r().feature !== 'end-colour' && r().band}>
        {(band) => <p>{t('rehearsal.aimBand', { band: bandText(band(), r().feature === 'cycles' ? 'number' : 'time') })}</p>}
      </Show>
      <Show when={mayTell() && r().change.length > 0}>
        <table>
          <caption class="unseen">{t('rehearsal.aimChange')}</caption>
          <thead>
            <tr>
              <th>{t('rehearsal.aimInto')}</th>
              <th class="number">{t('rehearsal.aimBefore')}</th>
              <th class="number">{t('rehearsal.aimAfter')}</th>
            </tr>
          </thead>
          <tbody>
            <For each={r().change}>
              {(c) => (
                <tr>
                  <td>
                    {said(c.substanceName)} <span class="quiet">{t('rehearsal.inSolution', { solution: c.solution })}</span>
                  </td>
                  <td class="number">{said(c.before)}</td>
                  <td class="number">
                    <strong>{said(c.after)}</strong>
                  </td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </Show>
      <For each={limits()}>{(line) => <p class="quiet">{line}</p>}</For>
      <Show when={changes() && mayTell() && r().answer.how !== 'already'}>
        <div class="aim-buttons">
          <button type="button" onClick={() => props.onTry(changes()!)}>
            {t('rehearsal.aimTry')}
          </button>
          <button
            type="button"
            class="main"
            onClick={() => props.onWrite(changes()!, t('rehearsal.aimLabel', { what: featureWords[r().feature](), wanted: wanted() }))}
          >
            {t('rehearsal.write')}
          </button>
        </div>
      </Show>
    </div>
  )
}
