/** Why this run goes as it does, at three depths. Every clause is computed from the run: rates, reigns, concentrations, turns. */
import { type Mechanism, mostMade, usedUp } from '@beakertide/core/mechanism'
import type { RatesAlong, Reasons } from '@beakertide/demonstration'
import { type Charges, equationText, speciesText } from '../../parts/chemical-words.ts'
import { indexAt } from '../../parts/colour-at.ts'
import { colourWord } from '../../parts/colour-words.ts'
import { aboutTime, spokenTime } from '../../parts/times.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import type { Course } from '../rehearsal/course.ts'

export interface Told {
  readonly mechanism: Mechanism
  readonly course: Course
  readonly reasons: Reasons
  readonly along: RatesAlong
  readonly charges: Charges
}

/** Concentration of a followed species at a time, mol/L; null when it is not followed. */
export function molPerLAt(along: RatesAlong, species: string, timeS: number): number | null {
  const i = along.species.indexOf(species)
  if (i < 0) return null
  const k = indexAt(along.timesS.length, (j) => along.timesS[j]!, timeS)
  return along.molPerL[k * along.species.length + i] ?? null
}

const nameOf = (told: Told, id: string): string => {
  const species = [...told.mechanism.species, ...(told.mechanism.netSpecies ?? [])].find((s) => s.id === id)
  return species && species.name !== id ? said(species.name) : speciesText(id, told.charges)
}

/** The species that colours the liquid and is turned over most: whose making and using is told. Null when nothing colours it. */
export function mainSpecies(told: Pick<Told, 'reasons'>): string | null {
  return mostMade(told.reasons.reigns)
}

/** What hides the colour until it is used up, if that is what happened in this run. */
function hiddenUntil(told: Told): string | null {
  const first = told.course.turns[0]
  if (!first) return null
  const molPerL = (timeS: number) => (species: string) => molPerLAt(told.along, species, timeS)
  return usedUp(told.mechanism.netReactions, molPerL(told.along.startS), molPerL(first.timeS))
}

const unended = (text: string): string => text.trim().replace(/\.$/, '')
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** For the audience. */
export function oneSentence(told: Told): string {
  const { course } = told
  const first = course.turns[0]
  if (!first || course.inductionS === null) return t('reasons.oneNothing', { cause: unended(said(course.cause)) })
  // Of an oscillation the turn in the middle of the train: the first one comes from the fresh mixture.
  const usual = course.cycles > 0 ? (course.turns[Math.floor(course.turns.length / 2)] ?? first) : first
  const colours = { from: colourWord(usual.from), to: colourWord(usual.to) }
  const main = mainSpecies(told)
  if (course.cycles > 0 && main !== null) {
    const period = course.periodsS[0]
    return t(course.stillGoing ? 'reasons.oneCyclesOn' : 'reasons.oneCycles', {
      ...colours,
      species: nameOf(told, main),
      n: course.cycles,
      period: period === undefined ? '' : aboutTime(period),
      cause: unended(said(course.cause)),
    })
  }
  const hidden = hiddenUntil(told)
  if (hidden !== null && main !== null)
    return t('reasons.oneHidden', {
      ...colours,
      species: nameOf(told, main),
      gone: nameOf(told, hidden),
      time: aboutTime(course.inductionS),
    })
  return t('reasons.onePlain', { ...colours, time: aboutTime(course.inductionS), cause: unended(said(course.cause)) })
}

/** What a step adds to or takes from the colour in a stretch of time. */
export interface ColourFlow {
  readonly step: string
  /** Of all that is made (or used) in that stretch, 0 to 1. */
  readonly share: number
}

/**
 * Which steps make and which use what colours the liquid between two times, all coloured species taken together: a step that only turns
 * one coloured species into another does neither. Amounts, not moments: rates summed over the time. Largest first.
 */
export function colourFlows(
  along: RatesAlong,
  coloured: readonly string[],
  fromS: number,
  toS: number,
): { readonly made: readonly ColourFlow[]; readonly used: readonly ColourFlow[] } {
  const n = along.steps.length
  const numbers = along.steps.map((s) => s.changes.reduce((sum, c) => sum + (coloured.includes(c.species) ? c.coefficient : 0), 0))
  const made = new Float64Array(n)
  const used = new Float64Array(n)
  for (let k = 1; k < along.timesS.length; k++) {
    const [t0, t1] = [along.timesS[k - 1]!, along.timesS[k]!]
    if (t1 <= fromS || t0 >= toS) continue
    const dt = Math.min(t1, toS) - Math.max(t0, fromS)
    for (let j = 0; j < n; j++) {
      const flow = (numbers[j]! * dt * (along.netMolPerLS[k * n + j]! + along.netMolPerLS[(k - 1) * n + j]!)) / 2
      if (flow > 0) made[j] = made[j]! + flow
      else used[j] = used[j]! - flow
    }
  }
  const shares = (amounts: Float64Array): readonly ColourFlow[] => {
    const total = amounts.reduce((sum, x) => sum + x, 0)
    return along.steps
      .map((s, j) => ({ step: s.id, share: total > 0 ? amounts[j]! / total : 0 }))
      .filter((x) => x.share > 0)
      .sort((a, b) => b.share - a.share)
  }
  return { made: shares(made), used: shares(used) }
}

