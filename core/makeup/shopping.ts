/** What to buy: needs of all solutions together, in packs, with the price where one is written. */
import { formatQuantity } from '@beakertide/basis/units'
import type { Portion, ShoppingLine } from './make-up-result.ts'
import type { Bottle } from './recipe.ts'

/** A price text split into its number and the rest: "12.50 EUR" -> 12.5, "EUR". Null when it holds no single number. */
export function readPrice(text: string): { readonly value: number; readonly currency: string } | null {
  const found = text.match(/\d+(?:\.\d+)?/g)
  if (!found || found.length !== 1) return null
  return { value: Number(found[0]), currency: text.replace(found[0], '').trim() }
}

function packsOf(bottle: Bottle, needG: number, needMl: number | null): Pick<ShoppingLine, 'packs' | 'cost'> {
  const pack = bottle.packSize
  const need = needMl === null ? formatQuantity(needG, 'mass', 3) : formatQuantity(needMl / 1000, 'volume', 3)
  if (!pack || !(pack.value > 0)) return { packs: `${need}; pack size not given` }
  const needed = pack.kind === 'volume' ? (needMl === null ? null : needMl / 1000) : pack.kind === 'mass' ? needG : null
  if (needed === null) return { packs: `${need}; a pack of ${pack.text} cannot be compared` }
  const packs = Math.max(1, Math.ceil(needed / pack.value - 1e-9))
  const left = packs * pack.value - needed
  const text = `${packs} x ${pack.text} (${need} needed, ${formatQuantity(left, pack.kind, 2)} left)`
  const price = bottle.price ? readPrice(bottle.price) : null
  if (!bottle.price) return { packs: text }
  const cost = price
    ? `${(packs * price.value).toFixed(2)}${price.currency ? ` ${price.currency}` : ''} (${packs} x ${bottle.price})`
    : bottle.price
  return { packs: text, cost }
}

/** One line a bottle that is used, in the order of the bottles. */
export function shoppingList(bottles: readonly Bottle[], portions: readonly Portion[]): readonly ShoppingLine[] {
  return bottles.flatMap((bottle) => {
    const own = portions.filter((p) => p.bottle === bottle.id)
    const first = own[0]
    if (!first) return []
    const needG = own.reduce((sum, p) => sum + p.massShownG, 0)
    const volumes = own.map((p) => p.volumeL)
    // a liquid weighed into one solution and measured into another still has a volume
    const needMl = volumes.every((v) => v !== null)
      ? 1000 * own.reduce((sum, p) => sum + (p.massG > 0 ? (p.volumeL! * p.massShownG) / p.massG : 0), 0)
      : null
    return [{ bottle: bottle.id, substanceName: first.substanceName, needG, needMl, ...packsOf(bottle, needG, needMl) }]
  })
}

/** Costs of all lines added up by currency, "37.50 EUR"; empty when no price is known. */
export function totalCost(lines: readonly ShoppingLine[]): string {
  const sums = new Map<string, number>()
  for (const line of lines) {
    const found = /^(\d+\.\d{2})(?: ([^(]+?))? \(/.exec(line.cost ?? '')
    if (found) sums.set(found[2] ?? '', (sums.get(found[2] ?? '') ?? 0) + Number(found[1]))
  }
  return [...sums].map(([currency, sum]) => `${sum.toFixed(2)}${currency ? ` ${currency}` : ''}`).join(', ')
}
