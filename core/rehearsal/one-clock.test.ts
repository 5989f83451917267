/** Band, sensitivities and the whole rehearsal on one clock whose closed form is known. */
import { describe, expect, it } from 'vitest'
import { celsiusToKelvin } from '@beakertide/basis/units'
import { facts } from '@beakertide/data'
import { findMechanism, type Mechanism } from '../mechanism/index.ts'
import { type BandRequest, bandOf, featuresFor } from './band.ts'
import { rehearse, type RehearsalFacts } from './rehearse.ts'
import { sensitivities } from './sensitivity.ts'
import { statedPortion, statedSolution } from './stated-solution.ts'

const tables: RehearsalFacts = facts.day()
const found = findMechanism('persulfate-iodide-thiosulfate', facts.mechanisms(), facts.mechanismDefaults())
if (!found.ok) throw new Error('no mechanism')
const mechanism = found.value

const [FUSE_L, EMBER_L] = [0.2, 0.3]

/** The persulfate clock with starch: 0.040 persulfate, 0.080 iodide, thiosulfate as given, mol/L in half a litre. */
function request(thiosulfate: number, uncertainty: number, model: Mechanism = { ...mechanism, bands: [] }): BandRequest {
  const total = FUSE_L + EMBER_L
  const fuse = (0.04 * total) / FUSE_L
  const [iodide, thio, salt] = [(0.08 * total) / EMBER_L, (thiosulfate * total) / EMBER_L, (0.03 * total) / EMBER_L]
  const liquids = {
    fuse: { 'S2O8^2-': fuse, 'Na+': 2 * fuse },
    ember: { 'I-': iodide, 'K+': iodide, 'S2O3^2-': thio, 'SO4^2-': salt, 'Na+': 2 * thio + 2 * salt, starch: 0.006 },
  }
  return {
    mechanism: model,
    vessel: {
      id: 'flask',
      capacityL: null,
      depthCm: 6,
      stirred: true,
      count: 1,
      pours: [
        { solution: 'ember', volumeL: EMBER_L, atS: 0 },
        { solution: 'fuse', volumeL: FUSE_L, atS: 5 },
      ],
    },
    solutions: Object.entries(liquids).map(([id, c]) => statedSolution(id, c, 1, 25, model, tables.matter)),
    roomK: celsiusToKelvin(25),
    lengthS: 150,
    relativeTolerance: 1e-5,
    samples: 1501,
    view: { illuminant: 'd65', adaptation: 1, depthCm: 6 },
    portions: [
      statedPortion('fuse', 'persulfate', 'sodium-peroxodisulfate', fuse, uncertainty),
      statedPortion('ember', 'iodide', 'potassium-iodide', iodide, uncertainty),
      statedPortion('ember', 'thiosulfate', 'sodium-thiosulfate-pentahydrate', thio, uncertainty),
    ],
    samplesOfBand: 8,
    seed: 7,
    uncertainty: { pour: 0, temperatureK: 0 },
  }
}
const bandFor = (r: BandRequest) => {
  const got = bandOf(r, tables)
  if (!got.ok) throw new Error('no band')
  return got.value
}

