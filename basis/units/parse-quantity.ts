/** Text with a unit -> a value in the internal unit, or everything that is wrong with it. */
import { done, nearest, type Outcome, type Problem, refuse, type Span } from '../problems/index.ts'
import type { Quantity, QuantityKind } from './quantity.ts'
import { findUnit, foldUnit, kindFacts, kindsKnowing, notTaken, type UnitEntry } from './unit-tables.ts'

/** Where the text stands, for messages. */
export interface QuantityPlace {
  /** "bottle "iodate", purity"; default: the text itself. */
  readonly where?: string
  readonly span?: Span
}

/** A quantity is a few words; what is longer is cut in messages and refused. */
const LONGEST_TEXT = 120
const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?/
const NOT_FINITE = /^[+-]?\.?(?:nan|inf(?:inity)?|∞)\b/i

/** "a volume", "a mass or a volume" */
function namesOf(kinds: readonly QuantityKind[]): string {
  const names = kinds.map((k) => kindFacts[k].name)
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`
}
/** Units to name in a message: all of one or two kinds, the most usual of many. */
const unitsOf = (kinds: readonly QuantityKind[]): readonly string[] => [
  ...new Set(kinds.flatMap((k) => kindFacts[k].shown.slice(0, kinds.length > 2 ? 2 : 6))),
]
const exampleOf = (kinds: readonly QuantityKind[]): string => `"${kindFacts[kinds[0] ?? 'number'].example}"`
function askFor(kinds: readonly QuantityKind[]): string {
  const units = unitsOf(kinds)
  const what = kinds.length > 2 ? 'a number with its unit' : namesOf(kinds)
  return `write ${what}, as in ${exampleOf(kinds)}${units.length > 0 ? ` (units: ${units.join(', ')})` : ''}`
}

/** What is wrong, without its place. */
interface Fault {
  readonly code: string
  readonly what: string
  readonly todo: string
}
type Read<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly fault: Fault }
const good = <T>(value: T): Read<T> => ({ ok: true, value })
const bad = (code: string, what: string, todo: string): Read<never> => ({ ok: false, fault: { code: `units/${code}`, what, todo } })

/** Reads the number at the start; the rest is the unit text. */
function readNumber(
  text: string,
  kinds: readonly QuantityKind[],
): Read<{ readonly number: number; readonly rest: string; readonly digits: string }> {
  if (NOT_FINITE.test(text)) return bad('not-finite', `"${text}" is not a finite number`, askFor(kinds))
  if (/^[+-]?0[xXbBoO][0-9a-fA-F]+/.test(text))
    return bad('not-decimal', `"${text}" is not a decimal number`, 'write it with decimal digits')
  const comma = /^([+-]?\d+),(\d+)(.*)$/.exec(text)
  if (comma) {
    const [, before, after, rest] = comma
    const asDot = `${before}.${after}${rest}`
    const thousands = after?.length === 3 && !rest?.startsWith('.') ? ` (or "${before}${after}${rest}" if the comma marked thousands)` : ''
    return bad('decimal-comma', `"${text}" has a comma in the number; decimals take a point here`, `write "${asDot}"${thousands}`)
  }
  const found = NUMBER.exec(text)
  if (!found) return bad('not-a-number', `"${text}" does not start with a number`, askFor(kinds))
  const digits = found[0]
  const rest = text.slice(digits.length)
  if (/^[.,']?\d/.test(rest.trimStart()) && !/^\s+\d/.test(rest)) {
    return bad('not-a-number', `"${text}" is not one number`, 'write one number with a point for decimals and nothing between thousands')
  }
  const number = Number(digits)
  if (!Number.isFinite(number)) return bad('too-large', `"${digits}" is larger than any number a computer holds`, 'check the exponent')
  if (number === 0 && /[1-9]/.test(digits.replace(/[eE].*$/, ''))) {
    return bad('too-small', `"${digits}" is smaller than any number a computer holds`, 'write 0, or check the exponent')
  }
  return good({ number, rest: rest.trim(), digits })
}

/** The unit and the kind it decides among `kinds`, or why not. */
function readUnit(
  unitText: string,
  text: string,
  kinds: readonly QuantityKind[],
  number: number,
): Read<{ readonly kind: QuantityKind; readonly unit: UnitEntry }> {
  const symbol = foldUnit(unitText)
  for (const kind of kinds) {
    const unit = findUnit(kind, symbol)
    if (unit) return good({ kind, unit })
  }
  if (symbol === '') {
    // nothing is nothing in any unit, except on a scale with another zero
    const only = kinds[0]
    if (number === 0 && kinds.length === 1 && only && only !== 'temperature') return good({ kind: only, unit: { symbol: '', factor: 1 } })
    return bad('unit-missing', `"${text}" has no unit`, askFor(kinds))
  }
  if (symbol === '%' || symbol === 'percent') {
    const bases = kinds.flatMap((k) => kindFacts[k].shown).filter((u) => u.startsWith('% '))
    if (bases.length > 0) {
      return bad(
        'percent-basis',
        `"${text}" does not say per cent of what`,
        `write ${bases.map((b) => `"${number} ${b}"`).join(' or ')}; the label of the bottle says which (w/w: g in 100 g; w/v: g in 100 mL; v/v: mL in 100 mL)`,
      )
    }
  }
  if (symbol === 'degF' || (symbol === 'F' && kinds.includes('temperature'))) {
    const celsius = Math.round(((number - 32) / 1.8) * 10) / 10
    return bad('fahrenheit', `"${text}" is in degrees Fahrenheit, which are not read here`, `write "${celsius} degC"`)
  }
  if (/^(?:g|mg|kg|L|mL|mol|mmol|s|min|h|cm|mm)\s*\d/.test(symbol)) {
    return bad('unit-unknown', `"${unitText}" in "${text}" has a number after the unit`, askFor(kinds))
  }
  // "5 m" where mol/L is meant, "0.1 MM": same letters, other case
  const sameLetters = kinds.flatMap((k) => kindFacts[k].units.map((u) => u.symbol)).find((u) => u.toLowerCase() === symbol.toLowerCase())
  const known = kindsKnowing(symbol)
  if (sameLetters !== undefined) {
    const other = known[0] ? `; "${symbol}" is ${kindFacts[known[0]].name}` : ''
    return bad(
      'unit-case',
      `"${unitText}" in "${text}" is not a unit here: capital and small letters differ${other}`,
      `did you mean "${sameLetters}"?`,
    )
  }
  if (known[0]) {
    const spoken = kindFacts[known[0]].name
    return bad('wrong-kind', `"${text}" is ${spoken}; ${namesOf(kinds)} is needed here`, askFor(kinds))
  }
  const reason = Object.hasOwn(notTaken, symbol) ? notTaken[symbol] : undefined
  if (reason !== undefined) return bad('unit-not-taken', `"${unitText}" in "${text}" is not a unit for the bench`, reason)
  const all = [...new Set(kinds.flatMap((k) => kindFacts[k].units.map((u) => u.symbol)))].filter((u) => u !== '')
  const usual = nearest(symbol, unitsOf(kinds))
  const near = usual.length > 0 ? usual : nearest(symbol, all, 2)
  const meant = near.length > 0 ? `did you mean ${near.map((n) => `"${n}"`).join(' or ')}? ` : ''
  const units = unitsOf(kinds)
  return bad(
    'unit-unknown',
    `"${unitText}" in "${text}" is not a unit known here`,
    units.length > 0
      ? `${meant}units: ${units.join(', ')}, as in ${exampleOf(kinds)}`
      : `write ${namesOf(kinds)} without a unit, as in ${exampleOf(kinds)}`,
  )
}

const toInternal = (number: number, unit: UnitEntry): number => number * unit.factor + (unit.offset ?? 0)

/** "1 min 30 s": falling units, none twice; null when the text is not of this shape. */
function readCompoundTime(text: string): number | null {
  const parts = [...text.matchAll(/(\d+(?:\.\d+)?)\s*([a-z]+)\s*/g)]
  if (parts.length < 2 || parts.map((p) => p[0]).join('') !== text) return null
  let sum = 0
  let before = Number.POSITIVE_INFINITY
  for (const [, digits, symbol] of parts) {
    const unit = findUnit('time', symbol ?? '')
    if (!unit || unit.factor >= before) return null
    before = unit.factor
    sum += Number(digits) * unit.factor
  }
  return Number.isFinite(sum) ? sum : null
}

function checkRange(value: number, kind: QuantityKind, text: string): Read<number> {
  const facts = kindFacts[kind]
  if (!Number.isFinite(value))
    return bad('too-large', `"${text}" is larger than any number a computer holds`, 'check the number and its unit')
  if (kind === 'temperature' && value < 0) {
    return bad('below-absolute-zero', `"${text}" lies below absolute zero (-273.15 degC)`, 'check sign and unit')
  }
  if (!facts.mayBeNegative && value < 0)
    return bad('negative', `"${text}" is negative; ${facts.name} is 0 or more`, 'remove the minus sign')
  if (facts.most && value > facts.most.value) return bad('too-much', `"${text}": ${facts.most.why}`, 'check the number and its unit')
  return good(value)
}

const uncertaintyFault = (whole: string, why: string): Read<never> =>
  bad(
    'uncertainty',
    `the uncertainty in "${whole}" ${why}`,
    'write it as one standard uncertainty, as in "0.0200 +/- 0.0002 mol/L" or "0.0200 mol/L +/- 1 %"',
  )

/** The half after "+/-", in the unit of the value (or its own, or a share of the value). */
function readUncertainty(text: string, whole: string, kind: QuantityKind, unit: UnitEntry, value: number): Read<number> {
  const spread: QuantityKind = kind === 'temperature' ? 'temperature-difference' : kind
  const fault = (why: string): Read<never> => uncertaintyFault(whole, why)
  const number = readNumber(text, [spread])
  if (!number.ok) return fault('is not a number')
  if (number.value.number < 0) return fault('is negative')
  if (number.value.rest === '') return good(number.value.number * unit.factor)
  const symbol = foldUnit(number.value.rest)
  const own = findUnit(spread, symbol)
  if (own) return good(number.value.number * own.factor)
  if (symbol === '%' && kind !== 'temperature') return good((number.value.number / 100) * value)
  return fault(`has a unit that does not fit, "${number.value.rest}"`)
}

function read(text: string, kinds: readonly QuantityKind[]): Read<Omit<Quantity, 'text'>> {
  const compound = kinds.includes('time') ? readCompoundTime(text) : null
  if (compound !== null) return good({ kind: 'time', value: compound })
  // "0.02 +/- 0.001 mol/L": value, uncertainty with the unit last; or the unit with the value
  const halves = text.split(/\s*(?:\+\/-|±)\s*/)
  if (halves.length > 2) return bad('uncertainty', `"${text}" has more than one "+/-"`, 'keep one standard uncertainty')
  const [main = '', spread] = halves
  const number = readNumber(main, kinds)
  if (!number.ok) return number
  if (spread !== undefined && !NUMBER.test(spread)) return uncertaintyFault(text, 'is not a number')
  let unitText = number.value.rest
  if (spread !== undefined && unitText === '') unitText = spread.replace(NUMBER, '').trim()
  const unit = readUnit(unitText, text, kinds, number.value.number)
  if (!unit.ok) return unit
  const value = checkRange(toInternal(number.value.number, unit.value.unit), unit.value.kind, text)
  if (!value.ok) return value
  if (spread === undefined) return good({ kind: unit.value.kind, value: value.value })
  const uncertainty = readUncertainty(spread, text, unit.value.kind, unit.value.unit, value.value)
  if (!uncertainty.ok) return uncertainty
  return good({ kind: unit.value.kind, value: value.value, uncertainty: uncertainty.value })
}

/**
 * Reads `text` as one of `kinds` (the first that knows the unit wins), value in the internal unit of its kind.
 *
 * Capital and small letters count ("M" is mol/L, "m" is metre), except L and l. Micro signs, superscripts, "·" and
 * spaces round "/" are folded. "+/-" or "±" gives a standard uncertainty. Never throws; a fault is one Problem with code `units/…`.
 */
export function parseQuantity(text: string, kinds: readonly QuantityKind[], at: QuantityPlace = {}): Outcome<Quantity> {
  const written = text.length > LONGEST_TEXT ? `${text.slice(0, LONGEST_TEXT)}…` : text
  const place = at.where ?? `quantity "${written}"`
  const problem = (fault: Fault): Problem => ({ ...fault, where: place, ...(at.span ? { span: at.span } : {}) })
  const clean = text
    .replace(/[\s\u00a0\u2009\u202f]+/g, ' ')
    .replace(/−/g, '-')
    .trim()
  if (clean === '') return refuse(problem({ code: 'units/empty', what: 'nothing stands here', todo: askFor(kinds) }))
  if (clean.length > LONGEST_TEXT) {
    return refuse(problem({ code: 'units/too-long', what: `"${written}" is longer than ${LONGEST_TEXT} characters`, todo: askFor(kinds) }))
  }
  const result = read(clean, kinds)
  return result.ok ? done({ ...result.value, text: clean }) : refuse(problem(result.fault))
}
