/** What is answered at once: opening, rehearsing, reasons, clearing, papers. Plain functions over the house; tested in Node. */
import { done, inReadingOrder, type Outcome } from '@beakertide/basis/problems'
import { celsiusToKelvin } from '@beakertide/basis/units'
import type { ClearingPlan } from '@beakertide/core/clearing'
import { type SpeciesBook, speciesBook, typeset } from '@beakertide/core/papers'
import { hydrateWord, type Substance } from '@beakertide/core/matter'
import {
  clearAt,
  clearVessel,
  fineLook,
  knownCautions,
  type Leftovers,
  leftoversAlong,
  type Prepared,
  quickLook,
  ratesAlong,
  reasonsOf,
  rehearseVessel,
} from '@beakertide/demonstration'
import type { Answer, Changes, ClearWish, DayView, DocumentText, QuickLook, Work } from '../contract.ts'
import { type House, vesselOf } from './house.ts'
import { dangerWords } from './danger-words.ts'
import { papersFor } from './papers-for.ts'

/** The calls of `Work` that one answer ends. */
export type DayCalls = Pick<
  Work,
  'open' | 'quickLook' | 'fineLook' | 'rehearse' | 'reasons' | 'ratesAlong' | 'clear' | 'papers' | 'choices'
>
type Plain<Calls> = {
  readonly [Name in keyof Calls]: Calls[Name] extends (...given: infer Given) => Promise<infer Result> ? (...given: Given) => Result : never
}

export function dayCalls(house: House): Plain<DayCalls> {
  const { day } = house.facts
  const withVessel = <T>(prepared: Outcome<Prepared>, vessel: string, then: (prepared: Prepared) => Outcome<T>): Outcome<T> => {
    if (!prepared.ok) return prepared
    const there = vesselOf(prepared.value, vessel)
    return there.ok ? then(prepared.value) : there
  }
  const looked = (look: typeof quickLook, document: DocumentText, vessel: string, changes: Changes): Answer<QuickLook> =>
    withVessel(house.prepared(document), vessel, (prepared) => {
      const seen = look(prepared, vessel, changes, day)
      if (!seen.ok) return seen
      const { worse, ...shown } = seen.value
      return done({ ...shown, danger: dangerWords(worse, prepared, house) }, seen.warnings)
    })
  return {
    open(document, name): DayView {
      const opened = house.opened(document, name)
      if (!opened.ok)
        return {
          demonstration: null,
          prepared: null,
          ...knownOf(document, name, house),
          problems: inReadingOrder(opened.problems),
          warnings: [],
        }
      const { demonstration, warnings } = opened.value
      const prepared = house.prepared(document, name)
      return prepared.ok
        ? {
            demonstration,
            prepared: prepared.value,
            danger: dangerWords(prepared.value.cautions.list, prepared.value, house),
            problems: [],
            warnings: inReadingOrder(prepared.value.warnings),
          }
        : {
            demonstration,
            prepared: null,
            ...knownOf(document, name, house),
            problems: inReadingOrder(prepared.problems),
            warnings: inReadingOrder(warnings),
          }
    },
    quickLook: (document, vessel, changes) => looked(quickLook, document, vessel, changes),
    fineLook: (document, vessel, changes) => looked(fineLook, document, vessel, changes),
    rehearse: (document, vessel) => withVessel(house.prepared(document), vessel, (prepared) => rehearseVessel(prepared, vessel, day)),
    reasons: (document, vessel, atS) =>
      withVessel(house.prepared(document), vessel, (prepared) =>
        reasonsOf(prepared, { vessel, atS: atS ?? undefined, answersTo: 'nothing' }, day),
      ),
    ratesAlong: (document, vessel) => withVessel(house.prepared(document), vessel, (prepared) => ratesAlong(prepared, vessel, day)),
    clear: (document, wish) => withVessel(house.prepared(document), wish.vessel, (prepared) => cleared(prepared, wish, house)),
    papers: (document, kinds, given) => {
      const prepared = house.prepared(document)
      return prepared.ok ? papersFor(prepared.value, kinds, house, given) : prepared
    },
    choices: () => ({
      mechanisms: house.mechanisms().map(({ name, mechanism }) => ({ name, title: mechanism?.title ?? name })),
      substances: familiesOf(house),
    }),
  }
}

