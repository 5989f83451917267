/** Rate constants in a mechanism file: a number with its unit, its origin and its temperature dependence. */
import type { Span } from '@beakertide/basis/problems'
import type { Seen } from '@beakertide/basis/sources'
import type { TreeEntry } from '@beakertide/basis/text'
import { parseQuantity } from '@beakertide/basis/units'
import { rateFunctions } from './expression.ts'
import type { ConstantStatus, RateConstant } from './mechanism.ts'
import { type Dimension, joulePerMol, molPerL, printUnit, readUnit, sameDimension, unitSymbols } from './rate-unit.ts'
import { choiceOf, type Fields, fieldsOf, type Reading, report, short, textOf, wordsOf } from './reading.ts'

export const seenWords: readonly Seen[] = ['read', 'computed', 'memory', 'assumed', 'practice', 'mixed']
const statusWords: Readonly<Record<string, ConstantStatus>> = {
  published: 'published',
  'adjusted within range': 'adjusted-in-range',
  'adjusted outside range': 'adjusted-outside-range',
  assumed: 'assumed',
  placeholder: 'placeholder',
}
const setByWords: Readonly<Record<string, NonNullable<RateConstant['setBy']>>> = {
  'ionic strength': 'ionic-strength',
  'hydrogen ion': 'hydrogen-ion',
}
const KEYS = ['value', 'activation', 'activation seen', 'at', 'range', 'status', 'seen', 'sources', 'set by', 'note'] as const
/** Keys of a step (and of "by default") that stand for all its constants. */
export const constantDefaultKeys = ['status', 'seen', 'sources'] as const

/** What constants have when they do not say otherwise. */
export interface ConstantDefaults {
  readonly status?: ConstantStatus
  readonly seen?: Seen
  readonly sources?: readonly string[]
}

/** Reads status, seen and sources of a step or of "by default", over those it inherits. */
export function readDefaults(fields: Fields, what: string, inherited: ConstantDefaults, reading: Reading): ConstantDefaults {
  const status = choiceOf(fields.get('status'), `the status of ${what}`, Object.keys(statusWords), reading)
  const seen = choiceOf(fields.get('seen'), `"seen" of ${what}`, seenWords, reading)
  const sources = wordsOf(fields.get('sources'), `"sources" of ${what}`, reading)
  const chosen = status === undefined ? undefined : statusWords[status]
  return {
    ...inherited,
    ...(chosen === undefined ? {} : { status: chosen }),
    ...(seen === undefined ? {} : { seen }),
    ...(sources.length > 0 ? { sources } : {}),
  }
}

