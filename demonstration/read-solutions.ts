/** `solutions:` -> what is made of the bottles. */
import { suggestion } from '@beakertide/basis/problems'
import type { Tree } from '@beakertide/basis/text'
import type { Quantity, QuantityKind } from '@beakertide/basis/units'
import type { Ingredient, SolutionRecipe, Target } from '@beakertide/core/makeup'
import { fieldsOf, isName, mapOf, type Notes, quantityOf, report } from './fields.ts'

const solutionExample = '"A: { make: 1 L, with: { iodate: 0.19 mol/L } }"'
const ingredientExample = '"iodate: 0.19 mol/L", "manganese: { in the mix: 6 mmol/L }" or "starch: { mass: 0.3 g }"'

/** All keys a solution may have. */
export const solutionKeys = { required: ['make', 'with'], optional: ['temperature', 'stored at'], example: solutionExample }
const targetKeys = ['in solution', 'in the mix', 'mass', 'volume']
const strengthKinds: readonly QuantityKind[] = ['amount-concentration', 'mass-concentration', 'mass-fraction']

/** A solution of water exists between these at ordinary pressure. */
const LIQUID_WATER = { from: 273.15, to: 373.15, why: 'water is liquid there' }

function targetOf(quantity: Quantity): Target {
  if (quantity.kind === 'mass') return { state: 'mass', quantity }
  if (quantity.kind === 'volume') return { state: 'volume', quantity }
  return { state: 'in-solution', quantity }
}

function readIngredient(bottle: string, tree: Tree, where: string, notes: Notes): Omit<Ingredient, 'span'> | null {
  if (tree.kind !== 'map') {
    const quantity = quantityOf(tree, where, [...strengthKinds, 'mass', 'volume'], notes, { positive: true })
    return quantity ? { bottle, target: targetOf(quantity) } : null
  }
  const f = fieldsOf(tree, where, { required: [], optional: [...targetKeys, 'weighed', 'measured'], example: ingredientExample }, notes)
  if (!f) return null
  const read = (key: string, kinds: readonly QuantityKind[]): Quantity | null => {
    const value = f.get(key)
    return value ? quantityOf(value, `${where}, ${key}`, kinds, notes, { positive: true }) : null
  }
  const targets: Target[] = []
  const inSolution = read('in solution', strengthKinds)
  if (inSolution) targets.push({ state: 'in-solution', quantity: inSolution })
  const inMix = read('in the mix', strengthKinds)
  if (inMix) targets.push({ state: 'in-mix', quantity: inMix })
  const mass = read('mass', ['mass'])
  if (mass) targets.push({ state: 'mass', quantity: mass })
  const volume = read('volume', ['volume'])
  if (volume) targets.push({ state: 'volume', quantity: volume })
  const weighed = read('weighed', ['mass'])
  const measured = read('measured', ['volume'])
  const stated = targetKeys.filter((k) => f.get(k) !== undefined)
  if (stated.length !== 1) {
    report(
      notes,
      'target-not-one',
      { where, span: tree.span },
      stated.length === 0
        ? 'how much is wanted is not stated'
        : `how much is wanted is stated ${stated.length} times: ${stated.join(', ')}`,
      `state one of ${targetKeys.join(', ')}, as in ${ingredientExample}`,
    )
    return null
  }
  if (f.get('weighed') && f.get('measured')) {
    report(
      notes,
      'weighed-and-measured',
      { where, span: f.spanOf('measured') },
      'both "weighed" and "measured" are given',
      'keep what was really done',
    )
    return null
  }
  const target = targets[0]
  const done = weighed ?? measured
  return target ? { bottle, target, ...(done ? { weighed: done } : {}) } : null
}

/** Names of bottles that a solution may take from; null when they could not be read. */
type BottleNames = readonly string[] | null

function readIngredients(tree: Tree, about: string, known: BottleNames, notes: Notes): readonly Ingredient[] | null {
  // water alone: to dilute a mix without changing what is in it
  if (tree.kind === 'scalar' && tree.text.trim().toLowerCase() === 'water') return []
  const entries = mapOf(tree, `${about}, with`, ingredientExample, notes)
  if (!entries) return null
  if (entries.length === 0) {
    // a decimal comma may have taken the only entry; then that is the problem
    if (tree.kind === 'map' && tree.entries.length === 0)
      report(
        notes,
        'solution-empty',
        { where: about, span: tree.span },
        'nothing is in this solution',
        'name a bottle, or write "with: water"',
      )
    return null
  }
  const ingredients: Ingredient[] = []
  for (const e of entries) {
    const where = `${about}, "${e.key.slice(0, 40)}"`
    if (known && !known.includes(e.key)) {
      const hint = suggestion(e.key, known)
      report(
        notes,
        'unknown-bottle',
        { where: about, span: e.keySpan },
        `there is no bottle "${e.key.slice(0, 40)}"`,
        hint === '' ? 'name one of the keys under "bottles"' : hint,
      )
    }
    const ingredient = readIngredient(e.key, e.value, where, notes)
    if (ingredient) ingredients.push({ ...ingredient, span: e.keySpan })
  }
  return ingredients
}

/** What a solution is made of, whether or not its amounts could be read. */
export interface WrittenSolution {
  readonly id: string
  /** Names of the bottles, as written. */
  readonly bottles: readonly string[]
}

/** The solutions that could be read, and the names of all that were written. */
export function readSolutions(
  tree: Tree,
  about: string,
  known: BottleNames,
  notes: Notes,
): {
  readonly solutions: readonly SolutionRecipe[]
  readonly names: readonly string[] | null
  readonly written: readonly WrittenSolution[]
} {
  const entries = mapOf(tree, about, solutionExample, notes)
  if (!entries) return { solutions: [], names: null, written: [] }
  const solutions: SolutionRecipe[] = []
  const written: WrittenSolution[] = []
  for (const e of entries) {
    if (!isName(e.key, about, e.keySpan, notes)) continue
    const where = `solution "${e.key}"`
    const f = fieldsOf(e.value, where, solutionKeys, notes)
    if (!f) continue
    const makeTree = f.get('make')
    const volume = makeTree ? quantityOf(makeTree, `${where}, make`, ['volume'], notes, { positive: true, to: 1000, why: 'a batch' }) : null
    const withTree = f.get('with')
    const ingredients = withTree ? readIngredients(withTree, where, known, notes) : null
    written.push({ id: e.key, bottles: withTree?.kind === 'map' ? withTree.entries.map((i) => i.key) : [] })
    const at = (key: string): Quantity | null => {
      const value = f.get(key)
      return value ? quantityOf(value, `${where}, ${key}`, ['temperature'], notes, LIQUID_WATER) : null
    }
    const temperature = at('temperature')
    const storedAt = at('stored at')
    if (!volume || !ingredients) continue
    solutions.push({
      id: e.key,
      volume,
      ingredients,
      ...(temperature ? { temperature } : {}),
      ...(storedAt ? { storedAt } : {}),
      span: e.keySpan,
    })
  }
  return { solutions, names: entries.map((e) => e.key), written }
}
