/** One step of a mechanism file: equation, balance, law, constants and their units. */
import type { Span } from '@beakertide/basis/problems'
import type { Tree } from '@beakertide/basis/text'
import type { SpeciesId } from '../matter/index.ts'
import { balanceOf, describeImbalance, type Equation, parseEquation } from './equation.ts'
import { constantsIn, parseExpression, printExpression, speciesIn } from './expression.ts'
import type { Expression, MechanismSpecies, Step, Term } from './mechanism.ts'
import { vanishesWithout } from './vanishing.ts'
import { joulePerMol, printUnit, ratePerS, sameDimension, unitFault, unitOfOrder } from './rate-unit.ts'
import {
  type ConstantDefaults,
  constantDefaultKeys,
  readConstant,
  type ReadConstant,
  readDefaults,
  readNumberWithUnit,
} from './read-constant.ts'
import { meantSpecies } from './read-species.ts'
import { type Fields, fieldsOf, mapOf, type Reading, report, requiredText, textOf, warn } from './reading.ts'

const KEYS = ['id', 'equation', 'rate', 'constants', 'lumped', 'enthalpy', 'note', ...constantDefaultKeys] as const

/** Species of the mechanism by id. */
export type SpeciesTable = ReadonlyMap<SpeciesId, MechanismSpecies>

/** Reports species that the mechanism does not have; true when all are known. */
export function speciesKnown(ids: readonly SpeciesId[], table: SpeciesTable, where: string, span: Span, reading: Reading): boolean {
  let known = true
  for (const id of new Set(ids)) {
    if (table.has(id)) continue
    known = false
    report(reading, 'species-unknown', span, `"${id}" is not among the species`, meantSpecies(id, [...table.keys()]), where)
  }
  return known
}

/** Order of a side under mass action: coefficients of everything but the solvent. */
function orderOf(terms: readonly Term[], table: SpeciesTable): number {
  return terms.reduce((order, t) => order + (table.get(t.species)?.role === 'solvent' ? 0 : t.coefficient), 0)
}

function checkBalance(
  equation: Equation,
  lumped: string | undefined,
  table: SpeciesTable,
  where: string,
  span: Span,
  reading: Reading,
): void {
  const imbalance = balanceOf(equation, (id) => table.get(id))
  if (lumped !== undefined) return
  if (imbalance.uncounted.length > 0) {
    const what = `${imbalance.uncounted.join(', ')} has no formula, so the step cannot be balanced`
    report(reading, 'unbalanced', span, what, 'give the species a formula, or say with "lumped:" what is left out and why', where)
    return
  }
  const difference = describeImbalance(imbalance)
  if (difference !== '') {
    report(
      reading,
      'unbalanced',
      span,
      difference,
      'correct the coefficients or add the missing species; a lumped step must say why with "lumped:"',
      where,
    )
  }
}

/** Names and units of the constants against the law. */
function checkMassAction(
  equation: Equation,
  constants: readonly ReadConstant[],
  table: SpeciesTable,
  where: string,
  span: Span,
  reading: Reading,
): void {
  const sides = equation.reversible
    ? ([
        ['kf', equation.reactants],
        ['kr', equation.products],
      ] as const)
    : ([['k', equation.reactants]] as const)
  for (const [name, terms] of sides) {
    const fractional = terms.find((t) => !Number.isInteger(t.coefficient) && table.get(t.species)?.role !== 'solvent')
    if (fractional) {
      report(
        reading,
        'order-fractional',
        span,
        `mass action cannot take ${fractional.coefficient} ${fractional.species}`,
        'double the equation, or write the law with "rate:"',
        where,
      )
    }
    const found = constants.find((c) => c.constant.name === name)
    if (!found) {
      const has = constants.map((c) => c.constant.name).join(', ') || 'none'
      report(
        reading,
        'constant-missing',
        span,
        `${equation.reversible ? 'a reversible' : 'a one-way'} step needs the constant "${name}"; it has ${has}`,
        `add "${name}:" under "constants:"`,
        where,
      )
      continue
    }
    const order = orderOf(terms, table)
    const wanted = unitOfOrder(order)
    if (!fractional && !sameDimension(found.dimension, wanted)) {
      report(
        reading,
        'unit',
        found.span,
        `${name} has the unit ${printUnit(found.dimension)}; a step of order ${order} needs ${printUnit(wanted)}`,
        'check the order (the solvent does not count) or carry the constant over again',
        where,
      )
    }
  }
  const allowed = sides.map(([name]) => name as string)
  for (const c of constants) {
    if (allowed.includes(c.constant.name)) continue
    report(
      reading,
      'constant-unused',
      c.span,
      `the constant "${c.constant.name}" is not used; mass action reads ${allowed.join(' and ')}`,
      'rename it, remove it, or write a "rate:"',
      where,
    )
  }
}

