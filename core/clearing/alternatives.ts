/** The ways out side by side: every reductant, waiting, diluting or not, collecting. */
import { gasVolumeL } from '../cautions/index.ts'
import type { SpeciesId } from '../matter/index.ts'
import type { Alternative, MetalLeft, Range, ReductantId } from './clearing-plan.ts'
import { type Case, rangeOf } from './leftovers.ts'
import { type Reductant, REDUCTANTS } from './reduction.ts'
import type { Bound } from './reacting.ts'
import { type Stage, treat, type Treated, type TreatRequest, type TreatWorld } from './treat.ts'
import { type Masses, speciesMass } from './treatment-summary.ts'

/** What a gram of a substance costs, from a bottle with pack and price. */
export interface Price {
  readonly perG: number
  readonly currency: string
}

export interface AlternativesInput {
  /** The case with most oxidant first, a finished one second (or the same once). */
  readonly cases: readonly Case[]
  readonly finished: readonly Case[]
  readonly chosen: ReductantId | null
  readonly dilution: number
  readonly requestFor: (of: Case, reductant: Reductant | null, bound: Bound, dilution: number) => TreatRequest
  readonly metals: readonly MetalLeft[]
  readonly world: TreatWorld
  readonly masses: Masses
  /** By formula as weighed. */
  readonly prices: Readonly<Record<string, Price>>
  /** Only the chosen one, for an answer that follows a click. */
  readonly onlyChosen: boolean
  /** Everything is collected and nothing added. */
  readonly collectOnly: boolean
}

const none: Range = { low: 0, high: 0 }
/** What reagents leave dissolved: everything that only they bring. */
const REAGENT_IONS: readonly SpeciesId[] = [
  'Na+',
  'SO4^2-',
  'S4O6^2-',
  'S3O6^2-',
  'S2O3^2-',
  'SO3^2-',
  'CO3^2-',
  'Cit^3-',
  'DHAsc',
  'HAsc-',
]

const named = (t: Treated, name: Stage['name']): Stage | undefined => t.stages.find((s) => s.name === name)

interface Numbers extends Omit<Alternative, 'id' | 'name' | 'chosen' | 'note' | 'price' | 'residueG'> {}

function numbersOf(treated: readonly Treated[], input: AlternativesInput): Numbers {
  const { masses, world } = input
  const massOf = (formula: string): number => masses.clearing.molarMass[formula] ?? Number.NaN
  const reagents = (t: Treated, isReductant: boolean): number =>
    t.stages.reduce(
      (sum, s) =>
        sum +
        s.additions
          .filter((a) => REDUCTANTS.some((r) => r.formula === a.reagent.formula) === isReductant)
          .reduce((g, a) => g + a.amountMol * massOf(a.reagent.formula), 0),
      0,
    )
  const brought = (t: Treated, ids: readonly SpeciesId[]): number =>
    ids.reduce((sum, id) => sum + Math.max(0, (t.final[id] ?? 0) - (t.stages[0]?.before[id] ?? 0)) * speciesMass(id, masses), 0)
  const reduce = treated.map((t) => named(t, 'reduce'))
  return {
    reductantG: rangeOf(treated.map((t) => reagents(t, true))),
    neutraliserG: rangeOf(treated.map((t) => reagents(t, false))),
    waterL: rangeOf(treated.map((t) => named(t, 'water')?.waterL ?? 0)),
    heatKJ: rangeOf(reduce.map((s) => Math.max(0, s?.heatKJ ?? 0))),
    riseK: rangeOf(reduce.map((s) => Math.max(0, s?.riseK ?? 0))),
    gasL: rangeOf(
      treated.map((t) =>
        gasVolumeL(
          t.stages.reduce((sum, s) => sum + Object.values(s.gasMol).reduce((a, b) => a + b, 0), 0),
          world.temperatureK,
        ),
      ),
    ),
    saltG: rangeOf(treated.map((t) => brought(t, REAGENT_IONS))),
    sulfateG: rangeOf(treated.map((t) => (t.final['SO4^2-'] ?? 0) * speciesMass('SO4^2-', masses))),
    liquidL: rangeOf(treated.map((t) => t.volumeL)),
    leaves: [...new Set(treated.flatMap((t) => Object.keys(t.unmet)))],
  }
}

