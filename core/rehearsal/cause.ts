/** Why it ends, as a sentence computed from the run: which substance ran out, and when. */
import type { Ending } from '@beakertide/basis/numerics'
import { formatNumber, formatTime } from '@beakertide/basis/units'
import type { Mechanism, NetReaction } from '../mechanism/index.ts'
import { GAS } from './books.ts'
import { familiesOf } from './families.ts'
import type { Turn } from './rehearsal.ts'

/** A substance is called used up when this share of it is left: a hundredth is within the error of every weighing. */
export const USED_UP_SHARE = 0.01
/** Above this share left, nothing is said to have run short. */
const RAN_SHORT_SHARE = 0.35
/** A reactant of which more is there than at the start is being made: it is not "left". */
const GREW_SHARE = 1.001
/** Only substances brought in amounts that matter are judged, mol/L; traces come and go. */
const LEAST_START_MOL_PER_L = 1e-5
/** A change belongs to a substance that is used up within this share of the time it took, or this many seconds. */
const NEAR_SHARE = 0.15
const NEAR_S = 2
/** A mixture rests when no reactant loses more than this share of its start amount after the last colour change. */
const REST_SHARE = 0.02
/** Enough of the gas is out to be called "nearly all". */
const NEARLY_ALL = 0.9
const OTHERS_NAMED = 3
const WORDS_DIGITS = 2

export interface CauseInput {
  readonly mechanism: Mechanism
  /** Names of the states that `value` is asked for. */
  readonly names: readonly string[]
  /** From the pour that sets it off to the end of the rehearsal. */
  readonly timesS: readonly number[]
  /** Concentration of state i at sample k of `timesS`, mol/L. */
  value(k: number, i: number): number
  readonly turns: readonly Turn[]
  readonly cycles: number
  readonly stillGoing: boolean
  /** Time of the pour that sets it off, s. */
  readonly startS: number
  readonly ending: Ending
}

/** A species' name without what the file adds to it ("oxalic acid, all forms"). */
const plainName = (name: string): string => name.replace(/,.*$/, '')

/** A reactant that is only used: what a show lives on. */
interface Feed {
  readonly id: string
  readonly name: string
  /** Share of its start amount at the moment of judging and at the end of the rehearsal. */
  readonly left: number
  readonly leftAtEnd: number
  readonly usedUpS: number | null
}

/** Reactants of the net reactions that no net reaction gives back. */
function fuels(mechanism: Mechanism): ReadonlySet<string> {
  const made = new Set(mechanism.netReactions.flatMap((n) => n.products.map((t) => t.species)))
  return new Set(mechanism.netReactions.flatMap((n) => n.reactants.map((t) => t.species)).filter((id) => !made.has(id)))
}

/** Scarcest first, judged at sample `atIndex`. */
function feedsAt(c: CauseInput, atIndex: number): readonly Feed[] {
  const wanted = fuels(c.mechanism)
  const families = familiesOf(c.mechanism)
  const judged = new Set<string>()
  const out: Feed[] = []
  for (const species of c.mechanism.species) {
    if (species.role !== 'dynamic' || !wanted.has(species.id) || judged.has(species.id)) continue
    const family = families.get(species.id) ?? [species.id]
    for (const member of family) judged.add(member)
    const states = family.map((m) => c.names.indexOf(m)).filter((i) => i >= 0)
    const total = (k: number): number => {
      let sum = 0
      for (const i of states) sum += c.value(k, i)
      return sum
    }
    const start = total(0)
    if (!(start >= LEAST_START_MOL_PER_L)) continue
    let usedUpS: number | null = null
    for (let k = 1; k < c.timesS.length && usedUpS === null; k++) if (total(k) <= USED_UP_SHARE * start) usedUpS = c.timesS[k]!
    out.push({
      id: species.id,
      name: plainName(species.name),
      left: total(atIndex) / start,
      leftAtEnd: total(c.timesS.length - 1) / start,
      usedUpS,
    })
  }
  return out.sort((a, b) => a.left - b.left)
}

/** Substances that the model keeps constant although the show uses them; acids and bases held by a buffer are none. */
function heldFuels(mechanism: Mechanism): readonly string[] {
  const wanted = fuels(mechanism)
  const used = new Set(mechanism.netReactions.flatMap((n) => n.reactants.map((t) => t.species)))
  return mechanism.species
    .filter((s) => s.role === 'held' && s.id !== 'H+' && s.id !== 'OH-' && (wanted.has(s.id) || used.has(s.id)))
    .map((s) => plainName(s.name))
}

/** The net reaction whose effect is a gas, if there is one and the run counts that gas. */
function gasReaction(c: CauseInput): { readonly reaction: NetReaction; readonly counter: number; readonly name: string } | null {
  for (const reaction of c.mechanism.netReactions) {
    const { shows } = reaction
    if (shows === undefined || Object.hasOwn(c.mechanism.absorbers, shows)) continue
    const counter = c.names.indexOf(`${shows}${GAS}`)
    const name = c.mechanism.species.find((s) => s.id === shows)?.name ?? shows
    if (counter >= 0) return { reaction, counter, name: plainName(name).replace(/^dissolved /, '') }
  }
  return null
}

const percent = (share: number): string => `${formatNumber(100 * share, share < 0.1 ? 1 : WORDS_DIGITS)} %`

const time = (timeS: number): string => formatTime(timeS, WORDS_DIGITS)