/** Steps named in a sentence: the ones that carry most, two at most. */
function named(told: Told, flows: readonly ColourFlow[]): string | null {
  const most = flows.filter((x, i) => i === 0 || (i === 1 && x.share >= 0.15))
  if (most.length === 0) return null
  return most
    .map((x) => {
      const step = told.mechanism.steps.find((s) => s.id === x.step)
      const share = t('reasons.percent', { share: formatNumber(100 * x.share, 2) })
      return step ? `${x.step} (${equationText(step.equation, told.charges)}; ${share})` : `${said(x.step)} (${share})`
    })
    .join(` ${t('reasons.and')} `)
}

/** A paragraph: what makes and uses the colour before, at and after the first turn, what alternates, what runs out, how it ends. */
export function paragraph(told: Told): readonly string[] {
  const { course, along } = told
  const main = mainSpecies(told)
  const out: string[] = []
  const first = course.turns[0]
  if (main !== null) {
    const species = nameOf(told, main)
    const coloured = Object.keys(told.mechanism.absorbers)
    const firstS = first?.timeS ?? course.toS
    if (firstS > along.startS + 1) {
      const before = colourFlows(along, coloured, along.startS, firstS)
      const [made, used] = [named(told, before.made), named(told, before.used)]
      if (made !== null && used !== null) out.push(t('reasons.beforeBoth', { species, made, used }))
      else if (made !== null) out.push(t('reasons.beforeMade', { species, made }))
      else if (used !== null) out.push(t('reasons.beforeUsed', { species, used }))
    }
    const hidden = hiddenUntil(told)
    if (hidden !== null && first)
      out.push(
        t('reasons.goneAt', {
          gone: nameOf(told, hidden),
          clock: spokenTime(first.timeS),
          from: colourWord(first.from),
          to: colourWord(first.to),
        }),
      )
    if (course.cycles > 0) {
      const show = colourFlows(along, coloured, firstS, course.endS ?? course.toS)
      const [made, used] = [named(told, show.made), named(told, show.used)]
      if (made !== null && used !== null) out.push(t('reasons.alternates', { species, made, used }))
    }
  }
  for (const l of told.reasons.limiting) {
    if (l.limiting.species === null || l.limiting.extent <= 0) continue
    const next = l.limiting.reagents[1]
    // What only passes through, or is there in plenty, says nothing about this show.
    if (!next || !Number.isFinite(next.ratio) || next.ratio > 20) continue
    out.push(
      t('reasons.limits', {
        what: capital(unended(said(l.what))),
        species: nameOf(told, l.limiting.species),
        other: nameOf(told, next.species),
        ratio: formatNumber(next.ratio, 3),
      }),
    )
  }
  out.push(t('reasons.endsWith', { cause: unended(said(course.cause)) }))
  return out
}

/** Steps worth a line: what they turn over in the whole run is at least this share of what the busiest one does. */
export const WORTH_SHARE = 1e-3
/** A network of no more steps than this is shown whole. */
const FEW_STEPS = 12

/** Ids of the steps and processes that matter in this run. */
export function stepsThatMatter(along: RatesAlong, settleS = 1): ReadonlySet<string> {
  const n = along.steps.length
  if (n <= FEW_STEPS) return new Set(along.steps.map((s) => s.id))
  const turnover = new Float64Array(n)
  for (let k = 1; k < along.timesS.length; k++) {
    if (along.timesS[k - 1]! < along.startS + settleS) continue
    const dt = along.timesS[k]! - along.timesS[k - 1]!
    for (let j = 0; j < n; j++) turnover[j] = turnover[j]! + dt * Math.abs(along.netMolPerLS[k * n + j]!)
  }
  const largest = Math.max(...turnover)
  return new Set(along.steps.flatMap((s, j) => (turnover[j]! >= WORTH_SHARE * largest && largest > 0 ? [s.id] : [])))
}
