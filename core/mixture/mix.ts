/** Pours into a vessel as one inventory. */
import { done, type Outcome, type Problem, refuse, suggestion } from '@beakertide/basis/problems'
import { celsiusToKelvin, kelvinToCelsius } from '@beakertide/basis/units'
import type { MadeSolution } from '../makeup/index.ts'
import type { MatterFacts, SpeciesId } from '../matter/index.ts'
import { heatOfMixing } from './heat-of-mixing.ts'
import type { Inventory } from './inventory.ts'
import type { Pour, Vessel } from './pour.ts'
import type { EquilibriumFacts } from './reactions.ts'
import { volumeOfMix } from './volume-of-mixing.ts'

/** What mixing needs from the world. */
export interface MixFacts {
  readonly matter: MatterFacts
  readonly equilibria: EquilibriumFacts
}

/** The heat balance is repeated once: constants at the temperature found change it by little more. */
const HEAT_ROUNDS = 2
/** After a change of temperature below this, K, the second round would move it by less than a thousandth of a degree (tested). */
const FELT_K = 0.5
/** Water boils, degC: nothing computed above it is real, and splashing is. */
const BOILING_C = 100
/** Settling is not asked for outside liquid water, K. */
const COLDEST_K = 268
const HOTTEST_K = 388

/** One pour with the solution it takes from. */
interface Portion {
  readonly solution: MadeSolution
  readonly volumeL: number
  /** Part of the solution as made. */
  readonly share: number
  /** As poured; of several pours of one solution the mean by volume. */
  readonly temperatureC: number
}

const isSolid = (id: SpeciesId): boolean => id.endsWith('(s)')
const isGas = (id: SpeciesId): boolean => id.endsWith('(g)')

/** Amounts times a factor, dissolved, solid or gaseous apart. */
function takePart(
  amounts: Readonly<Record<SpeciesId, number>>,
  share: number,
  wanted: (id: SpeciesId) => boolean,
): Record<SpeciesId, number> {
  const out: Record<SpeciesId, number> = {}
  for (const [id, mol] of Object.entries(amounts)) if (wanted(id)) out[id] = mol * share
  return out
}

/** Joins pours of one solution (they share its error) and finds every fault of the pours. */
function portionsOf(vessel: Vessel, pours: readonly Pour[], solutions: readonly MadeSolution[]): Outcome<readonly Portion[]> {
  const problems: Problem[] = []
  const joined = new Map<string, Portion>()
  for (const pour of pours) {
    const where = `vessel "${vessel.id}", pour at ${pour.atS} s`
    const span = pour.span ? { span: pour.span } : {}
    const solution = solutions.find((s) => s.id === pour.solution)
    if (!solution) {
      const ids = solutions.map((s) => s.id)
      const todo = suggestion(pour.solution, ids) || 'describe the solution under "solutions" first'
      problems.push({ code: 'mixture/solution-unknown', where, what: `there is no solution "${pour.solution}"`, todo, ...span })
    } else if (!(pour.volumeL > 0 && Number.isFinite(pour.volumeL))) {
      const what = `its volume is ${pour.volumeL * 1000} mL; it must be above 0`
      problems.push({ code: 'mixture/pour-volume', where, what, todo: 'give the volume that is poured', ...span })
    } else {
      const before = joined.get(solution.id)
      const volumeL = (before?.volumeL ?? 0) + pour.volumeL
      const own = pour.temperatureK === undefined ? solution.temperatureC : kelvinToCelsius(pour.temperatureK)
      const temperatureC =
        before && own !== before.temperatureC ? (before.temperatureC * before.volumeL + own * pour.volumeL) / volumeL : own
      joined.set(solution.id, { solution, volumeL, share: volumeL / solution.volumeL, temperatureC })
    }
  }
  if (problems.length > 0) return refuse(...problems)
  if (joined.size === 0) {
    return refuse({
      code: 'mixture/nothing-poured',
      where: `vessel "${vessel.id}"`,
      what: 'nothing has been poured into it',
      todo: 'give at least one pour',
    })
  }
  return done([...joined.values()])
}

/** Relative standard uncertainty of every amount: solutions are independent of one another, each counts with its share. */
function uncertaintyOfMix(portions: readonly Portion[], totals: Readonly<Record<SpeciesId, number>>): Record<SpeciesId, number> {
  const variance: Record<SpeciesId, number> = {}
  for (const { solution, share } of portions) {
    for (const [id, mol] of Object.entries(solution.amountsMol)) {
      variance[id] = (variance[id] ?? 0) + (mol * share * (solution.relativeUncertainty[id] ?? 0)) ** 2
    }
  }
  const relative: Record<SpeciesId, number> = {}
  for (const [id, mol] of Object.entries(totals)) relative[id] = mol > 0 ? Math.sqrt(variance[id] ?? 0) / mol : 0
  return relative
}

/**
 * What is in the vessel after every pour up to and with `untilS` (all of them by default), unreacted: amounts as
 * entered, mass (exact), volume (see volume-of-mixing.ts), temperature without any loss to the room (heat balance,
 * heat-of-mixing.ts), uncertainties combined. Fast equilibria are found by settle(); slow reactions by a mechanism.
 */
