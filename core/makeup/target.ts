/** What the recipe wants, in mol of each ingredient, however it is stated. */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { formatQuantity, type Quantity, type QuantityKind } from '@beakertide/basis/units'
import type { MatterFacts } from '../matter/index.ts'
import { peroxideFromVolumes } from './assay.ts'
import { type Composition, compose, massOf, type Part } from './composition.ts'
import { type MixShare, mixRatio } from './mix-share.ts'
import type { Ingredient, SolutionRecipe } from './recipe.ts'
import { pureDensity } from './label-strength.ts'
import type { BottleContent } from './strength.ts'

/** An ingredient with its bottle understood. */
export interface Entry {
  readonly ingredient: Ingredient
  readonly content: BottleContent
}

const kindsByState: Readonly<Record<Ingredient['target']['state'], readonly QuantityKind[]>> = {
  'in-solution': ['amount-concentration', 'mass-concentration', 'mass-fraction', 'volume-fraction', 'molality', 'oxygen-volumes'],
  'in-mix': ['amount-concentration', 'mass-concentration', 'oxygen-volumes'],
  mass: ['mass'],
  volume: ['volume'],
}

/** Water missing by less than this share of the mass is the uncertainty of densities, not a contradiction. */
const NO_ROOM_SHARE = 0.01

/** Less than this of a bottle is no amount, even by way of a stock, g: assumed (a nanogram). */
const LEAST_G = 1e-9

interface Place {
  readonly solution: SolutionRecipe
  readonly entry: Entry
}

function problem({ solution, entry }: Place, code: string, what: string, todo: string): Problem {
  const span = entry.ingredient.span ?? solution.span
  return {
    code: `makeup/${code}`,
    where: `solution "${solution.id}", ingredient "${entry.ingredient.bottle}"`,
    what,
    todo,
    ...(span ? { span } : {}),
  }
}

const positive = (q: Quantity): boolean => Number.isFinite(q.value) && q.value > 0

/** A target that no solving can save. */
export function targetFaults(solution: SolutionRecipe, entry: Entry): readonly Problem[] {
  const place = { solution, entry }
  const { target, weighed } = entry.ingredient
  const { content } = entry
  const found: Problem[] = []
  const allowed = kindsByState[target.state]
  if (!positive(target.quantity)) {
    found.push(
      problem(
        place,
        'not-above-zero',
        `the amount is "${target.quantity.text}"; it must be more than 0`,
        'write the amount, or take the ingredient out',
      ),
    )
  } else if (target.quantity.kind === 'fraction') {
    found.push(
      problem(
        place,
        'per-cent-of-what',
        `"${target.quantity.text}" does not say per cent of what`,
        'write "% w/w" (g in 100 g) or "% w/v" (g in 100 mL of solution)',
      ),
    )
  } else if (!allowed.includes(target.quantity.kind)) {
    found.push(
      problem(
        place,
        'target-kind',
        `"${target.quantity.text}" is a ${target.quantity.kind}; wanted "${target.state}" takes ${allowed.join(', ')}`,
        'change the quantity or the way it is stated',
      ),
    )
  } else if (target.state === 'volume' && content.state === 'solid') {
    found.push(
      problem(
        place,
        'volume-of-a-solid',
        `${content.substance.name} is a solid: ${target.quantity.text} of it cannot be measured`,
        'state a mass or a strength',
      ),
    )
  } else if (target.quantity.kind === 'oxygen-volumes' && !content.substance.entersWater.some((e) => e.species === 'H2O2')) {
    found.push(
      problem(
        place,
        'volumes-of-no-peroxide',
        `"${target.quantity.text}" is a strength of hydrogen peroxide, not of ${content.substance.name}`,
        'state mol/L or % w/w',
      ),
    )
  }
  if (weighed) {
    if (weighed.kind !== 'mass' && weighed.kind !== 'volume')
      found.push(
        problem(
          place,
          'weighed-kind',
          `"weighed" is "${weighed.text}"; a mass or a volume is needed`,
          'write what the balance or the glassware showed',
        ),
      )
    else if (!positive(weighed))
      found.push(
        problem(
          place,
          'not-above-zero',
          `"weighed" is "${weighed.text}"; it must be more than 0`,
          'write what the balance or the glassware showed',
        ),
      )
    else if (weighed.kind === 'volume' && content.state === 'solid')
      found.push(
        problem(
          place,
          'volume-of-a-solid',
          `"weighed" is a volume (${weighed.text}), but ${content.substance.name} is a solid`,
          'write the mass in g',
        ),
      )
  }
  return found
}

/** Amount of the labelled formula for one target, mol, given the flask as it stands. */
function amountFor(entry: Entry, ratio: number, flask: Composition, matter: MatterFacts): number {
  const { quantity, state } = entry.ingredient.target
  const { content } = entry
  const M = content.substance.molarMassGPerMol
  if (state === 'mass') return quantity.value * content.molPerG.value
  if (state === 'volume') return quantity.value * (content.molPerL?.value ?? 0)
  const perLitre = (molPerL: number): number => molPerL * flask.volumeL * (state === 'in-mix' ? ratio : 1)
  switch (quantity.kind) {
    case 'mass-concentration':
      return perLitre(quantity.value / M)
    case 'oxygen-volumes':
      return perLitre(peroxideFromVolumes(quantity.value))
    case 'mass-fraction':
      return (quantity.value * flask.massG) / M
    case 'molality':
      return (quantity.value * flask.solventWaterG) / 1000
    case 'volume-fraction':
      return perLitre((quantity.value * 1000 * (pureDensity(content.substance, matter)?.gPerMl ?? 0)) / M)
    default:
      return perLitre(quantity.value)
  }
}

