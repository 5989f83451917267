/** One amount that a carpet, a coast or an aim varies: what it is called, what its values mean, and how a request gets them. */
import { done, type Outcome, refuse, suggestion } from '@beakertide/basis/problems'
import { celsiusToKelvin, formatNumber, kelvinToCelsius } from '@beakertide/basis/units'
import type { Portion } from '../makeup/index.ts'
import type { MatterFacts } from '../matter/index.ts'
import type { Mechanism } from '../mechanism/index.ts'
import type { RehearseRequest } from './rehearse.ts'
import { noVariation, portionKey, varySolutions } from './variation.ts'

/**
 * What is varied. Values of `ingredient`, `poured` and `constant` are factors on what the recipe has (1: as it is);
 * those of `temperature` are °C of the room (every solution moves by the same), those of `depth` cm of liquid looked through.
 */
export type VariedAmount =
  | { readonly of: 'ingredient'; readonly name: string; readonly portions: readonly string[] }
  | { readonly of: 'poured'; readonly name: string; readonly solution: string }
  | { readonly of: 'constant'; readonly name: string }
  | { readonly of: 'temperature'; readonly name: 'temperature' }
  | { readonly of: 'depth'; readonly name: 'depth' }

export type AmountUnit = 'times' | '°C' | 'cm'

/** Unit of the values of an amount. */
export function amountUnit(amount: VariedAmount): AmountUnit {
  if (amount.of === 'temperature') return '°C'
  return amount.of === 'depth' ? 'cm' : 'times'
}

/** A value as it is written beside a strip: "× 0.5", "21.5 °C", "7 cm". */
export function amountText(amount: VariedAmount, value: number): string {
  const unit = amountUnit(amount)
  return unit === 'times' ? `× ${formatNumber(value, 3)}` : `${formatNumber(value, 3)} ${unit}`
}

/** The value that leaves the recipe as it is. */
export function presentValue(amount: VariedAmount, request: RehearseRequest): number {
  if (amount.of === 'temperature') return kelvinToCelsius(request.roomK)
  return amount.of === 'depth' ? request.view.depthCm : 1
}

/** Names of the rate constants a mechanism has, "P1.k0". */
export const constantNamesOf = (mechanism: Mechanism): readonly string[] =>
  mechanism.steps.flatMap((s) => s.constants.map((c) => `${s.id}.${c.name}`))

const POURED = 'pour '

/**
 * The amount a person names: a bottle (all its portions), "solution/bottle", "pour SOLUTION", "temperature", "depth", or a constant
 * of the mechanism ("P1.k0"). A bottle that is called like one of the others wins. Problem: nothing of that name goes into the vessel.
 */
export function findAmount(
  text: string,
  request: Pick<RehearseRequest, 'mechanism' | 'vessel'>,
  portions: readonly Portion[],
): Outcome<VariedAmount> {
  const poured = [...new Set(request.vessel.pours.map((p) => p.solution))]
  const there = portions.filter((p) => poured.includes(p.solution))
  const name = text.trim()
  const mine = there.filter((p) => p.bottle === name || portionKey(p) === name)
  if (mine.length > 0) return done({ of: 'ingredient', name, portions: mine.map(portionKey) })
  if (name === 'temperature' || name === 'depth') return done({ of: name, name } as VariedAmount)
  if (name.startsWith(POURED) && poured.includes(name.slice(POURED.length))) {
    return done({ of: 'poured', name, solution: name.slice(POURED.length) })
  }
  const constants = constantNamesOf(request.mechanism)
  if (constants.includes(name)) return done({ of: 'constant', name })
  const bottles = [...new Set(there.map((p) => p.bottle))]
  const known = [...bottles, 'temperature', 'depth', ...poured.map((s) => `${POURED}${s}`)]
  return refuse({
    code: 'rehearsal/no-such-amount',
    where: `vessel ${request.vessel.id}`,
    what: `nothing called "${name.slice(0, 60)}" can be varied; there are ${known.join(', ')}, and the constants of the mechanism (such as ${constants[0] ?? 'none'})`,
    todo: suggestion(name, [...known, ...constants]) || 'name one of these',
  })
}

/**
 * The request with the amount at this value. Factors below 0 are our caller's mistake and count as 0. What the other amounts of the
 * request are stays: call it twice for two amounts.
 */
export function withAmount(
  request: RehearseRequest,
  portions: readonly Portion[],
  amount: VariedAmount,
  value: number,
  matter: MatterFacts,
): RehearseRequest {
  switch (amount.of) {
    case 'ingredient': {
      const factors = Object.fromEntries(amount.portions.map((key) => [key, Math.max(0, value)]))
      return { ...request, solutions: varySolutions(request.solutions, portions, { ...noVariation, portions: factors }, matter) }
    }
    case 'poured':
      return {
        ...request,
        vessel: {
          ...request.vessel,
          pours: request.vessel.pours.map((p) => (p.solution === amount.solution ? { ...p, volumeL: p.volumeL * value } : p)),
        },
      }
    case 'constant':
      return { ...request, constants: { ...request.constants, [amount.name]: (request.constants?.[amount.name] ?? 1) * value } }
    case 'temperature': {
      const temperatureShiftK = celsiusToKelvin(value) - request.roomK
      return {
        ...request,
        roomK: celsiusToKelvin(value),
        solutions: varySolutions(request.solutions, portions, { ...noVariation, temperatureShiftK }, matter),
      }
    }
    case 'depth':
      return { ...request, vessel: { ...request.vessel, depthCm: value }, view: { ...request.view, depthCm: value } }
  }
}
