/**
 * The units a quantity text may carry, kind by kind, with the factor to the internal unit. Factors are exact
 * by definition of the prefixes and of the SI-accepted units (SI Brochure, 9th ed. 2019, tables 7 and 8).
 */
import type { QuantityKind } from './quantity.ts'
import { ATMOSPHERE_PA, ZERO_CELSIUS_K } from './units.ts'

/** One way to write a unit: internal value = factor * number + offset. */
export interface UnitEntry {
  readonly symbol: string
  readonly factor: number
  readonly offset?: number
}

export interface KindFacts {
  /** "an amount concentration" */
  readonly name: string
  readonly example: string
  /** Units named in messages, most usual first. */
  readonly shown: readonly string[]
  readonly units: readonly UnitEntry[]
  readonly mayBeNegative: boolean
  /** Largest value that has a meaning, with its reason. */
  readonly most?: { readonly value: number; readonly why: string }
}

const unit = (symbol: string, factor: number, offset?: number): UnitEntry =>
  offset === undefined ? { symbol, factor } : { symbol, factor, offset }
const same = (factor: number, ...symbols: string[]): UnitEntry[] => symbols.map((symbol) => unit(symbol, factor))

/** SI prefixes that occur on a bench; "u" stands for micro (micro signs are folded to it before the look-up). */
const prefixes: readonly (readonly [string, number])[] = [
  ['n', 1e-9],
  ['u', 1e-6],
  ['m', 1e-3],
  ['', 1],
]
const prefixed = (bases: readonly string[], factor = 1): UnitEntry[] =>
  prefixes.flatMap(([p, f]) => bases.map((base) => unit(p + base, f * factor)))

const litres: readonly UnitEntry[] = [
  ...same(1, 'L', 'l', 'dm3', 'litre', 'litres', 'liter', 'liters'),
  ...same(1e-3, 'mL', 'ml', 'cm3', 'cc'),
  ...same(1e-2, 'cL', 'cl'),
  ...same(1e-1, 'dL', 'dl'),
  ...same(1e-6, 'uL', 'ul', 'mm3'),
  ...same(1e3, 'm3'),
  ...same(1e2, 'hL', 'hl'),
]

const perLitre = ['mol/L', 'mol/l', 'mol/dm3', 'mol L-1', 'mol l-1', 'mol dm-3', 'M']

