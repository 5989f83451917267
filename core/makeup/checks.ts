/** What can be wrong with bottles and recipes before a number is computed. */
import { type Problem, suggestion } from '@beakertide/basis/problems'
import { formatNumber, kelvinToCelsius } from '@beakertide/basis/units'
import type { BalanceAndGlass, Bottle, SolutionRecipe } from './recipe.ts'

/** Water stays liquid, and the tables reach, from 0 to 100 degC. */
const COLDEST_C = 0
const HOTTEST_C = 100

/** Smaller than a drop and larger than a tank nobody makes a solution, L: assumed. */
const SMALLEST_L = 1e-5
const LARGEST_L = 10_000

function twice(kind: string, things: readonly { readonly id: string; readonly span?: Bottle['span'] }[]): readonly Problem[] {
  const met = new Set<string>()
  return things.flatMap((t) => {
    if (!met.has(t.id)) {
      met.add(t.id)
      return []
    }
    return [
      {
        code: 'makeup/name-twice',
        where: `${kind} "${t.id}"`,
        what: `two are called "${t.id}"`,
        todo: 'give each its own name',
        ...(t.span ? { span: t.span } : {}),
      },
    ]
  })
}

function temperatureFault(where: string, kelvin: number, span: Bottle['span']): readonly Problem[] {
  const celsius = kelvinToCelsius(kelvin)
  if (Number.isFinite(celsius) && celsius >= COLDEST_C && celsius <= HOTTEST_C) return []
  return [
    {
      code: 'makeup/temperature-range',
      where,
      what: `${formatNumber(celsius, 4)} degC is outside ${COLDEST_C} to ${HOTTEST_C} degC, where solutions in water can be computed`,
      todo: 'check the number and its unit',
      ...(span ? { span } : {}),
    },
  ]
}

function solutionFaults(solution: SolutionRecipe, bottleIds: readonly string[]): readonly Problem[] {
  const found: Problem[] = []
  const where = `solution "${solution.id}"`
  const at = solution.span ? { span: solution.span } : {}
  const { volume } = solution
  if (volume.kind !== 'volume')
    found.push({
      code: 'makeup/volume-kind',
      where,
      what: `"${volume.text}" is a ${volume.kind}; the volume it is made up to is needed`,
      todo: 'write it as in "500 mL"',
      ...at,
    })
  else if (!(Number.isFinite(volume.value) && volume.value > 0))
    found.push({
      code: 'makeup/not-above-zero',
      where,
      what: `the volume is "${volume.text}"; it must be more than 0`,
      todo: 'write the volume it is made up to',
      ...at,
    })
  else if (volume.value < SMALLEST_L || volume.value > LARGEST_L) {
    found.push({
      code: 'makeup/volume-range',
      where,
      what: `a solution of "${volume.text}" is outside ${SMALLEST_L * 1e6} uL to ${LARGEST_L} L`,
      todo: 'check the number and its unit',
      ...at,
    })
  }
  for (const [name, q] of [['temperature', solution.temperature] as const, ['storedAt', solution.storedAt] as const]) {
    if (!q) continue
    if (q.kind !== 'temperature')
      found.push({
        code: 'makeup/temperature-range',
        where: `${where}, ${name}`,
        what: `"${q.text}" is not a temperature`,
        todo: 'write it as in "21 degC"',
        ...at,
      })
    else found.push(...temperatureFault(`${where}, ${name}`, q.value, solution.span))
  }
  const met = new Set<string>()
  for (const ingredient of solution.ingredients) {
    const span = ingredient.span ?? solution.span
    const there = { where: `${where}, ingredient "${ingredient.bottle}"`, ...(span ? { span } : {}) }
    if (!bottleIds.includes(ingredient.bottle))
      found.push({
        code: 'makeup/unknown-bottle',
        ...there,
        what: `there is no bottle "${ingredient.bottle}"`,
        todo: suggestion(ingredient.bottle, bottleIds) || 'add the bottle',
      })
    if (met.has(ingredient.bottle))
      found.push({
        code: 'makeup/ingredient-twice',
        ...there,
        what: `"${ingredient.bottle}" goes into this solution twice`,
        todo: 'add the two amounts up into one line',
      })
    met.add(ingredient.bottle)
  }
  return found
}

function toolFaults(tools: BalanceAndGlass): readonly Problem[] {
  if (Number.isFinite(tools.balanceReadabilityG) && tools.balanceReadabilityG > 0) return []
  return [
    {
      code: 'makeup/balance',
      where: 'tools',
      what: `the smallest digit of the balance is "${tools.balanceReadabilityG}" g; it must be more than 0`,
      todo: 'write what the balance shows last, as in "0.01 g"',
    },
  ]
}

/** Everything that stops the computation. */
export function inputFaults(
  bottles: readonly Bottle[],
  solutions: readonly SolutionRecipe[],
  roomKelvin: number,
  tools: BalanceAndGlass,
): readonly Problem[] {
  const ids = bottles.map((b) => b.id)
  return [
    ...twice('bottle', bottles),
    ...twice('solution', solutions),
    ...temperatureFault('room', roomKelvin, undefined),
    ...toolFaults(tools),
    ...solutions.flatMap((s) => solutionFaults(s, ids)),
  ]
}

/** Bottles that no solution uses. */
export function unusedBottles(bottles: readonly Bottle[], solutions: readonly SolutionRecipe[]): readonly Problem[] {
  const used = new Set(solutions.flatMap((s) => s.ingredients.map((i) => i.bottle)))
  return bottles
    .filter((b) => !used.has(b.id))
    .map((b) => ({
      code: 'makeup/bottle-without-use',
      where: `bottle "${b.id}"`,
      what: 'no solution uses it',
      todo: 'take it out, or use it',
      ...(b.span ? { span: b.span } : {}),
    }))
}
