/**
 * Why a run does what it does: which steps make and use a species at a moment, which step rules over time, which reagent
 * a net reaction runs out of. Pure functions of a network and sampled states.
 */
import { invariant } from '@beakertide/basis/problems'
import type { SpeciesId } from '../matter/index.ts'
import type { NetReaction } from './mechanism.ts'
import type { Network } from './network.ts'

/** A step's part in making or using a species. */
export interface Share {
  /** Step id, or the name of a vessel process. */
  readonly step: string
  /** Net over both directions, mol L^-1 s^-1, positive. */
  readonly molPerLS: number
  /** Of all making (or all using) of the species at that moment, 0 to 1. */
  readonly share: number
}

/** Who makes and who uses a species at a moment. */
export interface Turnover {
  readonly species: SpeciesId
  /** Steps by share, largest first; steps below one millionth are left out. */
  readonly making: readonly Share[]
  readonly using: readonly Share[]
  /** Sum of making minus sum of using, mol L^-1 s^-1. */
  readonly netMolPerLS: number
}

export interface SpeciesReasons extends Turnover {
  /** Reversible steps that exchange the species faster than anything makes it: they are near equilibrium. */
  readonly inBalance: readonly string[]
}

/** Shares below this are not worth a line. */
const SMALLEST_SHARE = 1e-6
/** Forward and back rates closer than this share of the forward rate count as equilibrium. */
const NEAR_EQUILIBRIUM = 0.05

/** Net contribution of each step to one state, with the size of its exchange. */
interface Contribution {
  readonly step: string
  net: number
  /** Sum of the sizes of both directions. */
  exchange: number
}

function contributions(network: Network, state: number, rates: Float64Array): readonly Contribution[] {
  const byStep = new Map<string, Contribution>()
  network.rateNames.forEach((name, r) => {
    const nu = network.stoichiometry(state, r)
    if (nu === 0) return
    const step = network.stepOfRate[r]! >= 0 ? network.stepNames[network.stepOfRate[r]!]! : name
    const found = byStep.get(step) ?? { step, net: 0, exchange: 0 }
    found.net += nu * rates[r]!
    found.exchange += Math.abs(nu * rates[r]!)
    byStep.set(step, found)
  })
  return [...byStep.values()]
}

function sharesOf(parts: readonly Pick<Contribution, 'step' | 'net'>[], sign: 1 | -1): readonly Share[] {
  const side = parts.filter((c) => c.net * sign > 0)
  const total = side.reduce((sum, c) => sum + Math.abs(c.net), 0)
  return side
    .map((c) => ({ step: c.step, molPerLS: Math.abs(c.net), share: total > 0 ? Math.abs(c.net) / total : 0 }))
    .filter((s) => s.share >= SMALLEST_SHARE)
    .sort((a, b) => b.share - a.share || a.step.localeCompare(b.step))
}

/**
 * Steps ranked by their share in making and in using each species at the state `y`. Both directions of a reversible step
 * count as one, so a fast equilibrium shows with what it delivers, not with its exchange.
 *
 * @param species default: every state but the temperature
 */
export function reasonsAt(network: Network, y: Float64Array, species?: readonly SpeciesId[], timeS = 0): readonly SpeciesReasons[] {
  const rates = new Float64Array(network.rateNames.length)
  network.stepRates(timeS, y, rates)
  const asked = species ?? network.stateNames.filter((_, i) => network.rateNames.some((_, r) => network.stoichiometry(i, r) !== 0))
  return asked.map((id) => {
    const state = network.indexOf(id)
    invariant(state >= 0, `"${id}" is no state of this network`)
    const parts = contributions(network, state, rates)
    const making = sharesOf(parts, 1)
    const made = making.reduce((sum, s) => sum + s.molPerLS, 0)
    return {
      species: id,
      making,
      using: sharesOf(parts, -1),
      netMolPerLS: parts.reduce((sum, c) => sum + c.net, 0),
      inBalance: parts.filter((c) => c.exchange > made && Math.abs(c.net) < NEAR_EQUILIBRIUM * c.exchange).map((c) => c.step),
    }
  })
}

/** What a step changes: net numbers of the species, negative for use. */
export interface StepChanges {
  readonly id: string
  readonly changes: readonly { readonly species: SpeciesId; readonly coefficient: number }[]
}

/** Steps ranked as by `reasonsAt`, from net rates that are known already (mol L^-1 s^-1, one a step). */
export function turnoverOf(
  steps: readonly StepChanges[],
  netMolPerLS: ArrayLike<number>,
  species: readonly SpeciesId[],
): readonly Turnover[] {
  return species.map((id) => {
    const parts = steps.flatMap((s, j) => {
      const coefficient = s.changes.find((c) => c.species === id)?.coefficient ?? 0
      return coefficient === 0 ? [] : [{ step: s.id, net: coefficient * netMolPerLS[j]! }]
    })
    return { species: id, making: sharesOf(parts, 1), using: sharesOf(parts, -1), netMolPerLS: parts.reduce((sum, p) => sum + p.net, 0) }
  })
}

/** A stretch of time in which one step does most of the making (or using) of a species. */
export interface Reign {
  readonly species: SpeciesId
  readonly role: 'makes' | 'uses'
  /** Null: nothing does. */
  readonly step: string | null
  readonly fromS: number
  readonly toS: number
  /** Its mean share over the stretch. */
  readonly share: number
}

