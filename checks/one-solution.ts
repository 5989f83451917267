/** One solution from one bottle through the make-up room, at 20 degC unless said, exact amounts: what the checks of strengths ask. */
import { type Bottle, makeUp, type MakeUp, type Target } from '@beakertide/core/makeup'
import { parseQuantity, type Quantity, type QuantityKind } from '@beakertide/basis/units'
import { facts } from '@beakertide/data'
import { found, valueOf } from './ledger.ts'

const world = { matter: facts.matter(), glassware: facts.glassware() }

/** A quantity as a document would write it. */
export function quantity(text: string, ...kinds: QuantityKind[]): Quantity {
  return valueOf(parseQuantity(text, kinds))
}
export const strength = (text: string): Quantity =>
  quantity(text, 'mass-fraction', 'mass-concentration', 'volume-fraction', 'amount-concentration', 'molality', 'oxygen-volumes', 'fraction')
export const volume = (text: string): Quantity => quantity(text, 'volume')
export const toStrength = (text: string): Target => ({ state: 'in-solution', quantity: strength(text) })
export const byVolume = (text: string): Target => ({ state: 'volume', quantity: volume(text) })
export const byMass = (text: string): Target => ({ state: 'mass', quantity: quantity(text, 'mass') })
export const pure = quantity('100 %', 'fraction')

export function oneSolution(bottle: Omit<Bottle, 'id'>, madeTo: string, target: Target, celsius = 20) {
  const tools = { balanceReadabilityG: 0.001, glassClass: 'A' as const }
  const made: MakeUp = valueOf(
    makeUp(
      [{ id: 'b', ...bottle }],
      [{ id: 's', volume: volume(madeTo), ingredients: [{ bottle: 'b', target }] }],
      [],
      { temperatureK: celsius + 273.15 },
      tools,
      world,
      { exact: true },
    ),
  )
  return {
    portion: found(made.portions[0], 'portion'),
    /** mol/L in the solution. */
    molPerL: found(made.strengths[0], 'strength').trueMolPerL,
    solution: found(made.solutions[0], 'solution'),
  }
}

/** Strength of what is in a bottle, mol/L: a tenth of a litre of it made up to a tenth of a litre. */
export const inBottle = (bottle: Omit<Bottle, 'id'>): number => oneSolution(bottle, '100 mL', byVolume('100 mL')).molPerL
