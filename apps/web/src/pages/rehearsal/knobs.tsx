/** Sliders for everything that goes into the vessel, its temperature and depth; the model's constants under a fold. */
import type { DangerLine } from '@beakertide/core/papers'
import type { Prepared } from '@beakertide/demonstration'
import { createEffect, createMemo, createSignal, For, onCleanup, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { CautionBlock } from '../../parts/caution-lines.tsx'
import { powerText, unitText } from '../../parts/chemical-words.ts'
import { gradeWords } from '../../parts/grades.ts'
import { SliderField, type SliderUnit } from '../../parts/slider-field.tsx'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import { noChanges } from '../../work/contract.ts'
import {
  AMOUNT_FACTOR,
  type AmountKnob,
  amountKnobs,
  AROUND_K,
  asFactor,
  canBeWritten,
  editsOf,
  inUnit,
  isUnchanged,
  roomCelsius,
  unitsOf,
  withAmount,
  withConstant,
} from './amounts.ts'

export interface KnobsProps {
  readonly desk: Desk
  readonly prepared: Prepared
  readonly vessel: string
  /** What the changes held add to the cautions. */
  readonly danger: readonly DangerLine[]
}

/** A hand that has not moved a slider for so long rests, ms. */
const RESTS_MS = 800

/** Words of a unit on the page. */
const unitWords = (unit: string): string => (unit === 'times' ? t('rehearsal.times') : unit === 'mmol/L' ? t('rehearsal.inMix') : unit)

export function Knobs(props: KnobsProps) {
  const knobs = createMemo(() => amountKnobs(props.prepared, props.vessel))
  const changes = () => props.desk.changes()
  const vessel = () => props.prepared.demonstration.vessels.find((v) => v.id === props.vessel)
  const units = (k: AmountKnob): readonly SliderUnit[] =>
    unitsOf(k).map((unit) => ({ name: unitWords(unit), show: (v) => inUnit(k, v, unit), read: (v) => asFactor(k, v, unit) }))
  const celsius = () => roomCelsius(props.prepared)
  /** Dangers of the changes for the ear: once the hand rests, and only when they are others. */
  const [toldDanger, setToldDanger] = createSignal('')
  createEffect(() => {
    const lines = props.danger.map((l) => `${l.about}: ${l.what}`)
    const rest = setTimeout(
      () => setToldDanger([...(lines.length > 0 ? [t('rehearsal.changeDangers')] : []), ...lines].join('. ')),
      RESTS_MS,
    )
    onCleanup(() => clearTimeout(rest))
  })
  const write = (): void => {
    props.desk.edit(editsOf(changes(), props.prepared, props.vessel), t('rehearsal.writeLabel'))
    props.desk.change({ ...noChanges, constants: changes().constants })
  }
  return (
    <section class="knobs" aria-labelledby="knobs-head">
      <div class="knobs-danger">
        <CautionBlock title={t('rehearsal.changeDangers')} lines={props.danger} note={t('rehearsal.headIsWritten')} />
      </div>
      <p class="unseen" role="status">
        {toldDanger()}
      </p>
      <div class="knobs-head">
        <h2 id="knobs-head">{t('rehearsal.knobs')}</h2>
        <div class="knobs-buttons">
          <button type="button" disabled={isUnchanged(changes())} onClick={() => props.desk.change(noChanges)}>
            {t('rehearsal.reset')}
          </button>
          <button type="button" class="main" disabled={!canBeWritten(changes())} onClick={write}>
            {t('rehearsal.write')}
          </button>
        </div>
      </div>
      <For each={knobs()}>
        {(k) => (
          <SliderField
            label={said(k.substance)}
            under={t('rehearsal.inSolution', { solution: k.solution })}
            scale={{ from: 1 / AMOUNT_FACTOR, to: AMOUNT_FACTOR, kind: 'log', home: 1 }}
            value={changes().amounts[k.key] ?? 1}
            units={units(k)}
            onValue={(v) => props.desk.change(withAmount(changes(), k.key, v))}
          />
        )}
      </For>
      <SliderField
        label={t('rehearsal.temperature')}
        under={t('rehearsal.temperatureUnder')}
        scale={{ from: Math.max(1, celsius() - AROUND_K), to: Math.min(99, celsius() + AROUND_K), kind: 'linear', home: celsius() }}
        value={changes().celsius ?? celsius()}
        units={[{ name: '°C', show: (v) => v, read: (v) => v }]}
        onValue={(v) => props.desk.change({ ...changes(), celsius: v === celsius() ? null : Number(v.toFixed(2)) })}
      />
      <Show when={vessel()}>
        {(v) => (
          <SliderField
            label={t('rehearsal.depth')}
            under={t('rehearsal.depthUnder')}
            scale={{ from: v().depthCm / AMOUNT_FACTOR, to: v().depthCm * AMOUNT_FACTOR, kind: 'log', home: v().depthCm }}
            value={changes().depthCm ?? v().depthCm}
            units={[{ name: 'cm', show: (x) => x, read: (x) => x }]}
            onValue={(x) => props.desk.change({ ...changes(), depthCm: x === v().depthCm || !(x > 0) ? null : x })}
          />
        )}
      </Show>
      {/* Always there, so that nothing moves when a slider is taken. */}
      <p class="held" data-held={isUnchanged(changes()) ? undefined : ''} role="status">
        {isUnchanged(changes()) ? t('rehearsal.holdHint') : t('rehearsal.held')}
      </p>
      <Constants desk={props.desk} prepared={props.prepared} />
    </section>
  )
}

/** Constants can be tried, not written: they belong to the model. Sliders are made only while the fold is open. */
function Constants(props: Pick<KnobsProps, 'desk' | 'prepared'>) {
  const [isOpen, setIsOpen] = createSignal(false)
  const all = createMemo(() =>
    props.prepared.mechanism.steps.flatMap((s) =>
      s.constants
        .filter((c) => c.setBy === undefined)
        .map((c) => ({ name: `${s.id}.${c.name}`, value: c.value, unit: c.unit, status: c.status, seen: c.seen })),
    ),
  )
  const held = () => Object.keys(props.desk.changes().constants).length
  return (
    <details class="constants" onToggle={(e) => setIsOpen(e.currentTarget.open)}>
      <summary>
        {t('rehearsal.constants', { n: all().length })}
        {held() > 0 ? ` · ${t('rehearsal.constantsHeld', { n: held() })}` : ''}
      </summary>
      <Show when={isOpen()}>
        <p class="quiet">{t('rehearsal.constantsHint')}</p>
        <For each={all()}>
          {(c) => (
            <SliderField
              label={c.name}
              under={`${powerText(c.value, (v) => formatNumber(v, 3))}${c.unit === '1' ? '' : ` ${unitText(c.unit)}`}, ${gradeWords(c.status, c.seen)}`}
              scale={{ from: 0.1, to: 10, kind: 'log', home: 1 }}
              value={props.desk.changes().constants[c.name] ?? 1}
              units={[{ name: t('rehearsal.times'), show: (v) => v, read: (v) => v }]}
              onValue={(v) => props.desk.change(withConstant(props.desk.changes(), c.name, v))}
            />
          )}
        </For>
      </Show>
    </details>
  )
}
