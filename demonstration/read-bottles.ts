/** `bottles:` -> what stands on the shelf. */
import type { Tree } from '@beakertide/basis/text'
import type { QuantityKind } from '@beakertide/basis/units'
import type { Assay, Bottle } from '@beakertide/core/makeup'
import { type Fields, fieldsOf, flagOf, isName, mapOf, type Notes, quantityOf, report, textOf, wordOf } from './fields.ts'

const bottleExample = '"peroxide: { substance: hydrogen peroxide, strength: 27.5 % w/w }"'
const titrationExample = '"assay: { by: permanganate, take: 5 mL, dilute to: 500 mL, aliquot: 20 mL, titrant: 0.02 mol/L, used: 35.5 mL }"'
const gasExample = '"assay: { by: oxygen volume, take: 1 mL, gas: 105 mL, temperature: 21 degC }"'

/** All keys a bottle may have; the schema and its documentation name the same. */
export const bottleKeys = {
  required: ['substance'],
  optional: ['hydrate', 'purity', 'strength', 'density', 'assay', 'pack', 'price', 'opened'],
  example: bottleExample,
}
const titrationKeys = {
  required: ['by', 'take', 'aliquot', 'titrant', 'used'],
  optional: ['dilute to', 'blank'],
  example: titrationExample,
}
const gasKeys = { required: ['by', 'take', 'gas', 'temperature'], optional: ['pressure', 'over water'], example: gasExample }
const allAssayKeys = [...new Set([...titrationKeys.required, ...titrationKeys.optional, ...gasKeys.required, ...gasKeys.optional])]

const strengthKinds: readonly QuantityKind[] = [
  'mass-fraction',
  'mass-concentration',
  'volume-fraction',
  'amount-concentration',
  'molality',
  'oxygen-volumes',
]

/** Analytical grades go a little above 100 % because the assay itself is uncertain ("99.5-100.5 %"); common practice, no source. */
const HIGHEST_PURITY = 1.02

function readAssay(tree: Tree, about: string, notes: Notes): Assay | null {
  const any = fieldsOf(tree, about, { required: ['by'], optional: allAssayKeys, example: titrationExample }, notes)
  const byTree = any?.get('by')
  if (!any || !byTree) return null
  const by = wordOf(
    byTree,
    `${about}, by`,
    { permanganate: 'permanganate', iodometric: 'iodometric', 'oxygen volume': 'oxygen-volume', 'oxygen-volume': 'oxygen-volume' },
    'assay',
    notes,
  )
  if (!by) return null
  // the second reading knows which keys belong to this assay; keys unknown to all were reported by the first
  const own: Notes = { problems: [], warnings: [] }
  const f = fieldsOf(tree, about, by === 'oxygen-volume' ? gasKeys : titrationKeys, own)
  for (const p of own.problems) {
    if (!notes.problems.some((q) => q.span?.line === p.span?.line && q.span?.column === p.span?.column && q.code === p.code))
      notes.problems.push(p)
  }
  if (!f) return null
  const volume = (key: string) => optional(f, key, ['volume'], notes, { positive: true })
  const take = volume('take')
  if (by === 'oxygen-volume') {
    const gas = volume('gas')
    const temperature = optional(f, 'temperature', ['temperature'], notes)
    const pressure = optional(f, 'pressure', ['pressure'], notes, { positive: true })
    const overTree = f.get('over water')
    const over = overTree ? flagOf(overTree, `${about}, over water`, notes) : true
    if (!take || !gas || !temperature || over === null) return null
    return { by, take, gas, temperature, ...(pressure ? { pressure } : {}), overWater: over }
  }
  const dilutedTo = volume('dilute to')
  const aliquot = volume('aliquot')
  const titrant = optional(f, 'titrant', ['amount-concentration'], notes, { positive: true })
  const used = volume('used')
  const blank = optional(f, 'blank', ['volume'], notes)
  if (take && dilutedTo && dilutedTo.value < take.value) {
    report(
      notes,
      'assay-impossible',
      { where: about, span: f.spanOf('dilute to') },
      `${take.text} cannot be diluted to ${dilutedTo.text}`,
      'give the volume made up to, larger than the volume taken',
    )
    return null
  }
  if (used && blank && blank.value >= used.value) {
    report(
      notes,
      'assay-impossible',
      { where: about, span: f.spanOf('blank') },
      `the blank used ${blank.text}, the sample ${used.text}: nothing is left for the sample`,
      'check the two burette readings',
    )
    return null
  }
  if (!take || !aliquot || !titrant || !used) return null
  return { by, take, ...(dilutedTo ? { dilutedTo } : {}), aliquot, titrant, used, ...(blank ? { blank } : {}) }
}

