import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { problemsText, type Outcome } from '@beakertide/basis/problems'
import { findMechanism } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'
import { bandOfVessel, clearVessel, type DayFacts, type Prepared, prepare, rehearseVessel, requestFor, usualRehearsal } from './day.ts'
import { parseDemonstration } from './parse-demonstration.ts'
import { reasonsOf } from './reasons-of.ts'
import { sayingOf } from './saying.ts'

const day: DayFacts = facts.day()
const reactions = [...Object.keys(facts.mechanismDefaults()), ...facts.mechanisms().map((m) => m.name)]
const example = (name: string): string => readFileSync(new URL(`../examples/${name}.yaml`, import.meta.url), 'utf8')

function prepared(text: string): Outcome<Prepared> {
  const read = parseDemonstration(text, 'day.yaml', { matter: day.matter, reactions })
  if (!read.ok) return read
  const { reaction } = read.value
  const mechanism = findMechanism('name' in reaction ? reaction.name : '', facts.mechanisms(), facts.mechanismDefaults())
  return mechanism.ok ? prepare(read.value, mechanism.value, day) : mechanism
}
function made(text: string): Prepared {
  const got = prepared(text)
  if (!got.ok) throw new Error(problemsText(got.problems))
  return got.value
}
/** The text with one piece replaced; the piece must be there, so that no case tests an unchanged text. */
function edited(text: string, piece: string | RegExp, by: string): string {
  const out = text.replace(piece, by)
  if (out === text) throw new Error(`no ${String(piece)} in the text`)
  return out
}

describe('prepare', () => {
  it.each(['bleach-and-acid', 'ammonia-with-silver', 'permanganate-in-strong-acid'])('refuses %s, the danger first', (name) => {
    const got = prepared(example(`wrong/${name}`))
    expect(got.ok).toBe(false)
    if (got.ok) return
    const named = /^# wrong: (\S+)/m.exec(example(`wrong/${name}`))![1]!.replace(',', '')
    expect(got.problems[0]!.code).toBe(named)
    expect(got.problems[0]!.danger).toBe(true)
  })
  it('gives make-up, cautions and every vessel', () => {
    const p = made(example('right/three-lanterns'))
    expect(p.poured.map((v) => v.id)).toEqual(['left', 'middle', 'right'])
    for (const v of p.poured) {
      expect(v.canItWork.works).toBe(true)
      expect(v.equilibrium).not.toBeNull()
      expect(v.inventory.volumeL).toBeCloseTo(0.3, 2)
    }
    expect(p.makeUp.portions.length).toBeGreaterThan(0)
  })
})

