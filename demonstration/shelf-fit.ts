/** What a shelf lacks for a demonstration: the recipe made up afresh from the bottles that stand there. */
import type { Problem } from '@beakertide/basis/problems'
import { type Bottle, makeUp } from '@beakertide/core/makeup'
import { findSubstance, type MatterFacts, type Substance } from '@beakertide/core/matter'
import type { DayFacts } from './day.ts'
import type { Demonstration } from './demonstration.ts'

/** A bottle on the shelf with what is left in it; null: nobody knows. */
export interface ShelfBottle {
  readonly bottle: Bottle
  readonly left: { readonly kind: 'mass' | 'volume'; readonly value: number } | null
}

/** How one bottle of a demonstration stands with the shelf. */
export interface BottleFit {
  /** Name in the document. */
  readonly bottle: string
  readonly substance: string
  /** Id of the shelf's bottle that would serve; null: there is none. */
  readonly shelf: string | null
  /** `unsure`: nobody knows how much is left, or another thing of it stands in the way, as said in `why`. */
  readonly state: 'enough' | 'too little' | 'missing' | 'unsure' | 'does not serve'
  /** What it needs of the shelf's bottle: g, and mL of a liquid. */
  readonly needG: number
  readonly needMl: number | null
  readonly why: string
}

export interface ShelfFit {
  readonly bottles: readonly BottleFit[]
  readonly state: 'can be done' | 'look' | 'something is missing'
  /** What the make-up says of the shelf's bottles. */
  readonly problems: readonly Problem[]
}

const substanceOf = (bottle: Bottle, matter: MatterFacts): Substance | null => {
  const found = findSubstance(bottle.substance, bottle.hydrate, matter)
  return found.ok ? found.value : null
}

/** Stated as a strength, or sold as a liquid. */
const isLiquid = (bottle: Bottle, s: Substance): boolean =>
  bottle.strength !== undefined || s.soldAs === 'aqueous' || /liquid|syrup/.test(s.form)

/** Bottles of the same compound; solids for solids first, then those with most in them. */
function candidates(wanted: Bottle, shelf: readonly ShelfBottle[], matter: MatterFacts): readonly ShelfBottle[] {
  const substance = substanceOf(wanted, matter)
  if (!substance) return []
  const same = shelf.filter((s) => substanceOf(s.bottle, matter)?.family === substance.family)
  const rank = (s: ShelfBottle): number => {
    const own = substanceOf(s.bottle, matter)!
    const sameForm = isLiquid(s.bottle, own) === isLiquid(wanted, substance)
    return (sameForm ? 0 : 100) + (own.id === substance.id ? 0 : 1) + (s.left === null ? 0.5 : s.left.value > 0 ? 0 : 50)
  }
  return [...same].sort((a, b) => rank(a) - rank(b))
}

/** What the shelf's bottle says replaces what the document says of its own; the name in the document stays. */
export function fromShelf(wanted: Bottle, shelf: Bottle): Bottle {
  const { span } = wanted
  const { id: _own, span: _shelfSpan, ...content } = shelf
  return { ...content, id: wanted.id, ...(span ? { span } : {}) }
}

/** Pure. A demonstration that cannot be made up from these bottles says why in `problems`. */
export function fitShelf(d: Demonstration, shelf: readonly ShelfBottle[], facts: Pick<DayFacts, 'matter' | 'glassware'>): ShelfFit {
  const used = new Set(d.solutions.flatMap((s) => s.ingredients.map((i) => i.bottle)))
  const wanted = d.bottles.filter((b) => used.has(b.id))
  const chosen = new Map(wanted.map((b) => [b.id, candidates(b, shelf, facts.matter)[0] ?? null]))
  const swapped = d.bottles.map((b) => {
    const found = chosen.get(b.id)
    return found ? fromShelf(b, found.bottle) : b
  })
  const made = makeUp(swapped, d.solutions, d.vessels, d.room, d.tools, facts)
  const problems = made.ok ? [] : made.problems
  const bottles = wanted.map((b): BottleFit => {
    const found = chosen.get(b.id) ?? null
    const name = substanceOf(b, facts.matter)?.name ?? b.substance
    const need = made.ok ? made.value.shopping.find((s) => s.bottle === b.id) : undefined
    const base = { bottle: b.id, substance: name, shelf: found?.bottle.id ?? null, needG: need?.needG ?? 0, needMl: need?.needMl ?? null }
    if (!found) return { ...base, state: 'missing', why: '' }
    const own = problems.find((p) => p.where.includes(`"${b.id}"`))
    if (own) return { ...base, state: 'does not serve', why: own.what }
    if (!need || found.left === null) return { ...base, state: 'unsure', why: '' }
    const needed = found.left.kind === 'mass' ? need.needG : need.needMl === null ? null : need.needMl / 1000
    if (needed === null) return { ...base, state: 'unsure', why: '' }
    return { ...base, state: found.left.value >= needed ? 'enough' : 'too little', why: '' }
  })
  const isMissing = bottles.some((b) => b.state === 'missing' || b.state === 'too little' || b.state === 'does not serve')
  const isUnsure = bottles.some((b) => b.state === 'unsure') || problems.length > 0
  return { bottles, state: isMissing ? 'something is missing' : isUnsure ? 'look' : 'can be done', problems }
}
