/** Numbers and quantities as people read them. Internal units in, text out. */
import type { QuantityKind } from './quantity.ts'
import { kelvinToCelsius } from './units.ts'

/** Outside this span plain digits become a row of zeros, so powers of ten are written. */
const PLAIN_FROM = 1e-4
const PLAIN_BELOW = 1e7

/** Powers of ten that plain digits are written with, and one beyond. */
const POWERS = [1e-5, 1e-4, 1e-3, 1e-2, 1e-1, 1, 10, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7] as const
const FIRST_POWER = -5

/** The power of ten of the first digit, exact (a logarithm misses at 1000). x > 0. */
function powerOfTen(x: number): number {
  const above = POWERS.findIndex((power) => x < power)
  return above > 0 ? FIRST_POWER + above - 1 : Number(x.toExponential().split('e')[1])
}

/**
 * `value` with that many significant digits (1 to 15, others are clamped), zeros at the end kept because they are earned:
 * 0.19 with 3 is "0.190". Powers of ten as "1.2e-7" outside 1e-4 … 1e7. Not finite: "not a number", "infinite".
 */
export function formatNumber(value: number, significantDigits: number): string {
  if (Number.isNaN(value)) return 'not a number'
  if (!Number.isFinite(value)) return value > 0 ? 'infinite' : '-infinite'
  if (value === 0) return '0'
  const digits = Math.min(15, Math.max(1, Math.round(significantDigits)))
  const rounded = Number(value.toPrecision(digits))
  const size = Math.abs(rounded)
  if (size < PLAIN_FROM || size >= PLAIN_BELOW) return rounded.toExponential(digits - 1).replace('e+', 'e')
  const exponent = powerOfTen(size)
  return rounded.toFixed(Math.max(0, digits - 1 - exponent))
}

/**
 * "0.1900 ± 0.0012": the uncertainty at most two significant digits (GUM, JCGM 100:2008, 7.2.6), the value rounded to match.
 * An uncertainty that is 0, negative or not finite is left out and the value gets four digits.
 */
export function withUncertainty(value: number, uncertainty: number): string {
  if (!Number.isFinite(value) || !Number.isFinite(uncertainty) || uncertainty <= 0) return formatNumber(value, 4)
  const shown = Number(uncertainty.toPrecision(2))
  const exponent = powerOfTen(shown)
  const scale = Math.max(Math.abs(value), shown)
  if (scale < PLAIN_FROM || scale >= PLAIN_BELOW) {
    const power = powerOfTen(scale)
    const decimals = Math.min(20, Math.max(0, power - exponent + 1))
    return `(${(value / 10 ** power).toFixed(decimals)} ± ${(shown / 10 ** power).toFixed(decimals)})e${power}`
  }
  const decimals = 1 - exponent
  if (decimals >= 0) return `${value.toFixed(Math.min(20, decimals))} ± ${shown.toFixed(Math.min(20, decimals))}`
  const step = 10 ** -decimals
  return `${Math.round(value / step) * step} ± ${Math.round(shown / step) * step}`
}

/** "12.3 s", "6 min 10 s", "1 h 05 min"; from a minute on whole seconds. */
export function formatTime(seconds: number, significantDigits = 3): string {
  if (!Number.isFinite(seconds)) return formatNumber(seconds, significantDigits)
  const sign = seconds < 0 ? '-' : ''
  const size = Math.abs(seconds)
  if (size < 59.95) return `${sign}${formatNumber(size, significantDigits)} s`
  const whole = Math.round(size)
  if (whole < 3600) return `${sign}${Math.floor(whole / 60)} min${whole % 60 === 0 ? '' : ` ${whole % 60} s`}`
  const minutes = Math.round(whole / 60)
  return `${sign}${Math.floor(minutes / 60)} h${minutes % 60 === 0 ? '' : ` ${String(minutes % 60).padStart(2, '0')} min`}`
}

/** A unit, its factor, and the size (internal unit) from which it is the natural choice. */
interface Rung {
  readonly unit: string
  readonly factor: number
  readonly from: number
}
const rung = (unit: string, factor: number, from = factor): Rung => ({ unit, factor, from })

/** Largest first. Concentrations stay in mol/L down to 0.01 and masses in g down to 0.1: that is how recipes are read. */
const ladders: Partial<Record<QuantityKind, readonly Rung[]>> = {
  'amount-concentration': [rung('mol/L', 1, 0.01), rung('mmol/L', 1e-3, 1e-4), rung('umol/L', 1e-6), rung('nmol/L', 1e-9)],
  'mass-concentration': [rung('g/L', 1, 0.1), rung('mg/L', 1e-3)],
  'mass-fraction': [rung('% w/w', 0.01)],
  'volume-fraction': [rung('% v/v', 0.01)],
  'oxygen-volumes': [rung('volumes', 1)],
  mass: [rung('kg', 1e3), rung('g', 1, 0.1), rung('mg', 1e-3), rung('ug', 1e-6)],
  volume: [rung('m3', 1e3), rung('L', 1), rung('mL', 1e-3), rung('uL', 1e-6)],
  amount: [rung('mol', 1, 0.1), rung('mmol', 1e-3), rung('umol', 1e-6)],
  'temperature-difference': [rung('K', 1)],
  length: [rung('m', 100), rung('cm', 1, 0.1), rung('mm', 0.1)],
  density: [rung('g/mL', 1)],
  molality: [rung('mol/kg', 1, 0.01), rung('mmol/kg', 1e-3)],
  fraction: [rung('%', 0.01)],
  rate: [rung('1/s', 1)],
  energy: [rung('kJ', 1e3), rung('J', 1)],
  pressure: [rung('kPa', 1e3), rung('Pa', 1)],
}

/**
 * `value` (internal unit of its kind) in the unit a person would choose: 0.3 L is "300 mL", 0.0021 mol/L is "2.10 mmol/L".
 * Times as "6 min 10 s"; temperatures in degrees Celsius ("21.0 °C" with three digits, "21 °C" with two). Units are those parseQuantity reads.
 */
export function formatQuantity(value: number, kind: QuantityKind, significantDigits = 3): string {
  if (!Number.isFinite(value)) return formatNumber(value, significantDigits)
  if (kind === 'time') return formatTime(value, significantDigits)
  if (kind === 'temperature') return `${kelvinToCelsius(value).toFixed(Math.max(0, significantDigits - 2))} °C`
  const ladder = ladders[kind]
  if (!ladder) return formatNumber(value, significantDigits)
  const size = Math.abs(value)
  const chosen = (size === 0 ? ladder.find((r) => r.factor === 1) : ladder.find((r) => size >= r.from)) ?? ladder.at(-1)!
  return `${formatNumber(value / chosen.factor, significantDigits)} ${chosen.unit}`
}
