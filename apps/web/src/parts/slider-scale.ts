/** What a slider's places mean. Amounts are many times more or less, so they stand on a logarithmic scale; a temperature on a plain one. */
export interface SliderScale {
  readonly from: number
  readonly to: number
  readonly kind: 'log' | 'linear'
  /** The value that is caught when the slider comes near it: the recipe as it is. */
  readonly home: number
}

/** Places of a slider from end to end. */
export const PLACES = 1000
/** This near to home, in places, is home. */
const CATCH = 8

/** Place of a value, 0 to PLACES, values outside at the ends. */
export function placeOf(scale: SliderScale, value: number): number {
  const share =
    scale.kind === 'log'
      ? Math.log(Math.max(value, Number.MIN_VALUE) / scale.from) / Math.log(scale.to / scale.from)
      : (value - scale.from) / (scale.to - scale.from)
  return Math.min(PLACES, Math.max(0, Math.round(PLACES * share)))
}

/** Value at a place; near home exactly home. */
export function valueAt(scale: SliderScale, place: number): number {
  if (Math.abs(place - placeOf(scale, scale.home)) <= CATCH) return scale.home
  const share = Math.min(1, Math.max(0, place / PLACES))
  if (scale.kind === 'linear') return scale.from + share * (scale.to - scale.from)
  return scale.from * (scale.to / scale.from) ** share
}

/** The next value for a key: a hundredth of the scale, ten with `big`; never caught by home on the way out. */
export function stepFrom(scale: SliderScale, value: number, direction: 1 | -1, big: boolean): number {
  const step = big ? PLACES / 10 : PLACES / 100
  const place = placeOf(scale, value)
  const home = placeOf(scale, scale.home)
  const next = Math.min(PLACES, Math.max(0, place + direction * step))
  // Going through home stops there.
  if ((place < home && next > home) || (place > home && next < home)) return scale.home
  return valueAt(scale, next)
}
