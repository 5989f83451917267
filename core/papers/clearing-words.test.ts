/** Nothing that a plan or its sheet says sends anybody to the drain: every sentence that speaks of one forbids, asks, or names the authority. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { cautionsFor } from '../cautions/index.ts'
import { type ClearingPlan, planClearing, type PlaceLimits } from '../clearing/index.ts'
import type { Inventory } from '../mixture/index.ts'
import { clearingSheet } from './clearing-sheet.ts'
import { speciesBook } from './species-book.ts'

const world = { clearing: facts.clearing(), hazards: facts.hazards(), equilibria: facts.equilibria(), matter: facts.matter() }
const room = { temperatureK: 293.15, volumeM3: 100 }

function left(amountsMol: Record<string, number>, volumeL: number, atS: number): Inventory {
  return {
    vessel: 'jar',
    atS,
    volumeL,
    massG: 1000 * volumeL,
    temperatureK: 293.15,
    heatCapacityJPerK: 4180 * volumeL,
    amountsMol,
    solidsMol: {},
    gasesMol: {},
    relativeUncertainty: {},
  }
}

/** Words by which something would be let go. */
const LETS_GO =
  /\b(pour(?:ed|ing)?|drains?|drained|sewers?|sink|flush\w*|discharge\w*|tip(?:ped)? (?:away|out)|throw\w* away|let go|dispose\w*|bin)\b/i
/** What makes such a sentence harmless: it forbids, or leaves it to the authority. */
const FORBIDS =
  /only if your local authority allows|only where your institution and local authority allow|nothing here permits|no permission|is no permission|\bnever\b|authority allow|nothing is let go|acid on(?:to)? the solid|\bnever pour|published examples/i
/** Pouring liquids together in a vessel is no drain. */
const POURING_TOGETHER = /pour(?:ed|ing)? (?:together|acid|in|into)|after the last pour|what is poured/i
const DRAIN = /drain|sewer|\bsink\b|bin\b|toilet/i

function strings(x: unknown): readonly string[] {
  if (typeof x === 'string') return [x]
  if (Array.isArray(x)) return x.flatMap(strings)
  return typeof x === 'object' && x !== null ? Object.values(x).flatMap(strings) : []
}
const sentences = (text: string): readonly string[] => text.split(/(?<=[.!?;])\s+/)

const amounts = fc.dictionary(
  fc.constantFrom(
    ...facts.clearing().oxidants.map((o) => o.species),
    ...facts.clearing().collectOnly.flatMap((c) => c.species),
    'H+',
    'OH-',
    'MA',
    'IMA',
    'I-',
    'SO4^2-',
    'Mn2+',
    'Cu2+',
    'Ni2+',
    'NH4+',
    'GLC',
    'HSO3-',
    'S2O3^2-',
    'H2C2O4',
    'starch',
  ),
  fc.double({ min: 0, max: 0.5, noNaN: true }),
  { maxKeys: 7 },
)
const places = fc.option(
  fc.constantFrom<PlaceLimits>(
    { name: 'here', source: 'a letter', collectAll: false, limits: [{ parameter: 'sulfate', low: null, high: 1e9 }] },
    { name: 'here', source: 'a letter', collectAll: false, limits: [{ parameter: 'sulfate', low: null, high: 1 }] },
    { name: 'here', source: 'a letter', collectAll: true, limits: [] },
  ),
  { nil: undefined },
)

describe('no sentence sends anybody to the drain', () => {
  it('the test would see one', () => {
    for (const bad of [
      'Pour it down the drain.',
      'Then pour into the sink.',
      'It may be let go.',
      'Flush it with much water.',
      'Dispose of it in the bin.',
    ]) {
      expect(LETS_GO.test(bad) && (DRAIN.test(bad) || !POURING_TOGETHER.test(bad)) && !FORBIDS.test(bad), bad).toBe(true)
    }
  })
  const cautions = cautionsFor({ bottles: [], solutions: [], vessels: [], room, controls: {} } as never, world.hazards)
  if (!cautions.ok) throw new Error('no cautions of nothing')
  const book = speciesBook(world.matter.species, [])
  it('over plans and sheets of random leftovers, places and stops', () => {
    fc.assert(
      fc.property(amounts, amounts, places, (end, early, place) => {
        const o = planClearing(
          { finished: [left(end, 0.5, 600)], stoppedEarly: [left(early, 0.5, 60)] },
          room,
          place ? { place } : {},
          world,
        )
        if (!o.ok) throw new Error(JSON.stringify(o.problems))
        const plan: ClearingPlan = o.value
        const said = [
          ...strings({ ...plan, sources: [], metals: plan.metals.map((m) => ({ ...m, source: null })), publishedLimits: [] }),
          ...strings(clearingSheet('A title', [plan], cautions.value, book)),
          ...o.warnings.flatMap((w) => strings(w)),
        ]
        for (const s of said.flatMap(sentences)) {
          if (LETS_GO.test(s) && (DRAIN.test(s) || !POURING_TOGETHER.test(s))) expect(s).toMatch(FORBIDS)
        }
        for (const s of plan.streams) {
          if (s.goes !== 'only if your local authority allows') continue
          expect(plan.place?.collectAll ?? false).toBe(false)
          expect(plan.place?.over ?? []).toEqual([])
        }
        expect(JSON.stringify(clearingSheet('A title', [plan], cautions.value, book))).toContain(
          'nothing here permits pouring anything into a drain',
        )
      }),
      { seed: 99, numRuns: 40 },
    )
  })
})
