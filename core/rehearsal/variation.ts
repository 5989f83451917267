/** One variation of a demonstration: every portion weighed or measured a little differently, another temperature, other constants. */
import type { MadeSolution, Portion } from '../makeup/index.ts'
import type { MatterFacts, Substance } from '../matter/index.ts'

export interface Variation {
  /** Factor on the amount of each portion, by `portionKey`; absent: 1. */
  readonly portions: Readonly<Record<string, number>>
  /** Factor on each poured volume, by solution; absent: 1. */
  readonly volumes: Readonly<Record<string, number>>
  /** Added to the temperature of the room and of every solution, K. */
  readonly temperatureShiftK: number
  /** Factor on each rate constant, by the network's constant name; absent: 1. */
  readonly constants: Readonly<Record<string, number>>
}

export const noVariation: Variation = { portions: {}, volumes: {}, temperatureShiftK: 0, constants: {} }

/** Names a portion: the bottle in its solution. */
export function portionKey(p: Pick<Portion, 'solution' | 'bottle'>): string {
  return `${p.solution}/${p.bottle}`
}

/**
 * The solutions with each portion's amount multiplied by its factor. All species of a portion move together (a weighing
 * too large brings potassium and iodate alike), so charge and elements stay balanced; volume and water stay as made.
 */
export function varySolutions(
  solutions: readonly MadeSolution[],
  portions: readonly Portion[],
  variation: Variation,
  matter: MatterFacts,
): readonly MadeSolution[] {
  const substances = new Map<string, Substance>(matter.substances.map((s) => [s.id, s]))
  return solutions.map((solution) => {
    const amountsMol: Record<string, number> = { ...solution.amountsMol }
    for (const p of portions) {
      const factor = variation.portions[portionKey(p)] ?? 1
      if (p.solution !== solution.id || factor === 1) continue
      for (const entry of substances.get(p.substanceId)?.entersWater ?? []) {
        if (entry.species === 'H2O') continue
        amountsMol[entry.species] = (amountsMol[entry.species] ?? 0) + (factor - 1) * p.amountMol * entry.count
      }
    }
    return { ...solution, amountsMol, temperatureC: solution.temperatureC + variation.temperatureShiftK }
  })
}
