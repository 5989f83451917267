/** A mechanism file (docs/mechanism-format.md) as checked data, or everything that is wrong with it, with places. */
import { done, inReadingOrder, type Outcome, refuse, type Span } from '@beakertide/basis/problems'
import { readTree, type Tree } from '@beakertide/basis/text'
import { parseQuantity } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import { balanceOf, describeImbalance, parseEquation } from './equation.ts'
import type { KnownFault, Mechanism, MechanismSpecies, NetReaction, StatedBand, Step } from './mechanism.ts'
import { type ConstantDefaults, constantDefaultKeys, readDefaults } from './read-constant.ts'
import { meantSpecies, readSpecies } from './read-species.ts'
import { readStep, type SpeciesTable, speciesKnown } from './read-step.ts'
import { startsFrom } from './starts-from.ts'
import { type BesideReader, readStepsFrom } from './exchange/steps-from.ts'
import {
  choiceOf,
  type Fields,
  fieldsOf,
  itemsOf,
  mapOf,
  type Reading,
  report,
  requiredText,
  short,
  textOf,
  warn,
  wordOf,
  wordsOf,
} from './reading.ts'

/** First line of every file: which format it is, so that later formats can be told apart. */
export const MECHANISM_FORMAT = 'mechanism 1'

const KEYS = [
  'format',
  'name',
  'title',
  'grade',
  'overall',
  'heat',
  'temperature',
  'valid',
  'species',
  'also in net reactions',
  'absorbers',
  'absorbers with',
  'by default',
  'steps',
  'steps from',
  'net reactions',
  'faults',
  'bands',
  'sources',
  'notes',
] as const
const grades = ['published', 'remembered', 'assembled, fitted', 'skeleton', 'placeholder'] as const
const faultFeatures = ['induction', 'period', 'cycles', 'length', 'end', 'colour', 'temperature', 'gas', 'range', 'other'] as const
const bandFeatures = ['first-turn', 'period', 'cycles', 'length', 'iodine'] as const
/** Far above any mechanism written by hand. */
const MOST_STEPS = 500

function readTemperature(text: string, what: string, span: Span, reading: Reading): number | null {
  const read = parseQuantity(text, ['temperature'], { where: what, span })
  if (read.ok) return read.value.value
  reading.problems.push(...read.problems)
  return null
}

function readTemperatures(fields: Fields, span: Span, reading: Reading): Pick<Mechanism, 'referenceK' | 'validK'> {
  const reference = requiredText(fields, 'temperature', 'the file', span, reading)
  const referenceK =
    reference === '' ? null : readTemperature(reference, '"temperature"', fields.get('temperature')?.value.span ?? span, reading)
  const valid = requiredText(fields, 'valid', 'the file', span, reading)
  const validSpan = fields.get('valid')?.value.span ?? span
  const [low, high] = valid.split(/\s+to\s+/)
  if (valid === '' || low === undefined || high === undefined) {
    if (valid !== '')
      report(reading, 'valid-range', validSpan, `"valid" is "${short(valid)}"`, 'write two temperatures, as in "15 degC to 40 degC"')
    return { referenceK: referenceK ?? 298.15, validK: [0, 0] }
  }
  const lowK = readTemperature(low, '"valid"', validSpan, reading)
  const highK = readTemperature(high, '"valid"', validSpan, reading)
  if (lowK !== null && highK !== null && referenceK !== null && !(lowK <= referenceK && referenceK <= highK)) {
    report(
      reading,
      'valid-range',
      validSpan,
      `"valid: ${valid}" does not hold the temperature of the constants, ${reference}`,
      'write lower bound, "to", upper bound',
    )
  }
  return { referenceK: referenceK ?? 298.15, validK: [lowK ?? 0, highK ?? 0] }
}

/** "I2: I2(aq)" lines for species of the mechanism. */
function readAbsorbers(tree: Tree | undefined, what: string, table: SpeciesTable, reading: Reading): Record<SpeciesId, string> {
  const map = tree ? mapOf(tree, what, reading) : null
  const absorbers: Record<SpeciesId, string> = {}
  for (const found of map?.entries ?? []) {
    speciesKnown([found.key], table, what, found.keySpan, reading)
    const absorber = textOf(found, `absorber of ${found.key}`, reading)
    if (absorber !== undefined) absorbers[found.key] = absorber
  }
  return absorbers
}