function optional(f: Fields, key: string, kinds: readonly QuantityKind[], notes: Notes, range: Parameters<typeof quantityOf>[4] = {}) {
  const tree = f.get(key)
  return tree ? quantityOf(tree, `${f.about}, ${key}`, kinds, notes, range) : null
}

function optionalText(f: Fields, key: string, notes: Notes): string | null {
  const tree = f.get(key)
  return tree ? textOf(tree, `${f.about}, ${key}`, bottleExample, notes) : null
}

function readBottle(id: string, tree: Tree, about: string, notes: Notes): Bottle | null {
  // "starch: starch (soluble)": the short way for a bottle with nothing to say but its name
  if (tree.kind === 'scalar' && !tree.isEmpty) {
    const substance = textOf(tree, about, bottleExample, notes)
    return substance === null ? null : { id, substance, span: tree.span }
  }
  const f = fieldsOf(tree, about, bottleKeys, notes)
  if (!f) return null
  const substance = optionalText(f, 'substance', notes)
  const hydrate = optionalText(f, 'hydrate', notes)
  const purity = optional(f, 'purity', ['fraction', 'mass-fraction'], notes, { positive: true, to: HIGHEST_PURITY })
  const strengthTree = f.get('strength')
  const strength = strengthTree ? quantityOf(strengthTree, `${about}, strength`, strengthKinds, notes, { positive: true }) : null
  const density = optional(f, 'density', ['density'], notes, { from: 0.5, to: 4, why: 'liquids of the bench, g/mL' })
  const assayTree = f.get('assay')
  const assay = assayTree ? readAssay(assayTree, `${about}, assay`, notes) : null
  const pack = optional(f, 'pack', ['mass', 'volume'], notes, { positive: true })
  const price = optionalText(f, 'price', notes)
  const opened = optionalText(f, 'opened', notes)
  if (f.get('purity') && f.get('strength')) {
    report(
      notes,
      'purity-and-strength',
      { where: about, span: f.spanOf('purity') },
      'a bottle states a purity (a solid) or a strength (a liquid), not both',
      'keep the one that stands on the label',
    )
  }
  if (substance === null) return null
  return {
    id,
    substance,
    ...(hydrate === null ? {} : { hydrate }),
    ...(purity ? { purity } : {}),
    ...(strength ? { strength } : {}),
    ...(density ? { density } : {}),
    ...(assay ? { assay } : {}),
    ...(pack ? { packSize: pack } : {}),
    ...(price === null ? {} : { price }),
    ...(opened === null ? {} : { opened }),
    span: f.span,
  }
}

/**
 * The bottles that could be read, and the names of all that were written, so that one fault does not make a second;
 * names are null when no map could be read at all.
 */
export function readBottles(
  tree: Tree,
  about: string,
  notes: Notes,
): { readonly bottles: readonly Bottle[]; readonly names: readonly string[] | null } {
  const entries = mapOf(tree, about, bottleExample, notes)
  if (!entries) return { bottles: [], names: null }
  const bottles: Bottle[] = []
  for (const e of entries) {
    if (!isName(e.key, about, e.keySpan, notes)) continue
    const bottle = readBottle(e.key, e.value, `bottle "${e.key}"`, notes)
    if (bottle) bottles.push({ ...bottle, span: e.keySpan })
  }
  return { bottles, names: entries.map((e) => e.key) }
}

/** Whether a substance text is starch; the rehearsal then shows the blue of iodine with starch. */
export function isStarch(bottle: Bottle): boolean {
  return /^starch\b/i.test(bottle.substance.trim())
}
