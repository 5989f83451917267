/** Units of the standard as dimensions over its base units, and our unit texts as unit definitions. */
import { invariant, place, type Problem, type Span, suggestion } from '@beakertide/basis/problems'
import type { ExchangeModel, UnitFactor } from './exchange-model.ts'

/**
 * Units that may be named without definition (SBML Level 3 Version 2 Core, table 2, and in Level 2 also the
 * predefined names substance, volume, area, length, time). Dimensions: metre, kilogram, second, ampere, kelvin, mole, candela,
 * with the factor to them (International System of Units, 9th brochure).
 */
const base: Readonly<Record<string, readonly [number, readonly number[]]>> = {
  ampere: [1, [0, 0, 0, 1, 0, 0, 0]],
  avogadro: [6.02214179e23, [0, 0, 0, 0, 0, 0, 0]],
  becquerel: [1, [0, 0, -1, 0, 0, 0, 0]],
  candela: [1, [0, 0, 0, 0, 0, 0, 1]],
  coulomb: [1, [0, 0, 1, 1, 0, 0, 0]],
  dimensionless: [1, [0, 0, 0, 0, 0, 0, 0]],
  farad: [1, [-2, -1, 4, 2, 0, 0, 0]],
  gram: [1e-3, [0, 1, 0, 0, 0, 0, 0]],
  gray: [1, [2, 0, -2, 0, 0, 0, 0]],
  henry: [1, [2, 1, -2, -2, 0, 0, 0]],
  hertz: [1, [0, 0, -1, 0, 0, 0, 0]],
  item: [1, [0, 0, 0, 0, 0, 0, 0]],
  joule: [1, [2, 1, -2, 0, 0, 0, 0]],
  katal: [1, [0, 0, -1, 0, 0, 1, 0]],
  kelvin: [1, [0, 0, 0, 0, 1, 0, 0]],
  kilogram: [1, [0, 1, 0, 0, 0, 0, 0]],
  litre: [1e-3, [3, 0, 0, 0, 0, 0, 0]],
  liter: [1e-3, [3, 0, 0, 0, 0, 0, 0]],
  lumen: [1, [0, 0, 0, 0, 0, 0, 1]],
  lux: [1, [-2, 0, 0, 0, 0, 0, 1]],
  metre: [1, [1, 0, 0, 0, 0, 0, 0]],
  meter: [1, [1, 0, 0, 0, 0, 0, 0]],
  mole: [1, [0, 0, 0, 0, 0, 1, 0]],
  newton: [1, [1, 1, -2, 0, 0, 0, 0]],
  ohm: [1, [2, 1, -3, -2, 0, 0, 0]],
  pascal: [1, [-1, 1, -2, 0, 0, 0, 0]],
  radian: [1, [0, 0, 0, 0, 0, 0, 0]],
  second: [1, [0, 0, 1, 0, 0, 0, 0]],
  siemens: [1, [-2, -1, 3, 2, 0, 0, 0]],
  sievert: [1, [2, 0, -2, 0, 0, 0, 0]],
  steradian: [1, [0, 0, 0, 0, 0, 0, 0]],
  tesla: [1, [0, 1, -2, -1, 0, 0, 0]],
  volt: [1, [2, 1, -3, -1, 0, 0, 0]],
  watt: [1, [2, 1, -3, 0, 0, 0, 0]],
  weber: [1, [2, 1, -2, -1, 0, 0, 0]],
}
/** Level 2 names that stand for these unless the model defines them. */
const predefined: Readonly<Record<string, string>> = {
  substance: 'mole',
  volume: 'litre',
  area: 'square metre',
  length: 'metre',
  time: 'second',
}

/** Factor to the International System and powers of its base units. */
export interface UnitMeaning {
  readonly factor: number
  readonly powers: readonly number[]
}

/** What a unit of a model means; null when it is not defined or its numbers are missing. */
export function unitMeaning(model: ExchangeModel, unit: string): UnitMeaning | null {
  const defined = Object.hasOwn(model.unitDefinitions, unit) ? model.unitDefinitions[unit] : undefined
  if (!defined) {
    if (unit === 'area' && model.level === 2) return { factor: 1, powers: [2, 0, 0, 0, 0, 0, 0] }
    const kind = model.level === 2 && Object.hasOwn(predefined, unit) ? predefined[unit]! : unit
    const known = Object.hasOwn(base, kind) ? base[kind] : undefined
    return known ? { factor: known[0], powers: known[1] } : null
  }
  let factor = 1
  const powers = [0, 0, 0, 0, 0, 0, 0]
  for (const f of defined) {
    const known = Object.hasOwn(base, f.kind) ? base[f.kind] : undefined
    if (!known) return null
    factor *= (f.multiplier * 10 ** f.scale * known[0]) ** f.exponent
    known[1].forEach((power, i) => (powers[i]! += power * f.exponent))
  }
  return Number.isNaN(factor) ? null : { factor, powers }
}

const kinds: Readonly<Record<string, string>> = { mol: 'mole', L: 'litre', s: 'second', K: 'kelvin', J: 'joule' }

/** "L^2 mol^-2 s^-1" (our canonical text) as factors. */
export function unitFactorsOf(text: string): readonly UnitFactor[] {
  return text.split(' ').map((piece) => {
    const [symbol = '', exponent = '1'] = piece.split('^')
    const kind = kinds[symbol]
    invariant(kind !== undefined, `the unit "${text}" is not canonical`)
    return { kind, exponent: Number(exponent), scale: 0, multiplier: 1 }
  })
}

/** Every unit that is named exists and every definition is complete. Units never change a number of the model. */
export function checkUnits(model: ExchangeModel): readonly Problem[] {
  const problems: Problem[] = []
  const said = new Set<string>()
  const check = (unit: string | undefined, what: string, span: Span): void => {
    if (unit === undefined || said.has(unit) || unitMeaning(model, unit) !== null) return
    said.add(unit)
    const names = [...Object.keys(model.unitDefinitions), ...Object.keys(base)]
    problems.push({
      code: 'mechanism/exchange-unit',
      where: place({ file: model.file, ...span }),
      what: `${what} has the unit "${unit}", which is not defined or not complete; numbers are taken as they stand`,
      todo: suggestion(unit, names) || 'define it',
      span,
    })
  }
  const top = { file: model.file, line: 1, column: 1 }
  for (const [kind, unit] of Object.entries(model.units)) check(unit, `the model's ${kind}`, top)
  for (const id of Object.keys(model.unitDefinitions)) check(id, `the unit definition "${id}"`, top)
  for (const c of model.compartments) check(c.units, `the compartment "${c.id}"`, c.span)
  for (const s of model.species) check(s.substanceUnits, `the species "${s.id}"`, s.span)
  for (const p of model.parameters) check(p.units, `the parameter "${p.id}"`, p.span)
  for (const p of model.reactions.flatMap((r) => r.locals)) check(p.units, `the parameter "${p.id}"`, p.span)
  return problems
}