function readNetReaction(tree: Tree, table: SpeciesTable, reading: Reading): NetReaction | null {
  const fields = fieldsOf(tree, 'a net reaction', ['id', 'equation', 'what', 'shows', 'fades', 'after', 'needs'], reading)
  if (!fields) return null
  const id = requiredText(fields, 'id', 'a net reaction', tree.span, reading)
  const where = `net reaction ${id || '?'}`
  const text = requiredText(fields, 'equation', where, tree.span, reading)
  const what = requiredText(fields, 'what', where, tree.span, reading)
  const span = fields.get('equation')?.value.span ?? tree.span
  const equation = text === '' ? null : parseEquation(text, { where, span })
  if (equation && !equation.ok) reading.problems.push(...equation.problems)
  if (!equation?.ok) return null
  const { reactants, products, reversible } = equation.value
  if (reversible) report(reading, 'net-reversible', span, 'a net reaction goes one way', 'write "->"', where)
  if (
    speciesKnown(
      [...reactants, ...products].map((t) => t.species),
      table,
      where,
      span,
      reading,
    )
  ) {
    const imbalance = balanceOf(equation.value, (species) => table.get(species))
    const difference = imbalance.uncounted.length > 0 ? `${imbalance.uncounted.join(', ')} has no formula` : describeImbalance(imbalance)
    if (difference !== '') report(reading, 'unbalanced', span, difference, 'net reactions must balance: correct the coefficients', where)
  }
  const listed = (key: string): readonly SpeciesId[] => {
    const ids = wordsOf(fields.get(key), `"${key}" of ${where}`, reading)
    speciesKnown(ids, table, where, fields.get(key)?.value.span ?? span, reading)
    return ids
  }
  const [shows] = listed('shows')
  const [fades] = listed('fades')
  const after = listed('after')
  const needs = listed('needs')
  return {
    id,
    equation: text,
    reactants,
    products,
    what,
    ...(shows === undefined ? {} : { shows }),
    ...(fades === undefined ? {} : { fades }),
    ...(after.length > 0 ? { after } : {}),
    ...(needs.length > 0 ? { needs } : {}),
    span: tree.span,
  }
}

function readFault(tree: Tree, reading: Reading): KnownFault | null {
  const fields = fieldsOf(tree, 'a fault', ['feature', 'text', 'source'], reading)
  if (!fields) return null
  return {
    feature: choiceOf(fields.get('feature'), 'the feature of a fault', faultFeatures, reading) ?? 'other',
    text: requiredText(fields, 'text', 'a fault', tree.span, reading),
    source: requiredText(fields, 'source', 'a fault', tree.span, reading),
  }
}

function readBand(tree: Tree, reading: Reading): StatedBand | null {
  const fields = fieldsOf(tree, 'a band', ['feature', 'factor', 'up', 'down', 'why'], reading)
  if (!fields) return null
  const factor = (key: string): number | null => {
    const text = textOf(fields.get(key), `"${key}" of a band`, reading)
    if (text === undefined) return null
    const value = Number(text)
    if (Number.isFinite(value) && value >= 1) return value
    report(
      reading,
      'band-factor',
      fields.get(key)?.value.span ?? tree.span,
      `"${key}" of a band is "${short(text)}"`,
      'write a factor of 1 or more, as in 1.5',
    )
    return null
  }
  const both = factor('factor')
  const up = factor('up') ?? both
  const down = factor('down') ?? both
  const feature = choiceOf(fields.get('feature'), 'the feature of a band', bandFeatures, reading)
  if (!fields.has('feature')) report(reading, 'key-missing', tree.span, 'a band has no "feature"', `add one of ${bandFeatures.join(', ')}`)
  if (up === null || down === null) {
    if (!fields.has('factor')) report(reading, 'key-missing', tree.span, 'a band has no factor', 'add "factor: 1.5", or "up:" and "down:"')
    return null
  }
  return feature === undefined
    ? null
    : { feature, factorUp: up, factorDown: down, why: requiredText(fields, 'why', 'a band', tree.span, reading) }
}

