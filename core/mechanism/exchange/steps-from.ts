/**
 * `steps from:` of a mechanism file: its steps and constants come from an SBML file beside it, its species, absorbers, net
 * reactions and faults stand in the mechanism file as ever. So a model of a paper becomes a mechanism of a demonstration.
 */
import { type Outcome, suggestion } from '@beakertide/basis/problems'
import type { Tree } from '@beakertide/basis/text'
import type { SpeciesId } from '../../matter/index.ts'
import { balanceOf, describeImbalance } from '../equation.ts'
import { speciesIn } from '../expression.ts'
import type { Step } from '../mechanism.ts'
import type { ConstantDefaults } from '../read-constant.ts'
import { meantSpecies } from '../read-species.ts'
import type { SpeciesTable } from '../read-step.ts'
import { type Fields, fieldsOf, mapOf, type Reading, report, requiredText, short, textOf, warn } from '../reading.ts'
import { mechanismOf } from './exchange-to-mechanism.ts'
import type { ExchangeModel } from './exchange-model.ts'
import { readExchange } from './read-exchange.ts'

/** Text of the file of that bare name beside the mechanism file; a door gives it, nothing else is read. */
export type BesideReader = (name: string) => Outcome<string>

const KEYS = ['file', 'species', 'temperature', 'source'] as const
/** A bare name; no folders. */
const BARE_NAME = /^[A-Za-z0-9][A-Za-z0-9._ -]{0,80}\.(?:xml|sbml)$/

/** "IO3: IO3-" lines: identifier in the file -> species of the mechanism. */
function readMapping(fields: Fields, model: ExchangeModel, reading: Reading): ReadonlyMap<string, SpeciesId> {
  const tree = fields.get('species')?.value
  const theirs = model.species.map((s) => s.id)
  const mapping = new Map<string, SpeciesId>()
  for (const found of (tree ? mapOf(tree, '"species" of "steps from"', reading) : null)?.entries ?? []) {
    const ours = textOf(found, `the species for ${found.key}`, reading)
    if (!theirs.includes(found.key)) {
      const todo = suggestion(found.key, theirs) || 'write an identifier of the file'
      report(reading, 'import-species', found.keySpan, `the file ${short(model.file)} has no species "${short(found.key)}"`, todo)
    }
    if (ours !== undefined) mapping.set(found.key, ours)
  }
  return mapping
}

function checkSpecies(
  model: ExchangeModel,
  mapping: ReadonlyMap<string, SpeciesId>,
  table: SpeciesTable,
  tree: Tree,
  reading: Reading,
): void {
  for (const s of model.species) {
    const ours = mapping.get(s.id) ?? s.name ?? s.id
    const known = table.get(ours)
    if (!known) {
      const what = `"${s.id}" of ${short(model.file)}${s.name === undefined ? '' : ` (${short(s.name)})`} would be "${short(ours)}", which is no species of this mechanism`
      report(
        reading,
        'import-species',
        tree.span,
        what,
        `map it under "species:" of "steps from:"; ${meantSpecies(ours, [...table.keys()])}`,
      )
      continue
    }
    const isFixed = s.boundaryCondition || s.constant
    if (isFixed === (known.role !== 'dynamic')) continue
    const what = `${short(model.file)} ${isFixed ? 'keeps' : 'changes'} "${s.id}", this mechanism says that ${ours} is ${known.role}`
    warn(reading, 'import-role', tree.span, what, 'the mechanism file decides; see that it is meant')
  }
}

/** The step with our sources; `lumped` only where atoms or charge do not balance by the formulas of the mechanism file. */
function finished(step: Step, table: SpeciesTable, source: string, defaults: ConstantDefaults): Step {
  const imbalance = balanceOf(step, (species) => table.get(species))
  const { lumped, ...rest } = step
  const difference = imbalance.uncounted.length > 0 ? `${imbalance.uncounted.join(', ')} has no formula` : describeImbalance(imbalance)
  return {
    ...rest,
    ...(difference === '' ? {} : { lumped: `${lumped ?? 'imported'}: ${difference}` }),
    constants: step.constants.map((c) => ({ ...c, sources: [source], seen: defaults.seen ?? c.seen, status: defaults.status ?? c.status })),
  }
}

/** Steps of the file that `steps from:` names. Every fault is reported; then the list is empty. */
export function readStepsFrom(
  tree: Tree,
  table: SpeciesTable,
  referenceK: number,
  defaults: ConstantDefaults,
  beside: BesideReader | undefined,
  reading: Reading,
): readonly Step[] {
  const fields = fieldsOf(tree, '"steps from"', KEYS, reading)
  if (!fields) return []
  const file = requiredText(fields, 'file', '"steps from"', tree.span, reading).replace(/^\.\//, '')
  const source = requiredText(fields, 'source', '"steps from"', tree.span, reading)
  if (file === '') return []
  const fileSpan = fields.get('file')?.value.span ?? tree.span
  if (!BARE_NAME.test(file) || file.includes('..') || beside === undefined) {
    const what = beside === undefined ? 'no file beside this one can be read here' : `"${short(file)}" is no SBML file beside this one`
    report(reading, 'import-file', fileSpan, what, 'put the file beside the mechanism file and write its name, as in "paper.xml"')
    return []
  }
  const text = beside(file)
  const model = text.ok ? readExchange(text.value, file) : text
  if (!model.ok) {
    reading.problems.push(...model.problems)
    return []
  }
  reading.warnings.push(...model.warnings)
  const mapping = readMapping(fields, model.value, reading)
  checkSpecies(model.value, mapping, table, tree, reading)
  const species = Object.fromEntries(
    [...mapping].filter(([id]) => model.value.species.some((s) => s.id === id)).map(([id, ours]) => [id, { id: ours }]),
  )
  const temperature = textOf(fields.get('temperature'), '"temperature" of "steps from"', reading)
  const imported = mechanismOf(model.value, {
    name: 'imported',
    species,
    cite: source,
    referenceK,
    ...(temperature === undefined ? {} : { temperature }),
  })
  if (!imported.ok) {
    reading.problems.push(...imported.problems)
    return []
  }
  reading.warnings.push(...imported.warnings)
  return imported.value.mechanism.steps.map((step) => {
    const solvents = step.law.kind === 'expression' ? speciesIn(step.law.expression).filter((id) => table.get(id)?.role === 'solvent') : []
    if (solvents.length > 0) {
      const what = `the rate of "${step.id}" in ${short(file)} reads ${solvents.join(', ')}, the solvent of this mechanism`
      report(reading, 'import-role', tree.span, what, 'give that species the role "held"')
    }
    return finished(step, table, source, defaults)
  })
}