describe('the band', () => {
  it('the same seed gives the same band, another seed another', () => {
    const base = request(0.002, 0.02)
    expect(bandFor(base)).toEqual(bandFor(base))
    expect(bandFor({ ...base, seed: 8 }).firstTurnS).not.toEqual(bandFor(base).firstTurnS)
  })
  it('without any uncertainty it is the one value', () => {
    const base = { ...request(0.002, 0), samplesOfBand: 3, modelError: [] }
    const { firstTurnS, lengthS } = featuresFor(base, tables)!
    const band = bandFor(base)
    expect(band.firstTurnS).toEqual({ low: firstTurnS, middle: firstTurnS, high: firstTurnS, share: 1 })
    expect(band.lengthS).toEqual({ low: lengthS, middle: lengthS, high: lengthS, share: 1 })
    expect(band).toMatchObject({ samples: 3, failed: 0, stillGoingShare: 0 })
    expect(band.periodS).toEqual({ low: null, middle: null, high: null, share: 0 })
    expect(band.cycles).toEqual({ low: 0, middle: 0, high: 0, share: 1 })
  })
  it('is ordered, and widens with the uncertainty in proportion', () => {
    const narrow = bandFor({ ...request(0.002, 0.01), samplesOfBand: 12, modelError: [] }).firstTurnS
    const wide = bandFor({ ...request(0.002, 0.03), samplesOfBand: 12, modelError: [] }).firstTurnS
    for (const b of [narrow, wide]) {
      expect(b.low!).toBeLessThanOrEqual(b.middle!)
      expect(b.middle!).toBeLessThanOrEqual(b.high!)
    }
    // the same draws, three times as large
    const ratio = (wide.high! - wide.low!) / (narrow.high! - narrow.low!)
    expect(ratio).toBeGreaterThan(2.6)
    expect(ratio).toBeLessThan(3.4)
  })
  it("works the model's own factor in, one for a turn that is first and last", () => {
    const stated: Mechanism = { ...mechanism, bands: [{ feature: 'first-turn', factorUp: 1.3, factorDown: 1.3, why: 'test' }] }
    const band = bandFor({ ...request(0.002, 0, stated), samplesOfBand: 60 })
    const nominal = featuresFor(request(0.002, 0), tables)!.firstTurnS!
    expect(band.lengthS).toEqual(band.firstTurnS)
    // Ten-to-ninety limits are the stated factor. Of n even draws of one factor one lies in each n-th of its range, so that the limits
    // are wrong by one such part: at 32 of them the deviate at 0.9 ± 1/32 is 1.28 ± 0.2, a sixth of the logarithm.
    for (const ratio of [band.firstTurnS.high! / nominal, nominal / band.firstTurnS.low!]) {
      expect(Math.log(ratio) / Math.log(1.3)).toBeGreaterThan(0.83)
      expect(Math.log(ratio) / Math.log(1.3)).toBeLessThan(1.17)
    }
  })
  it('a feature without a stated error takes that of the grade: no band is narrower than its model has earned', () => {
    const silent: Mechanism = { ...mechanism, bands: [], grade: 'placeholder' }
    const band = bandFor({ ...request(0.002, 0, silent), samplesOfBand: 40 })
    expect(band.firstTurnS.high! / band.firstTurnS.low!).toBeGreaterThan(10)
    expect(band.model.map((b) => b.feature)).toEqual(['first-turn', 'period', 'cycles', 'length'])
    expect(band.model[0]!.why).toContain('placeholder')
  })
  it('tells in how many runs anything is seen', () => {
    // Colour needs less thiosulfate than twice the persulfate: 0.080 is the border. The faster the better: much iodide, long look.
    const border = request(0.08, 0.05)
    const band = bandFor({ ...border, lengthS: 6000, samples: 601, samplesOfBand: 12 })
    expect(band.firstTurnS.share).toBeGreaterThan(0)
    expect(band.firstTurnS.share).toBeLessThan(1)
    expect(band.firstTurnS.low).not.toBeNull()
  })
  it('ends when more runs no longer move it, and else with the last run that is allowed', () => {
    const still = bandFor({ ...request(0.002, 0), samplesOfBand: 200, modelError: [] })
    // Runs that are all alike are at rest at the least number.
    expect(still).toMatchObject({ samples: 32, stoppedBecause: 'stable' })
    expect(bandFor({ ...request(0.002, 0), samplesOfBand: 3, modelError: [] }).stoppedBecause).toBe('all-runs')
  })
  it("a portion more leaves the draws of the model's error, and so its limits, where they were", () => {
    const stated: Mechanism = { ...mechanism, bands: [{ feature: 'first-turn', factorUp: 1.3, factorDown: 1.3, why: 'test' }] }
    const base = { ...request(0.002, 0, stated), samplesOfBand: 4 }
    expect(bandFor({ ...base, portions: base.portions.slice(1) }).firstTurnS).toEqual(bandFor(base).firstTurnS)
  })
  it('runs that fail count apart', () => {
    const broken = request(0.002, 0)
    let polls = 0
    const band = bandFor({ ...broken, solutions: [], samplesOfBand: 3 })
    expect(band).toMatchObject({ samples: 0, failed: 3 })
    expect(band.firstTurnS).toEqual({ low: null, middle: null, high: null, share: 0 })
    const stopped = bandFor({ ...broken, samplesOfBand: 5, shouldStop: () => ++polls > 0 })
    expect(stopped).toMatchObject({ samples: 0, failed: 0, stoppedBecause: 'cancelled' })
  })
  it('a run that is cut short counts nowhere', () => {
    let seen = 0
    const cut = bandFor({ ...request(0.002, 0.02), samplesOfBand: 9, onSample: (n) => (seen = n), shouldStop: () => seen === 2 })
    expect(cut).toMatchObject({ samples: 2, failed: 0, stoppedBecause: 'cancelled' })
    expect(seen).toBe(2)
    // Stopped in the middle of the first integration, at its second question and ever after.
    let polls = 0
    const within = bandFor({ ...request(0.002, 0.02), samplesOfBand: 9, shouldStop: () => ++polls > 2 })
    expect(within).toMatchObject({ samples: 0, failed: 0, stoppedBecause: 'cancelled' })
  })
})

