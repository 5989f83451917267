import { describe, expect, it } from 'vitest'
import { call, right, wrong } from './testing/fake-door.ts'
import { differences, readJsonPage } from './testing/json-page.ts'

const page = readJsonPage()
const fieldsOf = (command: string) => [
  ...page.get('Every command')!,
  ...page.get(command)!,
  ...(command === 'rehearse' ? page.get('rehearsal')! : []),
]

describe('docs/json.md says what --json writes, in both directions', () => {
  it.each([
    ['day', [right('tide-in-a-jar'), '--band', '2']],
    ['check', [right('tide-in-a-jar')]],
    ['check', [right('sudden-night')]],
    ['weigh', [right('tide-in-a-jar')]],
    ['weigh', [right('sudden-night'), '--litres', '0.2']],
    ['rehearse', [right('sudden-night'), '--band', '2']],
    ['rehearse', [right('rising-foam'), '--band', '0']],
    ['reasons', [right('sudden-night')]],
    ['vary', [right('slow-fuse'), '--what', 'iodide', '--rows', '2']],
    ['coast', [right('slow-fuse'), '--across', 'thiosulfate', '--across-to', '9', '--up', 'iodide', '--squares', '1', '--finer', '1']],
    ['aim', [right('slow-fuse'), '--first-change', '70 s', '--by', 'thiosulfate', '--band', '2']],
    ['mistakes', [right('slow-fuse'), '--first-change', '125 s']],
    ['compare-recipes', [right('tide-in-a-jar')]],
    ['clear', [right('tide-in-a-jar')]],
    ['clear', [right('fading-violet')]],
    ['sheet', [right('sudden-night'), '--band', '0']],
    ['mechanisms', []],
    ['mechanisms', ['iodate-peroxide-malonate']],
    ['mechanisms', ['permanganate-oxalate']],
    ['sources', [right('sudden-night')]],
  ])('%s %j', async (command, args) => {
    const { out, code } = await call([command, ...args, '--json'])
    expect(code).toBe(0)
    const answer: unknown = JSON.parse(out)
    expect(differences(answer, fieldsOf(command), page)).toEqual([])
    expect(Object.keys(answer as object).slice(0, 5)).toEqual(['format', 'command', 'file', 'ok', 'cautions'])
  })

  it('a missing and an unknown key would be seen', () => {
    expect(differences({ low: 1, hight: 2 }, page.get('range')!, page)).toEqual(['.high is missing', '.hight is not on the page'])
  })

  it('clear at a chosen stop is widened by a band, as on the page', async () => {
    const persulfate = async (band: string): Promise<{ low: number; high: number }> => {
      const { out } = await call(['clear', right('slow-fuse'), '--stopped-at', '30 s', '--band', band, '--json'])
      return JSON.parse(out).plan.oxidants.find((o: { species: string }) => o.species === 'S2O8^2-').amountMol
    }
    const [model, banded] = [await persulfate('0'), await persulfate('6')]
    expect(model.low).toBe(model.high)
    expect(banded.low).toBeLessThan(model.low)
    expect(banded.high).toBeGreaterThan(model.high)
  })

  it('problems take the same shape, dangers first', async () => {
    const { out, code } = await call(['check', wrong('bleach-and-acid'), '--json'])
    expect(code).toBe(1)
    const answer = JSON.parse(out)
    expect(differences(answer, page.get('Every command')!, page)).toEqual([])
    expect(answer.ok).toBe(false)
    expect(answer.problems[0].danger).toBe(true)
  })

  it('rehearse holds at its top level what scripts rely on', async () => {
    const { out } = await call(['rehearse', right('sudden-night'), '--band', '2', '--json'])
    const r = JSON.parse(out)
    expect(r.turns.length).toBeGreaterThan(0)
    for (const t of r.turns) expect(Object.keys(t).sort()).toEqual(['deltaE', 'from', 'timeS', 'to'])
    expect(typeof r.inductionS).toBe('number')
    expect(Array.isArray(r.periodsS)).toBe(true)
    expect(typeof r.cycles).toBe('number')
    expect(typeof r.endS).toBe('number')
    expect(r.cause).toMatch(/\w/)
    expect(r.finalColour.hex).toMatch(/^#[0-9a-f]{6}$/)
    expect(r.balance.elementDriftMax).toBeLessThan(1e-6)
    expect(r.balance.chargeDriftMax).toBeLessThan(1e-6)
    expect(r.band.samples).toBe(2)
    expect(r.sources.length).toBeGreaterThan(0)
    // Cautions of the day stand before every number.
    expect(out.indexOf('"cautions"')).toBeLessThan(out.indexOf('"turns"'))
  })
})
