/** Pour: the vessels to scale, what is poured into them and when, the room, and how it looks from where people sit. */
import { AUDIENCE_DISTANCE_M } from '@beakertide/core/cautions'
import type { WrittenDocument } from '@beakertide/demonstration/edit'
import { createMemo, createSignal, For, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { isRefused } from '../../desk/refused.ts'
import { CautionBlock } from '../../parts/caution-lines.tsx'
import { clockOrder, filledL, freeName, plannedVessels, widthAtArm } from '../../parts/pour-plan.ts'
import { QuantityField } from '../../parts/quantity-field.tsx'
import { Remarks } from '../../parts/remarks.tsx'
import { ChoiceField } from '../../parts/text-field.tsx'
import { problemsAt, writtenOf } from '../../parts/written.ts'
import { t } from '../../words/index.ts'
import { formatClock, formatNumber } from '../../words/numbers.ts'
import { readTyped } from '../../words/quantities.ts'
import { VesselFields } from './vessel-fields.tsx'
import { VesselsFigure } from './vessels-figure.tsx'
import './pour-page.css'

const LIGHTS = {
  daylight: 'pour.light.daylight',
  'warm daylight': 'pour.light.warmDaylight',
  'filament lamp': 'pour.light.filament',
  'warm led': 'pour.light.warmLed',
  'soft led': 'pour.light.softLed',
  'neutral led': 'pour.light.neutralLed',
  'cool led': 'pour.light.coolLed',
  'cold led': 'pour.light.coldLed',
  'coloured led mix': 'pour.light.mixLed',
  'fluorescent tube': 'pour.light.tube',
  'three-band tube': 'pour.light.threeBand',
} as const
const USUAL_LAST_ROW = '6 m'

export function PourPage(props: { readonly desk: Desk }) {
  const written = writtenOf(props.desk)
  return (
    <div class="pour-page">
      <h1>{t('pour.title')}</h1>
      <Show when={written()} fallback={<p class="lead">{t('pour.reading')}</p>}>
        {(w) => <Pouring desk={props.desk} written={w()} />}
      </Show>
    </div>
  )
}

function Pouring(props: { readonly desk: Desk; readonly written: WrittenDocument }) {
  const planned = createMemo(() => plannedVessels(props.written.vessels))
  const order = createMemo(() => clockOrder(planned()))
  /** Refused: nothing is drawn or listed from what the fields say. */
  const isHeld = (): boolean => isRefused(props.desk.day())
  const remarks = () => (props.desk.day()?.warnings ?? []).filter((w) => /^(?:mixture|document)\//.test(w.code))
  const figureWords = (): string =>
    planned()
      .map((v) => t('pour.figure', { vessel: v.id, volume: formatNumber(filledL(v) * 1000, 4), width: formatNumber(v.widthCm, 3) }))
      .join(' ')
  const addVessel = (): void => {
    const first = props.written.solutions[0]?.id
    if (first === undefined) return
    const name = freeName(
      t('pour.newVessel'),
      props.written.vessels.map((v) => v.id),
    )
    props.desk.edit(
      [{ path: ['vessels', name], value: { holds: '1 L', depth: '8 cm', pours: [`100 mL of ${first}`] } }],
      t('pour.label.addVessel'),
    )
  }
  return (
    <>
      <Show when={!isHeld()} fallback={<p>{t('pour.refused')}</p>}>
        <Show when={planned().length > 0} fallback={<p>{t('pour.noVessel')}</p>}>
          <VesselsFigure vessels={planned()} label={figureWords()} />
        </Show>
      </Show>
      <Remarks remarks={remarks()} />
      <div class="pour-columns">
        <div>
          <For each={props.written.vessels.map((v) => v.id)}>
            {(id) => (
              <Show when={props.written.vessels.find((v) => v.id === id)}>
                {(v) => <VesselFields desk={props.desk} written={props.written} vessel={v()} />}
              </Show>
            )}
          </For>
          <button type="button" disabled={props.written.solutions.length === 0} onClick={addVessel}>
            {t('pour.addVessel')}
          </button>
        </div>
        <div>
          <Show when={!isHeld()}>
            <section aria-labelledby="pour-clock">
              <h2 id="pour-clock">{t('pour.clock')}</h2>
              <ol class="clock-list">
                <For each={order()}>
                  {(c) => (
                    <li>
                      <span class="clock-time">{formatClock(c.pour.atS)}</span>{' '}
                      {t('pour.pourInto', { volume: formatNumber(c.pour.volumeL * 1000, 4), solution: c.pour.solution, vessel: c.vessel })}
                    </li>
                  )}
                </For>
              </ol>
            </section>
          </Show>
          <Room desk={props.desk} written={props.written} />
          <Seats desk={props.desk} written={props.written} widths={planned().map((v) => ({ id: v.id, widthCm: v.widthCm }))} />
        </div>
      </div>
    </>
  )
}

function Room(props: { readonly desk: Desk; readonly written: WrittenDocument }) {
  const problems = () => props.desk.day()?.problems ?? []
  const set = (path: readonly string[], value: string | undefined, label: string): void => props.desk.edit([{ path, value }], label)
  return (
    <section aria-labelledby="pour-room">
      <h2 id="pour-room">{t('pour.room')}</h2>
      <div class="pour-fields">
        <QuantityField
          label={t('pour.temperature')}
          value={props.written.room.temperature}
          kinds={['temperature']}
          unit="degC"
          mayBeEmpty
          placeholder="20 degC"
          hint={t('pour.temperatureHint')}
          problems={problemsAt(problems(), 'room, temperature')}
          onValue={(text) => set(['room', 'temperature'], text, t('pour.temperature'))}
        />
        <QuantityField
          label={t('pour.roomVolume')}
          value={props.written.room.volume}
          kinds={['volume']}
          unit="m3"
          mayBeEmpty
          placeholder={t('pour.notStated')}
          hint={t('pour.roomVolumeHint')}
          problems={problemsAt(problems(), 'room, volume')}
          onValue={(text) => set(['room', 'volume'], text, t('pour.roomVolume'))}
        />
        <QuantityField
          label={t('pour.airChanges')}
          value={props.written.room.airChanges}
          kinds={['rate']}
          unit="/h"
          mayBeEmpty
          placeholder={t('pour.notStated')}
          problems={problemsAt(problems(), 'room, air changes')}
          onValue={(text) => set(['room', 'air changes'], text, t('pour.airChanges'))}
        />
        <ChoiceField
          label={t('pour.light')}
          value={props.written.light === '' ? 'daylight' : props.written.light}
          choices={Object.entries(LIGHTS).map(([value, key]) => ({ value, words: t(key) }))}
          problems={problemsAt(problems(), 'view, light')}
          onValue={(light) => set(['view', 'light'], light, t('pour.light'))}
        />
        <QuantityField
          label={t('pour.rehearseFor')}
          value={props.written.rehearseFor}
          kinds={['time']}
          unit="min"
          mayBeEmpty
          placeholder="10 min"
          problems={problemsAt(problems(), 'rehearse for')}
          onValue={(text) => set(['rehearse for'], text, t('pour.rehearseFor'))}
        />
      </div>
    </section>
  )
}

/** How near people sit, as the document says, and how wide the vessels look from there and from the last row (a matter of the hall alone). */
function Seats(props: {
  readonly desk: Desk
  readonly written: WrittenDocument
  readonly widths: readonly { readonly id: string; readonly widthCm: number }[]
}) {
  const [lastRow, setLastRow] = createSignal(USUAL_LAST_ROW)
  const metres = (): number => {
    const read = readTyped(lastRow(), ['length'], 'm')
    return read.ok ? read.value.value / 100 : Number.NaN
  }
  const problems = () => props.desk.day()?.problems ?? []
  return (
    <section aria-labelledby="pour-seats">
      <h2 id="pour-seats">{t('pour.seats')}</h2>
      <div class="pour-fields">
        <QuantityField
          label={t('pour.audience')}
          value={props.written.room.audience}
          kinds={['length']}
          unit="m"
          mayBeEmpty
          placeholder={t('pour.notStated')}
          hint={t('pour.audienceHint', { least: AUDIENCE_DISTANCE_M })}
          problems={problemsAt(problems(), 'room, audience')}
          onValue={(text) => props.desk.edit([{ path: ['room', 'audience'], value: text }], t('pour.audience'))}
        />
        <QuantityField
          label={t('pour.lastRow')}
          value={lastRow()}
          kinds={['length']}
          unit="m"
          hint={t('pour.lastRowHint')}
          onValue={(text) => setLastRow(text ?? USUAL_LAST_ROW)}
        />
      </div>
      <CautionBlock title={t('pour.seatsDanger')} lines={(props.desk.day()?.danger ?? []).filter((l) => l.about === 'audience')} />
      <Show when={metres() > 0}>
        <ul class="seat-list">
          <For each={props.widths}>
            {(v) => <li>{t('pour.looks', { vessel: v.id, mm: formatNumber(10 * widthAtArm(v.widthCm, metres()), 2) })}</li>}
          </For>
        </ul>
        <p class="quiet">{t('pour.thumb')}</p>
      </Show>
    </section>
  )
}
