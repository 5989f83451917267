/** Every right example run whole, as the command line runs it: prepared, rehearsed with a band, cleared, and every paper drawn. */
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { problemsText } from '@beakertide/basis/problems'
import type { ClearingPlan } from '@beakertide/core/clearing'
import {
  checkSheet,
  clearingSheet,
  daySheet,
  htmlPage,
  labelsOf,
  makeUpSheet,
  rehearsalSheet,
  shoppingSheet,
  sourcesSheet,
  speciesBook,
} from '@beakertide/core/papers'
import { type Rehearsal, vesselCourse } from '@beakertide/core/rehearsal'
import { facts } from '@beakertide/data'
import {
  bandOfVessel,
  bandRehearsal,
  clearVessel,
  type DayFacts,
  mechanismFor,
  parseDemonstration,
  type Prepared,
  prepare,
  rehearseVessel,
  requestFor,
} from '@beakertide/demonstration'

const day: DayFacts = facts.day()
const folder = new URL('right/', import.meta.url)
const names = readdirSync(folder)
  .filter((n) => n.endsWith('.yaml'))
  .map((n) => n.replace(/\.yaml$/, ''))
const BAND_RUNS = 5

interface Whole {
  readonly prepared: Prepared
  readonly rehearsals: readonly Rehearsal[]
  readonly plans: readonly ClearingPlan[]
}
const seen = new Map<string, Whole>()
function must<T>(
  outcome: { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problems: Parameters<typeof problemsText>[0] },
): T {
  if (!outcome.ok) throw new Error(problemsText(outcome.problems))
  return outcome.value
}
/** Everything of one example; the first vessel with its band. */
function whole(name: string): Whole {
  const before = seen.get(name)
  if (before) return before
  const demonstration = must(parseDemonstration(readFileSync(new URL(`${name}.yaml`, folder), 'utf8'), `${name}.yaml`))
  const catalogue = { mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
  const beside = (file: string) => ({ ok: true, text: readFileSync(new URL(file, folder), 'utf8') }) as const
  const mechanism = must(mechanismFor(demonstration.reaction, beside, catalogue))
  const prepared = must(prepare(demonstration, mechanism, day))
  const rehearsals = demonstration.vessels.map((v, i) => {
    const alone = must(rehearseVessel(prepared, v.id, day))
    return i === 0 ? { ...alone, band: must(bandOfVessel(prepared, v.id, day, { samples: BAND_RUNS, seed: 1 })) } : alone
  })
  const plans = rehearsals.map((r) => must(clearVessel(prepared, r, day)))
  const made = { prepared, rehearsals, plans }
  seen.set(name, made)
  return made
}

/** Every number in plain data that is not finite, by path. */
function notFinite(value: unknown, path = ''): readonly string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [`${path} = ${value}`]
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, inner]) => notFinite(inner, `${path}.${key}`))
}