/** "45 s", and how long that is after the pour when the clock was started earlier. Once a sentence. */
function moment(c: CauseInput, timeS: number): string {
  return c.startS === 0 ? time(timeS) : `${time(timeS)} (${time(timeS - c.startS)} after the pour that starts it)`
}

/** "; 91 % of the oxalic acid, 97 % of the acid are left then" */
function restWords(others: readonly Feed[]): string {
  const named = others
    .filter((f) => f.left > RAN_SHORT_SHARE && f.left <= GREW_SHARE)
    .slice(0, OTHERS_NAMED)
    .map((f) => `${percent(f.left)} of the ${f.name}`)
  if (named.length === 0) return ''
  return `; ${named.join(', ')} ${named.length === 1 ? 'is' : 'are'} left then`
}

/** The story of a gas: what makes it, how fast it comes, whether what makes it runs out. */
function gasStory(c: CauseInput, gas: NonNullable<ReturnType<typeof gasReaction>>): string {
  const lastIndex = c.timesS.length - 1
  const sources = new Set(gas.reaction.reactants.map((t) => t.species))
  const source = feedsAt(c, lastIndex).find((f) => sources.has(f.id))
  const from = c.value(0, gas.counter)
  const all = c.value(lastIndex, gas.counter) - from
  if (!(all > LEAST_START_MOL_PER_L)) return `no ${gas.name} to speak of leaves the liquid in the rehearsed time.`
  const reached = (share: number): number => {
    let k = 0
    while (k < lastIndex && c.value(k, gas.counter) - from < share * all) k++
    return c.timesS[k]!
  }
  const pace = `half of the ${gas.name} that leaves is out at ${time(reached(0.5))}, ${percent(NEARLY_ALL)} at ${time(reached(NEARLY_ALL))}`
  if (source === undefined) return `the rehearsal stops at ${moment(c, c.timesS[lastIndex]!)}; ${pace}.`
  if (source.usedUpS !== null) return `the ${source.name} is used up at ${moment(c, source.usedUpS)}; ${pace}.`
  return `it has not ended: ${percent(source.left)} of the ${source.name} is left when the rehearsal stops at ${moment(c, c.timesS[lastIndex]!)}; ${pace}.`
}

/**
 * One or two sentences without a capital at the start. It never claims a cause that the run does not show: a stopped
 * integration says nothing of chemistry, and a model that holds a reactant constant cannot tell when that runs out.
 */
export function causeOfEnd(c: CauseInput): string {
  const lastIndex = c.timesS.length - 1
  const stopS = c.timesS[lastIndex] ?? c.startS
  if (c.ending.how === 'stopped-short') {
    return `not known: the computation stopped at ${moment(c, c.ending.timeS)} (${c.ending.why.replaceAll('-', ' ')}), before the end of the rehearsed time.`
  }
  const gas = gasReaction(c)
  if (gas !== null && c.cycles === 0) return gasStory(c, gas)
  const lastTurn = c.turns.at(-1)
  if (lastTurn === undefined) {
    const least = feedsAt(c, lastIndex).find((f) => f.usedUpS !== null)
    if (least) return `no colour change comes; the ${least.name} is used up at ${moment(c, least.usedUpS!)}.`
    return 'no colour change comes in the rehearsed time, and no reactant runs out.'
  }
  const endS = lastTurn.timeS
  let endIndex = lastIndex
  while (endIndex > 0 && c.timesS[endIndex]! > endS) endIndex--
  const all = feedsAt(c, endIndex)
  const least = all[0]
  if (c.stillGoing) {
    const held = heldFuels(c.mechanism)
    const going = `it still changes colour when the rehearsal stops at ${moment(c, stopS)}`
    if (held.length > 0) return `not known: ${going}, and this model keeps ${held.join(' and ')} constant, so in it nothing can run out.`
    const scarcest = feedsAt(c, lastIndex)[0]
    return `it has not ended: ${going}${scarcest ? `, with ${percent(scarcest.left)} of the ${scarcest.name} left` : ''}.`
  }
  const near = Math.max(NEAR_S, NEAR_SHARE * (endS - c.startS))
  const ranOut = all.find((f) => f.usedUpS !== null && Math.abs(f.usedUpS - endS) <= near)
  if (ranOut) {
    const rest = restWords(all.filter((f) => f !== ranOut))
    const verb = c.cycles === 0 ? `the change comes as the ${ranOut.name} is used up, at` : `the ${ranOut.name} is used up at`
    return `${verb} ${moment(c, ranOut.usedUpS!)}${rest}.`
  }
  if (least && least.left < RAN_SHORT_SHARE) {
    const rest = restWords(all.slice(1))
    const later = least.usedUpS === null || least.usedUpS < endS ? '' : `, a hundredth at ${time(least.usedUpS)}`
    const runs = c.cycles === 0 ? `the change comes as the ${least.name} runs out` : `the ${least.name} runs short`
    return `${runs}: ${percent(least.left)} is left at ${moment(c, endS)}${later}${rest}.`
  }
  const using = all.filter((f) => f.left - f.leftAtEnd > REST_SHARE).sort((a, b) => b.left - b.leftAtEnd - (a.left - a.leftAtEnd))[0]
  if (using) {
    return `no reactant has run out at the last colour change, at ${moment(c, endS)}; after that the ${using.name} goes on being used (${percent(using.left)} left then, ${percent(using.leftAtEnd)} when the rehearsal stops), which the eye does not see.`
  }
  return `no reactant has run out at the last colour change, at ${moment(c, endS)}: the mixture comes to rest${least ? `, with ${percent(least.left)} of the ${least.name} left` : ''}.`
}