const NUMBER = /^([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)(?![\d.])\s*(.*)$/

/** A written number and its unit in mol, L, s, K, J; null when not readable (reported). */
export function readQuantity(
  text: string,
  example: string,
  span: Span,
  what: string,
  reading: Reading,
): { readonly value: number; readonly dimension: Dimension; readonly converted: boolean } | null {
  const match = NUMBER.exec(text.replace(/^−/, '-'))
  if (!match) {
    const notFinite = /^[+-]?\.?(?:nan|inf)/i.test(text)
    report(
      reading,
      notFinite ? 'not-finite' : 'not-a-number',
      span,
      `${what} is "${short(text)}", ${notFinite ? 'not a finite number' : 'not a number with a unit'}`,
      `write it as in "${example}"`,
    )
    return null
  }
  const number = Number(match[1])
  const unit = readUnit(match[2] ?? '')
  if ('notUnderstood' in unit) {
    report(
      reading,
      'unit-unknown',
      span,
      `the unit of ${what} has "${short(unit.notUnderstood)}"`,
      `write powers of ${unitSymbols.join(', ')}, as in "${example}"`,
    )
    return null
  }
  const value = number * unit.factor
  if (!Number.isFinite(value)) {
    report(reading, 'not-finite', span, `${what} is "${short(text)}", larger than any number a computer holds`, 'check the exponent')
    return null
  }
  return { value, dimension: unit.dimension, converted: unit.factor !== 1 }
}

/** The same where the unit is fixed. */
export function readNumberWithUnit(
  text: string,
  wanted: Dimension,
  wantedText: string,
  span: Span,
  what: string,
  reading: Reading,
): { readonly value: number } | null {
  const read = readQuantity(text, `50 ${wantedText}`, span, what, reading)
  if (!read) return null
  if (sameDimension(read.dimension, wanted)) return { value: read.value }
  report(
    reading,
    'unit',
    span,
    `${what} has the unit ${printUnit(read.dimension)}; ${wantedText} is needed`,
    `write it as in "50 ${wantedText}"`,
  )
  return null
}

/** A rate constant and the powers of its unit. */
export interface ReadConstant {
  readonly constant: RateConstant
  readonly dimension: Dimension
  readonly span: Span
}

/** A rate, a saturation constant and the like cannot be below zero; a coefficient of an empirical law can. */
const cannotBeNegative = (dimension: Dimension): boolean => dimension[2] !== 0 || sameDimension(dimension, molPerL)

/** Reads one entry of "constants:", short ("1.43e3 L^3 mol^-3 s^-1") or as a block with value, activation, range … */
export function readConstant(found: TreeEntry, step: string, defaults: ConstantDefaults, reading: Reading): ReadConstant | null {
  const name = found.key
  const what = `constant ${name} of ${step}`
  const span = found.value.span
  if (!/^[A-Za-z][A-Za-z0-9_]*$/.test(name) || name === 'T' || Object.hasOwn(rateFunctions, name)) {
    report(
      reading,
      'constant-name',
      found.keySpan,
      `"${name}" cannot name a constant`,
      'letters and digits; "T" and the functions are taken',
    )
    return null
  }
  const fields: Fields | null = found.value.kind === 'scalar' ? new Map([['value', found]]) : fieldsOf(found.value, what, KEYS, reading)
  const valueEntry = fields?.get('value')
  if (!fields || !valueEntry) {
    if (fields) report(reading, 'key-missing', span, `${what} has no "value"`, 'add "value:", a number with its unit')
    return null
  }
  const written = textOf(valueEntry, what, reading)
  if (written === undefined) return null
  const valueSpan = valueEntry.value.span
  const read = readQuantity(written, '1.43e3 L^3 mol^-3 s^-1', valueSpan, what, reading)
  if (!read) return null
  if (read.value < 0 && cannotBeNegative(read.dimension)) {
    report(
      reading,
      'negative',
      valueSpan,
      `${what} is ${written}; a constant of that unit is 0 or more`,
      'remove the minus sign, or write the step the other way round',
    )
    return null
  }

  const own = readDefaults(fields, what, defaults, reading)
  const activationEntry = fields.get('activation')
  const activationText = textOf(activationEntry, `activation energy of ${what}`, reading)
  const activation =
    activationText === undefined || !activationEntry
      ? null
      : readNumberWithUnit(activationText, joulePerMol, 'kJ/mol', activationEntry.value.span, `activation energy of ${what}`, reading)
  const activationSeen = choiceOf(fields.get('activation seen'), `"activation seen" of ${what}`, seenWords, reading)
  const atEntry = fields.get('at')
  const at = textOf(atEntry, `temperature of ${what}`, reading)
  const atRead =
    at === undefined || !atEntry
      ? undefined
      : parseQuantity(at, ['temperature'], { where: `temperature of ${what}`, span: atEntry.value.span })
  if (atRead && !atRead.ok) reading.problems.push(...atRead.problems)
  const setBy = choiceOf(fields.get('set by'), `"set by" of ${what}`, Object.keys(setByWords), reading)
  if (setBy !== undefined && !sameDimension(read.dimension, molPerL)) {
    report(reading, 'unit', valueSpan, `${what} is set by the ${setBy} and has the unit ${printUnit(read.dimension)}`, 'write it in mol/L')
  }
  if (own.seen === undefined) {
    report(
      reading,
      'origin-missing',
      span,
      `${what} does not say how it came here`,
      `add "seen:" (${seenWords.join(', ')}) to it, to the step or to "by default"`,
    )
  }
  if ((own.sources ?? []).length === 0) {
    report(
      reading,
      'source-missing',
      span,
      `${what} names no source`,
      'add "sources: [KEY]" to it, to the step or to "by default"; assumptions get a source entry too',
    )
  }
  const range = textOf(fields.get('range'), `"range" of ${what}`, reading)
  const note = textOf(fields.get('note'), `"note" of ${what}`, reading)
  const chosenSetBy = setBy === undefined ? undefined : setByWords[setBy]
  return {
    dimension: read.dimension,
    span: valueSpan,
    constant: {
      name,
      value: read.value,
      unit: printUnit(read.dimension),
      ...(read.converted ? { written } : {}),
      activationKJPerMol: activation ? activation.value / 1000 : null,
      ...(activationSeen === undefined ? {} : { activationSeen }),
      ...(atRead?.ok ? { referenceK: atRead.value.value } : {}),
      ...(range === undefined ? {} : { literatureRange: range }),
      status: own.status ?? 'published',
      seen: own.seen ?? 'memory',
      sources: own.sources ?? [],
      ...(chosenSetBy === undefined ? {} : { setBy: chosenSetBy }),
      ...(note === undefined ? {} : { note }),
    },
  }
}