describe.each(names)('%s', (name) => {
  it('runs to its end, in balance, with nothing below nothing and no number that is none', () => {
    const { rehearsals, plans } = whole(name)
    for (const r of rehearsals) {
      expect(r.ending.how).toBe('reached-end')
      expect(r.balance.elementDriftMax).toBeLessThanOrEqual(1e-9)
      expect(r.balance.chargeDriftMax).toBeLessThanOrEqual(1e-9)
      expect(notFinite(r)).toEqual([])
      for (const inventory of [r.start, r.end, ...r.inventories]) {
        for (const amounts of [inventory.amountsMol, inventory.solidsMol])
          for (const n of Object.values(amounts)) expect(n).toBeGreaterThanOrEqual(0)
      }
    }
    for (const plan of plans) expect(plan.steps.length + plan.streams.length).toBeGreaterThan(0)
  })
  it('no state of its course falls below the tolerance', () => {
    const { prepared } = whole(name)
    const course = must(vesselCourse(requestFor(prepared, prepared.demonstration.vessels[0]!.id, bandRehearsal), day))
    // absolute tolerance 1e-9 of the relative one, mol/L; the integrator promises to stay above a hundredth of it
    expect(Math.min(...course.states)).toBeGreaterThanOrEqual(-bandRehearsal.relativeTolerance * 1e-9)
  })
  it('gives the JSON that was promised', () => {
    const r = JSON.parse(JSON.stringify(whole(name).rehearsals[0])) as Rehearsal
    for (const turn of r.turns) {
      expect(turn).toEqual({ timeS: expect.any(Number), from: expect.any(String), to: expect.any(String), deltaE: expect.any(Number) })
      expect(turn.timeS).toBeGreaterThanOrEqual(r.startS)
      expect(turn.deltaE).toBeGreaterThan(0)
    }
    expect(r.turns.map((t) => t.timeS)).toEqual(r.turns.map((t) => t.timeS).toSorted((a, b) => a - b))
    expect(r.inductionS).toEqual(expect.any(Number))
    expect(r.periodsS.every((p) => p > 0)).toBe(true)
    expect(r.cycles).toEqual(expect.any(Number))
    expect(r.endS).toBe(r.turns.at(-1)!.timeS)
    expect(r.cause.length).toBeGreaterThan(20)
    expect(r.cause).not.toMatch(/undefined|NaN|null|\binfinite\b/)
    expect(r.finalColour.hex).toMatch(/^#[0-9a-f]{6}$/)
    expect(r.finalColour.name.length).toBeGreaterThan(2)
    expect(Object.keys(r.balance).sort()).toEqual(['chargeDriftMax', 'elementDriftMax'])
    expect(r.sources.length).toBeGreaterThan(3)
    for (const source of r.sources) expect(source).toEqual({ source: expect.any(String), seen: expect.any(String) })
    const band = r.band!
    expect(band).toMatchObject({ samples: BAND_RUNS, failed: 0, seed: 1 })
    for (const value of [band.firstTurnS, band.periodS, band.cycles, band.lengthS]) {
      if (value.low === null) expect(value).toMatchObject({ middle: null, high: null, share: 0 })
      else expect(value.low <= value.middle! && value.middle! <= value.high!).toBe(true)
    }
  })
  it('labels every solution with the classes computed for it, as its caution says them in words', () => {
    const { prepared } = whole(name)
    const labels = labelsOf(prepared.makeUp, prepared.cautions, day.hazards)
    for (const label of labels) {
      const said = prepared.cautions.list.find((c) => c.code === 'cautions/solution-hazard' && c.about === `solution "${label.name}"`)
      const words = said?.what ?? ''
      expect(label.hazards.map((h) => h.code).sort()).toEqual([...(words.match(/\b(?:EUH|H)\d{3}[A-Za-z]*/g) ?? [])].sort())
      expect(label.pictograms).toEqual([...(words.match(/GHS0\d/g) ?? [])])
      expect(label.signalWord).toBe(/: (Danger|Warning)\b/.exec(words)?.[1] ?? '')
    }
  })
  it('is drawn on every paper, cautions first', () => {
    const { prepared, rehearsals, plans } = whole(name)
    const { cautions, makeUp, mechanism, poured, demonstration } = prepared
    const { title } = demonstration
    const book = speciesBook(day.matter.species, mechanism.species)
    const papers = [
      makeUpSheet(title, makeUp, cautions, book),
      shoppingSheet(title, makeUp, cautions, book),
      checkSheet(title, makeUp, poured, cautions, book),
      rehearsalSheet(title, rehearsals, cautions, book),
      clearingSheet(title, plans, cautions, book),
      sourcesSheet(title, rehearsals[0]!.sources, cautions),
      daySheet({ title, cautions, makeUp, poured, rehearsals, plans }, book),
    ]
    for (const paper of papers) expect(paper.blocks[0]!.block).toBe('danger')
    const page = htmlPage(title, papers)
    expect(page).not.toMatch(/NaN|undefined|\[object/)
    expect(page.length).toBeGreaterThan(10_000)
  })
})

describe('what the rehearsals show', () => {
  it.each(['tide-in-a-jar', 'three-lanterns', 'amber-beat', 'red-blue-clockwork'])('%s swings, in every vessel', (name) => {
    for (const r of whole(name).rehearsals) {
      expect(r.cycles).toBeGreaterThanOrEqual(3)
      // a swing is a swing: no period of the train is twice its neighbour
      r.periodsS.slice(1).forEach((p, i) => expect(Math.max(p / r.periodsS[i]!, r.periodsS[i]! / p)).toBeLessThan(2))
    }
  })
  it('three lanterns are one lantern, 20 s later each', () => {
    const [left, middle, right] = whole('three-lanterns').rehearsals
    expect(middle!.startS - left!.startS).toBe(20)
    expect(right!.startS - left!.startS).toBe(40)
    for (const later of [middle!, right!]) {
      expect(later.inductionS).toBeCloseTo(left!.inductionS!, 3)
      expect(later.cycles).toBe(left!.cycles)
    }
  })
  // The closed forms at 25 °C and "about a minute", each from the header of its example
  it.each([
    ['patient-clock', 44.7],
    ['slow-fuse', 57.4],
    ['sudden-night', 60],
  ])('%s turns once, within a factor of two of the %d s that its header states', (name, statedS) => {
    const r = whole(name).rehearsals[0]!
    expect(r.turns).toHaveLength(1)
    expect(r.inductionS! / statedS).toBeGreaterThan(0.5)
    expect(r.inductionS! / statedS).toBeLessThan(2)
    expect(r.cause).toMatch(/^the change comes as the (thiosulfate|hydrogensulfite) is used up, at .* after the pour that starts it/)
  })
  it('the two iodine clocks with a closed form keep to it within a tenth', () => {
    // the rest is the time to make the iodine that is seen, and a little self-heating
    expect(Math.abs(whole('patient-clock').rehearsals[0]!.inductionS! / 44.7 - 1)).toBeLessThan(0.1)
    expect(Math.abs(whole('slow-fuse').rehearsals[0]!.inductionS! / 57.4 - 1)).toBeLessThan(0.1)
  })
  it.each(['fading-violet', 'shaken-sky'])('%s fades once, to no colour', (name) => {
    const r = whole(name).rehearsals[0]!
    expect(r.turns).toHaveLength(1)
    expect(r.finalColour.name).toBe('colourless')
    expect(r.cause).toMatch(/^the change comes as the (permanganate|dissolved oxygen) runs out/)
  })
  it('the foam is told as gas and heat', () => {
    const r = whole('rising-foam').rehearsals[0]!
    expect(r.cause).toMatch(/hydrogen peroxide.*oxygen/)
    // half a mole of oxygen a mole of peroxide, 24.1 L/mol at 21 °C: not more than all of it, and most
    const most = (r.start.amountsMol.H2O2! / 2) * 24.14
    expect(r.gasL).toBeLessThan(most)
    expect(r.gasL).toBeGreaterThan(most / 2)
    // 0.88 mol/L, 94.7 kJ/mol and about 4.1 kJ/(L K): 20 K if all went at once and nothing was lost
    expect(r.temperatureRangeK[1] - r.temperatureRangeK[0]).toBeGreaterThan(5)
    expect(r.temperatureRangeK[1] - r.temperatureRangeK[0]).toBeLessThan(20.5)
  })
  it('a model that holds its reactants constant says that it does not know the end', () => {
    const r = whole('red-blue-clockwork').rehearsals[0]!
    expect(r.cause).toMatch(/^not known: .*constant/)
    expect(r.stillGoing).toBe(true)
    expect(r.faults.some((f) => f.feature === 'length')).toBe(true)
  })
})

it('steps from a model file beside the document run as those of the catalogue do: the closed form of the published law', () => {
  // t = ln(a/(a - s/2))/(i (k1 + k2 h)), Liebhafsky and Mohammad 1933: a = i = 0.020, s = 0.0010 mol/L, h about 0.10 mol/L: 44.7 s
  const [borrowed] = whole('borrowed-clock').rehearsals
  const [own] = whole('patient-clock').rehearsals
  expect(Math.abs(borrowed!.inductionS! / 44.7 - 1)).toBeLessThan(0.03)
  expect(Math.abs(borrowed!.inductionS! / own!.inductionS! - 1)).toBeLessThan(0.005)
})
