/** `place:` -> what the authority of a place lets into its drain, as the user wrote it down; in a document or in a file of its own. */
import { done, inReadingOrder, type Outcome, suggestion } from '@beakertide/basis/problems'
import { readTree, type Tree } from '@beakertide/basis/text'
import { kelvinToCelsius, parseQuantity } from '@beakertide/basis/units'
import { isLimitParameter, LIMIT_PARAMETERS, type LimitParameter, type PlaceLimit, type PlaceLimits } from '@beakertide/core/clearing'
import { type Fields, fieldsOf, flagOf, mapOf, type Notes, report, scalarOf, short, textOf } from './fields.ts'

const example = '"place: { name: our school, source: letter of the water board, limits: { pH: 6 to 9.5, sulfate: 600 mg/L } }"'
const keys = { required: ['name', 'source'], optional: ['limits', 'collect all'], example }

/** One end of a limit in the unit of its parameter; null: not readable. */
function endOf(text: string, parameter: LimitParameter): number | null {
  if (parameter === 'pH') {
    const pH = /^\d+(?:\.\d+)?$/.test(text) ? Number(text) : Number.NaN
    return pH >= 0 && pH <= 14 ? pH : null
  }
  if (parameter === 'temperature') {
    const read = parseQuantity(text, ['temperature'])
    return read.ok ? kelvinToCelsius(read.value.value) : null
  }
  const read = parseQuantity(text, ['mass-concentration'])
  return read.ok && read.value.value >= 0 ? 1000 * read.value.value : null
}

const shownOf = (parameter: LimitParameter): string =>
  parameter === 'pH' ? '"6 to 9.5"' : parameter === 'temperature' ? '"35 degC"' : '"600 mg/L"'

function limitOf(key: string, tree: Tree, notes: Notes): PlaceLimit | null {
  const where = `place, limits, ${short(key)}`
  if (!isLimitParameter(key)) {
    const names = Object.keys(LIMIT_PARAMETERS)
    const hint = suggestion(key, names)
    report(
      notes,
      'unknown-limit',
      { where, span: tree.span },
      `no limit of "${short(key)}" can be applied`,
      hint === '' ? `known here: ${names.join(', ')}` : hint,
    )
    return null
  }
  const scalar = scalarOf(tree, where, shownOf(key), notes)
  if (!scalar) return null
  const text = scalar.text.trim()
  const [first, second, more] = text.split(/\s+to\s+/)
  const ends = more === undefined ? [first, second].map((t) => (t === undefined ? undefined : endOf(t, key))) : [null]
  const [low, high] = second === undefined ? [undefined, ends[0]] : [ends[0], ends[1]]
  if (low === null || high === null || high === undefined || (key === 'pH' && low === undefined) || (low !== undefined && low > high)) {
    report(
      notes,
      'limit-not-read',
      { where, span: scalar.span },
      `"${short(text)}" is not a limit of ${key}`,
      `write it as in ${shownOf(key)}`,
    )
    return null
  }
  return { parameter: key, low: low ?? null, high }
}

function placeFrom(f: Fields, notes: Notes): PlaceLimits | null {
  const nameTree = f.get('name')
  const sourceTree = f.get('source')
  const name = nameTree ? textOf(nameTree, 'place, name', example, notes) : null
  const source = sourceTree ? textOf(sourceTree, 'place, source', example, notes) : null
  const allTree = f.get('collect all')
  const collectAll = allTree ? flagOf(allTree, 'place, collect all', notes) : false
  const limitsTree = f.get('limits')
  const entries = limitsTree ? mapOf(limitsTree, 'place, limits', example, notes) : []
  const limits = (entries ?? []).flatMap((e) => limitOf(e.key, e.value, notes) ?? [])
  if (name === null || source === null || collectAll === null) return null
  return { name, source, limits, collectAll }
}

/** The `place` of a document. */
export function readPlace(tree: Tree | undefined, notes: Notes): PlaceLimits | null {
  const f = tree ? fieldsOf(tree, 'place', keys, notes) : null
  return f ? placeFrom(f, notes) : null
}

/** A file that holds one place and nothing else: the same keys at its top. All problems at once. */
export function parsePlace(text: string, file: string): Outcome<PlaceLimits> {
  const tree = readTree(text, file)
  if (!tree.ok) return tree
  const notes: Notes = { problems: [], warnings: [] }
  const f = fieldsOf(tree.value, 'place', keys, notes)
  const place = f ? placeFrom(f, notes) : null
  if (notes.problems.length > 0 || !place) return { ok: false, problems: inReadingOrder(notes.problems) }
  return done(place, inReadingOrder(notes.warnings))
}