/** Facts of every kind. Keep `shown` short: it is read in messages. */
export const kindFacts: Readonly<Record<QuantityKind, KindFacts>> = {
  'amount-concentration': {
    name: 'an amount concentration',
    example: '0.19 mol/L',
    shown: ['mol/L', 'mmol/L', 'M', 'mM'],
    units: [...prefixed(perLitre), ...same(1e-3, 'mol/m3'), ...same(1, 'mmol/mL', 'mmol/ml', 'molar')],
    mayBeNegative: false,
  },
  'mass-concentration': {
    name: 'a mass concentration',
    example: '3 % w/v',
    shown: ['g/L', 'mg/L', '% w/v'],
    units: [
      ...prefixed(['g/L', 'g/l', 'g/dm3', 'g L-1']),
      ...same(1, 'mg/mL', 'mg/ml', 'kg/m3'),
      ...same(1e-3, 'g/m3'),
      ...same(10, '% w/v', '% m/v', 'g/100 mL', 'g/100 ml', 'g/dL', 'g/dl'),
    ],
    mayBeNegative: false,
  },
  'mass-fraction': {
    name: 'a mass fraction',
    example: '27.5 % w/w',
    shown: ['% w/w', 'g/g', 'g/kg', 'mg/kg'],
    units: [
      ...same(0.01, '% w/w', '% m/m', 'wt%', 'wt %', '% by mass', '% by weight'),
      ...same(1, 'g/g', 'kg/kg'),
      ...same(1e-3, 'g/kg', 'mg/g'),
      ...same(1e-6, 'mg/kg'),
    ],
    mayBeNegative: false,
    most: { value: 1, why: 'a mass fraction is at most 100 %' },
  },
  'volume-fraction': {
    name: 'a volume fraction',
    example: '70 % v/v',
    shown: ['% v/v', 'mL/L'],
    units: [
      ...same(0.01, '% v/v', 'vol%', 'vol %', '% by volume'),
      ...same(1, 'L/L', 'l/l', 'mL/mL', 'ml/ml'),
      ...same(1e-3, 'mL/L', 'ml/l', 'ml/L'),
    ],
    mayBeNegative: false,
    most: { value: 1, why: 'a volume fraction is at most 100 %' },
  },
  'oxygen-volumes': {
    name: 'a peroxide strength in volumes of oxygen',
    example: '10 volumes',
    shown: ['volumes'],
    units: same(1, 'volumes', 'volume', 'vol', 'vols'),
    mayBeNegative: false,
  },
  mass: {
    name: 'a mass',
    example: '5 mg',
    shown: ['g', 'mg', 'kg'],
    units: [...prefixed(['g']), ...same(1e3, 'kg'), ...same(1, 'gram', 'grams')],
    mayBeNegative: false,
  },
  volume: { name: 'a volume', example: '300 mL', shown: ['L', 'mL', 'uL', 'm3'], units: litres, mayBeNegative: false },
  amount: { name: 'an amount', example: '2 mmol', shown: ['mol', 'mmol', 'umol'], units: prefixed(['mol']), mayBeNegative: false },
  temperature: {
    name: 'a temperature',
    example: '21 degC',
    shown: ['degC', '°C', 'K'],
    units: [...['degC', '°C', 'C'].map((s) => unit(s, 1, ZERO_CELSIUS_K)), unit('K', 1)],
    mayBeNegative: true,
  },
  'temperature-difference': {
    name: 'a temperature difference',
    example: '5 K',
    shown: ['K', 'degC'],
    units: same(1, 'K', 'degC', '°C', 'C'),
    mayBeNegative: true,
  },
  time: {
    name: 'a time',
    example: '1 min 30 s',
    shown: ['s', 'min', 'h'],
    units: [
      ...same(1, 's', 'sec', 'second', 'seconds'),
      ...same(1e-3, 'ms'),
      ...same(60, 'min', 'mins', 'minute', 'minutes'),
      ...same(3600, 'h', 'hour', 'hours'),
      ...same(86_400, 'd', 'day', 'days'),
    ],
    mayBeNegative: false,
  },
  length: {
    name: 'a length',
    example: '8 cm',
    shown: ['cm', 'mm', 'm'],
    units: [...same(1, 'cm'), ...same(0.1, 'mm'), ...same(100, 'm'), ...same(10, 'dm'), ...same(1e-4, 'um'), ...same(1e-7, 'nm')],
    mayBeNegative: false,
  },
  density: {
    name: 'a density',
    example: '1.18 g/mL',
    shown: ['g/mL', 'g/cm3', 'kg/L', 'kg/m3'],
    units: [
      ...same(1, 'g/mL', 'g/ml', 'g/cm3', 'kg/L', 'kg/l', 'kg/dm3', 'g cm-3'),
      ...same(1e-3, 'kg/m3', 'g/L', 'g/l', 'g/dm3', 'kg m-3'),
    ],
    mayBeNegative: false,
  },
  molality: {
    name: 'a molality',
    example: '0.5 mol/kg',
    shown: ['mol/kg', 'mmol/kg'],
    units: [...prefixed(['mol/kg', 'mol kg-1']), ...same(1, 'mmol/g')],
    mayBeNegative: false,
  },
  fraction: { name: 'a share', example: '99.5 %', shown: ['%'], units: [...same(0.01, '%', 'percent'), unit('', 1)], mayBeNegative: false },
  number: { name: 'a plain number', example: '3', shown: [], units: [unit('', 1)], mayBeNegative: true },
  rate: {
    name: 'a rate',
    example: '0.02 1/s',
    shown: ['1/s', '1/min'],
    units: [...same(1, '1/s', 's-1', '/s'), ...same(1 / 60, '1/min', '/min', 'min-1'), ...same(1 / 3600, '1/h', '/h', 'h-1')],
    mayBeNegative: false,
  },
  energy: {
    name: 'an energy',
    example: '4.2 kJ',
    shown: ['J', 'kJ'],
    units: [...same(1, 'J'), ...same(1e3, 'kJ'), ...same(1e6, 'MJ')],
    mayBeNegative: true,
  },
  pressure: {
    name: 'a pressure',
    example: '1013 hPa',
    shown: ['Pa', 'hPa', 'kPa', 'bar'],
    // 1 mmHg = 133.322 Pa (conventional; NIST SP 811 app. B.8, memory)
    units: [
      ...same(1, 'Pa'),
      ...same(100, 'hPa', 'mbar'),
      ...same(1e3, 'kPa'),
      ...same(1e5, 'bar'),
      ...same(ATMOSPHERE_PA, 'atm'),
      ...same(133.322, 'mmHg', 'Torr'),
    ],
    mayBeNegative: false,
  },
}

