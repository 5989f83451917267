/** Species, equations and units typeset for the page. The charge of a species decides what its last digits are. */
import type { Mechanism } from '@beakertide/core/mechanism'

export type Charges = Readonly<Record<string, number>>

const LOW = '₀₁₂₃₄₅₆₇₈₉'
const HIGH: Readonly<Record<string, string>> = {
  '+': '⁺',
  '-': '⁻',
  0: '⁰',
  1: '¹',
  2: '²',
  3: '³',
  4: '⁴',
  5: '⁵',
  6: '⁶',
  7: '⁷',
  8: '⁸',
  9: '⁹',
}
const low = (digits: string): string => digits.replace(/\d/g, (d) => LOW.charAt(Number(d)))
const high = (text: string): string => Array.from(text, (c) => HIGH[c] ?? c).join('')

/** Charges of the species a mechanism knows. */
export function chargesOf(mechanism: Mechanism): Charges {
  return Object.fromEntries([...mechanism.species, ...(mechanism.netSpecies ?? [])].map((s) => [s.id, s.charge]))
}

/** "SO₄²⁻" for "SO4^2-", "Mn²⁺" for "Mn2+", "I₃⁻" for "I3-", "HO₂•" for "HO2."; words as they are. */
export function speciesText(id: string, charges: Charges = {}): string {
  const suffix = /\((?:aq|g|s|l)\)$/.exec(id)?.[0] ?? ''
  const bare = suffix === '' ? id : id.slice(0, -suffix.length)
  if (/^[a-z]{2,}/.test(bare)) return id
  const radical = bare.endsWith('.') ? '•' : ''
  const body = radical === '' ? bare : bare.slice(0, -1)
  const caret = body.indexOf('^')
  if (caret > 0) return low(body.slice(0, caret)) + high(body.slice(caret + 1)) + radical + suffix
  const signed = /^(.*?)(\d*)([+-]+)$/.exec(body)
  if (!signed) return low(body) + radical + suffix
  const [, stem = '', digits = '', sign = ''] = signed
  const charge = charges[id]
  // One element before the digits and no charge known: "Mn2+" is a charge, "I3-" is known by its minus.
  const isCharge =
    digits !== '' && (charge === undefined ? /^[A-Z][a-z]?$/.test(stem) && sign === '+' : Math.abs(charge) === Number(digits))
  return low(stem) + (isCharge ? high(digits + sign) : low(digits) + high(sign)) + radical + suffix
}

/** An equation with its species typeset and its arrow drawn. */
export function equationText(equation: string, charges: Charges = {}): string {
  return equation
    .split(/\s+/)
    .map((word) => {
      if (word === '->' || word === '=>') return '→'
      if (word === '<=>' || word === '<->') return '⇌'
      if (word === '+' || /^\d+(\.\d+)?$/.test(word)) return word
      return speciesText(word, charges)
    })
    .join(' ')
}

/** "L² mol⁻² s⁻¹" for "L^2 mol^-2 s^-1". */
export const unitText = (unit: string): string => unit.replace(/\^(-?\d+)/g, (_, power: string) => high(power))

/** "1.2 · 10⁻³" as a plain number between a thousandth and ten thousand, else with its power of ten. */
export function powerText(value: number, write: (value: number) => string): string {
  if (value === 0 || !Number.isFinite(value)) return write(value)
  const size = Math.abs(value)
  if (size >= 1e-3 && size < 1e4) return write(value)
  const [mantissa = '', power = ''] = value.toExponential().split('e')
  return `${write(Number(mantissa))} · 10${high(power.replace('+', ''))}`
}