/** What the flask cannot be: weaker stock than target, no room for water, more solute than solution. For wanted and for taken amounts. */
export function contradictions(
  solution: SolutionRecipe,
  entries: readonly Entry[],
  parts: readonly Part[],
  flask: Composition,
  taken: 'as-wanted' | 'as-weighed' = 'as-wanted',
): readonly Problem[] {
  const found: Problem[] = []
  // comparisons are written so that a number beyond all bounds (no number) is refused too
  parts.forEach((part, i) => {
    const entry = entries[i]!
    const place = { solution, entry }
    const { content } = part
    const wanted = part.amountMol / flask.volumeL
    const target = (taken === 'as-weighed' ? entry.ingredient.weighed : undefined)?.text ?? entry.ingredient.target.quantity.text
    if (massOf(part) < LEAST_G) {
      found.push(
        problem(
          place,
          'too-little',
          `"${target}" is ${formatQuantity(massOf(part), 'mass', 2)} of the bottle: nobody can take so little`,
          'check the number and its unit, or use a weaker bottle',
        ),
      )
    } else if (content.molPerL && !(wanted <= content.molPerL.value * (1 + NO_ROOM_SHARE))) {
      found.push(
        problem(
          place,
          'stock-weaker-than-target',
          `the bottle holds ${formatQuantity(content.molPerL.value, 'amount-concentration', 3)}, "${target}" needs ${formatQuantity(wanted, 'amount-concentration', 3)} in the solution`,
          `use a stronger bottle, or want at most ${formatQuantity(content.molPerL.value, 'amount-concentration', 3)} here`,
        ),
      )
    } else if (!(massOf(part) <= flask.massG * (1 + NO_ROOM_SHARE))) {
      found.push(
        problem(
          place,
          'solute-exceeds-solution',
          `"${target}" needs ${formatQuantity(massOf(part), 'mass', 4)} of the bottle, but ${formatQuantity(flask.volumeL, 'volume', 3)} of solution weighs ${formatQuantity(flask.massG, 'mass', 4)}`,
          'check the number and its unit, or make more solution',
        ),
      )
    }
  })
  if (found.length === 0 && flask.addedWaterG < -NO_ROOM_SHARE * flask.massG) {
    const names = entries.map((e) => `"${e.ingredient.bottle}"`).join(', ')
    const together = parts.reduce((sum, p) => sum + massOf(p), 0)
    found.push({
      code: 'makeup/no-room-for-water',
      where: `solution "${solution.id}"`,
      what: `${names} together weigh ${formatQuantity(together, 'mass', 4)}, more than ${formatQuantity(flask.volumeL, 'volume', 3)} of the solution (${formatQuantity(flask.massG, 'mass', 4)})`,
      todo: 'use stronger bottles or solids, or split the ingredients over two solutions',
      ...(solution.span ? { span: solution.span } : {}),
    })
  }
  return found
}

/** Volume targets whose pure density is not on file. */
function lacksPureDensity(solution: SolutionRecipe, entry: Entry, matter: MatterFacts): readonly Problem[] {
  const { quantity } = entry.ingredient.target
  if (quantity.kind !== 'volume-fraction' || pureDensity(entry.content.substance, matter)) return []
  return [
    problem(
      { solution, entry },
      'no-pure-density',
      `${quantity.text} needs the density of pure ${entry.content.substance.name}, which is not on file`,
      'state mol/L or % w/w',
    ),
  ]
}

/**
 * Amounts wanted, mol of the labelled formula, one for each entry, with the flask they make. Targets by mass fraction or
 * molality depend on the flask itself and are solved by repetition. Refuses contradictions, all at once.
 */
export function wantedAmounts(
  solution: SolutionRecipe,
  entries: readonly Entry[],
  vessels: readonly MixShare[],
  celsius: number,
  matter: MatterFacts,
  waterMolarMass: number,
): Outcome<{ readonly parts: readonly Part[]; readonly flask: Composition }> {
  const faults = entries.flatMap((e) => [...targetFaults(solution, e), ...lacksPureDensity(solution, e, matter)])
  const ratio = entries.some((e) => e.ingredient.target.state === 'in-mix') ? mixRatio(solution, vessels) : done(1)
  if (!ratio.ok) faults.push(...ratio.problems)
  if (faults.length > 0 || !ratio.ok) return { ok: false, problems: faults }
  const volumeL = solution.volume.value
  let parts: readonly Part[] = entries.map((e) => ({ content: e.content, amountMol: 0 }))
  let flask = compose(parts, volumeL, celsius, matter, waterMolarMass)
  for (let round = 0; round < 200; round++) {
    const next = entries.map((e) => ({ content: e.content, amountMol: amountFor(e, ratio.value, flask, matter) }))
    const moved = Math.max(0, ...next.map((p, i) => Math.abs(p.amountMol - parts[i]!.amountMol) / (p.amountMol || 1)))
    parts = next
    flask = compose(parts, volumeL, celsius, matter, waterMolarMass)
    // beyond all sense: more in the flask than any liquid weighs; the contradiction below says so
    if (moved < 1e-13 || !(flask.solventWaterG >= -flask.massG)) break
  }
  const found = contradictions(solution, entries, parts, flask)
  return found.length > 0 ? { ok: false, problems: found } : done({ parts, flask })
}
