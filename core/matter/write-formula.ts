import { parseFormula } from './parse-formula.ts'
import { closing, type FormulaItem, type FormulaTree } from './formula-tree.ts'
import type { Species } from './substance.ts'

/** `unicode`: SO₄²⁻; `html`: SO<sub>4</sub><sup>2−</sup>; `plain`: SO4^2-, which parses back to the same formula. */
export type FormulaStyle = 'unicode' | 'html' | 'plain'

const raisedDigits = '⁰¹²³⁴⁵⁶⁷⁸⁹'
const loweredDigits = '₀₁₂₃₄₅₆₇₈₉'
const digitsAs = (digits: string, set: string): string => digits.replace(/\d/g, (d) => set[Number(d)]!)

function escape(text: string): string {
  return text.replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`)
}

function lowered(count: number, style: FormulaStyle): string {
  if (count === 1) return ''
  if (style === 'unicode') return digitsAs(String(count), loweredDigits)
  return style === 'html' ? `<sub>${count}</sub>` : String(count)
}

function raised(charge: number, style: FormulaStyle): string {
  if (charge === 0) return ''
  const size = Math.abs(charge) === 1 ? '' : String(Math.abs(charge))
  if (style === 'unicode') return digitsAs(size, raisedDigits) + (charge < 0 ? '⁻' : '⁺')
  return style === 'html' ? `<sup>${size}${charge < 0 ? '−' : '+'}</sup>` : `^${size}${charge < 0 ? '-' : '+'}`
}

function items(list: readonly FormulaItem[], style: FormulaStyle): string {
  return list
    .map((x) => (x.kind === 'atom' ? x.symbol : x.bracket + items(x.items, style) + closing[x.bracket]) + lowered(x.count, style))
    .join('')
}

function multiplier(value: number): string {
  return value === 1 ? '' : String(Number(value.toPrecision(6)))
}

function write(tree: FormulaTree, style: FormulaStyle): string {
  const body = tree.parts.map((part) => multiplier(part.multiplier) + items(part.items, style)).join('·')
  const dot = tree.isRadical ? (style === 'plain' ? '.' : '•') : ''
  const phase = tree.phase === null ? '' : `(${tree.phase})`
  const withCaret = body + dot + raised(tree.charge, style) + phase
  if (style !== 'plain' || tree.charge === 0) return withCaret
  // "Mn2+", "NH4+", "I3-" are the short spellings; they are used wherever they read back the same.
  const single = tree.parts.length === 1 && /^[A-Z][a-z]?$/.test(body)
  const size = Math.abs(tree.charge)
  if (size > 1 && !(single && tree.charge > 0)) return withCaret
  const short = `${body}${dot}${size > 1 ? size : ''}${tree.charge < 0 ? '-' : '+'}${phase}`
  const back = parseFormula(short)
  const isSame =
    back.ok && back.value.charge === tree.charge && items(back.value.tree.parts[0]!.items, 'plain') === items(tree.parts[0]!.items, 'plain')
  return isSame ? short : withCaret
}

/**
 * The formula typeset. Text that is no formula (an own name such as "MA^2-") comes back with its charge typeset;
 * in html anything strange is escaped.
 */
export function writeFormula(text: string, style: FormulaStyle): string {
  const parsed = parseFormula(text)
  return parsed.ok ? write(parsed.value.tree, style) : writeName(text, style)
}

function writeName(text: string, style: FormulaStyle): string {
  if (style === 'plain') return text
  const charged = /^([^^]{1,80}?)(?:\^(\d?)([+-])|([+-]))$/.exec(text)
  const body = charged ? charged[1]! : text
  const sign = charged ? (charged[3] ?? charged[4]) : undefined
  const charge = sign === undefined ? 0 : (sign === '-' ? -1 : 1) * Number(charged?.[2] || 1)
  return (style === 'html' ? escape(body) : body) + raised(charge, style)
}

/** A species typeset by its own composition and charge, right also for ids that are names ("MnOH2+" is MnOH²⁺). */
export function writeSpecies(species: Species, style: FormulaStyle): string {
  const parsed = parseFormula(species.id)
  if (parsed.ok && parsed.value.charge === species.charge) return write(parsed.value.tree, style)
  const ending = new RegExp(`\\^?${Math.abs(species.charge)}?[+-]$`)
  const body = species.charge === 0 ? species.id : species.id.replace(ending, '')
  if (style === 'plain') return species.id
  const stem = parseFormula(body)
  return (stem.ok ? write(stem.value.tree, style) : style === 'html' ? escape(body) : body) + raised(species.charge, style)
}