export const allKinds = Object.keys(kindFacts) as readonly QuantityKind[]

/** Measures that kitchens use and a bench cannot, with what to write. */
export const notTaken: Readonly<Record<string, string>> = {
  cup: 'cups differ between countries; measure in mL',
  cups: 'cups differ between countries; measure in mL',
  tsp: 'spoons differ; weigh in g or measure in mL',
  tbsp: 'spoons differ; weigh in g or measure in mL',
  teaspoon: 'spoons differ; weigh in g or measure in mL',
  teaspoons: 'spoons differ; weigh in g or measure in mL',
  tablespoon: 'spoons differ; weigh in g or measure in mL',
  spatula: 'a spatula is no measure; weigh in g or mg',
  drop: 'drops differ between pipettes; measure in mL or weigh in g',
  drops: 'drops differ between pipettes; measure in mL or weigh in g',
  oz: 'ounces are weights or volumes; write g or mL',
  lb: 'write kg or g',
  gal: 'gallons differ between countries; write L',
  gallon: 'gallons differ between countries; write L',
  inch: 'write cm',
  in: 'write cm',
  ft: 'write cm or m',
  psi: 'write kPa or bar',
  N: 'normality depends on the reaction; write mol/L of the substance',
  ppm: 'parts per million of what? write mg/kg (mass fraction) or mg/L (mass concentration)',
  ppb: 'parts per billion of what? write ug/L or mg/kg',
}

/** Folds spellings that mean the same: micro signs, superscripts, dots between units, spaces round "/", "deg C". Case is kept. */
export function foldUnit(text: string): string {
  return text
    .replace(/[µμ]/g, 'u')
    .replace(/⁻¹/g, '-1')
    .replace(/⁻³/g, '-3')
    .replace(/³/g, '3')
    .replace(/℃/g, '°C')
    .replace(/[·⋅*]/g, ' ')
    .replace(/\^/g, '')
    .replace(/\s*\/\s*/g, '/')
    .replace(/\s+/g, ' ')
    .trim()
    .replace(/^(?:deg|degrees?|°)\s*(?:C|Celsius|celsius)$/, 'degC')
    .replace(/^[Cc]elsius$/, 'degC')
    .replace(/^(?:deg|degrees?|°)\s*(?:F|Fahrenheit|fahrenheit)$/, 'degF')
    .replace(/^[Kk]elvin$/, 'K')
    .replace(/^%\s*\(?\s*([wmv]\/[wmv])\s*\)?$/i, (_, basis: string) => `% ${basis.toLowerCase()}`)
    .replace(/^([wmv]\/[wmv])\s*%$/i, (_, basis: string) => `% ${basis.toLowerCase()}`)
}

/** The entry of `symbol` within a kind, or undefined. `symbol` must be folded. */
export function findUnit(kind: QuantityKind, symbol: string): UnitEntry | undefined {
  return kindFacts[kind].units.find((u) => u.symbol === symbol)
}

/** All kinds that know this (folded) symbol. */
export function kindsKnowing(symbol: string): readonly QuantityKind[] {
  return symbol === '' ? [] : allKinds.filter((kind) => findUnit(kind, symbol) !== undefined)
}
