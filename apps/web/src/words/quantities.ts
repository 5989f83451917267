/** Quantities between people and documents: people type and read the decimal sign of their place, documents have a point. */
import type { Outcome } from '@beakertide/basis/problems'
import { parseQuantity, type Quantity, type QuantityKind } from '@beakertide/basis/units'
import { decimalSign, parseNumber } from './numbers.ts'

const NUMBERS = /\d[\d.,'’\u00a0\u202f]*/g

/** "0,25 L" as "0.25 L": digits and zeros as typed. What can be read in two ways stays, and is then told by the reader of quantities. */
export function documentQuantity(typed: string): string {
  return typed
    .trim()
    .replace(NUMBERS, (token) => {
      const tail = /[.,'’\u00a0\u202f]+$/.exec(token)?.[0] ?? ''
      const number = token.slice(0, token.length - tail.length)
      const read = parseNumber(number)
      if (!read.ok) return token
      const bare = number.replace(/['’\u00a0\u202f]/g, '')
      const plain = [bare, bare.replaceAll(',', ''), bare.replaceAll('.', '').replace(',', '.'), bare.replaceAll('.', '')].find(
        (text) => /^\d+(?:\.\d+)?$/.test(text) && Number(text) === read.value,
      )
      return (plain ?? String(read.value)) + tail
    })
    .replace(/\s+/g, ' ')
    .replace(/[−–](?=\d)/g, '-')
}

/** A quantity of a document as people of the place write it. */
export function shownQuantity(text: string): string {
  const sign = decimalSign()
  return text
    .replace(/(\d)\.(?=\d)/g, (_, digit: string) => digit + sign)
    .replace(/\bdegC\b/g, '°C')
    .replace(/\buL\b/g, 'µL')
    .replace(/\+\/-/g, '±')
}

/** A typed quantity; a bare number gets the unit that stands beside the field. Its text is that of a document. */
export function readTyped(typed: string, kinds: readonly QuantityKind[], unit: string): Outcome<Quantity> {
  const text = documentQuantity(typed)
  const whole = unit !== '' && /^-?\d+(?:\.\d+)?$/.test(text) ? `${text} ${unit}` : text
  return parseQuantity(whole, kinds, {})
}