function checkExpression(
  law: Expression,
  equation: Equation,
  constants: readonly ReadConstant[],
  table: SpeciesTable,
  where: string,
  span: Span,
  reading: Reading,
): void {
  const named = constantsIn(law)
  const defined = constants.map((c) => c.constant.name)
  let complete = speciesKnown(speciesIn(law), table, `${where}, rate`, span, reading)
  for (const id of speciesIn(law)) {
    if (table.get(id)?.role !== 'solvent') continue
    report(
      reading,
      'solvent-in-rate',
      span,
      `the rate reads [${id}], the solvent, which is left out of rates`,
      'put it into the constant',
      where,
    )
  }
  for (const name of named) {
    if (defined.includes(name)) continue
    complete = false
    const near = meantSpecies(name, [...defined, ...table.keys()])
    report(
      reading,
      'constant-missing',
      span,
      `the rate uses "${name}", which no constant defines`,
      defined.length > 0 ? near : `add "${name}:" under "constants:"`,
      where,
    )
  }
  for (const c of constants) {
    if (named.includes(c.constant.name)) continue
    report(reading, 'constant-unused', c.span, `the constant "${c.constant.name}" does not occur in the rate`, 'remove it or use it', where)
  }
  if (!complete) return
  const fault = unitFault(law, new Map(constants.map((c) => [c.constant.name, { dimension: c.dimension, value: c.constant.value }])))
  if (fault !== null) {
    report(
      reading,
      'unit',
      span,
      fault,
      `check the units of ${named.join(', ') || 'the numbers'}: the rate must come out in ${printUnit(ratePerS)}`,
      where,
    )
  }
  for (const { species } of equation.reactants) {
    if (table.get(species)?.role !== 'dynamic' || vanishesWithout(law, (id) => id !== species)) continue
    warn(
      reading,
      'never-stops',
      span,
      `the rate does not become zero when ${species} is used up`,
      `a factor such as [${species}]/([${species}] + small) stops it in time`,
      where,
    )
  }
}

/** Reads the law, or null for mass action. */
function readLaw(
  fields: Fields,
  equation: Equation | null,
  where: string,
  reading: Reading,
): { readonly expression: Expression; readonly span: Span } | null {
  const found = fields.get('rate')
  const text = textOf(found, `"rate" of ${where}`, reading)
  if (!found || text === undefined) return null
  const at = found.value.span
  if (equation?.reversible) {
    report(reading, 'rate-both-ways', at, 'a "rate:" belongs to a one-way step', 'write two one-way steps, one a direction', where)
  }
  const shift = found.value.kind === 'scalar' && found.value.isQuoted ? 1 : 0
  const parsed = parseExpression(text, { where: `${where}, rate`, span: { ...at, column: at.column + shift } })
  if (parsed.ok) return { expression: parsed.value, span: at }
  reading.problems.push(...parsed.problems)
  return null
}

/** Reads one item of "steps:"; null when too little of it is readable. */
export function readStep(tree: Tree, table: SpeciesTable, inherited: ConstantDefaults, reading: Reading): Step | null {
  const fields = fieldsOf(tree, 'a step', KEYS, reading)
  if (!fields) return null
  const span = tree.span
  const id = requiredText(fields, 'id', 'a step', span, reading)
  const where = `step ${id || '?'}`
  if (id !== '' && !/^[A-Za-z0-9][A-Za-z0-9_-]{0,19}$/.test(id)) {
    report(
      reading,
      'step-name',
      fields.get('id')?.value.span ?? span,
      `"${id}" cannot name a step`,
      'letters, digits, "_" and "-", at most 20',
      where,
    )
  }
  const equationText = requiredText(fields, 'equation', where, span, reading)
  const equationSpan = fields.get('equation')?.value.span ?? span
  const lumped = textOf(fields.get('lumped'), `"lumped" of ${where}`, reading)
  const parsed = equationText === '' ? null : parseEquation(equationText, { where, span: equationSpan })
  if (parsed && !parsed.ok) reading.problems.push(...parsed.problems)
  const equation = parsed?.ok ? parsed.value : null
  const allKnown =
    equation !== null &&
    speciesKnown(
      [...equation.reactants, ...equation.products].map((t) => t.species),
      table,
      where,
      equationSpan,
      reading,
    )
  if (equation && allKnown) checkBalance(equation, lumped, table, where, equationSpan, reading)

  const defaults = readDefaults(fields, where, inherited, reading)
  const block = fields.get('constants')
  const entries = block ? (mapOf(block.value, `"constants" of ${where}`, reading)?.entries ?? []) : []
  const constants = entries.flatMap((found) => readConstant(found, where, defaults, reading) ?? [])
  const hadRate = fields.has('rate')
  const law = readLaw(fields, equation, where, reading)
  if (equation && allKnown && constants.length === entries.length) {
    if (law) checkExpression(law.expression, equation, constants, table, where, law.span, reading)
    else if (!hadRate) checkMassAction(equation, constants, table, where, equationSpan, reading)
  }
  const enthalpyEntry = fields.get('enthalpy')
  const enthalpyText = textOf(enthalpyEntry, `"enthalpy" of ${where}`, reading)
  const enthalpy =
    enthalpyEntry && enthalpyText !== undefined
      ? readNumberWithUnit(enthalpyText, joulePerMol, 'kJ/mol', enthalpyEntry.value.span, `enthalpy of ${where}`, reading)
      : null
  const note = textOf(fields.get('note'), `"note" of ${where}`, reading)
  if (!equation || id === '') return null
  return {
    id,
    equation: equationText,
    reactants: equation.reactants,
    products: equation.products,
    reversible: equation.reversible,
    law: law ? { kind: 'expression', text: printExpression(law.expression), expression: law.expression } : { kind: 'mass-action' },
    constants: constants.map((c) => c.constant),
    ...(lumped === undefined ? {} : { lumped }),
    ...(enthalpy ? { enthalpyKJPerMol: enthalpy.value / 1000 } : {}),
    ...(note === undefined ? {} : { note }),
    span,
  }
}
