/** The species block of a mechanism file. */
import { nearest } from '@beakertide/basis/problems'
import type { Span } from '@beakertide/basis/problems'
import type { Tree, TreeEntry } from '@beakertide/basis/text'
import { parseQuantity } from '@beakertide/basis/units'
import { parseFormula, type SpeciesId } from '../matter/index.ts'
import { isSpeciesName } from './equation.ts'
import type { MechanismSpecies } from './mechanism.ts'
import { readNumberWithUnit } from './read-constant.ts'
import { joulePerMol } from './rate-unit.ts'
import { choiceOf, type Fields, fieldsOf, mapOf, type Reading, report, textOf, wordsOf } from './reading.ts'

const KEYS = ['name', 'formula', 'charge', 'role', 'starts from', 'at least', 'because', 'formation', 'formation because', 'note'] as const
/** State names that are taken. */
const RESERVED = ['temperature', 'T']

/** Atoms and charge from `formula` (or the name itself) and `charge`. */
function readComposition(id: SpeciesId, fields: Fields, span: Span, reading: Reading): Pick<MechanismSpecies, 'composition' | 'charge'> {
  const written = textOf(fields.get('formula'), `"formula" of ${id}`, reading)
  const chargeText = textOf(fields.get('charge'), `"charge" of ${id}`, reading)
  const charge = chargeText === undefined ? undefined : Number(chargeText.replace('−', '-'))
  if (charge !== undefined && !(Number.isInteger(charge) && Math.abs(charge) <= 10)) {
    report(
      reading,
      'charge',
      fields.get('charge')?.value.span ?? span,
      `the charge of ${id} is "${chargeText}"`,
      'write a whole number, as in +2 or -1',
    )
  }
  if (written === 'none') return { composition: null, charge: charge ?? 0 }
  const formula = parseFormula(written ?? id)
  if (!formula.ok) {
    const why = formula.problems.map((p) => p.what).join('; ')
    const todo = 'write "formula:" with element symbols and numbers, or "formula: none" for a lumped species'
    report(reading, 'formula', fields.get('formula')?.value.span ?? span, `the formula of ${id} is not understood: ${why}`, todo)
    return { composition: null, charge: charge ?? 0 }
  }
  if (charge !== undefined && formula.value.charge !== 0 && formula.value.charge !== charge) {
    report(
      reading,
      'charge',
      span,
      `${id}: the formula says charge ${formula.value.charge}, "charge:" says ${charge}`,
      'keep one of the two',
    )
  }
  return { composition: formula.value.elements, charge: charge ?? formula.value.charge }
}

function readOne(found: TreeEntry, reading: Reading): MechanismSpecies | null {
  const id = found.key
  const span = found.keySpan
  if (!isSpeciesName(id) || RESERVED.includes(id)) {
    report(
      reading,
      'species-name',
      span,
      `"${id}" cannot be a species name`,
      'start with a letter; letters, digits and ( ) ^ . + - _ may follow; "T" and "temperature" are taken',
    )
    return null
  }
  const fields = fieldsOf(found.value, `species ${id}`, KEYS, reading)
  if (!fields) return null
  const trace = textOf(fields.get('at least'), `"at least" of ${id}`, reading)
  const traceWhy = textOf(fields.get('because'), `"because" of ${id}`, reading)
  const traceSpan = fields.get('at least')?.value.span ?? span
  const traceRead =
    trace === undefined ? undefined : parseQuantity(trace, ['amount-concentration'], { where: `"at least" of ${id}`, span: traceSpan })
  if (traceRead && !traceRead.ok) reading.problems.push(...traceRead.problems)
  if (trace !== undefined && traceWhy === undefined) {
    report(
      reading,
      'trace-why',
      traceSpan,
      `${id} starts with at least ${trace} and nothing says why`,
      'add "because:" (impurity, dissolved air …)',
    )
  }
  const formationEntry = fields.get('formation')
  const formation = formationEntry
    ? readNumberWithUnit(
        textOf(formationEntry, `"formation" of ${id}`, reading) ?? '',
        joulePerMol,
        'kJ/mol',
        formationEntry.value.span,
        `formation enthalpy of ${id}`,
        reading,
      )
    : null
  const formationWhy = textOf(fields.get('formation because'), `"formation because" of ${id}`, reading)
  if (formation !== null && formationWhy === undefined) {
    report(
      reading,
      'formation-why',
      formationEntry?.value.span ?? span,
      `${id} has an estimated enthalpy of formation and nothing says whence`,
      'add "formation because:"',
    )
  }
  const startsFrom = wordsOf(fields.get('starts from'), `"starts from" of ${id}`, reading)
  const note = textOf(fields.get('note'), `"note" of ${id}`, reading)
  return {
    id,
    name: textOf(fields.get('name'), `"name" of ${id}`, reading) ?? id,
    ...readComposition(id, fields, span, reading),
    role: choiceOf(fields.get('role'), `the role of ${id}`, ['dynamic', 'held', 'solvent'] as const, reading) ?? 'dynamic',
    ...(startsFrom.length > 0 ? { startsFrom } : {}),
    ...(traceRead?.ok && traceWhy !== undefined ? { traceMolPerL: traceRead.value.value, traceWhy } : {}),
    ...(formation !== null && formationWhy !== undefined ? { formationKJPerMol: formation.value / 1000, formationWhy } : {}),
    ...(note === undefined ? {} : { note }),
  }
}

/** All species of a block, in order. */
export function readSpecies(tree: Tree, what: string, reading: Reading): readonly MechanismSpecies[] {
  const map = mapOf(tree, what, reading)
  return map ? map.entries.flatMap((found) => readOne(found, reading) ?? []) : []
}

/** A species name without its charge and marks: the slip is mostly there ("SO4" or "SO42-" for "SO4^2-", "H" for "H+"). */
const bare = (id: SpeciesId): string =>
  id
    .replace(/\^?\d?[+-]+$/, '')
    .replace(/[^A-Za-z0-9]/g, '')
    .toLowerCase()

/** "did you mean …" among species; the whole list when nothing is near. */
export function meantSpecies(id: string, known: readonly SpeciesId[]): string {
  const sameAtoms = bare(id) === '' ? [] : known.filter((k) => bare(k) === bare(id))
  const near = [...new Set([...sameAtoms, ...nearest(id, known)])].slice(0, 3)
  return near.length > 0
    ? `did you mean ${near.map((n) => `"${n}"`).join(' or ')}?`
    : `add it to "species:" or use one of ${known.slice(0, 40).join(', ')}`
}