function priceText(massG: Range, price: Price | undefined): string | null {
  if (!price) return null
  const text = (g: number): string => (g * price.perG).toFixed(2)
  const [low, high] = [text(massG.low), text(massG.high)]
  return `${low === high ? high : `${low} to ${high}`}${price.currency === '' ? '' : ` ${price.currency}`}`
}

export function alternativesOf(input: AlternativesInput): readonly Alternative[] {
  const residueG = { low: input.metals.reduce((s, m) => s + m.dryG, 0), high: input.metals.reduce((s, m) => s + m.dryG, 0) }
  const run = (cases: readonly Case[], reductant: Reductant | null, dilution: number): Numbers => {
    const bounds: readonly Bound[] = reductant?.family === 'thiosulfate' ? ['usual', 'other'] : ['usual']
    return numbersOf(
      cases.flatMap((of) => bounds.map((bound) => treat(input.requestFor(of, reductant, bound, dilution), input.world))),
      input,
    )
  }
  const collect: Alternative = {
    id: 'collect',
    name: 'collect it instead of treating it',
    chosen: input.collectOnly,
    reductantG: none,
    neutraliserG: none,
    price: null,
    waterL: none,
    heatKJ: none,
    riseK: none,
    gasL: none,
    saltG: none,
    sulfateG: rangeOf(
      input.cases.map((c) => ((c.amounts['SO4^2-'] ?? 0) + (c.amounts['HSO4-'] ?? 0)) * speciesMass('SO4^2-', input.masses)),
    ),
    residueG: none,
    liquidL: rangeOf(input.cases.map((c) => c.volumeL)),
    leaves: [
      ...new Set(
        input.cases.flatMap((c) =>
          input.masses.clearing.oxidants
            .filter((o) => (c.amounts[o.species] ?? 0) > 1e-6 * c.volumeL)
            .map((o) => o.species.replace('(s)', '')),
        ),
      ),
    ],
    note: 'nothing is added: a vented plastic bottle, two thirds full, in a tray, labelled as oxidising or acid as it is; what still reacts goes on giving gas',
  }
  if (input.collectOnly || input.chosen === null) return [collect]
  const out: Alternative[] = []
  for (const reductant of REDUCTANTS.filter((r) => !input.onlyChosen || r.id === input.chosen)) {
    const numbers = run(input.cases, reductant, input.dilution)
    out.push({
      id: reductant.id,
      name: reductant.name,
      chosen: reductant.id === input.chosen,
      ...numbers,
      residueG,
      price: priceText(numbers.reductantG, input.prices[reductant.formula]),
      note: numbers.leaves.length > 0 ? `leaves ${numbers.leaves.join(', ')} at this pH` : '',
    })
  }
  if (input.onlyChosen) return [...out, collect]
  const chosen = REDUCTANTS.find((r) => r.id === input.chosen) ?? null
  if (input.cases.length > 1 && chosen) {
    const numbers = run(input.finished, chosen, input.dilution)
    out.push({
      id: 'finish-first',
      name: `let it finish first, then ${chosen.name}`,
      chosen: false,
      ...numbers,
      residueG,
      price: priceText(numbers.reductantG, input.prices[chosen.formula]),
      note: 'the first step of this plan',
    })
  }
  if (input.dilution > 1 && chosen) {
    const numbers = run(input.cases.slice(0, 1), chosen, 1)
    out.push({
      id: 'as-it-stands',
      name: `${chosen.name} without diluting first`,
      chosen: false,
      ...numbers,
      residueG,
      price: priceText(numbers.reductantG, input.prices[chosen.formula]),
      note: 'never all at once: far more portions and waiting for the same dose',
    })
  }
  return [...out, collect]
}