export function mix(
  vessel: Vessel,
  solutions: readonly MadeSolution[],
  facts: MixFacts,
  untilS: number = Number.POSITIVE_INFINITY,
): Outcome<Inventory> {
  const pours = vessel.pours.filter((p) => p.atS <= untilS)
  const found = portionsOf(vessel, pours, solutions)
  if (!found.ok) return found
  const portions = found.value
  const warnings: Problem[] = []

  const all: Record<SpeciesId, number> = {}
  let massG = 0
  let heatCapacityJPerK = 0
  let heatJ = 0
  for (const { solution, share, temperatureC } of portions) {
    const portionG = solution.massG * share
    const capacity = portionG * solution.heatCapacityJPerGK
    massG += portionG
    heatCapacityJPerK += capacity
    heatJ += capacity * celsiusToKelvin(temperatureC)
    for (const [id, mol] of Object.entries(solution.amountsMol)) all[id] = (all[id] ?? 0) + mol * share
  }
  const amountsMol = takePart(all, 1, (id) => !isSolid(id) && !isGas(id))
  const solidsMol = takePart(all, 1, isSolid)

  const before = portions.map(({ solution, share, volumeL, temperatureC }) => ({
    volumeL,
    temperatureC,
    amountsMol: takePart(solution.amountsMol, share, (id) => !isSolid(id) && !isGas(id)),
    solidsMol: takePart(solution.amountsMol, share, isSolid),
  }))
  const unmixedK = heatJ / heatCapacityJPerK
  let temperatureK = unmixedK
  let volumeL = volumeOfMix(before, kelvinToCelsius(temperatureK), facts.matter)
  for (let round = 0; portions.length > 1 && round < HEAT_ROUNDS; round++) {
    if (round > 0 && Math.abs(temperatureK - unmixedK) < FELT_K) break
    const settleK = Math.min(Math.max(temperatureK, COLDEST_K), HOTTEST_K)
    const heat = heatOfMixing(before, { volumeL, amountsMol, solidsMol }, settleK, facts.equilibria, facts.matter)
    if (heat === null) {
      warnings.push(heatProblem(vessel, 'the equilibria of one of the liquids did not settle: the heat of mixing is left out'))
      break
    }
    temperatureK = unmixedK - (1000 * heat.kJ) / heatCapacityJPerK
    volumeL = volumeOfMix(before, kelvinToCelsius(temperatureK), facts.matter)
    if (round === 0 && heat.unknown.length > 0) {
      warnings.push(heatProblem(vessel, `the heat of mixing leaves out, for want of numbers: ${heat.unknown.join(', ')}`))
    }
  }
  const celsius = kelvinToCelsius(temperatureK)
  if (celsius > BOILING_C) {
    warnings.push({
      code: 'mixture/boils',
      where: `vessel "${vessel.id}"`,
      what: `pouring together at once would bring it to ${celsius.toFixed(0)} degC: it boils and splashes`,
      todo: 'dilute acid beforehand (acid into water, slowly, with cooling) and pour only what is cold and dilute',
      danger: true,
    })
  }
  if (vessel.capacityL !== null && volumeL > vessel.capacityL) {
    warnings.push({
      code: 'mixture/over-the-brim',
      where: `vessel "${vessel.id}"`,
      what: `it holds ${(1000 * vessel.capacityL).toPrecision(3)} mL to the brim; ${(1000 * volumeL).toPrecision(3)} mL are poured in`,
      todo: 'take a larger vessel or pour less',
      ...(vessel.span ? { span: vessel.span } : {}),
    })
  }
  return done(
    {
      vessel: vessel.id,
      atS: pours.reduce((latest, p) => Math.max(latest, p.atS), Number.NEGATIVE_INFINITY),
      volumeL,
      massG,
      temperatureK,
      heatCapacityJPerK,
      amountsMol,
      solidsMol,
      gasesMol: takePart(all, 1, isGas),
      relativeUncertainty: uncertaintyOfMix(portions, all),
    },
    warnings,
  )
}

function heatProblem(vessel: Vessel, what: string): Problem {
  return {
    code: 'mixture/heat-incomplete',
    where: `vessel "${vessel.id}"`,
    what,
    todo: 'measure the temperature after pouring and give it',
  }
}

/** What one pour brings by itself, unreacted, at the temperature of its solution. */
export function pouredAlone(pour: Pour, vessel: Vessel, solutions: readonly MadeSolution[], facts: MixFacts): Outcome<Inventory> {
  return mix({ ...vessel, capacityL: null, pours: [pour] }, solutions, facts)
}

/** The vessel after each moment of pouring, in order of time, as if nothing slow had happened in between. */
export function inventoriesAtPours(vessel: Vessel, solutions: readonly MadeSolution[], facts: MixFacts): Outcome<readonly Inventory[]> {
  const times = [...new Set(vessel.pours.map((p) => p.atS))].sort((a, b) => a - b)
  const last = mix(vessel, solutions, facts)
  if (!last.ok) return last
  const inventories: Inventory[] = []
  for (const time of times.slice(0, -1)) {
    const one = mix(vessel, solutions, facts, time)
    if (!one.ok) return one
    inventories.push(one.value)
  }
  return done([...inventories, last.value], last.warnings)
}

/** Solutions of which the vessels take more than was made: one problem each. */
export function overdrawn(vessels: readonly Vessel[], solutions: readonly MadeSolution[]): readonly Problem[] {
  /** Rounding of volumes written in mL. */
  const TOLERANCE = 1e-9
  return solutions.flatMap((solution): Problem[] => {
    let needL = 0
    for (const vessel of vessels) {
      for (const pour of vessel.pours) if (pour.solution === solution.id) needL += pour.volumeL * vessel.count
    }
    if (needL <= solution.volumeL * (1 + TOLERANCE)) return []
    const ml = (litres: number): string => `${Number((1000 * litres).toPrecision(4))} mL`
    return [
      {
        code: 'mixture/poured-more-than-made',
        where: `solution "${solution.id}"`,
        what: `${ml(needL)} are poured in all; ${ml(solution.volumeL)} are made`,
        todo: `make at least ${ml(needL)}`,
      },
    ]
  })
}