export interface RulerOptions {
  /** Stretches shorter than this are merged into their longer neighbour, s; default 1 % of the span. */
  readonly shortestS?: number
  /** A new step must beat the ruling one by this factor; default 1.2. */
  readonly margin?: number
}

/** Ruling step of each sample; the ruler stays until another one beats it clearly. */
function rulersOf(shares: readonly (readonly Share[])[], margin: number): readonly (string | null)[] {
  let ruler: string | null = null
  return shares.map((list) => {
    const best = list[0]
    const own = list.find((s) => s.step === ruler)
    if (!best) ruler = null
    else if (!own || best.molPerLS > margin * own.molPerLS) ruler = best.step
    return ruler
  })
}

interface Stretch {
  step: string | null
  from: number
  to: number
}

/** Runs of equal rulers as index ranges [from, to); short ones go to the longer neighbour. */
function stretchesOf(rulers: readonly (string | null)[], timesS: readonly number[], shortestS: number): readonly Stretch[] {
  let list: Stretch[] = []
  const joinEqual = (): void => {
    const joined: Stretch[] = []
    for (const s of list) {
      const last = joined.at(-1)
      if (last && last.step === s.step) last.to = s.to
      else joined.push({ ...s })
    }
    list = joined
  }
  rulers.forEach((step, i) => list.push({ step, from: i, to: i + 1 }))
  joinEqual()
  const endOf = (s: Stretch): number => timesS[Math.min(s.to, timesS.length - 1)]!
  const length = (s: Stretch): number => endOf(s) - timesS[s.from]!
  for (;;) {
    const short = list.filter((s) => length(s) < shortestS).sort((a, b) => length(a) - length(b))[0]
    if (!short || list.length < 2) return list
    const at = list.indexOf(short)
    const [before, after] = [list[at - 1], list[at + 1]]
    const heir = !before ? after! : !after ? before : length(before) >= length(after) ? before : after
    short.step = heir.step
    joinEqual()
  }
}

/**
 * Which step rules the making and the using of each species along sampled states: stretches in order of time, chatter merged.
 *
 * @param timesS ascending sample times
 * @param states one state a sample
 */
export function rulersAlong(
  network: Network,
  timesS: readonly number[],
  states: readonly Float64Array[],
  species: readonly SpeciesId[],
  options: RulerOptions = {},
): readonly Reign[] {
  invariant(timesS.length === states.length, 'one state a sample time')
  return reignsOf(
    timesS,
    states.map((y, i) => reasonsAt(network, y, species, timesS[i]!)),
    species,
    options,
  )
}

/** The same from the shares at each sample, one entry a species and in their order, wherever the shares come from. */
export function reignsOf(
  timesS: readonly number[],
  samples: readonly (readonly Turnover[])[],
  species: readonly SpeciesId[],
  options: RulerOptions = {},
): readonly Reign[] {
  if (timesS.length === 0) return []
  const span = timesS.at(-1)! - timesS[0]!
  const shortestS = options.shortestS ?? span / 100
  return species.flatMap((id, index) =>
    (['makes', 'uses'] as const).flatMap((role) => {
      const shares = samples.map((s) => (role === 'makes' ? s[index]!.making : s[index]!.using))
      return stretchesOf(rulersOf(shares, options.margin ?? 1.2), timesS, shortestS).map((stretch) => {
        const held = shares.slice(stretch.from, stretch.to).map((list) => list.find((s) => s.step === stretch.step)?.share ?? 0)
        return {
          species: id,
          role,
          step: stretch.step,
          fromS: timesS[stretch.from]!,
          toS: timesS[Math.min(stretch.to, timesS.length - 1)]!,
          share: held.reduce((sum, x) => sum + x, 0) / held.length,
        }
      })
    }),
  )
}

export interface Limiting {
  /** The reagent that runs out first; null when the reaction uses none of what is given. */
  readonly species: SpeciesId | null
  /** How far the reaction can go, in the unit of the amounts. */
  readonly extent: number
  /** Reagents in the order in which they would run out: the extent each allows, and what is left of it at the end. */
  readonly reagents: readonly { readonly species: SpeciesId; readonly extent: number; readonly left: number; readonly ratio: number }[]
}

/**
 * Which reagent a net reaction runs out of, given amounts (any one unit). `ratio` is what a reagent allows over what the
 * limiting one allows: 1 for the limiting one, 1.34 for a third in excess. Species in `unlimited` (water, acid) are passed over.
 */
export function limitingReagent(
  reaction: Pick<NetReaction, 'reactants'>,
  amounts: Readonly<Record<SpeciesId, number>>,
  unlimited: readonly SpeciesId[] = ['H2O'],
): Limiting {
  const allowed = reaction.reactants
    .filter((t) => !unlimited.includes(t.species))
    .map((t) => ({ ...t, amount: Math.max(0, amounts[t.species] ?? 0), extent: Math.max(0, amounts[t.species] ?? 0) / t.coefficient }))
    .sort((a, b) => a.extent - b.extent)
  const extent = allowed[0]?.extent ?? 0
  return {
    species: allowed[0]?.species ?? null,
    extent,
    reagents: allowed.map((t) => ({
      species: t.species,
      extent: t.extent,
      left: t.amount - extent * t.coefficient,
      ratio: extent > 0 ? t.extent / extent : t.extent > 0 ? Number.POSITIVE_INFINITY : 1,
    })),
  }
}
