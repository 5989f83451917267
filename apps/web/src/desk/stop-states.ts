/** How each stop of the day stands, with the reason in words. Pure over what the worker said; words through the keys. */
import type { Problem } from '@beakertide/basis/problems'
import type { DangerLine } from '@beakertide/core/papers'
import type { t } from '../words/index.ts'
import type { DayView } from '../work/contract.ts'
import type { StopName, StopState } from './desk.ts'
import { isGrave } from './grave.ts'
import { refusalsOf } from './refused.ts'

type Words = typeof t

/** The stops in the order of the day. */
export const stops: readonly StopName[] = ['bench', 'shelf', 'makeup', 'pour', 'rehearsal', 'reasons', 'perform', 'clearing', 'papers']

/** Rooms whose remarks concern a stop, by the first part of a problem's code. */
const ROOMS: Readonly<Partial<Record<StopName, readonly string[]>>> = {
  makeup: ['makeup'],
  pour: ['mixture'],
  rehearsal: ['rehearsal', 'mechanism'],
}
/** Perishables are the shelf's matter. */
const SHELF_CODES = /^makeup\/(?:.*assay.*|.*perish.*|.*old.*|.*opened.*|.*label.*)$/

/** The first stop that needs a document that can be made up. */
const FIRST_HELD_UP = 'makeup'

const firstOf = (problems: readonly Problem[]): Problem | undefined => problems[0]

/** `day` null: nothing is open, or the first reading is not done. `clearing`: dangers of clearing, as far as a plan was worked out. `said` tells sentences of the program in the page's language. */
export function stopState(
  name: StopName,
  day: DayView | null,
  isOpen: boolean,
  t: Words,
  clearing: readonly DangerLine[] | null = null,
  said: (sentence: string) => string = (sentence) => sentence,
): StopState {
  if (name === 'bench') return isOpen ? { state: 'ready', why: t('shell.why.open') } : { state: 'look', why: t('shell.why.choose') }
  if (name === 'shelf' && !isOpen) return { state: 'ready', why: t('shell.why.shelf') }
  if (!isOpen) return { state: 'stop', why: t('shell.why.nothingOpen') }
  if (day === null) return { state: 'look', why: t('shell.why.reading') }
  const danger = refusalsOf(day)
  if (day.prepared === null) {
    const worst = firstOf(danger) ?? firstOf(day.problems)
    if (name === 'shelf') return { state: 'look', why: t('shell.why.problems', { n: day.problems.length }) }
    // The first stop that is held up says why; the same sentence seven times over would be read nowhere.
    if (name !== FIRST_HELD_UP) return { state: 'stop', why: t('shell.why.sameReason', { stop: t(`shell.stop.${FIRST_HELD_UP}`) }) }
    if (danger.length > 0) return { state: 'stop', why: t('shell.why.refused', { what: said(worst?.what ?? '') }) }
    return { state: 'stop', why: worst ? `${said(worst.where)}: ${said(worst.what)}` : t('shell.why.problems', { n: day.problems.length }) }
  }
  const { prepared } = day
  if (name === 'perform') {
    // Those that Perform lists open: equal ones count once.
    const grave = day.danger.filter(isGrave).length
    if (grave > 0) return { state: 'look', why: t('shell.why.grave', { n: grave }) }
  }
  if (name === 'clearing') {
    const grave = (clearing ?? []).filter(isGrave).length
    if (grave > 0) return { state: 'look', why: t('shell.why.graveClearing', { n: grave }) }
  }
  if (['pour', 'rehearsal', 'reasons', 'perform', 'clearing'].includes(name)) {
    const dead = prepared.poured.find((p) => !p.canItWork.works)
    if (dead && name !== 'clearing')
      return { state: name === 'perform' ? 'stop' : 'look', why: t('shell.why.cannotWork', { vessel: dead.id }) }
  }
  const remarks = day.warnings.filter((w) =>
    name === 'shelf' ? SHELF_CODES.test(w.code) : (ROOMS[name] ?? []).includes(w.code.split('/')[0] ?? '') && !SHELF_CODES.test(w.code),
  )
  const first = firstOf(remarks)
  if (first) {
    const more = remarks.length - 1
    return { state: 'look', why: more > 0 ? `${said(first.what)} ${t('shell.why.more', { n: more })}` : said(first.what) }
  }
  return { state: 'ready', why: readyWhy(name, day, t) }
}

function readyWhy(name: StopName, day: DayView, t: Words): string {
  const d = day.demonstration
  if (!d) return ''
  switch (name) {
    case 'shelf':
      return t('shell.ready.shelf', { n: d.bottles.length })
    case 'makeup':
      return t('shell.ready.makeup', { n: d.solutions.length })
    case 'pour':
      return t('shell.ready.pour', { n: d.vessels.length })
    default:
      return ''
  }
}