describe('the distance of the audience', () => {
  const near = (room: string): readonly string[] =>
    made(edited(example('right/slow-fuse'), /room: \{ temperature: 25 degC/, `room: { temperature: 25 degC, ${room}`))
      .cautions.list.filter((c) => c.code === 'cautions/audience-near')
      .map((c) => c.what)
  it('under 3 m is a caution with its number, and grave; at 3 m none', () => {
    expect(near('audience: 2.5 m')).toEqual([expect.stringContaining('2.5 m from the vessels, less than 3 m')])
    expect(near('audience: 3 m')).toEqual([])
  })
})

describe('what a run says of its colour', () => {
  it('the species that hides it is used up at the turn, and the colour comes', () => {
    // persulfate makes iodine, thiosulfate takes it until there is none (the mechanism's own P1 and P2)
    const p = made(example('right/slow-fuse'))
    const r = rehearseVessel(p, 'flask', day)
    const saying = r.ok ? sayingOf(p, r.value, day) : r
    expect(saying.ok && saying.value).toMatchObject({ vessel: 'flask', species: 'I2', gone: 'S2O3^2-', rises: [true] })
  })
  it('an oscillator rises and falls, and nothing is gone at its first turn', () => {
    const p = made(example('right/tide-in-a-jar'))
    const r = rehearseVessel(p, 'jar', day)
    const saying = r.ok ? sayingOf(p, r.value, day) : r
    if (!r.ok || !saying.ok) throw new Error('no saying')
    expect(saying.value.gone).toBeNull()
    // Where the liquid gets black there is more iodine, where it gets pale there is less.
    r.value.turns.slice(0, 6).forEach((t, i) => {
      if (t.to === 'black' || t.from === 'black') expect([t.from, t.to, saying.value.rises[i]]).toEqual([t.from, t.to, t.to === 'black'])
    })
  })
})

describe('can it work', () => {
  const slowFuse = example('right/slow-fuse')
  const check = (text: string) => made(text).poured[0]!.canItWork
  it('a clock with less thiosulfate than twice the persulfate', () => {
    expect(check(slowFuse).works).toBe(true)
  })
  it('not with more: the margin says how much too much', () => {
    // 0.040 mol/L persulfate can use up 0.080 mol/L thiosulfate; 0.100 is asked for
    const got = check(edited(slowFuse, 'thiosulfate: { in the mix: 2 mmol/L }', 'thiosulfate: { in the mix: 100 mmol/L }'))
    expect(got.works).toBe(false)
    const margins = got.checks.flatMap((c) => c.margins)
    const thio = margins.find((m) => m.species === 'S2O3^2-')!
    expect(thio.ratio).toBeLessThan(1)
    expect(Math.abs(thio.ratio / 0.8 - 1)).toBeLessThan(0.03)
    expect(Math.abs(thio.atMostMolPerL! / 0.08 - 1)).toBeLessThan(0.03)
  })
  const tide = example('right/tide-in-a-jar')
  it('an oscillator with everything', () => {
    expect(check(tide).works).toBe(true)
  })
  it('not without peroxide, not without manganese, and it says which is missing', () => {
    const noPeroxide = check(edited(tide, '360 mL of A, 400 mL of C, 240 mL of B at 10 s', '360 mL of A, 240 mL of B at 10 s'))
    expect(noPeroxide.works).toBe(false)
    expect(noPeroxide.problems.map((p) => p.what).join(' ')).toMatch(/H2O2/)
    const noManganese = check(edited(tide, /\n *manganese: \{ in the mix: 6.7 mmol\/L \}/, ''))
    expect(noManganese.works).toBe(false)
    expect(noManganese.problems.map((p) => p.what).join(' ')).toMatch(/Mn2\+/)
  })
  it('what cannot work is not refused: it may be rehearsed, and nothing is seen', () => {
    const p = made(edited(slowFuse, 'thiosulfate: { in the mix: 2 mmol/L }', 'thiosulfate: { in the mix: 100 mmol/L }'))
    const r = rehearseVessel(p, 'flask', day)
    expect(r.ok).toBe(true)
    if (!r.ok) return
    expect(r.value.turns).toEqual([])
    expect(r.value.inductionS).toBeNull()
    expect(r.value.cause).toMatch(/^no colour change comes/)
  })
})

describe('rehearsing a prepared day', () => {
  const p = made(example('right/slow-fuse'))
  it("a request carries the room, the vessel's depth and the light", () => {
    const request = requestFor(p, 'flask', usualRehearsal)
    expect(request).toMatchObject({ lengthS: 240, view: { depthCm: 8, illuminant: 'd65' } })
    expect(request.roomK).toBeCloseTo(298.15, 9)
  })
  it('a vessel that is not there is our own mistake, not another vessel', () => {
    expect(() => requestFor(p, 'jug', usualRehearsal)).toThrow(/jug/)
  })
  it('rehearsal, band and clearing go together', () => {
    const r = rehearseVessel(p, 'flask', day)
    const band = bandOfVessel(p, 'flask', day, { samples: 4, seed: 3 })
    expect(r.ok && band.ok).toBe(true)
    if (!r.ok || !band.ok) return
    expect(band.value.samples).toBe(4)
    expect(band.value.firstTurnS.low!).toBeLessThanOrEqual(band.value.firstTurnS.high!)
    const plan = clearVessel(p, r.value, day)
    expect(plan.ok ? '' : problemsText(plan.problems)).toBe('')
  })
  it('stops when asked, and says so', () => {
    const r = rehearseVessel(p, 'flask', day, { ...usualRehearsal, shouldStop: () => true })
    if (!r.ok) throw new Error(problemsText(r.problems))
    expect(r.value.ending.how).toBe('stopped-short')
    expect(r.value.cause).toMatch(/^not known: the computation stopped/)
  })
})

describe('reasons', () => {
  const p = made(example('right/slow-fuse'))
  const before = reasonsOf(p, { vessel: 'flask', atS: 30, answersTo: 'nothing' }, day)
  if (!before.ok) throw new Error(problemsText(before.problems))
  it('before the turn thiosulfate takes the iodine, after it triiodide does', () => {
    const iodine = before.value.species.find((s) => s.species === 'I2')!
    expect(iodine.making[0]!.step).toBe('P1')
    // the fast pair P3 runs both ways and cancels; of what changes iodine for good, P2 takes all
    const user = iodine.using.filter((share) => share.step !== 'P3')[0]!
    expect(user.step).toBe('P2')
    const after = reasonsOf(p, { vessel: 'flask', atS: 150, answersTo: 'nothing' }, day)
    if (!after.ok) throw new Error(problemsText(after.problems))
    const later = after.value.species.find((s) => s.species === 'I2')!
    const share = (list: typeof later.using, step: string): number => list.find((x) => x.step === step)?.share ?? 0
    expect(share(later.using, 'P2')).toBeLessThan(0.01)
  })
  it('names the reagent that runs out first', () => {
    const hiding = before.value.limiting.find((l) => l.reaction === 'hiding')!
    expect(hiding.equation).toContain('S2O3^2-')
    const colour = before.value.limiting.find((l) => l.reaction === 'colour')!
    // 0.040 persulfate against 0.080 iodide, two iodide a persulfate: within the weighing both at once
    expect(['S2O8^2-', 'I-']).toContain(colour.limiting.species)
  })
  it('answers to nothing, to ingredients, or to everything', () => {
    expect(before.value.sensitivities).toEqual([])
    const steps: number[] = []
    const some = reasonsOf(p, { vessel: 'flask', answersTo: 'ingredients', onStep: (n, of) => steps.push(n / of) }, day)
    if (!some.ok) throw new Error(problemsText(some.problems))
    const of = some.value.sensitivities.map((s) => s.of)
    expect(of).toContain('fuse/persulfate')
    expect(of).toContain('temperature, a kelvin')
    expect(steps.at(-1)).toBe(1)
    // starch only shows the iodine: the time hardly answers to it
    const starch = some.value.sensitivities.find((s) => s.of === 'ember/starch')!
    expect(Math.abs(starch.firstTurn!)).toBeLessThan(0.1)
  })
  it('refuses a time outside the rehearsal', () => {
    const late = reasonsOf(p, { vessel: 'flask', atS: 9999, answersTo: 'nothing' }, day)
    expect(late.ok ? [] : late.problems.map((x) => x.code)).toEqual(['demonstration/time-outside'])
  })
})
