/** A slider with the number beside it, in a unit that can be chosen, and the way back to the recipe. */
import { createSignal, createUniqueId, For, Show } from '../framework.ts'
import { t } from '../words/index.ts'
import { formatNumber, parseNumber } from '../words/numbers.ts'
import { PLACES, placeOf, type SliderScale, stepFrom, valueAt } from './slider-scale.ts'
import './slider-field.css'

export interface SliderUnit {
  readonly name: string
  /** A value of the slider as a number in this unit. */
  show(value: number): number
  /** The way back. */
  read(shown: number): number
}

export interface SliderFieldProps {
  readonly label: string
  /** What it is part of, in a quiet voice. */
  readonly under?: string | undefined
  readonly scale: SliderScale
  readonly value: number
  /** The first is shown first. */
  readonly units: readonly SliderUnit[]
  readonly onValue: (value: number) => void
}

export function SliderField(props: SliderFieldProps) {
  const id = createUniqueId()
  const [unitAt, setUnitAt] = createSignal(0)
  const [fault, setFault] = createSignal<string | null>(null)
  const unit = (): SliderUnit => props.units[Math.min(unitAt(), props.units.length - 1)]!
  const shown = (): string => formatNumber(unit().show(props.value), 4)
  const isHome = (): boolean => props.value === props.scale.home
  const typed = (input: HTMLInputElement): void => {
    const read = parseNumber(input.value)
    const value = read.ok ? unit().read(read.value) : Number.NaN
    if (!(value >= 0) || !Number.isFinite(value)) {
      setFault(t('rehearsal.notANumber'))
      return
    }
    setFault(null)
    // What is typed as shown is left as it is: it has fewer digits than the value.
    if (input.value !== shown()) props.onValue(value)
  }
  const key = (e: KeyboardEvent): void => {
    const direction =
      e.key === 'ArrowRight' || e.key === 'ArrowUp' || e.key === 'PageUp'
        ? 1
        : e.key === 'ArrowLeft' || e.key === 'ArrowDown' || e.key === 'PageDown'
          ? -1
          : null
    if (direction === null) return
    e.preventDefault()
    props.onValue(stepFrom(props.scale, props.value, direction, e.shiftKey || e.key.startsWith('Page')))
  }
  return (
    <div class="slider-field" data-held={isHome() ? undefined : ''}>
      <label for={`${id}-slider`} class="slider-label">
        {props.label}
        <Show when={props.under}>
          <span class="quiet"> {props.under}</span>
        </Show>
      </label>
      <input
        id={`${id}-slider`}
        class="slider"
        type="range"
        min="0"
        max={PLACES}
        step="1"
        value={placeOf(props.scale, props.value)}
        aria-valuetext={`${shown()} ${unit().name}${isHome() ? `, ${t('rehearsal.asWritten')}` : ''}`}
        onInput={(e) => props.onValue(valueAt(props.scale, Number(e.currentTarget.value)))}
        onKeyDown={key}
      />
      <span
        class="slider-home"
        aria-hidden="true"
        style={{ '--home-number': String((100 * placeOf(props.scale, props.scale.home)) / PLACES) }}
      />
      <span class="slider-number">
        <input
          type="text"
          inputmode="decimal"
          aria-label={t('rehearsal.numberOf', { what: props.label, unit: unit().name })}
          aria-invalid={fault() === null ? undefined : 'true'}
          aria-describedby={fault() === null ? undefined : `${id}-fault`}
          value={shown()}
          onChange={(e) => typed(e.currentTarget)}
          onKeyDown={(e) => {
            if (e.key === 'Enter') typed(e.currentTarget)
          }}
        />
        <Show when={props.units.length > 1} fallback={<span class="unit">{unit().name}</span>}>
          <select aria-label={t('rehearsal.unitOf', { what: props.label })} onChange={(e) => setUnitAt(e.currentTarget.selectedIndex)}>
            <For each={props.units}>{(u, i) => <option selected={i() === unitAt()}>{u.name}</option>}</For>
          </select>
        </Show>
        <button
          type="button"
          class="plain"
          disabled={isHome()}
          aria-label={t('rehearsal.resetOne', { what: props.label })}
          onClick={() => {
            setFault(null)
            props.onValue(props.scale.home)
          }}
        >
          {t('rehearsal.back')}
        </button>
      </span>
      <Show when={fault()}>
        <span class="slider-fault" id={`${id}-fault`} role="alert">
          {fault()}
        </span>
      </Show>
    </div>
  )
}