describe('sensitivities of the persulfate clock against the derivatives of its closed form', () => {
  // t = ln(a/(a - s/2))/(i k), log10 k = log10 k0 + 4 x 0.509 sqrt(I)/(1 + sqrt(I)), I = 3 a + i + 3 s + 3 x 0.03, Ea 51.8 kJ/mol
  // (mechanisms.md section 4.4, constants from memory)
  const t = (a: number, i: number, s: number): number => {
    const root = Math.sqrt(3 * a + i + 3 * s + 0.09)
    return Math.log(a / (a - s / 2)) / (i * 1.06e-3 * 10 ** ((2.036 * root) / (1 + root)))
  }
  const power = (f: (factor: number) => number): number => Math.log(f(1.05) / f(0.95)) / Math.log(1.05 / 0.95)
  const rows = sensitivities({ ...request(0.002, 0), constantNames: ['P1.k0'] }, tables)
  const row = (of: string) => rows.find((r) => r.of === of)!.firstTurn!
  // The turn comes a little after the last thiosulfate; that delay has powers of its own.
  const tolerance = 0.06
  it('amounts', () => {
    const [a, i, s] = [0.04, 0.08, 0.002]
    expect(Math.abs(row('fuse/persulfate') - power((f) => t(f * a, i, s)))).toBeLessThan(tolerance)
    expect(Math.abs(row('ember/iodide') - power((f) => t(a, f * i, s)))).toBeLessThan(tolerance)
    expect(Math.abs(row('ember/thiosulfate') - power((f) => t(a, i, f * s)))).toBeLessThan(tolerance)
    // and roughly -1, -1, +1 once the salt effect is taken off
    expect(row('ember/thiosulfate')).toBeGreaterThan(0.9)
    expect(row('ember/iodide')).toBeLessThan(-0.9)
  })
  it('temperature: minus the activation energy over R T squared, a kelvin', () => {
    const expected = -51_800 / (8.314 * 298.15 ** 2)
    expect(Math.abs(row('temperature, a kelvin') / expected - 1)).toBeLessThan(0.05)
  })
  it('the rate constant: -1', () => {
    expect(row('P1.k0')).toBeCloseTo(-1, 1)
  })
  it('kinds are named, and what is not there is null', () => {
    expect(rows.map((r) => r.kind)).toEqual(['ingredient', 'ingredient', 'ingredient', 'temperature', 'constant'])
    expect(rows.every((r) => r.period === null)).toBe(true)
  })
})

describe('a rehearsal as a whole', () => {
  const got = rehearse(request(0.002, 0), tables)
  if (!got.ok) throw new Error('no rehearsal')
  const r = got.value
  it('counts from the pour that sets it off', () => {
    expect(r.startS).toBe(5)
    expect(r.turns).toHaveLength(1)
    expect(r.inductionS).toBeCloseTo(r.turns[0]!.timeS - 5, 9)
    expect(r.lastsS).toBe(r.inductionS)
    expect(r.stillGoing).toBe(false)
  })
  it('survives JSON unchanged and holds no number that is none', () => {
    const text = JSON.stringify(r)
    expect(text).not.toMatch(/NaN|Infinity/)
    // JSON turns what is not finite into null; only features that were not seen may be null
    const nulls: string[] = []
    JSON.parse(text, (key, value: unknown) => {
      if (value === null) nulls.push(key)
      return value
    })
    expect(nulls).toEqual(['band'])
  })
  it('gives inventories for stopping early, from the complete mixture on', () => {
    expect(r.inventories.length).toBeGreaterThanOrEqual(3)
    expect(r.inventories[0]!.atS).toBe(5)
    expect(r.inventories[0]!.amountsMol['S2O8^2-']).toBeCloseTo(0.02, 6)
    const thio = r.inventories.map((i) => i.amountsMol['S2O3^2-']!)
    expect(thio.every((n, k) => k === 0 || n < thio[k - 1]!)).toBe(true)
  })
  it('says each remark once', () => {
    const said = r.remarks.map((p) => `${p.code}|${p.what}`)
    expect(new Set(said).size).toBe(said.length)
  })
  it('names the sources of its constants', () => {
    expect(r.sources.some((s) => s.source.includes('Indelli'))).toBe(true)
    expect(r.sources.some((s) => s.seen === 'assumed')).toBe(true)
  })
  it('an unknown light is a problem', () => {
    const base = request(0.002, 0)
    const wrong = rehearse({ ...base, view: { ...base.view, illuminant: 'moonshine' } }, tables)
    expect(wrong.ok).toBe(false)
  })
  it('a second pour into what is already dark does not put the clock back', () => {
    const base = request(0.002, 0)
    const more = rehearse(
      { ...base, vessel: { ...base.vessel, pours: [...base.vessel.pours, { solution: 'fuse', volumeL: 0.01, atS: 120 }] }, lengthS: 30 },
      tables,
    )
    if (!more.ok) throw new Error('no rehearsal')
    expect(more.value.startS).toBe(5)
    expect(more.value.turns[0]!.timeS).toBeCloseTo(r.turns[0]!.timeS, 0)
  })
})