function readSources(tree: Tree | undefined, reading: Reading): Mechanism['sources'] {
  const sources: Record<string, { cite: string; doi?: string; access: string }> = {}
  for (const found of (tree ? mapOf(tree, '"sources"', reading) : null)?.entries ?? []) {
    const fields = fieldsOf(found.value, `source ${found.key}`, ['cite', 'doi', 'access'], reading)
    if (!fields) continue
    const doi = textOf(fields.get('doi'), `"doi" of ${found.key}`, reading)
    sources[found.key] = {
      cite: requiredText(fields, 'cite', `source ${found.key}`, found.keySpan, reading),
      ...(doi === undefined ? {} : { doi }),
      access: requiredText(fields, 'access', `source ${found.key}`, found.keySpan, reading),
    }
  }
  return sources
}

/** Ids that stand twice in a list. */
function reportTwice(
  ids: readonly { readonly id: string; readonly span?: Span | undefined }[],
  what: string,
  fallback: Span,
  reading: Reading,
): void {
  const met = new Set<string>()
  for (const { id, span } of ids) {
    if (met.has(id)) report(reading, 'id-twice', span ?? fallback, `${what} "${id}" stands twice`, 'give one of them another id')
    met.add(id)
  }
}

/** Checks that reach over the whole file. */
function checkTogether(mechanism: Mechanism, span: Span, reading: Reading): void {
  reportTwice(mechanism.steps, 'step', span, reading)
  reportTwice(mechanism.netReactions, 'net reaction', span, reading)
  const known = new Set(mechanism.species.map((s) => s.id))
  for (const s of mechanism.netSpecies ?? []) {
    if (known.has(s.id))
      report(reading, 'id-twice', span, `species "${s.id}" stands in "species" and in "also in net reactions"`, 'remove it from the second')
  }
  const keys = Object.keys(mechanism.sources)
  const used = mechanism.steps.flatMap((step) => step.constants.flatMap((c) => c.sources.map((key) => ({ key, step }))))
  for (const { key, step } of new Map(used.map((u) => [`${u.key} ${u.step.id}`, u])).values()) {
    if (keys.includes(key)) continue
    report(
      reading,
      'source-unknown',
      step.span ?? span,
      `source "${key}" is not listed under "sources:"`,
      meantSpecies(key, keys),
      `step ${step.id}`,
    )
  }
  const feeds = new Map<SpeciesId, SpeciesId>()
  for (const s of mechanism.species.filter((one) => one.role !== 'solvent')) {
    for (const from of startsFrom(s)) {
      const before = feeds.get(from)
      if (before !== undefined)
        report(
          reading,
          'starts-twice',
          span,
          `"${before}" and "${s.id}" both start from "${from}" of the mixture`,
          'let only one of them start from it',
        )
      feeds.set(from, s.id)
    }
  }
  const inSteps = new Set(mechanism.steps.flatMap((s) => [...s.reactants, ...s.products].map((t) => t.species)))
  const inNet = new Set(mechanism.netReactions.flatMap((r) => [...r.reactants, ...r.products].map((t) => t.species)))
  for (const s of mechanism.species) {
    if (!inSteps.has(s.id) && !inNet.has(s.id))
      warn(reading, 'species-unused', span, `species "${s.id}" takes part in no step`, 'remove it, or add its steps')
  }
}

const FALLBACK_NAME = 'unnamed'

