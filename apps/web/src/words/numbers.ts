/** Numbers as people of a place write and type them. Inside the program numbers are numbers; only these two turn them to and from text. */

/** Two groups of digits that a person may have meant as thousands or as decimals are refused rather than guessed. */
export type ReadNumber =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly why: 'empty' | 'not a number' | 'unclear' }

let place = 'en'

/** The place whose habits hold: a language tag such as "de-CH". */
export function useNumbersOf(tag: string): void {
  place = tag
}
/** The tag in use. */
export function numbersOf(): string {
  return place
}

/** Making a writer costs a hundred times what writing does, and sliders write many numbers in a frame. */
const writers = new Map<string, Intl.NumberFormat>()
function writerFor(options: Intl.NumberFormatOptions): Intl.NumberFormat {
  const key = `${place} ${JSON.stringify(options)}`
  let writer = writers.get(key)
  if (writer === undefined) {
    writer = new Intl.NumberFormat(place, options)
    writers.set(key, writer)
  }
  return writer
}

/** `digits` significant digits, no grouping below 10 000, a true minus. Not finite: an en dash. */
export function formatNumber(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return '–'
  const text = writerFor({
    minimumSignificantDigits: Math.min(digits, significant(value, digits)),
    maximumSignificantDigits: digits,
    useGrouping: 'min2',
  }).format(Math.abs(value))
  return value < 0 ? `−${text}` : text
}

/** Digits that stay when the number is written shortest, at most `most`. */
function significant(value: number, most: number): number {
  const shown = Number(value.toPrecision(most))
  if (Number.isInteger(shown)) return 1
  return Math.max(
    1,
    shown
      .toString()
      .replace(/e.*$/, '')
      .replace(/^[-0.]+/, '')
      .replace('.', '').length,
  )
}

/** A fixed number of decimals. */
export function formatFixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return '–'
  const text = writerFor({
    minimumFractionDigits: decimals,
    maximumFractionDigits: decimals,
    useGrouping: 'min2',
  }).format(Math.abs(value))
  return value < 0 && Number(value.toFixed(decimals)) !== 0 ? `−${text}` : text
}

/** "4:05" or "1:02:09", whole seconds. */
export function formatClock(seconds: number): string {
  const s = Math.round(Math.abs(seconds))
  const two = (n: number): string => String(n).padStart(2, '0')
  const hours = Math.floor(s / 3600)
  const text = hours > 0 ? `${hours}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}` : `${Math.floor(s / 60)}:${two(s % 60)}`
  return seconds < 0 && s > 0 ? `−${text}` : text
}

/**
 * A typed number: decimal comma or point, a minus of either kind, spaces and apostrophes between thousands. With both signs the last one
 * is the decimal sign. "1,234" and "1.234" are read by the habit of the place.
 */
export function parseNumber(typed: string): ReadNumber {
  const text = typed
    .trim()
    .replace(/[\s\u00a0\u202f'’_]/g, '')
    .replace(/^[−–]/, '-')
  if (text === '') return { ok: false, why: 'empty' }
  const body = /^[+-]?([\d.,]*\d[\d.,]*)(?:[eE][+-]?\d{1,3})?$/.exec(text)?.[1]
  if (body === undefined) return { ok: false, why: 'not a number' }
  const decimal = decimalSignIn(body)
  if (decimal === null) return { ok: false, why: 'unclear' }
  const grouping = decimal === ',' ? '.' : ','
  const plain = text.replaceAll(grouping, '').replace(decimal, '.')
  const value = Number(plain)
  return Number.isFinite(value) ? { ok: true, value } : { ok: false, why: 'not a number' }
}

/** Which of the two signs is the decimal one; null when the groups do not add up. */
function decimalSignIn(body: string): ',' | '.' | null {
  const commas = body.split(',').length - 1
  const points = body.split('.').length - 1
  if (commas > 1 && points > 1) return null
  const sign = commas === 0 ? '.' : points === 0 ? ',' : body.lastIndexOf(',') > body.lastIndexOf('.') ? ',' : '.'
  const other = sign === ',' ? '.' : ','
  const count = sign === ',' ? commas : points
  if (count > 1) return body.includes(other) || !isGrouped(body, sign) ? null : other
  if (body.includes(other)) return isGrouped(body.slice(0, body.indexOf(sign)), other) ? sign : null
  // One sign with exactly three digits behind it may be either; the habit of the place decides.
  const isAmbiguous = count === 1 && /^[1-9]\d{0,2}[.,]\d{3}$/.test(body)
  if (!isAmbiguous) return sign
  return decimalSign() === sign ? sign : other
}

/** Groups of three behind the first. */
function isGrouped(body: string, sign: string): boolean {
  const [first, ...rest] = body.split(sign)
  return (first ?? '').length >= 1 && (first ?? '').length <= 3 && rest.every((group) => /^\d{3}$/.test(group))
}

/** The decimal sign of the place in use, or of another. */
export function decimalSign(of = place): ',' | '.' {
  return new Intl.NumberFormat(of).formatToParts(1.5).find((p) => p.type === 'decimal')?.value === ',' ? ',' : '.'
}
