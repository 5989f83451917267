/** Why it ends, as a sentence computed from the run: which substance ran out, and when. */
import { formatNumber } from '@beakertide/basis/units'
import type { Mechanism } from '../mechanism/index.ts'
import type { Turn } from './rehearsal.ts'

/** A substance is called used up when this share of it is left; the eye and the reaction rarely tell less. */
export const USED_UP_SHARE = 0.05
/** Above this share left, nothing is said to have run short. */
const RAN_SHORT_SHARE = 0.35
/** A reactant of which more is there than at the start is being made: it is not "left". */
const GREW_SHARE = 1.001
/** Only substances brought in amounts that matter are judged, mol/L; traces come and go. */
const LEAST_START_MOL_PER_L = 1e-5
/** Turns within this share of the rehearsed time before its end mean: it was still going. */
const STILL_GOING_SHARE = 0.08

export interface CauseInput {
  readonly mechanism: Mechanism
  readonly names: readonly string[]
  readonly timesS: readonly number[]
  /** Concentration of state i at sample k, mol/L. */
  value(k: number, i: number): number
  readonly turns: readonly Turn[]
  readonly cycles: number
  readonly startS: number
  readonly lengthS: number
  /** The whole family a species belongs to ("MA": ["MA", "HMA-", …]); its sum is judged. */
  readonly families: Readonly<Record<string, readonly string[]>>
}

/** "45 s", "6 min 10 s" */
function clock(seconds: number): string {
  const s = Math.round(seconds)
  return s < 60 ? `${s} s` : s % 60 === 0 ? `${s / 60} min` : `${Math.floor(s / 60)} min ${s % 60} s`
}

interface Feed {
  readonly name: string
  readonly leftAtEnd: number
  readonly usedUpS: number | null
}

function feeds(c: CauseInput, endIndex: number): readonly Feed[] {
  const consumed = new Set(c.mechanism.netReactions.flatMap((n) => n.reactants.map((t) => t.species)))
  const out: Feed[] = []
  for (const species of c.mechanism.species) {
    if (species.role !== 'dynamic' || !consumed.has(species.id)) continue
    const members = (c.families[species.id] ?? [species.id]).map((m) => c.names.indexOf(m)).filter((i) => i >= 0)
    const total = (k: number): number => members.reduce((sum, i) => sum + c.value(k, i), 0)
    const start = total(0)
    if (!(start >= LEAST_START_MOL_PER_L)) continue
    let usedUpS: number | null = null
    for (let k = 1; k < c.timesS.length; k++) {
      if (total(k) <= USED_UP_SHARE * start) {
        usedUpS = c.timesS[k]!
        break
      }
    }
    out.push({ name: species.name, leftAtEnd: total(endIndex) / start, usedUpS })
  }
  return out.sort((a, b) => a.leftAtEnd - b.leftAtEnd)
}

const percent = (share: number): string => `${formatNumber(100 * share, share < 0.1 ? 1 : 2)} %`

/** One or two sentences; never claims a cause that the run does not show. */
export function causeOfEnd(c: CauseInput): string {
  const lastIndex = c.timesS.length - 1
  const lastTurnS = c.turns.at(-1)?.timeS
  const endS = lastTurnS ?? c.startS + c.lengthS
  let endIndex = lastIndex
  while (endIndex > 0 && c.timesS[endIndex]! > endS) endIndex--
  const all = feeds(c, endIndex)
  const least = all[0]
  const others = all
    .slice(1)
    .filter((f) => f.leftAtEnd > RAN_SHORT_SHARE && f.leftAtEnd <= GREW_SHARE)
    .map((f) => `${percent(f.leftAtEnd)} of the ${f.name}`)
  const rest =
    others.length > 0
      ? `; ${others.slice(0, 3).join(', ')} ${others.length === 1 && !others[0]!.startsWith('100') ? 'is' : 'are'} left then`
      : ''
  if (c.turns.length === 0) {
    const atEnd = feeds(c, lastIndex)[0]
    if (atEnd?.usedUpS != null) return `no colour change comes; ${atEnd.name} is used up at ${clock(atEnd.usedUpS)}.`
    return 'no colour change comes in the rehearsed time, and no reactant runs out.'
  }
  const usedUp = all.filter((f) => f.usedUpS !== null && Math.abs(f.usedUpS - endS) <= Math.max(2, 0.15 * (endS - c.startS)))
  if (c.cycles === 0) {
    const trigger = usedUp[0]
    if (trigger) return `the change comes when the ${trigger.name} is used up, at ${clock(trigger.usedUpS!)}${rest}.`
  }
  if (c.cycles > 0 && c.startS + c.lengthS - endS < STILL_GOING_SHARE * c.lengthS) {
    return `it has not ended: it still changes colour when the rehearsal stops at ${clock(c.startS + c.lengthS)}${least ? `, with ${percent(least.leftAtEnd)} of the ${least.name} left` : ''}.`
  }
  if (usedUp[0]) return `${usedUp[0].name} is used up at ${clock(usedUp[0].usedUpS!)}${rest}.`
  if (least && least.leftAtEnd < RAN_SHORT_SHARE) {
    const later = least.usedUpS === null ? '' : ` (it is used up at ${clock(least.usedUpS)})`
    return `${least.name} runs short: ${percent(least.leftAtEnd)} is left at the last colour change, at ${clock(endS)}${later}${rest}.`
  }
  return `nothing has run out at the last colour change (${clock(endS)}): the mixture comes to a steady state${least ? `, with ${percent(least.leftAtEnd)} of the ${least.name} left` : ''}.`
}