function readMechanism(tree: Tree, reading: Reading, beside: BesideReader | undefined): Mechanism | null {
  const span = tree.span
  const fields = fieldsOf(tree, 'a mechanism file', KEYS, reading)
  if (!fields) return null
  const format = requiredText(fields, 'format', 'the file', span, reading)
  if (format !== '' && format !== MECHANISM_FORMAT) {
    report(
      reading,
      'format',
      fields.get('format')?.value.span ?? span,
      `the format is "${short(format)}"; "${MECHANISM_FORMAT}" is read here`,
      `write "format: ${MECHANISM_FORMAT}"`,
    )
  }
  const name = requiredText(fields, 'name', 'the file', span, reading)
  if (name !== '' && !/^[a-z0-9]+(?:-[a-z0-9]+)*(?:\/[a-z0-9]+(?:-[a-z0-9]+)*)?$/.test(name)) {
    report(
      reading,
      'name',
      fields.get('name')?.value.span ?? span,
      `the name is "${short(name)}"`,
      'small letters, digits and "-", with one "/" before the variant, as in "iodate-bisulfite/lumped"',
    )
  }
  const block = (key: string): Tree | undefined => {
    if (!fields.has(key)) report(reading, 'key-missing', span, `the file has no "${key}"`, `add "${key}:"`)
    return fields.get(key)?.value
  }
  const speciesTree = block('species')
  const species: readonly MechanismSpecies[] = speciesTree ? readSpecies(speciesTree, '"species"', reading) : []
  const netTree = fields.get('also in net reactions')?.value
  const netSpecies = netTree ? readSpecies(netTree, '"also in net reactions"', reading) : []
  const table: SpeciesTable = new Map(species.map((s) => [s.id, s]))
  const netTable: SpeciesTable = new Map([...netSpecies, ...species].map((s) => [s.id, s]))

  const defaultsTree = fields.get('by default')?.value
  const defaultsFields = defaultsTree ? fieldsOf(defaultsTree, '"by default"', constantDefaultKeys, reading) : null
  const defaults: ConstantDefaults = defaultsFields ? readDefaults(defaultsFields, '"by default"', {}, reading) : {}
  const temperatures = readTemperatures(fields, span, reading)
  const fromTree = fields.get('steps from')?.value
  if (!fromTree) block('steps')
  const imported = fromTree ? readStepsFrom(fromTree, table, temperatures.referenceK, defaults, beside, reading) : []
  const stepTrees = itemsOf(fields.get('steps'), '"steps"', reading)
  if (stepTrees.length > MOST_STEPS) {
    report(reading, 'too-many-steps', span, `the file has ${stepTrees.length} steps; at most ${MOST_STEPS} are read`, 'split the mechanism')
  }
  const written: readonly Step[] = stepTrees.slice(0, MOST_STEPS).flatMap((item) => readStep(item, table, defaults, reading) ?? [])
  const steps = [...imported, ...written]
  if (fields.has('steps') && stepTrees.length === 0)
    report(reading, 'no-steps', span, 'the mechanism has no steps', 'add at least one under "steps:"')

  const withTree = fields.get('absorbers with')?.value
  const absorbersWith = Object.fromEntries(
    ((withTree ? mapOf(withTree, '"absorbers with"', reading) : null)?.entries ?? []).map((found) => [
      found.key,
      readAbsorbers(found.value, `"absorbers with ${found.key}"`, table, reading),
    ]),
  )
  const heat = textOf(fields.get('heat'), '"heat"', reading)
  const mechanism: Mechanism = {
    name: name || FALLBACK_NAME,
    title: requiredText(fields, 'title', 'the file', span, reading),
    overall: requiredText(fields, 'overall', 'the file', span, reading),
    ...temperatures,
    grade: choiceOf(block('grade') ? fields.get('grade') : undefined, 'the grade', grades, reading) ?? 'placeholder',
    species,
    ...(netSpecies.length > 0 ? { netSpecies } : {}),
    steps,
    absorbers: readAbsorbers(fields.get('absorbers')?.value, '"absorbers"', table, reading),
    ...(Object.keys(absorbersWith).length > 0 ? { absorbersWith } : {}),
    ...(heat === undefined ? {} : { heat }),
    faults: itemsOf(fields.get('faults'), '"faults"', reading).flatMap((item) => readFault(item, reading) ?? []),
    bands: itemsOf(fields.get('bands'), '"bands"', reading).flatMap((item) => readBand(item, reading) ?? []),
    sources: readSources(fields.get('sources')?.value, reading),
    netReactions: itemsOf(fields.get('net reactions'), '"net reactions"', reading).flatMap(
      (item) => readNetReaction(item, netTable, reading) ?? [],
    ),
    notes: itemsOf(fields.get('notes'), '"notes"', reading).flatMap((item) => wordOf(item, 'a note', reading) ?? []),
  }
  checkTogether(mechanism, span, reading)
  return mechanism
}

/**
 * Reads a mechanism file. Refused with every fault at its line and column: text that is not YAML, unknown keys, unbalanced
 * steps with the atoms and charges that differ, unknown species with the nearest name, constants missing, unused, negative or
 * not finite, units that do not fit the order, doubled ids. `beside` gives the SBML file that "steps from:" names. Warnings: rates that do not stop when a reactant is used up, unused species.
 */
export function parseMechanism(text: string, file: string, beside?: BesideReader): Outcome<Mechanism> {
  const tree = readTree(text, file)
  if (!tree.ok) return tree
  const reading: Reading = { problems: [], warnings: [] }
  const mechanism = readMechanism(tree.value, reading, beside)
  if (reading.problems.length > 0 || !mechanism) return refuse(...inReadingOrder(reading.problems))
  return done(mechanism, inReadingOrder(reading.warnings))
}