/** What is known to be dangerous in a document that was not prepared. */
function knownOf(document: DocumentText, name: string, house: House): Pick<DayView, 'danger' | 'known'> {
  const cautions = knownCautions(document.text, name, house.facts.day)
  if (cautions === null) return { danger: [] }
  const { standing, incomplete } = cautions
  return { danger: dangerWords(cautions.list, null, house), known: { standing, ...(incomplete === undefined ? {} : { incomplete }) } }
}

/** One entry a compound, with the words for its hydrates where there is more than one. */
function familiesOf(house: House): Awaited<ReturnType<Work['choices']>>['substances'] {
  const families = new Map<string, Substance[]>()
  for (const s of house.facts.day.matter.substances) families.set(s.family, [...(families.get(s.family) ?? []), s])
  return [...families].map(([family, members]) => {
    const first = members[0]!
    const hydrates = members.length > 1 ? members.map((m) => (m.waters === 0 ? 'anhydrous' : hydrateWord(m.waters))) : []
    return { id: family, name: first.name.replace(/ (?:anhydrous|\w*hydrate)$/, ''), hydrates }
  })
}

/** What is left along the course of each vessel, as long as its document is kept. */
const leftoversOf = new WeakMap<Prepared, Map<string, Outcome<Leftovers>>>()

function leftovers(prepared: Prepared, vessel: string, house: House): Outcome<Leftovers> {
  const known = leftoversOf.get(prepared) ?? new Map<string, Outcome<Leftovers>>()
  leftoversOf.set(prepared, known)
  const found = known.get(vessel) ?? leftoversAlong(prepared, vessel, house.facts.day)
  known.set(vessel, found)
  return found
}

/** A plan for a chosen stop, for the end, or over both; in the letters of print. */
function cleared(prepared: Prepared, wish: ClearWish, house: House): Answer<ClearingPlan> {
  const { day } = house.facts
  const options = {
    ...(wish.reductant ? { reductant: wish.reductant } : {}),
    ...(wish.hottestCelsius === null ? {} : { temperatureLimitK: celsiusToKelvin(wish.hottestCelsius) }),
    ...(wish.place ? { place: wish.place } : {}),
  }
  let plan: Outcome<ClearingPlan>
  if (wish.anyTime) {
    const run = rehearseVessel(prepared, wish.vessel, day)
    if (!run.ok) return run
    plan = clearVessel(prepared, run.value, day, options)
  } else {
    const left = leftovers(prepared, wish.vessel, house)
    if (!left.ok) return left
    plan = clearAt(prepared, left.value, { ...options, stopAtS: wish.stopAtS, band: wish.band ?? null }, day)
  }
  if (!plan.ok) return plan
  const book = bookOf(prepared, house)
  return done(
    typesetAll(plan.value, (text) => typeset(text, book)),
    plan.warnings,
  )
}

/** Plain data with every text in it typeset; sources stay as they were cited. */
function typesetAll<T>(value: T, set: (text: string) => string): T {
  if (typeof value === 'string') return set(value) as T
  if (Array.isArray(value)) return value.map((v: unknown) => typesetAll(v, set)) as T
  if (typeof value === 'object' && value !== null)
    return Object.fromEntries(
      Object.entries(value).map(([k, v]) => [k, k === 'source' || k === 'sources' || k === 'id' ? v : typesetAll<unknown>(v, set)]),
    ) as T
  return value
}

function bookOf(prepared: Prepared, house: House): SpeciesBook {
  const { mechanism } = prepared
  return speciesBook(house.facts.day.matter.species, [...mechanism.species, ...(mechanism.netSpecies ?? [])])
}
